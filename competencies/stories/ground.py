"""Lays the ground of a story: the plant, tasks, people and what is held when it begins."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from dateutil.relativedelta import relativedelta

from competencies.importing.fields import Section
from competencies.ledger.writer import writing
from competencies.models import (
    Area,
    Assignment,
    CoverRule,
    Criterion,
    Line,
    Machine,
    OutcomeItem,
    Person,
    Plant,
    PlantPolicy,
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
from competencies.operations.reclassifying import reclassify_revision
from competencies.operations.recording import UNWRITTEN, Signature, append_fact
from competencies.operations.rights import Grant, grant_authority, record_employment
from competencies.standing.calendar import add_months
from competencies.standing.facts import Assessment, Recognition, Scope, SecondSignature
from competencies.stories.moments import NOON, local
from competencies.stories.story import (
    Story,
    StoryGrant,
    StoryHold,
    StoryLine,
    StoryPerson,
    StoryPolicy,
    StoryRevision,
    StoryTask,
    StoryTerms,
)
from competencies.vocabulary import (
    AuthorityKind,
    ChangeClass,
    CoverRuleKind,
    Judgement,
    Meaning,
    Outcome,
    ScopeKind,
    SecondRole,
)

BEGINNING = datetime(1990, 1, 1, tzinfo=UTC)
USUAL_LINE, USUAL_MACHINE = "L1", "M1"
# What a story calls otherwise than the columns of terms, and what it links instead of setting.
COLUMNS = {"range": "ranges", "applies_to_held": "applies_to_held_on"}
LINKS = frozenset({"requires", "refreshes", "calculations"})
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

    def told_scope(self, section: Section, task: Task) -> Scope:
        """Return where a story says that a task is, by its scope or by line and machine; else the usual place."""
        usual, is_machine = self.usual_scope(task), task.scope_kind == ScopeKind.MACHINE
        if section.has("scope"):
            told = Scope.parse(section.text("scope", longest=21))
            if not is_machine or told.machine or Line.objects.filter(plant=self.plant, code=told.line).exists():
                return told
            # One word for a machine task, and no line of that name: the machine.
            return Scope(usual.line, told.line)
        line, machine = section.text("line", longest=10), section.text("machine", longest=10)
        if task.scope_kind == ScopeKind.SITE or not (line or machine):
            return usual
        if not is_machine:
            return Scope(line or usual.line)
        here = task.places.filter(line__code=line).select_related("machine").order_by("pk").first()
        first = here.machine.code if here and here.machine else usual.machine
        return Scope(line or usual.line, machine or first)

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
        is_recognisable=told.is_recognisable,
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
    scope = ground.told_scope(told.section, task)
    person, on = entitled_person(ground, told.person), assessed_on(ground, told)
    _found_below(ground, person, task, scope, on)
    if told.last_valid_on is not None and told.last_valid_on != _usual_end(ground, told, on):
        _cut(ground, person, task, scope, on, told.last_valid_on)
    found(ground, person, task, scope, on, told.revision)


def _usual_end(ground: Ground, told: StoryHold, on: date) -> date | None:
    terms = ground.tasks[told.task].terms.order_by("effective_on").first()
    return add_months(on, terms.validity_months) if terms and terms.validity_months else None


def _cut(ground: Ground, person: Person, task: Task, scope: Scope, on: date, last_valid_on: date) -> None:
    """End a sign-off on a day on which no assessment would: as the outside certificate behind it does (R11)."""
    at = local(on, NOON, ground.zone) - timedelta(hours=2)
    founder = founder_of(ground).person
    evidence = Recognition(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=at,
        recorded_at=at,
        on=on,
        task=task.code,
        scope=scope,
        by=founder.pk,
        evidence_on=on,
        evidence_ends_on=last_valid_on,
    )
    signature = Signature(signer=Signer(founder, "import"), meaning=Meaning.RECOGNISED)
    append_fact(fact=evidence, person=person, signature=signature, now=at)


def _found_below(ground: Ground, person: Person, task: Task, scope: Scope, on: date) -> None:
    """Enter, for a sign-off made by the book, the prerequisites of which the story tells nothing about the person."""
    for prerequisite, place in _below(ground, task, scope, on):
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
    months, last = (terms.validity_months if terms else None) or 0, told.last_valid_on or BEGINNING.date()
    on = last - relativedelta(months=months)
    # Six months before 31 May is 30 November, and six months after that 30 May: a day more, and the end is cut.
    return on if add_months(on, months) == last else on + timedelta(days=1)


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
    # Taken over from before the story: whoever enters it is not who judged, and casts no doubt on other sign-offs.
    founder = Signer(founder_of(ground).person, "import")
    signature = Signature(signer=founder, meaning=Meaning.COMPETENT)
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
    for prerequisite, place in _below(ground, task, scope, on):
        keep_entitled(ground=ground, person=person, task=prerequisite, scope=place, on=on)
    found(ground, person, task, scope, on)


def _below(ground: Ground, task: Task, scope: Scope, on: date) -> Iterator[tuple[Task, Scope]]:
    """Yield what a task builds on from a day on: at each place that its terms name, else where it is usually held."""
    terms = task.terms.filter(effective_on__lte=on).order_by("-effective_on").first()
    for prerequisite in terms.prerequisites.all() if terms else ():
        named = terms.prerequisite_places.get(prerequisite.code, ()) if terms else ()
        for place in [Scope.parse(text) for text in named] or [_scope_below(ground, prerequisite, scope)]:
            yield prerequisite, place


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
            first_date_for_assessment=unit.first_date,
            last_date_for_assessment=unit.last_date,
            min_age=unit.min_age,
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
            version=pathway.version,
            title=pathway.code,
            min_total_credits=pathway.total,
            rules=rules,
            exclusions=[pair.split() for pair in pathway.exclusions],
            last_date_to_enrol=pathway.last_enrolment,
            last_date_to_achieve=pathway.last_achievement,
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
    _lay_roster(ground, story)
    for told in story.lines:
        _declare(_line(ground, told.code), told)
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


def _declare(line: Line, told: StoryLine) -> None:
    """Declare what a story tells of a line, from the beginning."""
    stations: dict[str, list[Station]] = {}
    for station in Station.objects.filter(line=line).select_related("task").order_by("pk"):
        stations.setdefault(station.task.code, []).append(station)
    rows = [
        CoverRule(kind=kind, first=first, second=second)
        for kind, pairs in ((CoverRuleKind.COMBINABLE, told.combinable), (CoverRuleKind.NEIGHBOURS, told.neighbours))
        for one, other in pairs
        for first in stations[one]
        for second in stations[other]
    ]
    rows += [
        CoverRule(kind=CoverRuleKind.GROUP, first=station, group=" ".join(codes), role=code)
        for codes in told.groups
        for code in codes
        for station in stations[code]
    ]
    rows += [CoverRule(kind=CoverRuleKind.RELIEF)] if told.relief else []
    for row in rows:
        row.line, row.set_at = line, BEGINNING
    CoverRule.objects.bulk_create(rows)


def roster_for(ground: Ground, story: Story, line: Line, on: date, shift: Shift) -> None:
    """Where a story says nothing of a shift, roster everybody of whom it tells something about the line's tasks.

    Whoever is only taken to hold a task, so that they may watch or assess it, makes no cover with it.
    """
    if any(on in row.days and row.shift == shift.name for row in story.roster):
        return
    tasks = {slot.task for slot in story.slots if slot.line == line.code}
    for name in dict.fromkeys(name for name, task in sorted(ground.told) if name and task in tasks):
        person = entitled_person(ground, name)
        RosterDay.objects.update_or_create(person=person, on=on, shift=shift, defaults={"line": line})


def _lay_roster(ground: Ground, story: Story) -> None:
    shifts = {shift.name: shift for shift in Shift.objects.filter(plant=ground.plant)}
    for row in story.roster:
        person, line = entitled_person(ground, row.person), _line(ground, row.line)
        for on in row.days:
            told = {"line": line, "overtime_minutes": row.overtime_minutes}
            RosterDay.objects.update_or_create(person=person, on=on, shift=shifts[row.shift], defaults=told)
