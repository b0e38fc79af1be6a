"""The form that makes a worksheet."""

import secrets
from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assessments.calculations.frame import Calculation
from assessments.forms.checks import PersonField
from assessments.operations.answering import SEED_BELOW
from assessments.operations.worksheets import WorksheetChoice
from assessments.queries.library import Library
from assessments.queries.worksheets import kinds_ahead
from assessments.vocabulary import Family
from competencies.models import Crew, Person, Plant

MOST_PROBLEMS = 30
#: So many are drawn while somebody waits; formulas in print take their time.
MOST_IN_ALL = 160


class WorksheetForm(forms.Form):
    """For whom, how many problems, of which kinds; `choice` is what comes of it once the form is valid."""

    title = forms.CharField(
        label=gettext_lazy("Title"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("Stands at the head of the sheet. Left empty: Worksheet."),
    )
    person = PersonField(Person.objects.none(), label=gettext_lazy("For one person"), required=False)
    crew = forms.ModelChoiceField(
        Crew.objects.none(),
        label=gettext_lazy("For a crew"),
        required=False,
        help_text=gettext_lazy(
            "A copy for everybody in it. With neither a person nor a crew, the name is left blank."
        ),
    )
    problems = forms.IntegerField(
        label=gettext_lazy("Problems on a copy"), min_value=1, max_value=MOST_PROBLEMS, initial=8
    )
    own_figures = forms.BooleanField(
        label=gettext_lazy("Every copy has figures of its own"),
        required=False,
        initial=True,
        help_text=gettext_lazy("Neighbours cannot copy. The key has a part for each person."),
    )
    kinds = forms.MultipleChoiceField(
        label=gettext_lazy("Calculations"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("Tick none to take what the coming tasks ask for. The kinds take turns."),
    )
    seed = forms.IntegerField(
        label=gettext_lazy("Seed"),
        required=False,
        min_value=0,
        max_value=SEED_BELOW - 1,
        help_text=gettext_lazy("The same seed makes the same sheet again. Left empty, one is drawn."),
    )

    def __init__(self, *args: Any, plant: Plant, library: Library, on: date, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the plant's people, crews and calculations."""
        super().__init__(*args, **kwargs)
        self.plant, self.library, self.on = plant, library, on
        self.choice: WorksheetChoice | None = None
        people = Person.objects.employed(on).filter(plant=plant).order_by("name")
        self.fields["person"] = PersonField(people, label=_("For one person"), required=False)
        crew: Any = self.fields["crew"]
        crew.queryset = Crew.objects.filter(plant=plant).order_by("title")
        kinds: Any = self.fields["kinds"]
        kinds.choices = kinds_offered(library)

    def clean(self) -> dict[str, Any]:
        """Put together what is to be drawn, or say at the field what stands against it."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        if cleaned["person"] and cleaned["crew"]:
            self.add_error("crew", _("Choose a person or a crew, not both."))
            return cleaned
        people = self._people(cleaned)
        if cleaned["crew"] and not people:
            self.add_error("crew", _("Nobody is in this crew today."))
        elif len(people) * cleaned["problems"] > MOST_IN_ALL:
            words = _("That is %(count)s problems in all; at most %(most)s fit in one file.")
            self.add_error("problems", words % {"count": len(people) * cleaned["problems"], "most": MOST_IN_ALL})
        elif kinds := self._kinds(cleaned["kinds"], people):
            self.choice = WorksheetChoice(
                title=cleaned["title"] or _("Worksheet"),
                kinds=kinds,
                problems=cleaned["problems"],
                people=people,
                own_figures=cleaned["own_figures"],
            )
        else:
            self.add_error("kinds", _("The coming tasks ask for no calculation: tick at least one."))
        return cleaned

    def _people(self, cleaned: dict[str, Any]) -> list[Person]:
        if cleaned["person"]:
            return [cleaned["person"]]
        if cleaned["crew"]:
            return list(
                Person.objects.employed(self.on).filter(plant=self.plant, crew=cleaned["crew"]).order_by("name")
            )
        return []

    def _kinds(self, codes: Sequence[str], people: Sequence[Person]) -> list[Calculation]:
        if codes:
            return [self.library.kind(code) for code in codes]
        return kinds_ahead(people, self.library, plant=self.plant, on=self.on)

    @property
    def kind_groups(self) -> list[dict[str, Any]]:
        """Return the calculations by family, and whether one of a family is ticked."""
        chosen = set(self["kinds"].value() or ())
        return [
            {
                "heading": heading,
                "choices": [{"value": code, "label": label, "checked": code in chosen} for code, label in kinds],
                "is_open": any(code in chosen for code, _label in kinds),
            }
            for heading, kinds in kinds_offered(self.library)
        ]

    def chosen_seed(self) -> int:
        """Return the seed that was typed, or a new one."""
        typed: int | None = self.cleaned_data["seed"]
        return secrets.randbelow(SEED_BELOW) if typed is None else typed


def kinds_offered(library: Library) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return the calculations to tick, by family."""
    offered = []
    for family in Family:
        kinds = [kind for kind in library.current.values() if kind.family is family]
        if kinds:
            named = [(kind.code, f"{_(kind.title)} ({kind.framework_code})") for kind in kinds]
            offered.append((_(family.heading), named))
    return offered
