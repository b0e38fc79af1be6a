"""A person whose record has a line of every sort, made through the operations."""

from dataclasses import dataclass

from competencies.models import (
    OutcomeItem,
    Person,
    Plant,
    Qualification,
    Task,
    UnitOutcome,
    UnitStandard,
)
from competencies.operations.corrections import correct
from competencies.operations.decisions import Verdict, When, assess, sign_second, suspend, withdraw
from competencies.operations.pathways import UnitResult, decide_unit, enrol
from competencies.operations.recording import OnTask
from competencies.operations.runs import Observed
from competencies.queries.facts import facts_of_people
from competencies.standing.facts import SITE, Assessment, Run
from competencies.standing.replacing import Change
from competencies.vocabulary import AuthorityKind, CorrectionCause, Criticality, Judgement, Outcome
from tests.factories import (
    Asked,
    at,
    check,
    days_ago,
    employ,
    grant,
    hold,
    make_area,
    make_line,
    make_person,
    make_plant,
    make_task,
    run,
    signer,
)


@dataclass(frozen=True, kw_only=True)
class Recorded:
    """The plant, the people, the tasks by code, and the pathway."""

    plant: Plant
    person: Person
    trainer: Person
    assessor: Person
    second: Person
    coordinator: Person
    tasks: dict[str, Task]
    pathway: Qualification


def make_recorded() -> Recorded:
    """Return a plant with one person whose record has a line of every sort."""
    plant = make_plant()
    plant.address = "Quay Road 4, Alderport"
    plant.save()
    area = make_area(plant)
    make_line(plant)
    tasks = {
        code: make_task(area, code, title, criticality=criticality, asked=asked)
        for code, title, criticality, asked in [
            ("PK-01", "Start the bottle line after a clean", Criticality.NONE, Asked(runs=2, distinct_shifts=2)),
            ("PK-02", "Check the fill height at the filler", Criticality.FOOD, Asked(runs=2, calculations=("C07",))),
            ("PK-03", "Change the labels", Criticality.NONE, Asked(runs=3, ranges={"bottle size": 2})),
            ("PK-04", "Set the capper torque", Criticality.NONE, Asked(runs=1)),
            ("PK-05", "Clear a jam at the packer", Criticality.SAFETY, Asked(runs=1, validity_months=6)),
            ("PK-06", "Hand over the shift", Criticality.NONE, Asked(runs=1)),
            ("PK-07", "Release the line after maintenance", Criticality.NONE, Asked(runs=4, distinct_shifts=3)),
        ]
    }
    person = make_person(plant, "Tove Brandvold", crew=None, area=area)
    trainer = make_person(plant, "Iolo Castellan")
    assessor = make_person(plant, "Maren Oduya")
    second = make_person(plant, "Ines Quarrington")
    coordinator = make_person(plant, "Rhona Vass")
    grant(trainer, AuthorityKind.TRAIN)
    grant(assessor, AuthorityKind.ASSESS, AuthorityKind.SUPERVISE)
    grant(second, AuthorityKind.SIGN_FOOD, AuthorityKind.SIGN_SAFETY)
    grant(coordinator, AuthorityKind.COORDINATE)
    employ(person)
    for task in tasks.values():
        hold(trainer, task, assessed=170)
        hold(assessor, task, assessed=170)
    made = Recorded(
        plant=plant,
        person=person,
        trainer=trainer,
        assessor=assessor,
        second=second,
        coordinator=coordinator,
        tasks=tasks,
        pathway=make_pathway(plant, tasks),
    )
    _live(made)
    return made


def make_pathway(plant: Plant, tasks: dict[str, Task]) -> Qualification:
    """Return a pathway of three unit standards: two of the core, one elective."""
    for code, title, group, worth, items in [
        ("U101", "Run a bottle line", "core", 6, [("PK-01",), ("PK-02", "calc:C07")]),
        ("U102", "Change over and hand over", "core", 5, [("PK-06",), ("PK-07",)]),
        ("U201", "Keep the packer clear", "P", 4, [("PK-05",), ("PK-07",)]),
    ]:
        unit = UnitStandard.objects.create(plant=plant, code=code, title=title, level=3, credits=worth, group=group)
        for number, listed in enumerate(items, start=1):
            outcome = UnitOutcome.objects.create(unit=unit, number=number)
            for item in listed:
                is_calculation = item.startswith("calc:")
                OutcomeItem.objects.create(
                    outcome=outcome,
                    task=None if is_calculation else tasks[item],
                    calculation=item.removeprefix("calc:") if is_calculation else "",
                )
    return Qualification.objects.create(
        plant=plant,
        code="Q-FILL-2",
        title="Certificate in Filling, level 2",
        min_total_credits=15,
        rules=[
            {"group": "core", "rule": "all", "credits": 11},
            {"group": "P", "rule": "min", "credits": 4},
            {"rule": "min_at_level_or_above", "level": 3, "credits": 10},
        ],
    )


def when(ago: int, clock: str = "12:00", *, entered: int | None = None) -> When:
    """Return a moment so many days ago, entered at once or so many days ago."""
    moment = at(days_ago(ago), clock)
    return When(
        happened_at=moment, on=days_ago(ago), now=moment if entered is None else at(days_ago(entered), "09:00")
    )


def judge(
    made: Recorded, code: str, ago: int, *, outcome: Outcome = Outcome.COMPETENT, entered: int | None = None
) -> int:
    """Have the assessor judge the person on a task, with words on what was missed where it is not yet competent."""
    passed = outcome is Outcome.COMPETENT
    judged = {1: Judgement.MET, 2: Judgement.MET if passed else Judgement.NOT_MET}
    return assess(
        on_task=OnTask(person=made.person, task=made.tasks[code], scope=SITE),
        assessor=signer(made.assessor),
        verdict=Verdict(
            outcome=outcome,
            revision=1,
            observed=Observed(judged=judged),
            feedback="" if passed else "Torque was set before the head had warmed up.",
            practise="" if passed else "Wait for the lamp, then set the torque.",
        ),
        when=when(ago, entered=entered),
    ).seq


def second_sign(made: Recorded, seq: int, code: str, ago: int) -> int:
    """Have the second person sign an assessment."""
    [fact] = [fact for fact in facts_of_people([made.person.pk])[made.person.pk] if fact.seq == seq]
    assert isinstance(fact, Assessment)
    return sign_second(
        assessment=fact, trainee=made.person, task=made.tasks[code], signer=signer(made.second), when=when(ago)
    ).seq


def on(made: Recorded, code: str) -> OnTask:
    """Return the person on a task."""
    return OnTask(person=made.person, task=made.tasks[code], scope=SITE)


def correct_run(made: Recorded, seq: int, ago: int) -> int:
    """Have the coordinator say that a run was entered in error."""
    [fact] = [fact for fact in facts_of_people([made.person.pk])[made.person.pk] if fact.seq == seq]
    assert isinstance(fact, Run)
    return correct(
        entry=fact,
        person=made.person,
        by=signer(made.coordinator),
        when=when(ago),
        change=Change(cause=CorrectionCause.WRONG_PERSON, reason="It was the other crew's run."),
    ).seq


def take_back(made: Recorded, code: str, ago: int = 0, clock: str = "00:01") -> None:
    """Withdraw a sign-off for cause."""
    withdraw(
        on_task=on(made, code), by=signer(made.assessor), when=when(ago, clock), reason="Seen unsafe at the guard."
    )


def _live(made: Recorded) -> None:
    """Play the person's half year, in the order in which it was written down."""
    tasks, person, trainer = made.tasks, made.person, made.trainer
    enrol(person=person, qualification=made.pathway, by=signer(made.coordinator), when=when(160))
    hold(person, tasks["PK-05"], assessed=158)
    run(person, tasks["PK-01"], trainer, ago=120)
    run(person, tasks["PK-01"], trainer, ago=118, shift="late")
    judge(made, "PK-01", 110)
    check(person, "C07", trainer, ago=100, right=4)
    run(person, tasks["PK-02"], trainer, ago=90)
    run(person, tasks["PK-02"], trainer, ago=89)
    assessed = judge(made, "PK-02", 80)
    second_sign(made, assessed, "PK-02", 76)
    unit = UnitStandard.objects.get(plant=made.plant, code="U101")
    decide_unit(person=person, result=UnitResult(unit=unit), assessor=signer(made.assessor), when=when(70))
    run(person, tasks["PK-04"], trainer, ago=60)
    judge(made, "PK-04", 55, outcome=Outcome.NOT_YET_COMPETENT)
    run(person, tasks["PK-06"], trainer, ago=50)
    judge(made, "PK-06", 48, entered=36)
    suspend(on_task=on(made, "PK-01"), by=signer(made.assessor), when=when(30), reason="A near miss is looked into.")
    run(person, tasks["PK-03"], trainer, ago=20, range_values={"bottle size": "330 mL"})
    wrong = run(person, tasks["PK-03"], trainer, ago=19, range_values={"bottle size": "500 mL"})
    run(person, tasks["PK-03"], trainer, ago=18, stopped=True)
    correct_run(made, wrong.seq, 10)
