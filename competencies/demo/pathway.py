"""Who follows the pathway, and which unit standards were decided when."""

from collections.abc import Iterable, Mapping

from competencies.demo.history import History
from competencies.demo.posts import Key
from competencies.demo.scheduling import Course
from competencies.models import OutcomeItem, Qualification, UnitStandard
from competencies.operations.decisions import When
from competencies.operations.pathways import UnitResult, decide_unit, enrol

MODERATED_BY = ("1002", "1003")
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
        evidence = [] if elsewhere else _evidence(history, number, unit)
        decide_unit(
            person=history.floor.people[number],
            result=UnitResult(unit=unit, evidence=evidence, elsewhere=elsewhere),
            assessor=history.floor.signer(next(each for each in MODERATED_BY if each != number)),
            when=_when(history),
        )
        history.floor.look_again()


def _evidence(history: History, number: str, unit: UnitStandard) -> list[int]:
    """Return the sign-offs that the unit's outcomes rest on."""
    rule = history.floor.rule(number)
    items = OutcomeItem.objects.filter(outcome__unit=unit, task__isnull=False).select_related("task")
    found: set[int] = set()
    for item in items:
        held = [rule.holding(*key) for key in _keys(rule.keys(), item.task.code if item.task else "")]
        signed = [signoff for each in held for signoff in each.governing if signoff.gain.start <= history.now]
        if not signed:
            message = f"{number} holds no {item.task} for {unit} on {history.now:%Y-%m-%d}"
            raise ValueError(message)
        found.update(signed[-1].gain.seqs)
    return sorted(found)


def _keys(keys: Iterable[Key], code: str) -> list[Key]:
    return [key for key in keys if key[0] == code]


def _when(history: History) -> When:
    return When(happened_at=history.now, on=history.floor.clock.day(history.now), now=history.now)
