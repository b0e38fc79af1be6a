"""What a task asks is changed from a day on; a dated decision may let it reach sign-offs given before (R4.11)."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from competencies.ledger.writer import writing
from competencies.models import Task, TaskCalculation, TaskTerms
from competencies.operations.framework import record_terms
from competencies.operations.pins import Signer
from competencies.operations.recording import refuse_if
from competencies.queries.facts import grants_of
from competencies.queries.frame import frame_of
from competencies.standing.framework import Terms
from competencies.standing.office import refuse_terms


@dataclass(frozen=True, slots=True)
class AskedCalculation:
    """A calculation that is asked for: so many problems in a check, so many of them right."""

    code: str
    problems: int = 5
    pass_mark: int = 4


@writing()
def change_terms(
    *, task: Task, terms: Terms, calculations: Collection[AskedCalculation], by: Signer, now: datetime
) -> TaskTerms:
    """Ask something else of a task from `terms.effective_on` on. Raises RefusedError with every reason.

    Earlier sign-offs keep what they were given under, unless `terms.applies_to_held_on` says from when they do not.
    """
    grants = grants_of([by.person.pk])[by.person.pk]
    refuse_if(refuse_terms(terms, task=task.code, frame=frame_of(task.plant), grants=grants, now=now))
    before = task.terms.order_by("-effective_on", "-recorded_at").first()
    row = TaskTerms.objects.create(
        task=task,
        effective_on=terms.effective_on,
        recorded_at=now,
        runs=terms.runs,
        distinct_shifts=terms.distinct_shifts,
        simulated_max=terms.simulated_max,
        ranges=dict(terms.ranges),
        validity_months=terms.validity_months,
        young_worker=terms.young_worker,
        min_age=before.min_age if before else None,
        grace_days=terms.grace_days,
        recency_days=terms.recency_days,
        applies_to_held_on=terms.applies_to_held_on,
        prerequisite_places={code: [str(at) for at in places] for code, places in terms.prerequisite_places.items()},
    )
    row.refreshes.set(Task.objects.filter(plant=task.plant_id, code__in=terms.refreshes))
    row.prerequisites.set(Task.objects.filter(plant=task.plant_id, code__in=terms.prerequisites))
    TaskCalculation.objects.bulk_create(
        TaskCalculation(terms=row, calculation=each.code, problems=each.problems, pass_mark=each.pass_mark)
        for each in calculations
    )
    record_terms(terms=row, signer=by, now=now)
    return row
