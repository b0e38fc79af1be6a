"""What runs out: sign-offs by the month of their last valid day, and who they are (R3.1, R3.3)."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import TypeAlias

from django.db.models import Count, F, Q, QuerySet
from django.db.models.functions import TruncMonth

from competencies.models import Area, Crew, Line, Person, Plant, StandingPeriod, Station
from competencies.standing.calendar import add_months
from competencies.vocabulary import Standing

HORIZON_MONTHS = 18
# Who holds it now, in whatever colour; what is stopped, lapsed or withdrawn has run out already.
HOLDS = (Standing.IN_FORCE, Standing.RENEWAL_DUE, Standing.IN_GRACE)


# A thing of a cut by its number (None: what belongs to none) and its title.
Part: TypeAlias = "tuple[int | None, str]"


class Cut(StrEnum):
    """By what the months are split."""

    AREA = "area"
    CREW = "crew"
    LINE = "line"


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowed:
    """Whose and which sign-offs are looked at; None: all."""

    area: Area | None = None
    crew: Crew | None = None
    line: Line | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """A month with how many sign-offs have their last valid day in it; `parts` splits them by the things of a cut."""

    first_on: date
    total: int
    parts: Mapping[Part, int]


def running_out(
    plant: Plant, narrowed: Narrowed, *, moment: datetime, on: date, until_on: date, from_on: date = date.min
) -> QuerySet[StandingPeriod]:
    """Return the sign-offs that are held at `moment`, of the day `on`, whose last valid day lies between two days.

    Both days are included. Left out is whoever has left, or leaves before the last valid day as far as is known. The
    soonest come first.
    """
    stays = Q(person__last_day=None) | Q(person__last_day__gte=F("last_valid_on"))
    rows = StandingPeriod.objects.filter(
        stays,
        Q(starts_at=None) | Q(starts_at__lte=moment),
        Q(ends_at=None) | Q(ends_at__gt=moment),
        known_to=None,
        task__plant=plant,
        standing__in=HOLDS,
        last_valid_on__range=(from_on, until_on),
        person__in=Person.objects.filter(plant=plant).employed(on),
    )
    if narrowed.area:
        rows = rows.filter(task__area=narrowed.area)
    if narrowed.crew:
        rows = rows.filter(person__crew=narrowed.crew)
    if narrowed.line:
        rows = rows.filter(_at(narrowed.line))
    return rows.order_by("last_valid_on", "task__code", "person__name", "pk")


def _at(line: Line) -> Q:
    """Return what belongs to a line: held there, or held for the site where a station of the line asks for it."""
    manned = Station.objects.filter(line=line).values("task")
    return Q(scope=line.code) | Q(scope__startswith=f"{line.code}/") | Q(scope="", task__in=manned)


def months_from(on: date) -> list[date]:
    """Return the first days of the months of the horizon; the first month is that of the day `on`."""
    return [add_months(on.replace(day=1), step) for step in range(HORIZON_MONTHS)]


def last_day(first_on: date) -> date:
    """Return the last day of the month that begins on a day."""
    return date.fromordinal(add_months(first_on, 1).toordinal() - 1)


def months_of(plant: Plant, narrowed: Narrowed, cut: Cut, *, moment: datetime, on: date) -> Sequence[Month]:
    """Return each month of the horizon with its count, split by a cut. Two or three queries at any size.

    What is in grace counts in the month of its last valid day, or in the first month where that lies before.
    By line a sign-off may count at several lines, so that the parts may come to more than the total.
    """
    firsts = months_from(on)
    rows = running_out(plant, narrowed, moment=moment, on=on, until_on=last_day(firsts[-1]))
    totals: dict[date, int] = defaultdict(int)
    parts: dict[date, dict[Part, int]] = defaultdict(lambda: defaultdict(int))
    for first_on, part, count in _counted(rows, cut):
        month = max(first_on, firsts[0])
        parts[month][part] += count
        totals[month] += count
    if cut is Cut.LINE:
        parts = _by_line(plant, rows, firsts[0])
    return [Month(first_on=first, total=totals[first], parts=dict(parts[first])) for first in firsts]


def _counted(rows: QuerySet[StandingPeriod], cut: Cut) -> list[tuple[date, Part, int]]:
    fields = {
        Cut.AREA: ("task__area", "task__area__title"),
        Cut.CREW: ("person__crew", "person__crew__title"),
        Cut.LINE: ("task__area", "task__area__title"),
    }[cut]
    counted = rows.order_by().annotate(month=TruncMonth("last_valid_on")).values_list("month", *fields)
    found = counted.annotate(count=Count("pk"))
    return [(month, (number, title or ""), count) for month, number, title, count in found]


def _by_line(plant: Plant, rows: QuerySet[StandingPeriod], first: date) -> dict[date, dict[Part, int]]:
    """Return the counts by line, of a site-wide sign-off at each line that mans its task."""
    lines: dict[str, Part] = {line.code: (line.pk, line.title) for line in Line.objects.filter(plant=plant)}
    manned: dict[int, list[str]] = defaultdict(list)
    for task, code in Station.objects.filter(line__plant=plant).values_list("task", "line__code").distinct():
        manned[task].append(code)
    counted = rows.order_by().annotate(month=TruncMonth("last_valid_on")).values_list("month", "task", "scope")
    parts: dict[date, dict[Part, int]] = defaultdict(lambda: defaultdict(int))
    for month, task, scope, count in counted.annotate(count=Count("pk")):
        codes = [scope.split("/")[0]] if scope else manned.get(task, [""])
        for code in codes:
            parts[max(month, first)][lines.get(code, (None, ""))] += count
    return parts
