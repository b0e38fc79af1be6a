"""A small invented plant for the tests, made through the operations: one function a thing, no surprises.

Days are given relative to today, since pages read the clock: `days_ago(3)`. What must have been recorded long ago
is recorded then: each maker takes `now` or works it out from its day.
"""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from itertools import count
from zoneinfo import ZoneInfo

from django.utils import timezone

from competencies.ledger.writer import Appended, writing
from competencies.models import (
    Area,
    Assignment,
    Criterion,
    Line,
    Machine,
    Person,
    Plant,
    Reading,
    RosterDay,
    Shift,
    Station,
    Task,
    TaskCalculation,
    TaskRevision,
    TaskTerms,
    User,
)
from competencies.operations.decisions import When
from competencies.operations.framework import record_revision, record_terms
from competencies.operations.initial_trainers import name_initial_trainer
from competencies.operations.pins import Signer, set_pin
from competencies.operations.recording import UNWRITTEN, OnTask, Signature, append_fact
from competencies.operations.rights import Grant, grant_authority, record_employment
from competencies.operations.runs import CheckResult, Observed, PairedReading, RunDetails, record_check, record_run
from competencies.standing.facts import SITE, Assessment, Scope, SecondSignature
from competencies.vocabulary import (
    AuthorityKind,
    ChangeClass,
    Criticality,
    Judgement,
    Meaning,
    Outcome,
    ScopeKind,
    YoungWorker,
)

ZONE = ZoneInfo("Europe/Dublin")
PIN = "482915"
WRONG_PIN = "591284"
PASSWORD = "seventeen blue valves"

_numbers = count(1)


def today() -> date:
    """Return the plant's date of now."""
    return timezone.localdate(timezone=ZONE)


def days_ago(days: int) -> date:
    """Return the plant's date so many days before today."""
    return today() - timedelta(days=days)


def at(day: date, clock: str = "10:00") -> datetime:
    """Return the moment of a plant's day at a clock time "HH:MM"."""
    return datetime.combine(day, time.fromisoformat(clock), ZONE)


def make_plant(code: str = "alder-quay", name: str = "Alder Quay") -> Plant:
    """Return a plant with three shifts and nothing else."""
    plant = Plant.objects.create(code=code, name=name, timezone="Europe/Dublin")
    for shift, title, starts, ends in [
        ("day", "Day", time(6), time(14)),
        ("late", "Late", time(14), time(22)),
        ("night", "Night", time(22), time(6)),
    ]:
        Shift.objects.create(plant=plant, name=shift, title=title, starts=starts, ends=ends)
    return plant


def shift_of(plant: Plant, name: str = "day") -> Shift:
    """Return a shift of the plant by its name: day, late or night."""
    return Shift.objects.get(plant=plant, name=name)


def make_area(plant: Plant, code: str = "PK", title: str = "Packaging") -> Area:
    """Return the area of that code, made if it is not there yet."""
    return Area.objects.get_or_create(plant=plant, code=code, defaults={"title": title})[0]


def make_line(plant: Plant, code: str = "L1", title: str = "Bottle line 1", trainee_limit: int = 4) -> Line:
    """Return a line."""
    return Line.objects.create(plant=plant, code=code, title=title, trainee_limit=trainee_limit)


def make_machine(line: Line, code: str = "F1", title: str = "Bottle filler") -> Machine:
    """Return a machine at a line."""
    return Machine.objects.create(line=line, code=code, title=title)


def make_person(plant: Plant, name: str = "", *, with_pin: bool = False, **fields) -> Person:
    """Return a person with a sign-in, employed for two years; slow only `with_pin`."""
    number = next(_numbers)
    user = User.objects.create(username=f"person{number}")
    person = Person.objects.create(
        **{
            "plant": plant,
            "user": user,
            "works_number": f"4{number:04d}",
            "name": name or f"Worker {number}",
            "started_on": days_ago(730),
            **fields,
        }
    )
    if with_pin:
        set_pin(person=person, pin=PIN)
        person.refresh_from_db()
    return person


def signer(person: Person) -> Signer:
    """Return the person as a signer who has proved it by PIN."""
    return Signer(person, "pin")


def grant(person: Person, *kinds: AuthorityKind, area: Area | None = None, since: int = 700) -> None:
    """Entrust a person with things for `since` days, in an area or the whole plant."""
    for kind in kinds:
        grant_authority(
            person=person,
            grant=Grant(kind=kind, from_on=days_ago(since), area=area),
            by=signer(person),
            happened_at=at(days_ago(since)),
            now=at(days_ago(since)),
        )


def employ(person: Person) -> None:
    """Record the person's employment as the row has it, on the first day."""
    day = person.started_on
    record_employment(person=person, by=signer(person), happened_at=at(day), on=day, now=at(day))


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What a task of the tests asks; every figure small."""

    runs: int = 2
    distinct_shifts: int = 1
    validity_months: int | None = 12
    simulated_max: int = 0
    ranges: dict[str, int] | None = None
    calculations: tuple[str, ...] = ()
    prerequisites: tuple[Task, ...] = ()
    young_worker: YoungWorker = YoungWorker.OPEN
    recency_days: int | None = 3650


def make_task(
    area: Area,
    code: str = "PK-01",
    title: str = "",
    *,
    criticality: Criticality = Criticality.NONE,
    scope_kind: ScopeKind = ScopeKind.SITE,
    asked: Asked | None = None,
    criteria: int = 2,
) -> Task:
    """Return a task with terms and revision 1 in force for two years; its last criterion is critical."""
    task = Task.objects.create(
        plant=area.plant,
        area=area,
        code=code,
        title=title or f"Do the work of {code}",
        criticality=criticality,
        scope_kind=scope_kind,
    )
    make_terms(task, asked or Asked())
    make_revision(task, 1, criteria=criteria, effective_on=days_ago(730))
    return task


def make_terms(task: Task, asked: Asked, *, effective_on: date | None = None) -> TaskTerms:
    """Return terms of the task, recorded on their first day."""
    effective_on = effective_on or days_ago(730)
    now = at(effective_on, "00:00")
    terms = TaskTerms.objects.create(
        task=task,
        effective_on=effective_on,
        recorded_at=now,
        runs=asked.runs,
        distinct_shifts=asked.distinct_shifts,
        validity_months=asked.validity_months,
        simulated_max=asked.simulated_max,
        ranges=asked.ranges or {},
        young_worker=asked.young_worker,
        recency_days=asked.recency_days,
    )
    terms.prerequisites.set(asked.prerequisites)
    for calculation in asked.calculations:
        TaskCalculation.objects.create(terms=terms, calculation=calculation)
    record_terms(terms=terms, signer=office(task.plant), now=now)
    return terms


def make_revision(
    task: Task,
    number: int,
    *,
    criteria: int = 2,
    effective_on: date | None = None,
    approved_on: date | None = None,
    change: ChangeClass = ChangeClass.MAJOR,
    touches: tuple[int, ...] = (),
) -> TaskRevision:
    """Return a revision with so many criteria, recorded on the day of its approval (if none: when in effect)."""
    effective_on = effective_on or today()
    approved_on = approved_on or effective_on
    revision = TaskRevision.objects.create(
        task=task,
        number=number,
        change=change,
        approved_on=approved_on,
        effective_on=effective_on,
        recorded_at=at(approved_on, "00:00"),
        touches=list(touches),
        hazards=["hot caustic"],
        protective_equipment=["face shield"],
    )
    for criterion in range(1, criteria + 1):
        Criterion.objects.create(
            revision=revision,
            number=criterion,
            text=f"{task.code} step {criterion} of revision {number}",
            is_critical=criterion == criteria,
        )
    record_revision(revision=revision, signer=office(task.plant), now=at(approved_on, "00:00"))
    return revision


def add_reading(task: Task, name: str = "fill height", **fields) -> Reading:
    """Add a reading to the newest revision of a task: 40 mm, 38 to 42 mm, a pair within 1 mm."""
    revision = task.revisions.latest("number")
    values = {"unit": "mm", "target": Decimal(40), "low": Decimal(38), "high": Decimal(42)}
    return Reading.objects.create(
        revision=revision,
        number=revision.readings.count() + 1,
        name=name,
        **{**values, "paired_tolerance": Decimal(1), "source": "PLANT", **fields},
    )


def make_initial_trainer(person: Person, task: Task, *, revision: int, ago: int) -> None:
    """Name a person as a first trainer for a revision so many days ago; the office coordinates the plant."""
    coordinator = office(person.plant).person
    if not coordinator.authorities.exists():
        grant(coordinator, AuthorityKind.COORDINATE)
    when = When(happened_at=at(days_ago(ago)), on=days_ago(ago), now=at(days_ago(ago)))
    on_task = OnTask(person=person, task=task)
    name_initial_trainer(on_task=on_task, revision=revision, by=office(person.plant), when=when)


def office(plant: Plant, number: str = "40000", name: str = "Office Alder") -> Signer:
    """Return somebody of the plant's office as a signer; made when first needed."""
    person = Person.objects.filter(plant=plant, works_number=number).first()
    if person is None:
        person = Person.objects.create(plant=plant, works_number=number, name=name, started_on=days_ago(3650))
    return Signer(person, "import")


@writing()
def hold(person: Person, task: Task, *, scope: Scope = SITE, assessed: int = 30) -> Appended:
    """Give a person a sign-off that was assessed so many days ago, as from before the plant kept this record."""
    day = days_ago(assessed)
    revision = task.revisions.filter(effective_on__lte=day).latest("number")
    judged = dict.fromkeys(revision.criteria.values_list("number", flat=True), Judgement.MET)
    by = office(person.plant)
    common = {"seq": UNWRITTEN, "person": person.pk, "recorded_at": at(day), "on": day, "task": task.code}
    common |= {"scope": scope, "by": by.person.pk, "happened_at": at(day)}
    assessment = append_fact(
        fact=Assessment(**common, revision=revision.number, outcome=Outcome.COMPETENT, judged=judged),
        person=person,
        signature=Signature(signer=by, meaning=Meaning.COMPETENT),
        now=at(day),
    )
    if roles := Criticality(task.criticality).second_roles:
        second = office(person.plant, "39999", "Second Alder")
        append_fact(
            fact=SecondSignature(**{**common, "by": second.person.pk}, of=assessment.seq, roles=roles),
            person=person,
            signature=Signature(signer=second, meaning=Meaning.REVIEWED),
            now=at(day),
        )
    return assessment


def run(
    trainee: Person, task: Task, by: Person, *, ago: int = 3, shift: str = "day", scope: Scope = SITE, **details
) -> Appended:
    """Record a supervised run so many days ago at 10:00 of the day shift, confirmed at once."""
    day = days_ago(ago)
    moment = at(day, {"day": "10:00", "late": "18:00", "night": "23:00"}[shift])
    number = details.pop("revision", None) or task.revisions.filter(effective_on__lte=day).latest("number").number
    revision = task.revisions.get(number=number)
    judged = dict.fromkeys(revision.criteria.values_list("number", flat=True), Judgement.MET)
    readings = details.pop("readings", ())
    return record_run(
        on_task=OnTask(person=trainee, task=task, scope=scope),
        supervisor=signer(by),
        details=RunDetails(on=day, shift=shift, happened_at=moment, revision=revision.number, **details),
        observed=Observed(judged=judged, readings=readings),
        now=moment,
    )


def pair(trainee: str, watcher: str, *, number: int = 1, unit: str = "mm") -> PairedReading:
    """Return a reading as both took it, each as it was read off."""
    return PairedReading(number=number, unit=unit, trainee=Decimal(trainee), assessor=Decimal(watcher))


def check(trainee: Person, calculation: str, by: Person, *, ago: int = 3, right: int = 5) -> Appended:
    """Record a calculation check of five problems, four of them needed."""
    return record_check(
        trainee=trainee,
        opened_by=signer(by),
        result=CheckResult(calculation=calculation, problems=5, right=right, pass_mark=4, sitting_id=0),
        happened_at=at(days_ago(ago)),
        on=days_ago(ago),
        now=at(days_ago(ago)),
    )


def roster(person: Person, *, ago: int = 0, shift: str = "day", line: Line | None = None) -> RosterDay:
    """Roster a person for a shift so many days ago (negative: ahead)."""
    return RosterDay.objects.create(person=person, on=days_ago(ago), shift=shift_of(person.plant, shift), line=line)


def make_station(line: Line, task: Task, **fields) -> Station:
    """Return a station of a line that a task mans."""
    return Station.objects.create(line=line, task=task, **fields)


def ask(person: Person, task: Task, trainer: Person, *, ago: int = 0, shift: str = "day", **fields) -> Assignment:
    """Ask a person for a task so many days ago, as the trainer's request would stand."""
    return Assignment.objects.create(
        plant=person.plant,
        person=person,
        task=task,
        on=days_ago(ago),
        shift=shift_of(person.plant, shift),
        trainer=trainer,
        created_by=trainer,
        created_at=at(days_ago(ago + 1)),
        **fields,
    )


@dataclass(frozen=True, kw_only=True)
class Floor:
    """A plant with one line and one simple task, a trainer, an assessor and a trainee; only the signers have a PIN."""

    plant: Plant
    area: Area
    line: Line
    task: Task
    trainee: Person
    trainer: Person
    assessor: Person


def make_floor(*, criticality: Criticality = Criticality.NONE, asked: Asked | None = None, criteria: int = 2) -> Floor:
    """Return the small floor that most page tests start from; trainer and assessor hold the task."""
    plant = make_plant()
    area, line = make_area(plant), make_line(plant)
    task = make_task(area, "PK-01", "Fill bottles", criticality=criticality, asked=asked, criteria=criteria)
    trainee = make_person(plant, "Tove Brandvold")
    trainer = make_person(plant, "Iolo Castellan", with_pin=True)
    assessor = make_person(plant, "Maren Oduya", with_pin=True)
    grant(trainer, AuthorityKind.TRAIN, area=area)
    grant(assessor, AuthorityKind.ASSESS, area=area)
    for person in (trainer, assessor):
        hold(person, task, assessed=60)
    return Floor(plant=plant, area=area, line=line, task=task, trainee=trainee, trainer=trainer, assessor=assessor)
