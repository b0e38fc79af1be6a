"""What is asked about the cover of the days to come: one line or all, and as if somebody were missing."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from competencies.models import Line, Person
from competencies.standing.ahead import Missing

FIRST_YEAR, LAST_YEAR = 1950, 2150


def _day(label: Any, help_text: Any) -> forms.DateField:  # noqa: ANN401 - lazy texts
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, help_text=help_text, widget=widget, required=False)


class AheadForm(forms.Form):
    """Everything stands in the address, so that a view can be shared. Empty: every line, nobody missing."""

    line = forms.ChoiceField(label=_("Line"), required=False)
    without = forms.ChoiceField(label=_("Without"), required=False)
    out_from = _day(_("From"), _("The first day without them. Empty: today."))
    out_until = _day(_("Until"), _("The last day without them. Empty: they leave for good."))

    def __init__(self, *args: Any, lines: list[Line], people: list[Person], today: date, **kwargs: Any) -> None:  # noqa: ANN401 - as the base has them
        super().__init__(*args, **kwargs)
        self.today = today
        self.people = {str(person.pk): person for person in people}
        self._choose("line", [("", _("every line")), *((line.code, line.title) for line in lines)])
        self._choose("without", [("", _("nobody missing")), *((key, each.name) for key, each in self.people.items())])

    def _choose(self, name: str, choices: list[tuple[str, Any]]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101 - declared above; for the type checker
        field.choices = choices

    def clean(self) -> dict[str, Any]:
        """Name days that nobody can be missing on, and days without a person."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        from_on, until_on = cleaned.get("out_from"), cleaned.get("out_until")
        for name, day in (("out_from", from_on), ("out_until", until_on)):
            if day is not None and not FIRST_YEAR <= day.year <= LAST_YEAR:
                years = {"first": FIRST_YEAR, "last": LAST_YEAR}
                self.add_error(name, _("Give a day between %(first)s and %(last)s.") % years)
        if from_on and until_on and until_on < from_on:
            self.add_error("out_until", _("The last day lies before the first."))
        if (from_on or until_on) and not cleaned.get("without") and "without" not in self.errors:
            self.add_error("without", _("Say who is missing on these days."))
        return cleaned

    def missing(self) -> list[Missing]:
        """Return who is taken to be missing and when; nobody where the form does not say."""
        number = self.cleaned_data.get("without") if self.is_valid() else ""
        if not number:
            return []
        found = self.cleaned_data
        return [Missing(int(number), found["out_from"] or self.today, found["out_until"] or date.max)]

    def person(self) -> Person | None:
        """Return who is taken to be missing."""
        return self.people.get(self.cleaned_data.get("without", "")) if self.is_valid() else None
