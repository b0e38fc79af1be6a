"""Lays the ground of a story: the plant, tasks, people and what is held when it begins."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from dateutil.relativedelta import relativedelta

from competencies.ledger.writer import writing
from competencies.models import (
    Area,
    Assignment,
    Criterion,
    Line,
    Machine,
    OutcomeItem,
    Person,
    Plant,
    Qualification,
    RosterDay,
    Shift,
    Station,
    Task,
    TaskCalculation,
    TaskPlace,
    TaskRevision,
    TaskTerms,
    UnitOutcome,
    UnitStandard,
)
from competencies.operations.framework import PolicyChange, record_revision, record_terms, set_policy
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, Signature, append_fact
from competencies.operations.rights import Grant, grant_authority, record_employment
from competencies.standing.facts import Assessment, Scope, SecondSignature
from competencies.stories.moments import NOON, local
from competencies.stories.story import Story, StoryGrant, StoryHold, StoryPerson, StoryRevision, StoryTask, StoryTerms
from competencies.vocabulary import (
    AuthorityKind,
    ChangeClass,
    Judgement,
    Meaning,
    Outcome,
    ScopeKind,
    SecondRole,
)

BEGINNING = datetime(1990, 1, 1, tzinfo=UTC)
USUAL_LINE, USUAL_MACHINE = "L1", "M1"
# Somebody entitled stands in wherever a story names nobody; one for each part, since the parts must differ.
STAND_INS = ("a supervising person", "an assessor", "a second signatory", "a coordinator")


@dataclass(slots=True)
class Ground:
    """What a story is played on."""

    plant: Plant
    zone: ZoneInfo
    founder: Signer
    people: dict[str, Person] = field(default_factory=dict)
    tasks: dict[str, Task] = field(default_factory=dict)
    entitled: set[int] = field(default_factory=set)
    entrusted: set[int] = field(default_factory=set)
    told: set[tuple[str, str]] = field(default_factory=set)
    founded: set[tuple[int, str, Scope, date]] = field(default_factory=set)

    def usual_scope(self, task: Task) -> Scope:
        """Return where a line or machine task is held when the story does not say."""
        if task.scope_kind == ScopeKind.SITE:
            return Scope()
        place = task.places.select_related("line", "machine").order_by("pk").first()
        if place is not None:
            return Scope(place.line.code, place.machine.code if place.machine else "")
        return Scope(USUAL_LINE, USUAL_MACHINE if task.scope_kind == ScopeKind.MACHINE else "")

    def signer(self, person: Person) -> Signer:
        """Return the person as one who has proved who they are."""
        return Signer(person, "story")


@writing()
def lay_ground(*, story: Story) -> Ground:
    """Make the plant of a story, with its people and what they hold at the beginning."""
    plant = Plant.objects.create(code="story", name="Story plant", timezone=story.timezone)
    founder = Person.objects.create(plant=plant, works_number="0", name="founder", started_on=BEGINNING.date())
    ground = Ground(plant, ZoneInfo(story.timezone), Signer(founder, "story"))
    for shift in story.shifts:
        Shift.objects.create(
            plant=plant, name=shift.name, title=shift.name, starts=_clock(shift.starts), ends=_clock(shift.ends)
        )
    if story.policy:
        change = PolicyChange(effective_on=BEGINNING.date(), settings=story.policy)
        set_policy(plant=plant, change=change, signer=founder_of(ground), now=BEGINNING)
    for task in story.tasks:
        _add_task(ground, task)
    _add_terms_and_prerequisites(ground, story)
    for person in story.people:
        _add_person(ground, person.id, person.grants, person)
    for name in STAND_INS:
        entitled_person(ground, name)
    ground.entrusted = {ground.people[person.id].pk for person in story.people if _teaches(person)}
    ground.told = {(hold.person, hold.task) for hold in story.holds}
    ground.told |= {
        (event.section.text("person", longest=20), event.section.text("task", longest=20)) for event in story.events
    }
    _add_pathways(ground, story)
    return ground


def _teaches(person: StoryPerson) -> bool:
    kinds = {AuthorityKind.ASSESS, AuthorityKind.TRAIN, AuthorityKind.SUPERVISE}
    return any(grant.kind in kinds for grant in person.grants)


def founder_of(ground: Ground) -> Signer:
    """Return who signs for what was there from the beginning."""
    return ground.founder


def _clock(minutes: int) -> time:
    return time(minutes // 60 % 24, minutes % 60)


def _line(ground: Ground, code: str) -> Line:
    return Line.objects.get_or_create(plant=ground.plant, code=code, defaults={"title": code, "trainee_limit": 99})[0]


def _machine(ground: Ground, scope: Scope) -> Machine | None:
    if not scope.machine:
        return None
    line = _line(ground, scope.line)
    return Machine.objects.get_or_create(line=line, code=scope.machine, defaults={"title": scope.machine})[0]


def _add_task(ground: Ground, told: StoryTask) -> None:
    area, _ = Area.objects.get_or_create(plant=ground.plant, code=told.area, defaults={"title": told.area})
    task = Task.objects.create(
        plant=ground.plant,
        area=area,
        code=told.code,
        title=told.code,
        scope_kind=told.scope_kind,
        criticality=told.criticality,
    )
    ground.tasks[told.code] = task
    for scope in told.held_at:
        TaskPlace.objects.create(task=task, line=_line(ground, scope.line), machine=_machine(ground, scope))
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


def _add_terms_and_prerequisites(ground: Ground, story: Story) -> None:
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
        # A prerequisite that the story does not tell of is in force for everybody: it is simply not asked.
        terms.prerequisites.set(ground.tasks[code] for code in told.requires if code in ground.tasks)
        TaskCalculation.objects.bulk_create(
            TaskCalculation(terms=terms, calculation=code) for code in told.calculations
        )
        record_terms(terms=terms, signer=founder_of(ground), now=BEGINNING)


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
    )
    first = next(item for item in story.tasks if item.code == told.task)
    _add_criteria(revision, told.criteria or first.criteria, first)
    record_revision(revision=revision, signer=founder_of(ground), now=now)


@writing()
def change_terms(*, ground: Ground, told: StoryTerms, now: datetime) -> None:
    """Ask something else of a task from a day on."""
    task = ground.tasks[told.task]
    before = task.terms.order_by("-effective_on").first()
    if before is None:
        raise LookupError(told.task)
    prerequisites = list(before.prerequisites.all())
    calculations = list(before.calculations.all())
    terms = before
    terms.pk = None
    terms.effective_on, terms.recorded_at = told.effective_on, now
    for name in ("runs", "distinct_shifts", "validity_months"):
        if getattr(told, name) is not None:
            setattr(terms, name, getattr(told, name))
    terms.save(force_insert=True)
    terms.prerequisites.set(prerequisites)
    TaskCalculation.objects.bulk_create(
        TaskCalculation(terms=terms, calculation=item.calculation) for item in calculations
    )
    record_terms(terms=terms, signer=founder_of(ground), now=now)


def _add_person(ground: Ground, name: str, grants: Iterable[StoryGrant], told: object = None) -> Person:
    person = Person.objects.create(
        plant=ground.plant,
        works_number=str(len(ground.people) + 1),
        name=name,
        started_on=getattr(told, "started_on", None) or BEGINNING.date(),
        last_day=getattr(told, "last_day", None),
        restricted_until=getattr(told, "restricted_until", None),
    )
    ground.people[name] = person
    on = BEGINNING.date()
    record_employment(person=person, by=founder_of(ground), happened_at=BEGINNING, on=on, now=BEGINNING)
    for grant in grants:
        give(ground, person, grant, BEGINNING)
    return person


def give(ground: Ground, person: Person, told: StoryGrant, now: datetime) -> None:
    """Entrust a person with something."""
    area = None
    if told.area:
        area = Area.objects.get_or_create(plant=ground.plant, code=told.area, defaults={"title": told.area})[0]
    grant = Grant(kind=told.kind, from_on=told.from_on, until_on=told.until_on, area=area)
    grant_authority(person=person, grant=grant, by=founder_of(ground), happened_at=now, now=now)


def entitled_person(ground: Ground, name: str, *, but: Collection[AuthorityKind] = ()) -> Person:
    """Return a person by name; one whom the story does not tell of is entitled to everything, `but` left out."""
    if name in ground.people:
        return ground.people[name]
    kinds = [kind for kind in AuthorityKind if kind not in but]
    grants = [StoryGrant(kind=kind, area="", from_on=BEGINNING.date(), until_on=None) for kind in kinds]
    person = _add_person(ground, name, grants)
    ground.entitled.add(person.pk)
    return person


@writing()
def add_hold(*, ground: Ground, told: StoryHold) -> None:
    """Let the story start from a sign-off made by the book."""
    task = ground.tasks[told.task]
    scope = told.scope or ground.usual_scope(task)
    person, on = entitled_person(ground, told.person), assessed_on(ground, told)
    _found_below(ground, person, task, scope, on)
    found(ground, person, task, scope, on, told.revision)


def _found_below(ground: Ground, person: Person, task: Task, scope: Scope, on: date) -> None:
    """Enter, for a sign-off made by the book, the prerequisites of which the story tells nothing about the person."""
    terms = task.terms.filter(effective_on__lte=on).order_by("-effective_on").first()
    for prerequisite in terms.prerequisites.all() if terms else ():
        place = _scope_below(ground, prerequisite, scope)
        key = (person.pk, prerequisite.code, place, on)
        if (person.name, prerequisite.code) not in ground.told and key not in ground.founded:
            ground.founded.add(key)
            _found_below(ground, person, prerequisite, place, on)
            found(ground, person, prerequisite, place, on)


def assessed_on(ground: Ground, told: StoryHold) -> date:
    """Return the day on which a sign-off that is held was assessed: given, or reckoned from its last valid day."""
    if told.assessed_on is not None:
        return told.assessed_on
    terms = ground.tasks[told.task].terms.order_by("effective_on").first()
    months = (terms.validity_months if terms else None) or 0
    return (told.last_valid_on or BEGINNING.date()) - relativedelta(months=months)


def found(ground: Ground, person: Person, task: Task, scope: Scope, on: date, number: int | None = None) -> None:
    """Enter a sign-off with every signature, on the revision in force that day, without asking how it came about."""
    revisions = list(task.revisions.order_by("number"))
    in_force = [revision for revision in revisions if revision.effective_on <= on]
    revision = next((item for item in revisions if item.number == number), in_force[-1])
    _enter(ground, person, task, scope, on, revision, delta=False)
    for coming in revisions:
        # Whoever stands in for an entitled person has done the delta of a revision that is approved and coming.
        if number is None and coming.approved_on <= on < coming.effective_on and person.pk in ground.entitled:
            _enter(ground, person, task, scope, on, coming, delta=True)


def _enter(  # noqa: PLR0913 - what a sign-off is
    ground: Ground, person: Person, task: Task, scope: Scope, on: date, revision: TaskRevision, *, delta: bool
) -> None:
    at = local(on, NOON, ground.zone) - timedelta(hours=1)
    criteria = revision.touches if delta else [criterion.number for criterion in revision.criteria.all()]
    assessment = Assessment(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=at,
        recorded_at=at,
        on=on,
        task=task.code,
        scope=scope,
        by=founder_of(ground).person.pk,
        revision=revision.number,
        outcome=Outcome.COMPETENT,
        judged=dict.fromkeys(criteria, Judgement.MET),
        delta=delta,
    )
    signature = Signature(signer=founder_of(ground), meaning=Meaning.COMPETENT)
    appended = append_fact(fact=assessment, person=person, signature=signature, now=at)
    roles = {"none": (), "food": (SecondRole.FOOD,), "safety": (SecondRole.SAFETY,), "both": tuple(SecondRole)}
    if wanted := roles[task.criticality]:
        second = SecondSignature(
            seq=UNWRITTEN,
            person=person.pk,
            happened_at=at,
            recorded_at=at,
            on=on,
            task=task.code,
            scope=scope,
            by=entitled_person(ground, STAND_INS[2]).pk,
            of=appended.seq,
            roles=frozenset(wanted),
        )
        signer = Signer(entitled_person(ground, STAND_INS[2]), "story")
        append_fact(fact=second, person=person, signature=Signature(signer=signer, meaning=Meaning.REVIEWED), now=at)


@writing()
def keep_entitled(*, ground: Ground, person: Person, task: Task, scope: Scope, on: date) -> None:
    """Keep whoever teaches or judges in force, on a day, on a task and all it builds on.

    That is a stand-in, and somebody entrusted with it of whom the story tells nothing about the task.
    """
    is_untold = person.pk in ground.entrusted and (person.name, task.code) not in ground.told
    if not (person.pk in ground.entitled or is_untold) or (person.pk, task.code, scope, on) in ground.founded:
        return
    ground.founded.add((person.pk, task.code, scope, on))
    terms = task.terms.filter(effective_on__lte=on).order_by("-effective_on").first()
    for prerequisite in terms.prerequisites.all() if terms else ():
        place = _scope_below(ground, prerequisite, scope)
        keep_entitled(ground=ground, person=person, task=prerequisite, scope=place, on=on)
    found(ground, person, task, scope, on)


def _scope_below(ground: Ground, task: Task, scope: Scope) -> Scope:
    if task.scope_kind == ScopeKind.SITE:
        return Scope()
    usual = ground.usual_scope(task)
    line = scope.line or usual.line
    if task.scope_kind == ScopeKind.LINE:
        return Scope(line)
    here = Scope(line, scope.machine or usual.machine)
    places = {(place.line.code, place.machine.code if place.machine else "") for place in task.places.all()}
    return here if not places or (here.line, here.machine) in places else usual


def _add_pathways(ground: Ground, story: Story) -> None:
    for unit in story.units:
        row = UnitStandard.objects.create(
            plant=ground.plant,
            code=unit.code,
            version=unit.version,
            title=unit.code,
            level=unit.level,
            credits=unit.credits,
            group=unit.group,
            last_date_for_assessment=unit.last_date,
        )
        for number, items in unit.outcomes.items():
            outcome = UnitOutcome.objects.create(unit=row, number=number)
            for item in items:
                calculation = item.removeprefix("calc:") if item.startswith("calc:") else ""
                OutcomeItem.objects.create(
                    outcome=outcome, task=None if calculation else ground.tasks[item], calculation=calculation
                )
    for pathway in story.pathways:
        rules: list[dict[str, object]] = [{"group": "core", "rule": "all"}]
        rules += [{"group": group, "rule": "min", "credits": least} for group, least in pathway.minimum.items()]
        rules += [{"group": group, "rule": "max", "credits": most} for group, most in pathway.maximum.items()]
        if pathway.level_credits:
            rules.append({"rule": "min_at_level_or_above", "level": pathway.level, "credits": pathway.level_credits})
        Qualification.objects.create(
            plant=ground.plant,
            code=pathway.code,
            title=pathway.code,
            min_total_credits=pathway.total,
            rules=rules,
            exclusions=[pair.split() for pair in pathway.exclusions],
        )


def set_stations(ground: Ground, story: Story) -> None:
    """Put up the lines' stations, and the trainees who stand at them."""
    for slot in story.slots:
        task = ground.tasks[slot.task]
        scope = slot.scope or _scope_below(ground, task, Scope(slot.line))
        line = _line(ground, slot.line)
        machine = _machine(ground, Scope(slot.line, scope.machine)) if scope.machine else None
        station, is_new = Station.objects.get_or_create(line=line, task=task, machine=machine)
        if not is_new:
            station.needed += 1
            station.save(update_fields=["needed"])
    for row in story.training:
        Assignment.objects.create(
            plant=ground.plant,
            person=entitled_person(ground, row.person),
            task=ground.tasks[row.task],
            line=_line(ground, row.line),
            on=row.on,
            shift=Shift.objects.get(plant=ground.plant, name=row.shift),
            trainer=entitled_person(ground, row.under),
            created_by=entitled_person(ground, row.under),
            created_at=BEGINNING,
        )


def roster_for(ground: Ground, story: Story, line: Line, on: date, shift: Shift) -> None:
    """Roster whom the story says; where it says nothing of that shift, everybody it tells of is there."""
    told = [row for row in story.roster if row.on == on and row.shift == shift.name]
    if told:
        wanted = [(entitled_person(ground, row.person), _line(ground, row.line)) for row in told]
    else:
        wanted = [(entitled_person(ground, name), line) for name in _told_people(story)]
    for person, place in wanted:
        RosterDay.objects.update_or_create(person=person, on=on, shift=shift, defaults={"line": place})


def _told_people(story: Story) -> list[str]:
    """Return whom the story tells of: in `people`, or as the one who holds, learns or loses something."""
    doing = [event.section.text("person", longest=20) for event in story.events]
    named = [*(person.id for person in story.people), *(hold.person for hold in story.holds), *doing]
    return [name for name in dict.fromkeys(named) if name]
