"""Series of drawings to judge: begun, answered, ended, handed in and taken back."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from assessments.inspection import Inspection, Item
from assessments.models import InspectionAnswer, InspectionSeries
from competencies.models import Person

LENGTHS = (10, 20, 40)
CLOSE_PERCENTS = (20, 50, 80)


class InspectionError(ValueError):
    """The series is not in a state for this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What a person said of a drawing: the code of the fault when rejected, and how long it took."""

    rejected: bool
    named: str = ""
    seconds: int | None = None


@transaction.atomic
def start_series(
    *, person: Person, kind: Inspection, length: int, close_percent: int, seed: int, now: datetime
) -> InspectionSeries:
    """Begin a series, or return the one of this kind that is still open.

    Raises
    ------
    InspectionError
        When the length or the share is none of those offered.
    """
    if length not in LENGTHS or close_percent not in CLOSE_PERCENTS:
        raise InspectionError("No series has that length or that share.")
    series, _created = InspectionSeries.objects.get_or_create(
        person=person,
        kind=kind.code,
        finished_at=None,
        defaults={"length": length, "close_percent": close_percent, "seed": seed, "started_at": now},
    )
    return series


@transaction.atomic
def answer_item(
    *, series: InspectionSeries, number: int, item: Item, judged: Judged, now: datetime
) -> InspectionAnswer:
    """Keep what was said of one drawing; the first answer to each stays. The last one finishes the series.

    Raises
    ------
    InspectionError
        When the series is finished, or this drawing is not the next one.
    """
    locked = InspectionSeries.objects.select_for_update().get(pk=series.pk)
    answered = locked.answers.count()
    if number <= answered:
        return locked.answers.get(number=number)
    if locked.finished_at or number != answered + 1:
        raise InspectionError("This drawing is not the next one.")
    answer = InspectionAnswer.objects.create(
        series=locked,
        number=number,
        seed=item.seed,
        measures=[[each.says % each.params, each.value, each.unit] for each in item.specimen.measures],
        truth=item.planned.fault,
        is_close=item.planned.is_close,
        rejected=judged.rejected,
        named=judged.named if judged.rejected else "",
        seconds=judged.seconds,
        at=now,
    )
    if number == locked.length:
        InspectionSeries.objects.filter(pk=locked.pk).update(finished_at=now)
    return answer


@transaction.atomic
def end_series(*, series: InspectionSeries, now: datetime) -> None:
    """End a series before its last drawing. What was answered counts; a series without an answer goes."""
    locked = InspectionSeries.objects.select_for_update().get(pk=series.pk)
    if locked.finished_at:
        return
    if locked.answers.exists():
        InspectionSeries.objects.filter(pk=locked.pk).update(finished_at=now)
    else:
        locked.delete()


@transaction.atomic
def hand_in(*, series: InspectionSeries, now: datetime) -> None:
    """Show the sums of a finished series to the plant's trainers.

    Raises
    ------
    InspectionError
        When it is not finished.
    """
    locked = InspectionSeries.objects.select_for_update().get(pk=series.pk)
    if locked.finished_at is None:
        raise InspectionError("Only a finished series can be handed in.")
    InspectionSeries.objects.filter(pk=locked.pk, handed_in_at=None).update(handed_in_at=now)


@transaction.atomic
def take_back(*, series: InspectionSeries) -> None:
    """Show a series to nobody any more."""
    InspectionSeries.objects.filter(pk=series.pk).update(handed_in_at=None)
