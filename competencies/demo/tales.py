"""What happened to single people at the demo plant, so that every standing is to be seen on the day of loading."""

from dataclasses import replace
from datetime import timedelta
from random import Random

from competencies.demo import doubts, office, people, revisions
from competencies.demo.history import History
from competencies.demo.learning import Goal
from competencies.demo.posts import Key, parsed
from competencies.demo.revisions import BOTTLE_FILLER
from competencies.demo.rota import CREWS, DAY, LATE, NIGHT, Turn, last_clock_change, shift_on, turn
from competencies.demo.scheduling import Course
from competencies.operations import decisions
from competencies.operations.absences import Away, record_absence
from competencies.operations.corrections import correct
from competencies.operations.rights import record_employment
from competencies.operations.runs import accept_late_run
from competencies.standing.calendar import days_after
from competencies.standing.facts import Run, Suspension
from competencies.standing.replacing import Change, Instead
from competencies.vocabulary import CorrectionCause

SAFETY_LEAD = "1002"
# Left to lapse: nobody saw to it.
NEGLECTED = (("1019", "QC-03@L2"), ("1016", "CP-04"), ("1035", "PK-08@L3/K1"), ("1018", "CP-06"))
# The last day of a driver's certificate, in days from the day of loading.
CERTIFICATE = ("1032", "WH-02@WD/T1", 38)
# Who learns what in the night on which the clocks go back, by the crew that has that night.
NIGHT_LEARNERS = {
    "A": ("1025", "LC-07@L1"),
    "B": ("1026", "LC-07@L1"),
    "C": ("1013", "FC-04@CE"),
    "D": ("1028", "LC-07@L1"),
}
# Who practises which sums, since how many days.
PRACTISING = (("1043", "C09 C10 C14", 48), ("1045", "C10 C16", 30), ("1042", "C12", 26))
# Who judges drawings by eye, and how many days ago.
INSPECTING = (("1043", (20, 9, 2)), ("1045", (6,)))
LEAVER, ABSENT, YOUNG_DRIVER = "1031", "1036", "1046"


def goals(text: str, **last: object) -> list[Goal]:
    """Return goals for the keys of a text; `last` says how far the last one goes."""
    found = [Goal(key=parsed(part)) for part in text.split()]
    return [*found[:-1], replace(found[-1], **last)]  # type: ignore[arg-type]


def begin(history: History) -> None:
    """Start the courses of all tales."""
    school = history.school
    school.neglected.update((number, parsed(text)) for number, text in NEGLECTED)
    number, text, days = CERTIFICATE
    school.certificates[number, parsed(text)] = days_after(history.today, days)
    practice = [_practising(history, number, sums, first) for number, sums, first in PRACTISING]
    for course in (
        *practice,
        *(_inspecting(history, number, days) for number, days in INSPECTING),
        *_newcomers(history),
        *_decisions(history),
        *revisions.courses(history),
        *doubts.courses(history),
        *office.courses(history),
        *_comings_and_goings(history),
    ):
        school.schedule.start(course)


def _practising(history: History, number: str, sums: str, first: int) -> Course:
    """Practise sums on the phone, some evenings a week."""
    chance = Random(f"practice {number}")  # noqa: S311 - a made-up history
    codes = sums.split()
    for before in range(first, 0, -3):
        yield history.at(history.day(before), 19 * 60 + chance.randrange(90))
        for _ in range(chance.randint(1, 4)):
            person, on = history.floor.people[number], history.floor.clock.day(history.now)
            history.floor.quizzes(on).practise(person, chance.choice(codes), chance, history.now)


def _inspecting(history: History, number: str, days: tuple[int, ...]) -> Course:
    """Judge a series of drawings on the phone, on some evenings."""
    chance = Random(f"inspection {number}")  # noqa: S311 - a made-up history
    for before in days:
        yield history.at(history.day(before), 18 * 60 + chance.randrange(40))
        on = history.floor.clock.day(history.now)
        history.floor.quizzes(on).inspect(history.floor.people[number], chance, history.now)


def _newcomers(history: History) -> list[Course]:
    learn, day = history.school.learn, history.day
    quick = (1, 1)
    return [
        learn("1041", goals("HS-01 HS-10 HS-05 HS-03@L1/F1 CP-01 CP-02@CE CP-04"), day(440)),
        learn("1042", goals("HS-01 QC-01 BH-07 QC-03@L2", fails_first=True), day(430)),
        learn("1042", goals("QC-06 QC-02"), day(210)),
        learn("1042", goals("QC-04@L2/S1", until="assessed", days_between=quick), day(16)),
        learn("1043", goals("HS-01 HS-10 HS-02@L1 HS-05 HS-03@L1/F1 PK-01@L1 QC-03@L1"), day(446)),
        learn("1043", goals("HS-08@L1 CP-02@CE CP-03@L1/F1"), day(170)),
        learn("1043", goals("LC-01@L1", revision=2, days_between=quick), day(21)),
        learn("1043", goals("PK-04@L1/F1", runs=5, until="runs", revision=2, days_between=(1, 3)), day(16)),
        learn("1044", goals("HS-01 HS-10 HS-02@L1 HS-05 HS-03@L1/F1 QC-03@L1 CP-02@CE"), day(312)),
        learn("1044", goals("PK-10@L1/F1", until="ready", days_between=quick), day(30)),
        learn("1044", goals("CP-03@L1/F1", runs=2, until="runs", days_between=quick), day(9)),
        learn("1045", goals("HS-01 HS-02@L1 QC-03@L1 HS-08@L1"), day(168)),
        learn("1045", goals("PK-01@L1", runs=2, until="runs", days_between=quick), day(8)),
        learn(YOUNG_DRIVER, goals("HS-01 WH-03"), day(130)),
        learn("1055", goals("HS-01", runs=1, until="runs"), day(12)),
        learn("1039", goals("HS-03@CE/K1 FC-02 FC-03@CE"), day(380)),
        learn("1040", goals("HS-03@CE/K1 CP-02@CE FB-01@CE/K1 BH-07"), day(390)),
        learn("1040", goals("FB-02@CE/K1", runs=4, until="runs", days_between=(1, 3)), day(14)),
        learn("1018", goals("CP-06", days_between=quick), day(391)),
        history.school.found("1044", [parsed("LC-04")], day(100)),
    ]


def _decisions(history: History) -> list[Course]:
    return [
        _suspended(history, "1021", BOTTLE_FILLER, 5, "1007"),
        _suspended(history, "1024", parsed("PK-08@L3/K1"), 120, "1010", lifted=116),
        _withdrawn(history, "1033", parsed("HS-03@L2/C1"), 20, SAFETY_LEAD),
        _entered_late(history, "1026", parsed("LC-04"), 74),
        _confirmed_late(history, "1028", parsed("LC-07@L1"), 58),
        _wrong_person(history, ("1025", "1026"), parsed("LC-07@L1"), 40),
        _run_in_the_repeated_hour(history),
    ]


def _suspended(history: History, number: str, key: Key, before: int, by: str, lifted: int | None = None) -> Course:
    """Stop a sign-off while something is looked into, and lift it again where nothing was found."""
    floor = history.floor
    yield history.at(history.day(before), 11 * 60 + 5)
    appended = decisions.suspend(
        on_task=floor.on_task(number, key),
        by=floor.signer(by),
        when=floor.at(history.now),
        reason="Near miss at the machine; being looked into.",
    )
    floor.look_again()
    if lifted is None:
        return
    yield history.at(history.day(lifted), 9 * 60 + 30)
    suspension = floor.fact(number, appended.seq)
    if isinstance(suspension, Suspension):
        decisions.lift_suspension(
            suspension=suspension,
            holder=floor.people[number],
            by=floor.signer(by),
            when=floor.at(history.now),
            reason="The guard switch was at fault and is replaced.",
        )
    floor.look_again()


def _withdrawn(history: History, number: str, key: Key, before: int, by: str) -> Course:
    """Take a sign-off back for cause, in the middle of a shift."""
    yield history.at(history.day(before), 10 * 60 + 52)
    history.floor.look_again()
    decisions.withdraw(
        on_task=history.floor.on_task(number, key),
        by=history.floor.signer(by),
        when=history.floor.at(history.now),
        reason="Reached past the guard with the lock still in the pocket.",
    )
    history.floor.look_again()


def _entered_late(history: History, number: str, key: Key, before: int) -> Course:
    """Learn a task, and have the assessment entered ten days after it was made (R2.6)."""
    yield from history.school.learn(number, [Goal(key=key, until="ready", days_between=(1, 2))], history.day(before))
    chance = Random(f"late {number}")  # noqa: S311 - a made-up history
    judged = history.school.turn(number, days_after(history.floor.clock.day(history.now), 1), chance)
    entered_at = judged.moment + timedelta(days=10)
    yield entered_at
    history.floor.assess(number, key, judged.moment, entered_at=entered_at)


def _confirmed_late(history: History, number: str, key: Key, before: int) -> Course:
    """Confirm a run four days after it was made; the coordinator accepts it (R1.2)."""
    chance = Random(f"confirmed {number}")  # noqa: S311 - a made-up history
    made = turn(history.floor.clock, history.floor.crew(number), history.day(before), chance)
    entered_at = made.moment + timedelta(days=4)
    yield entered_at
    seq = history.floor.run(number, key, made, entered_at=entered_at)
    yield entered_at + timedelta(hours=5)
    run = history.floor.fact(number, seq)
    if isinstance(run, Run):
        accept_late_run(
            run=run,
            trainee=history.floor.people[number],
            coordinator=history.office,
            now=history.now,
            note="The tablet was away for repair; the shift book shows the run.",
        )
    history.floor.look_again()


def _wrong_person(history: History, numbers: tuple[str, str], key: Key, before: int) -> Course:
    """Enter a run for the wrong one of two people, strike it, and enter it for the right one (R7)."""
    floor, (wrong, right) = history.floor, numbers
    chance = Random(f"wrong {wrong}")  # noqa: S311 - a made-up history
    made = turn(floor.clock, floor.crew(wrong), history.day(before), chance)
    yield made.moment
    seq = floor.run(wrong, key, made)
    yield made.moment + timedelta(hours=20)
    change = Change(
        cause=CorrectionCause.WRONG_PERSON,
        reason="Two names beside each other on the tablet: the other one did this run.",
        instead=Instead(person=floor.people[right].pk),
    )
    correct(
        entry=floor.fact(wrong, seq),
        person=floor.people[wrong],
        by=history.office,
        when=floor.at(history.now),
        change=change,
    )
    floor.look_again()


def _run_in_the_repeated_hour(history: History) -> Course:
    """Do a run in the night on which the clocks go back, in the hour that comes twice."""
    clock = history.floor.clock
    changed_on = last_clock_change(clock, history.today)
    started_on = days_after(changed_on, -1)
    crew = next(crew for crew in CREWS if shift_on(crew, started_on) == NIGHT)
    number, text = NIGHT_LEARNERS[crew]
    moment = clock.midnight(changed_on) + timedelta(hours=2, minutes=25)
    yield moment
    history.floor.run(number, parsed(text), Turn(started_on, NIGHT, moment))


def _comings_and_goings(history: History) -> list[Course]:
    return [_leaves(history, LEAVER, 75), _is_away(history, ABSENT, 112, -20), _bar_entered_late(history)]


def _leaves(history: History, number: str, before: int) -> Course:
    """Give notice and go."""
    last_day = history.day(before)
    yield history.at(days_after(last_day, -20), 13 * 60)
    people.leave(
        history.floor.people[number], last_day, history.office, history.now, history.floor.clock.day(history.now)
    )
    history.floor.meet()


def _is_away(history: History, number: str, first: int, last: int) -> Course:
    """Be away for long; why is not kept."""
    away = Away(from_on=history.day(first), until_on=history.day(last))
    yield history.at(away.from_on, 14 * 60)
    record_absence(person=history.floor.people[number], away=away, by=history.office, now=history.now)
    history.floor.absent[number] = (away.from_on, away.until_on)
    history.floor.look_again()


def _bar_entered_late(history: History) -> Course:
    """Enter the bar of a young worker two days after the start, when one run at a closed task was made already.

    That run does not count, and the task stays closed until the bar lifts.
    """
    floor, key = history.floor, parsed("WH-01@WD/T1")
    row = next(row for row in history.rows if row.works_number == YOUNG_DRIVER)
    if row.started_on is None:
        return
    chance = Random("young driver")  # noqa: S311 - a made-up history
    made = turn(floor.clock, row.crew, row.started_on, chance, wanted=(DAY, LATE))
    yield made.moment
    floor.run(YOUNG_DRIVER, key, made)
    yield made.moment + timedelta(days=2)
    person = floor.people[YOUNG_DRIVER]
    person.restricted_until = row.restricted_until
    person.save(update_fields=["restricted_until"])
    record_employment(
        person=person, by=history.office, happened_at=history.now, on=floor.clock.day(history.now), now=history.now
    )
    floor.meet()
