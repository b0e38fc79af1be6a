"""Series of drawings, and what their answers add up to."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from django.db.models import Count, F, Q, QuerySet

from assessments.inspection import INSPECTIONS, Fault, Inspection
from assessments.inspection.judgement import Counts
from assessments.models import InspectionAnswer, InspectionSeries
from competencies.models import Person, Plant

FAULTY = ~Q(answers__truth="")


@dataclass(frozen=True, slots=True)
class FaultTally:
    """How often a fault was shown, let through, let through close to the limit, and stopped under another name."""

    fault: Fault
    shown: int
    missed: int
    missed_close: int
    misnamed: int


@dataclass(frozen=True, slots=True)
class Report:
    """What the answers of one kind of inspection add up to."""

    inspection: Inspection
    counts: Counts
    faults: tuple[FaultTally, ...]


def series_of(person: Person) -> "QuerySet[InspectionSeries]":
    """Return the person's series, the newest first, with `answered` and the sums of `counts_of`."""
    return _with_sums(InspectionSeries.objects.filter(person=person))


def handed_in(plant: Plant) -> "QuerySet[InspectionSeries]":
    """Return the series that people of a plant handed in, the newest first, with the person and the sums."""
    shown = InspectionSeries.objects.handed_in().filter(person__plant=plant)
    return _with_sums(shown).select_related("person").order_by("-handed_in_at", "-pk")


def _with_sums(series: "QuerySet[InspectionSeries]") -> "QuerySet[InspectionSeries]":
    return series.annotate(
        answered=Count("answers"),
        hits=Count("answers", filter=FAULTY & Q(answers__rejected=True)),
        misses=Count("answers", filter=FAULTY & Q(answers__rejected=False)),
        false_alarms=Count("answers", filter=Q(answers__truth="", answers__rejected=True)),
        right_passes=Count("answers", filter=Q(answers__truth="", answers__rejected=False)),
    ).order_by("-started_at", "-pk")


def counts_of(series: InspectionSeries) -> Counts:
    """Return the counts of a series that was read with its sums."""
    names = ("hits", "misses", "false_alarms", "right_passes")
    return Counts(**{name: getattr(series, name) for name in names})


def report_of(person: Person) -> tuple[Report, ...]:
    """Return what all of the person's answers add up to, by kind of inspection. One query."""
    return tuple(_reports(InspectionAnswer.objects.filter(series__person=person)))


def report_of_series(series: InspectionSeries) -> Report | None:
    """Return what the answers of one series add up to; None before the first. One query."""
    return next(_reports(InspectionAnswer.objects.filter(series=series)), None)


def _reports(answers: "QuerySet[InspectionAnswer]") -> Iterator[Report]:
    rows = (
        answers.values("series__kind", "truth", "rejected")
        .annotate(
            count=Count("pk"),
            close=Count("pk", filter=Q(is_close=True)),
            named_right=Count("pk", filter=Q(named=F("truth"))),
        )
        .order_by()
    )
    by_kind: dict[str, list[Mapping[str, object]]] = {}
    for row in rows:
        by_kind.setdefault(row["series__kind"], []).append(row)
    for code, inspection in INSPECTIONS.items():
        if code in by_kind:
            yield _report(inspection, by_kind[code])


def _report(inspection: Inspection, rows: Sequence[Mapping[str, object]]) -> Report:
    def total(name: str = "count", **wanted: object) -> int:
        found = (row[name] for row in rows if all(row[key] == value for key, value in wanted.items()))
        return sum(value for value in found if isinstance(value, int))

    tallies = (
        FaultTally(
            fault=fault,
            shown=total(truth=fault.code),
            missed=total(truth=fault.code, rejected=False),
            missed_close=total("close", truth=fault.code, rejected=False),
            misnamed=total(truth=fault.code, rejected=True) - total("named_right", truth=fault.code, rejected=True),
        )
        for fault in inspection.faults
    )
    good = {flag: total(truth="", rejected=flag) for flag in (True, False)}
    all_of = {flag: total(rejected=flag) for flag in (True, False)}
    counts = Counts(
        hits=all_of[True] - good[True],
        misses=all_of[False] - good[False],
        false_alarms=good[True],
        right_passes=good[False],
    )
    return Report(inspection, counts, tuple(tally for tally in tallies if tally.shown))
