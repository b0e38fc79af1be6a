"""Who follows the pathway, and which unit standards were decided when."""

from collections.abc import Mapping

from competencies.demo.floor import NobodyError
from competencies.demo.history import History
from competencies.demo.scheduling import Course
from competencies.models import OutcomeItem, Qualification, UnitStandard
from competencies.operations.decisions import When
from competencies.operations.moderation import Opinion, moderate_unit, report_unit
from competencies.operations.pathways import UnitResult, decide_unit, enrol
from competencies.vocabulary import AuthorityKind

DECIDED_BY = ("1002", "1003")
AUDITOR = "1903"
# So many days after a decision it is reported to the training body.
REPORTED_DAYS = 21
# By employee number: days before the day of loading on which the person was enrolled, then units with their days;
# a unit marked + was achieved at an earlier place of work.
FOLLOWED: Mapping[str, tuple[int, Mapping[str, int]]] = {
    # Has reached the award.
    "1005": (
        520,
        {
            "U202+": 515,
            "U203+": 515,
            "U102": 430,
            "U101": 425,
            "U104": 420,
            "U103": 410,
            "U301": 380,
            "U302": 370,
            "U306": 340,
            "U305": 330,
            "U304": 300,
            "U105": 290,
            "U106": 280,
        },
    ),
    # One task short: LC-04, which also brings the last of the sums.
    "1004": (
        520,
        {
            "U302+": 515,
            "U102": 430,
            "U104": 425,
            "U101": 420,
            "U201": 410,
            "U202": 390,
            "U203": 370,
            "U103": 350,
            "U204": 330,
            "U402": 310,
            "U106": 300,
        },
    ),
    # Half way.
    "1037": (500, {"U102": 400, "U201": 390, "U202": 360, "U203": 330}),
    # A first unit.
    "1043": (430, {"U101": 60}),
    # A long way to go.
    "1044": (250, {}),
    "1045": (150, {}),
}
# Decisions with which the auditor disagrees: days before the day of loading, and why.
DISPUTED: Mapping[tuple[str, str], tuple[int, str]] = {
    ("1004", "U106"): (12, "Two of the three handovers were to one and the same person; the unit means a crew."),
}


def begin(history: History) -> None:
    """Start the courses of everybody who follows the pathway."""
    for number, (before, units) in FOLLOWED.items():
        history.school.schedule.start(_follow(history, number, before, units))


def _follow(history: History, number: str, before: int, units: Mapping[str, int]) -> Course:
    yield history.at(history.day(before), 13 * 60)
    qualification = Qualification.objects.get(plant=history.floor.plant)
    enrol(person=history.floor.people[number], qualification=qualification, by=history.office, when=_when(history))
    for index, (code, days) in enumerate(units.items()):
        yield history.at(history.day(days), 13 * 60 + 20 + index)
        unit = UnitStandard.objects.filter(plant=history.floor.plant, code=code.rstrip("+")).latest("version")
        elsewhere = code.endswith("+")
        decided = decide_unit(
            person=history.floor.people[number],
            result=UnitResult(unit=unit, elsewhere=elsewhere),
            assessor=history.floor.signer(_assessor(history, number, unit)),
            when=_when(history),
        )
        history.floor.look_again()
        if days > REPORTED_DAYS:
            reported = days - REPORTED_DAYS + index % 5
            history.school.schedule.start(_report(history, number, code, decided.seq, reported))


def _assessor(history: History, number: str, unit: UnitStandard) -> str:
    """Return who decides a unit: an assessor for the area of one of its tasks, of calculations any of the first."""
    items = OutcomeItem.objects.filter(outcome__unit=unit, task__isnull=False)
    areas = set(items.values_list("task__area__code", flat=True))
    floor, on = history.floor, history.floor.clock.day(history.now)
    able = (
        each
        for each in (*DECIDED_BY, *floor.people)
        if each != number
        and floor.is_here(each, on)
        and any(floor.may(each, AuthorityKind.ASSESS, area, on) for area in areas or {"HS"})
    )
    chosen = next(able, None)
    if chosen is None:
        message = f"nobody may decide {unit} for {number} on {on}"
        raise NobodyError(message)
    return chosen


def _report(history: History, number: str, code: str, decision: int, before: int) -> Course:
    """Report a decision to the training body, and have the auditor look at every fourth."""
    yield history.at(history.day(before), 14 * 60 + decision % 50)
    person = history.floor.people[number]
    report_unit(person=person, decision=decision, by=history.office, when=_when(history))
    if decision % 4 == 0:
        moderate_unit(
            person=person,
            decision=decision,
            opinion=Opinion(agrees=True),
            by=history.floor.signer(AUDITOR),
            when=_when(history),
        )
    if (number, code) in DISPUTED:
        history.school.schedule.start(_dispute(history, number, decision, *DISPUTED[number, code]))


def _dispute(history: History, number: str, decision: int, before: int, reason: str) -> Course:
    """Have the auditor disagree with a decision that was reported: the credits stay as reported, disputed (R8.8)."""
    yield history.at(history.day(before), 11 * 60 + 10)
    moderate_unit(
        person=history.floor.people[number],
        decision=decision,
        opinion=Opinion(agrees=False, reason=reason),
        by=history.floor.signer(AUDITOR),
        when=_when(history),
    )
    history.floor.look_again()


def _when(history: History) -> When:
    return When(happened_at=history.now, on=history.floor.clock.day(history.now), now=history.now)
