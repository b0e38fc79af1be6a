"""How the problems of checks do, over everybody who sat them. Practice does not come in: it is each person's own."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from assessments.calculations.frame import Calculation
from assessments.models import CheckAnswer
from assessments.queries.library import Library, library_of
from assessments.statistics.items import ItemAnswer, ItemFigures, item_figures
from assessments.statistics.reliability import Reliability, reliability
from assessments.vocabulary import Verdict
from competencies.models import Plant
from competencies.standing.calendar import clock_of, days_after


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A kind of problem with its figures; `kind` is None where the plant has it no longer."""

    figures: ItemFigures
    checks: tuple[str, ...]
    kind: Calculation | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckFigures:
    """The sittings of one check: a code of the framework with so many problems and this mark to pass.

    `kind` is the first of the calculations that it asks, None where the plant has none of them any longer.
    """

    calculation: str
    kind: Calculation | None
    problems: int
    pass_mark: int
    passed: int
    reliability: Reliability


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemReport:
    """Every kind of problem that was asked in the checks of a period, and every check."""

    items: Sequence[Item]
    checks: Sequence[CheckFigures]


@dataclass(frozen=True, slots=True)
class _Sitting:
    """What is told apart among checks."""

    calculation: str
    problems: int
    pass_mark: int


def item_report(plant: Plant, *, since: date, on: date) -> ItemReport:
    """Return the figures of the checks that were handed in in a period, both days included. Two queries."""
    clock = clock_of(plant.timezone)
    rows = (
        CheckAnswer.objects.filter(
            sitting__plant=plant,
            sitting__finished_at__gte=clock.midnight(since),
            sitting__finished_at__lt=clock.midnight(days_after(on, 1)),
        )
        .order_by("sitting", "number")
        .values_list(
            *("sitting", "number", "calculation", "verdict", "slips", "seconds"),
            *("sitting__calculation", "sitting__problems", "sitting__pass_mark"),
        )
    )
    answers: dict[_Sitting, list[ItemAnswer]] = defaultdict(list)
    for sitting, number, item, verdict, slips, seconds, *check in rows:
        answers[_Sitting(*check)].append(
            ItemAnswer(
                sitting=sitting,
                place=number,
                item=item,
                verdict=Verdict(verdict),
                slips=tuple(slips),
                seconds=seconds,
            )
        )
    library = library_of(plant)
    checks = [_check(sitting, found, library) for sitting, found in answers.items()]
    return ItemReport(
        items=_items(answers, library),
        checks=sorted(checks, key=lambda check: (check.calculation, -check.reliability.sittings)),
    )


def _items(answers: dict[_Sitting, list[ItemAnswer]], library: Library) -> list[Item]:
    checks: dict[str, set[str]] = defaultdict(set)
    for sitting, found in answers.items():
        for answer in found:
            checks[answer.item].add(sitting.calculation)
    figures = item_figures(answer for found in answers.values() for answer in found)
    return [
        Item(figures=each, checks=tuple(sorted(checks[each.item])), kind=library.current.get(each.item))
        for each in figures
    ]


def _check(sitting: _Sitting, answers: Sequence[ItemAnswer], library: Library) -> CheckFigures:
    rows: dict[int, list[int]] = defaultdict(list)
    for answer in answers:
        rows[answer.sitting].append(int(answer.is_right))
    return CheckFigures(
        calculation=sitting.calculation,
        kind=next(iter(library.asked_by(sitting.calculation)), None),
        problems=sitting.problems,
        pass_mark=sitting.pass_mark,
        passed=sum(sum(row) >= sitting.pass_mark for row in rows.values()),
        reliability=reliability(list(rows.values())),
    )
