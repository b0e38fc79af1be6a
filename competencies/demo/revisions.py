"""How procedures change at the demo plant: minor and major, in force and to come."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace
from datetime import timedelta
from random import Random

from competencies.demo.history import History
from competencies.demo.posts import Key, parsed
from competencies.demo.scheduling import Course
from competencies.importing.syllabus import ProcedureRow, Release, SyllabusFile
from competencies.models import TaskRevision
from competencies.operations.initial_trainers import name_initial_trainer
from competencies.operations.reclassifying import reclassify_revision
from competencies.operations.syllabus import SyllabusDecision, import_syllabus
from competencies.queries.syllabus import current_syllabus
from competencies.standing.calendar import days_after
from competencies.vocabulary import ChangeClass

FOOD_LEAD = "1003"
BOTTLE_FILLER = parsed("PK-04@L1/F1")
LABELS = parsed("LC-01@L1")
DATE_CODE = parsed("LC-03@L1/J1")
ENTRY = parsed("HS-01")
LABELLER = parsed("LC-02@L1/A1")
# Who runs the bottle filler and has not shown the changed steps yet.
NOT_YET_ON_IT = (("1035", BOTTLE_FILLER),)


def courses(history: History) -> list[Course]:
    """Return the courses of all revisions."""
    return [
        _major_in_force(history),
        _major_to_come(history),
        _minor(history, DATE_CODE, (60, 45), {"1022", "1027"}, 40),
        _minor(history, ENTRY, (26, 12), (), 44),
        _minor(history, LABELLER, (34, 28), (), 10),
        _minor_no_more(history, LABELLER, 9, "1005", "1027"),
    ]


def _issue(history: History, code: str, release: Release, reword: Callable[[ProcedureRow], ProcedureRow]) -> None:
    """Issue a changed procedure the way a coordinator does: from a syllabus file, decided by two people."""
    floor = history.floor
    row = next(row for row in current_syllabus(floor.plant).tasks if row.code == code)
    changed = replace(row, procedure=reword(row.procedure), release=release)
    decision = SyllabusDecision(
        file=SyllabusFile(tasks=(changed,)),
        effective_on=release.effective_on or history.today,
        seconded_by=floor.people[FOOD_LEAD],
    )
    import_syllabus(plant=floor.plant, decision=decision, by=history.office, now=history.now)
    floor.look_again()


def _with_criterion(number: int, text: str) -> Callable[[ProcedureRow], ProcedureRow]:
    def reworded(procedure: ProcedureRow) -> ProcedureRow:
        criteria = list(procedure.criteria)
        criteria[number - 1] = replace(criteria[number - 1], text=text)
        return replace(procedure, criteria=tuple(criteria))

    return reworded


def _with_evidence(text: str) -> Callable[[ProcedureRow], ProcedureRow]:
    return lambda procedure: replace(procedure, evidence=text)


def _release(history: History, change: ChangeClass, approved: int, effective: int, note: str) -> Release:
    return Release(change=change, approved_on=history.day(approved), effective_on=history.day(effective), note=note)


def _major(
    history: History, key: Key, release: Release, reword: Callable[[ProcedureRow], ProcedureRow], first: Sequence[str]
) -> Course:
    """Issue a major revision, name its first trainers, and let them learn it from one another."""
    floor, school = history.floor, history.school
    yield history.at(release.approved_on or history.today, 9 * 60)
    _issue(history, key[0], release, reword)
    revision = floor.asked(key).revisions[-1].number
    yield from _name_first(history, key, revision, first)
    start, chance = floor.clock.day(history.now), Random(f"delta {key[0]}")  # noqa: S311 - a made-up history
    lead, watching, *_ = first
    for number in floor.holders[key]:
        if (number, key) in NOT_YET_ON_IT:
            continue
        wait = 1 + first.index(number) if number in first else chance.randint(5, 30)
        watched_by = watching if number == lead else lead if number == watching else ""
        school.schedule.start(school.relearn(number, key, revision, days_after(start, wait), watched_by=watched_by))


def _minor_no_more(history: History, key: Key, before: int, first: str, showing: str) -> Course:
    """Decide that a minor revision is a major one after all; of its holders one shows the changes yet (R4.8)."""
    floor = history.floor
    yield history.at(history.day(before), 10 * 60 + 30)
    number = floor.asked(key).revisions[-1].number
    revision = TaskRevision.objects.select_related("task__plant").get(task=floor.tasks[key[0]], number=number)
    second = floor.signer(FOOD_LEAD)
    reclassify_revision(revision=revision, by=history.office, second=second, now=history.now)
    floor.look_again()
    yield from _name_first(history, key, number, [first])
    yield from history.school.relearn(showing, key, number, history.day(before - 1), watched_by=first)


def _name_first(history: History, key: Key, revision: int, first: Iterable[str]) -> Course:
    """Name first trainers for a revision that nobody has shown yet (R4.10)."""
    floor = history.floor
    for number in first:
        yield history.now + timedelta(minutes=2)
        name_initial_trainer(
            on_task=floor.on_task(number, key), revision=revision, by=history.office, when=floor.at(history.now)
        )
    floor.look_again()


def _major_in_force(history: History) -> Course:
    """Put a new guard interlock on the bottle filler: everybody who runs it shows the changed steps again."""
    return _major(
        history,
        BOTTLE_FILLER,
        _release(history, ChangeClass.MAJOR, 60, 24, "New interlock on the filler guard; the start check changes."),
        _with_criterion(1, "Tests the new guard interlock, then starts the filler in the posted order"),
        ("1005", "1007", "1023"),
    )


def _major_to_come(history: History) -> Course:
    """Bring in a scanner for label reels from a day to come on."""
    return _major(
        history,
        LABELS,
        _release(history, ChangeClass.MAJOR, 24, -14, "Every reel is scanned before it is loaded."),
        _with_criterion(1, "Scans every reel against the work order and has a second person confirm the first label"),
        ("1005", "1027", "1003"),
    )


def _minor(history: History, key: Key, days: tuple[int, int], forgetful: Collection[str], readers_days: int) -> Course:
    """Issue a minor revision; holders read it in the days that follow, or forget to."""
    floor, school = history.floor, history.school
    release = _release(history, ChangeClass.MINOR, *days, "The sheets are filed in another place.")
    yield history.at(release.approved_on or history.today, 9 * 60 + 40)
    _issue(history, key[0], release, _with_evidence("shift book at the line, and the log on the tablet"))
    revision, chance = floor.asked(key).revisions[-1].number, Random(f"minor {key[0]}")  # noqa: S311 - as above
    places: dict[str, Key] = {}
    for (code, scope), numbers in floor.holders.items():
        if code == key[0]:
            places |= {number: (code, scope) for number in numbers if number not in places}
    start = floor.clock.day(history.now)
    for number, place in places.items():
        if number not in forgetful:
            day = days_after(start, chance.randint(1, readers_days))
            school.schedule.start(school.read(number, place, revision, day))
