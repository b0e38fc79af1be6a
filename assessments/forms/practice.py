"""The form of a problem in practice: its answer, its blank steps, and the wish to see one more step."""

import uuid
from dataclasses import dataclass
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Submit
from django import forms
from django.core import signing
from django.utils.translation import gettext as _

from assessments.forms.answering import TYPED_KEYS, AnswerForm
from assessments.marking import mark
from assessments.operations.answering import StepAnswer
from assessments.scheduling.fading import Laid, step_problem
from assessments.scheduling.progress import Stage
from assessments.vocabulary import TYPED_LENGTH

SHOWN_SALT = "assessments.shown"
#: Longer than this is no working time: the phone lay in a pocket.
LONGEST_SECONDS = 60 * 60
_DIGITS = 9


@dataclass(frozen=True, slots=True)
class Showing:
    """One showing of a problem: its token, when it was (seconds since 1970), and at which stage of help."""

    token: uuid.UUID
    at: float
    stage: Stage

    def signed(self) -> str:
        """Return it signed, to travel with the form."""
        return signing.dumps([str(self.token), self.at, int(self.stage)], salt=SHOWN_SALT)


def showing_in(signed: str) -> Showing | None:
    """Return the showing that a form carried; None when it is not one of ours."""
    try:
        token, at, stage = signing.loads(signed, salt=SHOWN_SALT)
        return Showing(uuid.UUID(token), float(at), Stage(stage))
    except (signing.BadSignature, ValueError, TypeError):
        return None


class PracticeForm(AnswerForm):
    """An answer in practice, with a field for each blank step; `steps` are their marks once the form is valid.

    `shown` carries the showing, `seen` how many steps were asked for so far (so that a page sent again asks for no
    further one), and `away` the seconds for which a script saw the page lie in the background.
    """

    seen = forms.CharField(widget=forms.HiddenInput, required=False)
    away = forms.CharField(widget=forms.HiddenInput(attrs={"data-away": ""}), required=False)

    def __init__(self, *args: Any, laid: Laid, in_round: bool = False, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Add a field for each blank step; in a round the first field takes the keyboard at once."""
        super().__init__(*args, problem=laid.problem, **kwargs)
        self.laid = laid
        self.steps: tuple[StepAnswer, ...] = ()
        self._blanks = {f"step{place + 1}": place for place in laid.blanks}
        for name, place in self._blanks.items():
            self.fields[name] = self._step_field(place)
        if in_round:
            first = self.fields[next(iter(self._blanks), "answer")]
            # Who hears the page is told the givens before they type: they stand above the field.
            first.widget.attrs |= {"autofocus": True, "aria-describedby": "givens id_answer_error id_answer_helptext"}

    def _step_field(self, place: int) -> forms.CharField:
        step = self.problem.calculation.steps[place]
        keys = forms.TextInput(attrs={**TYPED_KEYS, "inputmode": "decimal", "class": "step"})
        unit = _("In %(unit)s.") % {"unit": step.unit} if step.unit else _("A whole number.")
        label = _("Step %(number)s: %(says)s") % {"number": place + 1, "says": _(step.says)}
        return forms.CharField(label=label, help_text=unit, max_length=TYPED_LENGTH, widget=keys)

    def clean(self) -> dict[str, Any]:
        """Read and mark the answer and every blank step."""
        cleaned = super().clean()
        found = [self._marked(name, place, cleaned[name]) for name, place in self._blanks.items() if name in cleaned]
        self.steps = tuple(found)
        return cleaned

    def _marked(self, name: str, place: int, typed: str) -> StepAnswer:
        asked = step_problem(self.problem, place)
        if asked is None:
            raise RuntimeError(f"Step {place} cannot be asked for.")
        marked = mark(asked, typed)
        if not marked.verdict.is_read:
            self.add_error(name, _(marked.message) % dict(marked.params))
        return StepAnswer(place, typed, marked)

    def seconds_since(self, showing: Showing | None, *, now: float) -> int | None:
        """Return the seconds at the problem since it was shown; None where they cannot be trusted."""
        if showing is None:
            return None
        away = self.cleaned_data.get("away") or ""
        passed = now - showing.at - (int(away) if away.isdecimal() and len(away) <= _DIGITS else 0)
        return int(passed) if 0 <= passed <= LONGEST_SECONDS else None

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out: steps, answer, unit; the key Enter answers."""
        helper = FormHelper()
        helper.layout = Layout(*self._blanks, *self.answer_fields, "shown", "seen", "away")
        helper.add_input(Submit("", _("Answer")))
        if self.laid.shown < self.laid.total:
            helper.add_input(Submit("ask", _("Show me the next step"), css_class="button-quiet"))
        return helper
