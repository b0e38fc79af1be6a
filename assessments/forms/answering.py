"""The form of one answer to one problem."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Field, Layout, Submit
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assessments.generation import Problem
from assessments.marking import Mark, mark
from assessments.reader import UnreadableError, read_quantity
from assessments.vocabulary import TYPED_LENGTH, AnswerKind

#: The units offered beside the answer, whatever is asked, so that the list does not give the right one away.
EVERYDAY_UNITS = (
    "°C", "°F", "bar", "kPa", "psi", "L", "hL", "mL", "kg", "g", "g/L", "%", "% vol", "°P", "mm", "°", "h", "min",
    "units/h", "PU",
)  # fmt: skip


_HELP = {
    AnswerKind.QUANTITY: gettext_lazy("A number with its unit. Comma or point, both will do."),
    AnswerKind.WHOLE: gettext_lazy("A whole number."),
    AnswerKind.DIGIT: gettext_lazy("One digit."),
    AnswerKind.WEEK_DATE: gettext_lazy("Year, W and week, day of the week from Monday as 1, like 2026-W09-6."),
    AnswerKind.DATE: gettext_lazy("Year-month-day, like 2026-02-28, or day, month, year, like 28 Feb 2026."),
}


#: What every field for a typed answer tells the browser.
TYPED_KEYS = {"autocomplete": "off", "spellcheck": "false"}


class AnswerForm(forms.Form):
    """One answer to one problem; `mark` is what became of it once the form is valid.

    What cannot be read, or can be read two ways, is asked about at the field and is not marked. With `is_check` a
    missing unit is asked about too, so that nobody loses a check over it.
    """

    answer = forms.CharField(label=gettext_lazy("Your answer"), max_length=TYPED_LENGTH)
    shown = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, problem: Problem, is_check: bool = False, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Fit the fields to what the problem asks for."""
        super().__init__(*args, **kwargs)
        self.problem, self.is_check = problem, is_check
        kind = problem.calculation.kind
        self.mark: Mark | None = None
        if kind is AnswerKind.CHOICE:
            options = [(option, _(option)) for option in problem.calculation.options]
            self.fields["answer"] = forms.ChoiceField(
                label=_("Your answer"), choices=options, widget=forms.RadioSelect
            )
        else:
            self.fields["answer"].help_text = _HELP[kind]
            self.fields["answer"].widget = forms.TextInput(attrs=self._keys(kind))
        if kind is AnswerKind.QUANTITY:
            units = [("", _("as typed")), *((unit, unit) for unit in units_offered(problem))]
            chips = forms.RadioSelect(attrs={"class": "chip"})
            self.fields["unit"] = forms.ChoiceField(label=_("Unit"), required=False, choices=units, widget=chips)
            if is_check:
                self.fields["unit"].help_text = _("Asked for in a check, here or after the number.")

    def _keys(self, kind: AnswerKind) -> dict[str, str]:
        # A phone's number keys have no minus and no letters: where those are needed, all keys are shown.
        numeric = kind in {AnswerKind.WHOLE, AnswerKind.DIGIT}
        decimal = kind is AnswerKind.QUANTITY and not self.problem.calculation.may_be_negative
        keys = "numeric" if numeric else "decimal" if decimal else "text"
        return {**TYPED_KEYS, "inputmode": keys, "class": "answer"}

    def clean(self) -> dict[str, Any]:
        """Read and mark the answer; what cannot be read becomes an error at the field."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if "answer" not in cleaned:
            return cleaned
        typed = self._with_unit(cleaned["answer"], cleaned.get("unit") or "")
        self.mark = mark(self.problem, typed)
        if not self.mark.verdict.is_read:
            self.add_error("answer", _(self.mark.message) % dict(self.mark.params))
        elif self.is_check and self.mark.unit_missing:
            self.add_error("unit", _("Choose the unit, or type it after the number."))
        cleaned["typed"] = typed
        return cleaned

    def _with_unit(self, answer: str, unit: str) -> str:
        if not unit:
            return answer
        try:
            has_unit = read_quantity(answer).unit is not None
        except UnreadableError:
            return answer
        return answer if has_unit else f"{answer} {unit}"

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.layout = Layout(*self.answer_fields, "shown")
        helper.add_input(Submit("", _("Answer")))
        return helper

    @property
    def answer_fields(self) -> list[Any]:
        """Return the answer and, where there is one, its unit."""
        return ["answer", *([Field("unit", wrapper_class="chips")] if "unit" in self.fields else [])]


def units_offered(problem: Problem) -> list[str]:
    """Return the units to choose from: the everyday ones, and the one asked for where it is none of them."""
    return [*EVERYDAY_UNITS, *([problem.unit] if problem.unit not in EVERYDAY_UNITS else [])]
