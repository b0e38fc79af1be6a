"""Issues of procedures, terms and policy go through the ledger too, so that both clocks hold for them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from competencies.ledger.writer import writing
from competencies.models import Person, Plant, PlantPolicy, TaskRevision, TaskTerms
from competencies.models.place import new_stamp
from competencies.operations.pins import Signer
from competencies.operations.projection import refresh_standing
from competencies.operations.recording import append_for_plant
from competencies.queries.frame import frame_of, with_dependents
from competencies.standing.facts import Scope
from competencies.vocabulary import ChangeClass, EntryKind, YoungWorker


@writing()
def record_revision(*, revision: TaskRevision, signer: Signer, now: datetime) -> None:
    """Enter an issue of a procedure, whose row and criteria stand already, into the ledger."""
    task = revision.task
    criteria = list(revision.criteria.order_by("number"))
    appended = append_for_plant(
        kind=EntryKind.REVISION,
        plant=task.plant,
        signer=signer,
        now=now,
        fields={
            "task": task.code,
            "revision": revision.number,
            "change": ChangeClass(revision.change),
            "approved_on": revision.approved_on,
            "effective_on": revision.effective_on,
            "touches": list(revision.touches),
            "criteria": [criterion.number for criterion in criteria],
            "critical_criteria": frozenset(c.number for c in criteria if c.is_critical),
            "carries_runs": Fraction(revision.carries_runs) if revision.carries_runs else None,
            "second_approver": revision.second_approved_by_id,
        },
    )
    TaskRevision.objects.filter(pk=revision.pk).update(entry_seq=appended.seq)
    frame_changed(plant=task.plant, task=task.code, now=now)


@writing()
def record_terms(*, terms: TaskTerms, signer: Signer, now: datetime) -> None:
    """Enter what a task asks, whose row stands already, into the ledger."""
    task = terms.task
    appended = append_for_plant(
        kind=EntryKind.TERMS,
        plant=task.plant,
        signer=signer,
        now=now,
        fields={
            "task": task.code,
            "effective_on": terms.effective_on,
            "runs": terms.runs,
            "distinct_shifts": terms.distinct_shifts,
            "simulated_max": terms.simulated_max,
            "ranges": dict(terms.ranges) or None,
            "validity_months": terms.validity_months,
            "calculations": list(terms.calculations.order_by("calculation").values_list("calculation", flat=True)),
            "prerequisites": list(terms.prerequisites.order_by("code").values_list("code", flat=True)),
            "prerequisite_places": _scopes_by_code(terms.prerequisite_places) or None,
            "refreshes": list(terms.refreshes.order_by("code").values_list("code", flat=True)) or None,
            "young_worker": YoungWorker(terms.young_worker),
            "min_age": terms.min_age,
            "grace_days": terms.grace_days,
            "recency_days": terms.recency_days,
            "applies_to_held_on": terms.applies_to_held_on,
        },
    )
    TaskTerms.objects.filter(pk=terms.pk).update(entry_seq=appended.seq)
    frame_changed(plant=task.plant, task=task.code, now=now)


def _scopes_by_code(places: Mapping[str, Iterable[str]]) -> dict[str, list[Scope]]:
    return {code: [Scope.parse(place) for place in sorted(named)] for code, named in places.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class PolicyChange:
    """Settings that differ from the trade's usual figures, from a day on; keys are those of the rule's policy."""

    effective_on: date
    settings: Mapping[str, object]


@writing()
def set_policy(*, plant: Plant, change: PolicyChange, signer: Signer, now: datetime) -> PlantPolicy:
    """Set the plant's policy from a day on. Earlier answers stay as they were."""
    appended = append_for_plant(
        kind=EntryKind.POLICY,
        plant=plant,
        signer=signer,
        now=now,
        fields={
            "effective_on": change.effective_on,
            "settings": {name: str(value) for name, value in change.settings.items()},
        },
    )
    policy = PlantPolicy.objects.create(
        plant=plant,
        effective_on=change.effective_on,
        recorded_at=now,
        settings=dict(change.settings),
        entry_seq=appended.seq,
    )
    frame_changed(plant=plant, task="", now=now)
    return policy


@writing()
def frame_changed(*, plant: Plant, task: str, now: datetime) -> None:
    """Let nobody read the old frame, and bring up to date everyone who holds or learns what changed."""
    Plant.objects.filter(pk=plant.pk).update(frame_stamp=new_stamp())
    holders = Person.objects.filter(plant=plant, standing_periods__isnull=False)
    if task:
        # Whoever holds only what leans on the task is touched as well: its bar and its lapse reach them.
        leaning = with_dependents(frame_of(plant), task)
        holders = Person.objects.filter(plant=plant, standing_periods__task__code__in=leaning)
    refresh_standing(people=list(holders.select_related("plant").distinct()), task=task, now=now)
