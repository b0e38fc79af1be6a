"""The form of an assessment: each criterion judged, the decision that follows, the assessor's PIN."""

from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from crispy_forms.bootstrap import InlineRadios
from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Fieldset, Layout, Row, Submit
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.forms.fields import NOTE_LENGTH, TokenField, pin_field
from competencies.forms.judging import JudgingForm
from competencies.operations.decisions import Verdict
from competencies.operations.runs import Observed
from competencies.queries.assessments import AssessmentSheet
from competencies.vocabulary import Judgement, Outcome

OUTCOMES = [
    (Outcome.COMPETENT.value, gettext_lazy("Competent")),
    (Outcome.NOT_YET_COMPETENT.value, gettext_lazy("Not yet competent")),
]


class PerformanceForm(forms.Form):
    """When the performance was: a day, and the time at which it ended unless it was just now."""

    on = forms.DateField(
        label=gettext_lazy("Day of the performance"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    ended = forms.TimeField(
        label=gettext_lazy("It ended at"),
        required=False,
        help_text=gettext_lazy("Leave it empty when it was just now."),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )

    def moment(self, *, now: datetime, zone: str) -> datetime:
        """Return the moment of the performance, or now where it cannot be told."""
        self.full_clean()
        day = self.cleaned_data.get("on")
        ended = self.cleaned_data.get("ended")
        if day is None or (ended is None and day == now.astimezone(ZoneInfo(zone)).date()):
            return now
        at_end = datetime.combine(day, ended, ZoneInfo(zone)) if ended else _last_minute(day, zone)
        return min(at_end, now)


def _last_minute(day: date, zone: str) -> datetime:
    return datetime.combine(day + timedelta(days=1), datetime.min.time(), ZoneInfo(zone)) - timedelta(minutes=1)


class AssessmentForm(JudgingForm, PerformanceForm):
    """What was seen of one performance, and what the assessor decides."""

    judgements = (Judgement.MET, Judgement.NOT_MET, Judgement.NOT_SEEN)

    token = TokenField()
    shown = forms.CharField(widget=forms.HiddenInput, required=False)
    feedback = forms.CharField(
        label=gettext_lazy("Feedback"),
        required=False,
        max_length=NOTE_LENGTH,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("What was done well, what was asked, what was answered."),
    )
    practise = forms.CharField(
        label=gettext_lazy("What to practise"),
        required=False,
        max_length=NOTE_LENGTH,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy("Needed where the decision is not yet competent."),
    )
    outcome = forms.ChoiceField(label=gettext_lazy("Decision"), choices=OUTCOMES, widget=forms.RadioSelect)
    no_conflict = forms.BooleanField(
        label=gettext_lazy("We are not family, do not share a household, and I gain nothing from the result")
    )

    def __init__(self, *args: Any, sheet: AssessmentSheet, today: date, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Make the fields that the criteria and readings of the sheet ask for."""
        super().__init__(*args, **kwargs)
        self.sheet, self.today = sheet, today
        self.add_criteria(sheet.criteria)
        self.add_readings(sheet.readings, trainee=sheet.trainee.name)
        self.fields["pin"] = pin_field(_("Your PIN"))

    def clean_on(self) -> date:
        """Return the day; it cannot lie ahead."""
        day: date = self.cleaned_data["on"]
        if day > self.today:
            raise forms.ValidationError(_("That day has not come yet."))
        return day

    def clean(self) -> dict[str, Any]:
        """See that the decision follows from what was judged."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        self.check_reasons(cleaned)
        self.check_repeats(cleaned)
        judged = {cleaned.get(f"judged_{each.number}") for each in self.criteria}
        outcome = cleaned.get("outcome")
        if outcome == Outcome.COMPETENT:
            self._check_competent(judged)
        elif outcome == Outcome.NOT_YET_COMPETENT:
            self._check_not_yet(judged, cleaned)
        return cleaned

    def _check_competent(self, judged: set[str | None]) -> None:
        if Judgement.NOT_MET in judged:
            self.add_error("outcome", _("A criterion is not met, so the decision is not yet competent."))
        elif Judgement.NOT_SEEN in judged:
            self.add_error("outcome", _("Competent needs every criterion to be seen and met."))

    def _check_not_yet(self, judged: set[str | None], cleaned: dict[str, Any]) -> None:
        if judged == {Judgement.MET.value}:
            self.add_error("outcome", _("Every criterion is met, so the decision is competent."))
        elif Judgement.NOT_SEEN in judged and Judgement.NOT_MET not in judged:
            said = _("Not seen is neither a pass nor a fault: watch those criteria before you decide.")
            self.add_error("outcome", said)
        if not cleaned.get("practise"):
            self.add_error("practise", _("Say what to practise before the next assessment."))

    def verdict(self) -> Verdict:
        """Return the decision as the ledger takes it."""
        cleaned = self.cleaned_data
        missed = "\n".join(_("Not met, criterion %(line)s") % {"line": line} for line in self.reasons())
        return Verdict(
            outcome=Outcome(cleaned["outcome"]),
            revision=self.sheet.revision.number,
            observed=Observed(judged=self.judged(), readings=self.paired_readings(), note=missed),
            evidence=self.sheet.counted,
            delta=self.sheet.is_delta,
            shown=cleaned["shown"],
            feedback=cleaned["feedback"],
            practise=cleaned["practise"],
        )

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.form_class = "form-wide"
        groups: list[Any] = [
            Fieldset(_("When it was"), Row("on", "ended")),
            Fieldset(
                _("Each criterion, as you saw it"),
                HTML("{% include 'components/tick_all.html' with within='#criteria' value='met' only %}"),
                Div(*self.criteria_layout(), css_id="criteria"),
            ),
        ]
        if self.readings:
            groups.append(self.readings_layout())
        groups += [
            Fieldset(_("Feedback to the trainee"), "feedback", "practise"),
            Fieldset(_("Decision and signature"), InlineRadios("outcome"), "no_conflict", "pin"),
        ]
        helper.layout = Layout(*groups, "token", "shown")
        helper.add_input(Submit("sign", _("Sign the assessment")))
        return helper


class SecondSignatureForm(forms.Form):
    """The second signature: the record was checked, and the PIN proves who checked it."""

    token = TokenField()
    checked = forms.BooleanField(label=gettext_lazy("I have checked the record and its evidence"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Add the PIN."""
        super().__init__(*args, **kwargs)
        self.fields["pin"] = pin_field(_("Your PIN"))

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.layout = Layout("checked", "pin", "token")
        helper.add_input(Submit("sign", _("Sign as the second person")))
        return helper
