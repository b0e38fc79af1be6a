"""What is asked of a proposal of renewals, and the renewals that were ticked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from competencies.forms.lapses import LapseFilter
from competencies.models import Line, Machine, Person, Plant, Shift, Task
from competencies.queries.clashes import Plan, scope_for
from competencies.standing.facts import Scope

USUAL_MONTHS, MOST_MONTHS = 3, 12
MOST_HOURS = 60
MOST_TICKED = 300
PARTS = 6


class RenewalFilter(LapseFilter):
    """Which renewals are proposed, how far ahead, and with how much of the assessors' time."""

    months = forms.IntegerField(
        label=_l("Months ahead"),
        required=False,
        min_value=1,
        max_value=MOST_MONTHS,
        help_text=_l("Empty: three months."),
    )
    hours = forms.IntegerField(
        label=_l("Try hours an assessor a week"),
        required=False,
        min_value=1,
        max_value=MOST_HOURS,
        help_text=_l("Empty: the figure of the settings."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Leave out by what months are split."""
        super().__init__(*args, **kwargs)
        del self.fields["by"]

    def months_ahead(self) -> int:
        """Return how far ahead is planned."""
        return (self.cleaned_data.get("months") if self.is_valid() else None) or USUAL_MONTHS

    def week_hours(self) -> int | None:
        """Return the hours to try (None: the plant's figure)."""
        return self.cleaned_data.get("hours") if self.is_valid() else None


@dataclass(frozen=True, slots=True)
class _Things:
    """The plant's own things that the ticked renewals may name."""

    people: Mapping[int, Person]
    tasks: Mapping[str, Task]
    shifts: Mapping[str, Shift]
    lines: Mapping[str, Line]
    machines: Mapping[tuple[str, str], Machine]


def plans_of(plant: Plant, ticked: Sequence[str]) -> list[Plan]:
    """Return the renewals that were ticked, or raise ValidationError where one is none of this plant's."""
    if not ticked:
        raise ValidationError(_("Tick at least one renewal."))
    if len(ticked) > MOST_TICKED:
        raise ValidationError(_("Ask for %(most)s at the most at once.") % {"most": MOST_TICKED})
    rows = [text.split("|") for text in ticked]
    numbers = [int(row[place]) for row in rows if len(row) == PARTS for place in (0, 5) if _is_number(row[place])]
    things = _Things(
        people=Person.objects.filter(plant=plant).select_related("plant").in_bulk(numbers),
        tasks={each.code: each for each in Task.objects.filter(plant=plant).select_related("area")},
        shifts={each.name: each for each in Shift.objects.filter(plant=plant)},
        lines={each.code: each for each in Line.objects.filter(plant=plant)},
        machines={
            (each.line.code, each.code): each
            for each in Machine.objects.filter(line__plant=plant).select_related("line")
        },
    )
    try:
        return [_plan(row, things) for row in rows]
    except (KeyError, ValueError):
        raise ValidationError(_("The list has changed: look at the proposal again.")) from None


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= 18  # noqa: PLR2004 - what the database's numbers hold


def _plan(row: Sequence[str], things: _Things) -> Plan:
    """Return the plan that a row of words names; KeyError or ValueError where there is no such thing."""
    person, code, scope, day, shift, assessor = row
    task, place = things.tasks[code], Scope.parse(scope)
    line = things.lines[place.line] if place.line else None
    machine = things.machines[place.line, place.machine] if place.machine else None
    if scope_for(task, line, machine) != place:
        raise ValueError(scope)
    return Plan(
        people=[things.people[int(person)]],
        tasks=[task],
        on=date.fromisoformat(day),
        shift=things.shifts[shift],
        line=line,
        machine=machine,
        trainer=things.people[int(assessor)],
    )
