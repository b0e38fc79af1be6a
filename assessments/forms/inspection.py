"""The forms of an inspection by eye: begin a series, judge a drawing."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Layout, Row, Submit
from django import forms
from django.core import signing
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assessments.inspection import INSPECTIONS, Inspection
from assessments.operations.inspection import CLOSE_PERCENTS, LENGTHS

SHOWN_SALT = "assessments.inspection.shown"
#: Longer than this is no looking time: the phone lay in a pocket.
LONGEST_SECONDS = 60 * 60

ACCEPT, REJECT = "accept", "reject"

_CLOSE_WORDS = (
    gettext_lazy("Most are clear"),
    gettext_lazy("Half are close to the limit"),
    gettext_lazy("Most are close to the limit"),
)


class StartForm(forms.Form):
    """What to inspect, how many drawings, and how close they lie to the limit."""

    kind = forms.ChoiceField(label=gettext_lazy("What to inspect"), widget=forms.RadioSelect)
    length = forms.TypedChoiceField(
        label=gettext_lazy("How many"), coerce=int, choices=[(each, str(each)) for each in LENGTHS], initial=20
    )
    close_percent = forms.TypedChoiceField(
        label=gettext_lazy("How hard"), coerce=int, choices=list(zip(CLOSE_PERCENTS, _CLOSE_WORDS, strict=True))
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer every kind of inspection."""
        super().__init__(*args, **kwargs)
        offered = [(each.code, _(each.title)) for each in INSPECTIONS.values()]
        self.fields["kind"] = forms.ChoiceField(
            label=_("What to inspect"), choices=offered, widget=forms.RadioSelect, initial=offered[0][0]
        )

    def clean_kind(self) -> Inspection:
        """Return the inspection."""
        return INSPECTIONS[self.cleaned_data["kind"]]

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.layout = Layout("kind", Row("length", "close_percent"))
        helper.add_input(Submit("", _("Begin")))
        return helper


class JudgeForm(forms.Form):
    """Accept or reject a drawing, and say what is wrong with it. `shown` carries, signed, when it was shown."""

    # What is wrong is asked for only once it is rejected, which no browser knows.
    use_required_attribute = False

    verdict = forms.ChoiceField(
        label=gettext_lazy("Your decision"),
        choices=[(ACCEPT, gettext_lazy("Accept")), (REJECT, gettext_lazy("Reject"))],
        widget=forms.RadioSelect,
    )
    shown = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, inspection: Inspection, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the faults of the inspection."""
        super().__init__(*args, **kwargs)
        self.fields["fault"] = forms.ChoiceField(
            label=_("What is wrong"),
            choices=[(fault.code, _(fault.name).capitalize()) for fault in inspection.faults],
            error_messages={"required": _("Say what is wrong with it.")},
            widget=forms.RadioSelect,
        )

    def clean(self) -> dict[str, Any]:
        """Ask for the fault of what is rejected alone; of what is accepted none is kept."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("verdict") != REJECT:
            self.errors.pop("fault", None)
            cleaned["fault"] = ""
        return cleaned

    @property
    def is_rejected(self) -> bool:
        """Whether the drawing was rejected."""
        return bool(self.cleaned_data["verdict"] == REJECT)

    def seconds(self, *, now: float) -> int | None:
        """Return the seconds since the drawing was shown, where they can be trusted."""
        try:
            passed = now - float(signing.loads(self.cleaned_data["shown"], salt=SHOWN_SALT))
        except (signing.BadSignature, ValueError, TypeError):
            return None
        return int(passed) if 0 <= passed <= LONGEST_SECONDS else None

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out: the faults show once "Reject" is chosen."""
        helper = FormHelper()
        helper.layout = Layout(Div("verdict", Div("fault", css_class="judged-fault"), css_class="judged"), "shown")
        helper.add_input(Submit("", _("Answer")))
        return helper


def shown_at(*, now: float) -> str:
    """Return the signed moment at which a drawing is shown."""
    return signing.dumps(now, salt=SHOWN_SALT)
