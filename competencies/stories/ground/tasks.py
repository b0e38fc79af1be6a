"""The tasks of a story, what is asked of them, their revisions, and the plant's settings."""

from collections.abc import Iterable
from datetime import datetime

from competencies.ledger.writer import writing
from competencies.models import Area, Criterion, PlantPolicy, Task, TaskCalculation, TaskPlace, TaskRevision, TaskTerms
from competencies.operations.framework import PolicyChange, record_revision, record_terms, set_policy
from competencies.operations.reclassifying import reclassify_revision
from competencies.stories.ground.people import entitled_person
from competencies.stories.ground.plant import BEGINNING, STAND_INS, Ground, founder_of, line_at, machine_at
from competencies.stories.story import Story, StoryPolicy, StoryRevision, StoryTask, StoryTerms
from competencies.vocabulary import ChangeClass

# What a story calls otherwise than the columns of terms, and what it links instead of setting.
COLUMNS = {"range": "ranges", "applies_to_held": "applies_to_held_on"}
LINKS = frozenset({"requires", "refreshes", "calculations"})


def add_task(ground: Ground, told: StoryTask) -> None:
    """Add a task with its places and its first revision."""
    area, _ = Area.objects.get_or_create(plant=ground.plant, code=told.area, defaults={"title": told.area})
    task = Task.objects.create(
        plant=ground.plant,
        area=area,
        code=told.code,
        title=told.code,
        scope_kind=told.scope_kind,
        criticality=told.criticality,
        is_recognisable=told.is_recognisable,
    )
    ground.tasks[told.code] = task
    for scope in told.held_at:
        TaskPlace.objects.create(task=task, line=line_at(ground, scope.line), machine=machine_at(ground, scope))
    day = BEGINNING.date()
    revision = TaskRevision.objects.create(
        task=task, number=1, change=ChangeClass.MAJOR, approved_on=day, effective_on=day, recorded_at=BEGINNING
    )
    _add_criteria(revision, told.criteria, told)
    record_revision(revision=revision, signer=founder_of(ground), now=BEGINNING)


def _add_criteria(revision: TaskRevision, count: int, told: StoryTask) -> None:
    Criterion.objects.bulk_create(
        Criterion(
            revision=revision,
            number=number,
            text=f"Criterion {number}",
            is_critical=number in told.critical_criteria,
            is_scope_specific=number in told.scope_criteria,
        )
        for number in range(1, count + 1)
    )


def add_terms_and_prerequisites(ground: Ground, story: Story) -> None:
    """Say of all tasks what they ask from the beginning: once all are there, since they name each other."""
    for told in story.tasks:
        terms = TaskTerms.objects.create(
            task=ground.tasks[told.code],
            effective_on=BEGINNING.date(),
            recorded_at=BEGINNING,
            runs=told.runs,
            distinct_shifts=told.distinct_shifts,
            simulated_max=told.simulated_max,
            ranges=dict(told.ranges),
            validity_months=told.validity_months,
            young_worker=told.young_worker,
            grace_days=told.grace_days,
            recency_days=told.recency_days,
        )
        _link(ground, terms, told.requires, told.refreshes)
        TaskCalculation.objects.bulk_create(
            TaskCalculation(terms=terms, calculation=code) for code in told.calculations
        )
        record_terms(terms=terms, signer=founder_of(ground), now=BEGINNING)


def _link(ground: Ground, terms: TaskTerms, requires: Iterable[str], refreshes: Iterable[str]) -> None:
    """Say what a task builds on, each at the places named ("HS-03@L1/F1"), and what it keeps fresh.

    A prerequisite that the story does not tell of is in force for everybody: it is simply not asked.
    """
    places: dict[str, list[str]] = {}
    for text in requires:
        code, _, place = text.partition("@")
        if code in ground.tasks:
            places.setdefault(code, []).extend([place] if place else [])
    terms.prerequisite_places = {code: named for code, named in places.items() if named}
    terms.save(update_fields=["prerequisite_places"])
    terms.prerequisites.set(ground.tasks[code] for code in places)
    terms.refreshes.set(ground.tasks[code] for code in refreshes if code in ground.tasks)


@writing()
def issue_revision(*, ground: Ground, told: StoryRevision, story: Story, now: datetime) -> None:
    """Issue a later revision of a task's procedure."""
    task = ground.tasks[told.task]
    revision = TaskRevision.objects.create(
        task=task,
        number=told.number,
        change=told.change,
        approved_on=told.approved_on,
        effective_on=told.effective_on,
        recorded_at=now,
        touches=list(told.touches),
        carries_runs=told.carries_runs,
    )
    first = next(item for item in story.tasks if item.code == told.task)
    _add_criteria(revision, told.criteria or first.criteria, first)
    record_revision(revision=revision, signer=founder_of(ground), now=now)


def reclassify(*, ground: Ground, told: StoryRevision, now: datetime) -> None:
    """Make a revision a major one, by two people who may."""
    revision = TaskRevision.objects.select_related("task__plant", "task__area").get(
        task=ground.tasks[told.task], number=told.number
    )
    by, second = (ground.signer(entitled_person(ground, name)) for name in (STAND_INS[3], STAND_INS[1]))
    reclassify_revision(revision=revision, by=by, second=second, now=now)


@writing()
def change_terms(*, ground: Ground, told: StoryTerms, now: datetime) -> None:
    """Ask something else of a task from a day on."""
    task = ground.tasks[told.task]
    before = task.terms.order_by("-effective_on").first()
    if before is None:
        raise LookupError(told.task)
    prerequisites, refreshes = list(before.prerequisites.all()), list(before.refreshes.all())
    calculations = _changed(told, "calculations", [item.calculation for item in before.calculations.all()])
    terms = before
    terms.pk = None
    terms.effective_on, terms.recorded_at, terms.applies_to_held_on = told.effective_on, now, None
    for name, value in told.changes.items():
        if name not in LINKS:
            setattr(terms, COLUMNS.get(name, name), value)
    terms.save(force_insert=True)
    terms.prerequisites.set(prerequisites)
    terms.refreshes.set(refreshes)
    if told.changes.keys() & {"requires", "refreshes"}:
        fresh = _changed(told, "refreshes", [task.code for task in refreshes])
        _link(ground, terms, _changed(told, "requires", _named(terms)), fresh)
    TaskCalculation.objects.bulk_create(TaskCalculation(terms=terms, calculation=code) for code in calculations)
    record_terms(terms=terms, signer=founder_of(ground), now=now)


def _changed(told: StoryTerms, name: str, before: list[str]) -> list[str]:
    """Return the codes that later terms name, or those of before where they say nothing of them."""
    changed = told.changes.get(name)
    return [str(code) for code in changed] if isinstance(changed, list | tuple) else before


def _named(terms: TaskTerms) -> list[str]:
    """Return the prerequisites of terms as a story writes them."""
    return [
        f"{task.code}@{place}" if place else task.code
        for task in terms.prerequisites.all()
        for place in terms.prerequisite_places.get(task.code) or ("",)
    ]


@writing()
def change_policy(*, ground: Ground, told: StoryPolicy, now: datetime) -> None:
    """Change settings from a day on; those that the story does not name stay as they were."""
    before = PlantPolicy.objects.filter(plant=ground.plant).order_by("effective_on", "recorded_at").last()
    settings = {**(before.settings if before else {}), **told.settings}
    change = PolicyChange(effective_on=told.effective_on, settings=settings)
    set_policy(plant=ground.plant, change=change, signer=founder_of(ground), now=now)
