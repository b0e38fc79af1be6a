"""What was doubted at the demo plant: a sign-off annulled, a check asked for, an outcome appealed against."""

from random import Random

from competencies.demo.history import History
from competencies.demo.learning import Goal
from competencies.demo.posts import Key, parsed
from competencies.demo.scheduling import Course
from competencies.operations.annulments import Ruling, annul, reverify
from competencies.operations.conflicts import Declared, declare_conflict
from competencies.operations.outcomes import appeal, owe_check, see_outcome
from competencies.standing.calendar import ONE_DAY
from competencies.standing.facts import Assessment
from competencies.vocabulary import AnnulmentCause, CheckCause, ConflictCause

STACKING = parsed("WH-03")
SANITISER = parsed("CP-07")
SEAMER = parsed("PK-06@L2/S1")
PASTEURISER = parsed("PK-07@L2/T1")
# Label packers who learn to stack in the warehouse, in the order in which one assessor judged them.
LENT_TO_THE_WAREHOUSE = ("1028", "1025", "1026")
WAREHOUSE_ASSESSOR, SAFETY_LEAD = "1029", "1002"
SAME_HOUSEHOLD = "1030"
CLEANER, CLEANING_ASSESSOR = "1041", "1017"
LINE_SUPERVISOR, CAN_OPERATOR = "1008", "1034"


def courses(history: History) -> list[Course]:
    """Return the courses of all doubts."""
    return [
        _annulled(history, learnt=85, annulled=17, looked_again=12),
        _in_one_household(history, 62),
        _appealed(history, 30),
        _check_passed(history, 90),
        _check_open(history, 3),
    ]


def _annulled(history: History, *, learnt: int, annulled: int, looked_again: int) -> Course:
    """Find that a judgement was never made, and doubt what its assessor judged since (R6.4).

    One of the two others is looked at again and stands; the last one waits, and counts no more after two weeks.
    """
    floor, signed = history.floor, dict[str, Assessment]()
    for index, number in enumerate(LENT_TO_THE_WAREHOUSE):
        goal = Goal(key=STACKING, until="ready", days_between=(1, 2))
        start = max(history.day(learnt - 20 * index), floor.clock.day(history.now) + ONE_DAY)
        yield from history.school.learn(number, [goal], start)
        now = history.school.turn(number, floor.clock.day(history.now) + ONE_DAY, _chance("stacking", number))
        yield now.moment
        signed[number] = floor.assess(number, STACKING, now.moment, by=WAREHOUSE_ASSESSOR)
    first, second, *_ = LENT_TO_THE_WAREHOUSE
    yield history.at(history.day(annulled), 10 * 60 + 15)
    annul(
        signoff=signed[first],
        holder=floor.people[first],
        ruling=Ruling(
            cause=AnnulmentCause.FALSE_EVIDENCE,
            reason="The gate log has the assessor off the site at the time written on the sheet.",
        ),
        by=history.office,
        when=floor.at(history.now),
    )
    floor.look_again()
    yield history.at(history.day(looked_again), 13 * 60 + 40)
    reverify(
        signoff=signed[second],
        holder=floor.people[second],
        by=floor.signer(SAFETY_LEAD),
        when=floor.at(history.now),
        reason="Watched two pallets stacked and one row rotated; nothing to add.",
    )
    floor.look_again()


def _in_one_household(history: History, before: int) -> Course:
    """Let an assessor say of whom he is no judge, since they live in one household (R2.2)."""
    floor = history.floor
    yield history.at(history.day(before), 8 * 60 + 20)
    declare_conflict(
        person=floor.people[WAREHOUSE_ASSESSOR],
        declared=Declared(
            other=floor.people[SAME_HOUSEHOLD], cause=ConflictCause.HOUSEHOLD, from_on=floor.clock.day(history.now)
        ),
        by=floor.signer(WAREHOUSE_ASSESSOR),
        when=floor.at(history.now),
    )
    floor.look_again()


def _appealed(history: History, before: int) -> Course:
    """Be judged not yet competent, see it, and appeal: after one more run another assessor judges (R2.7)."""
    floor, number, key = history.floor, CLEANER, SANITISER
    goal = Goal(key=key, until="ready", days_between=(1, 1))
    yield from history.school.learn(number, [goal], history.day(before))
    now = history.school.turn(number, floor.clock.day(history.now) + ONE_DAY, _chance("appeal", number))
    yield now.moment
    missed = floor.purpose(number, key, now.moment).criteria[-1:]
    judged = floor.assess(number, key, now.moment, by=CLEANING_ASSESSOR, not_met=missed)
    later = history.school.turn(number, now.on + ONE_DAY, _chance("appeal again", number))
    yield later.moment
    person, by, when = floor.people[number], floor.signer(number), floor.at(history.now)
    see_outcome(assessment=judged, trainee=person, by=by, when=when)
    appeal(
        assessment=judged,
        trainee=person,
        by=by,
        when=when,
        remark="The strip was from the box that was taken out of use the same afternoon.",
    )
    floor.look_again()
    again = history.school.turn(number, later.on + ONE_DAY, _chance("appeal run", number))
    yield again.moment
    floor.run(number, key, again)


def _check_passed(history: History, before: int) -> Course:
    """Owe a check after the machine was changed, and pass it in the days that follow (R3.7)."""
    yield from _owe(history, PASTEURISER, CheckCause.CHANGED_MACHINE, before, "New spray heads in zones 4 and 5.")
    yield from history.school.pass_check(CAN_OPERATOR, PASTEURISER, history.day(before - 2))


def _check_open(history: History, before: int) -> Course:
    """Be seen unsafe at the seamer: the task stops until a check is passed (R3.7)."""
    reason = "Reached for a can at the discharge while the chucks were still turning; nobody was hurt."
    yield from _owe(history, SEAMER, CheckCause.SEEN_UNSAFE, before, reason)


def _owe(history: History, key: Key, cause: CheckCause, before: int, reason: str) -> Course:
    floor = history.floor
    yield history.at(history.day(before), 11 * 60 + 30)
    if not floor.in_force(CAN_OPERATOR, key, history.now):
        return
    owe_check(
        on_task=floor.on_task(CAN_OPERATOR, key),
        cause=cause,
        by=floor.signer(LINE_SUPERVISOR),
        when=floor.at(history.now),
        reason=reason,
    )
    floor.look_again()


def _chance(tale: str, number: str) -> Random:
    return Random(f"{tale} {number}")  # noqa: S311 - a made-up history
