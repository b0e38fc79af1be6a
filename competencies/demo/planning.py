"""The plan around the day of loading: who is rostered where, who is away, what was asked of whom."""

from datetime import date
from typing import NamedTuple

from competencies.demo.floor import Floor
from competencies.demo.history import History
from competencies.demo.posts import Key, parsed
from competencies.demo.rota import DAY, LATE, shift_on
from competencies.ledger.writer import writing
from competencies.models import Assignment, LedgerIndex, Line, Machine, RosterDay, Shift
from competencies.operations.absences import Away, record_absence
from competencies.operations.assignments import ClashError, assign, close_assignment
from competencies.queries.clashes import Plan
from competencies.standing.calendar import days_after
from competencies.standing.facts import Run
from competencies.vocabulary import EntryKind

ROSTERED_DAYS = 14
ASKED_DAYS = range(8)
# So many days back it is still to be seen what was asked and done; one run of yesterday was never written down.
DONE_DAYS = 8
LINE_OF_AREA = {"BH": "BR", "RM": "BR", "FC": "CE", "FB": "CE", "CP": "CE", "WH": "WD", "LC": "L1"}
ON_CANS = ("1008", "1009", "1023", "1033", "1034", "1036")
# Days away around the day of loading: employee number, first and last day counted from it.
HOLIDAYS = (("1011", 2, 9), ("1028", -3, 4), ("1030", 5, 12), ("1006", 1, 1))
# Who stays longer in the next shift from a day on, by so many minutes: employee number, day, minutes.
OVERTIME = (("1026", 0, 300), ("1023", 1, 300))


class Request(NamedTuple):
    """What a trainer goes on asking for while both are at work."""

    trainee: str
    task: str
    trainer: str
    note: str


REQUESTS = (
    Request("1043", "PK-04@L1/F1", "1022", "Two sizes: take the 500 mL order where there is one."),
    Request("1043", "PK-01@L1", "1022", "Keep the hand in while the filler is down."),
    Request("1044", "PK-04@L1/F1", "1024", "First run: watch the start, then do the stop."),
    Request("1045", "PK-01@L1", "1021", "Third run; the glass check is still hurried."),
    Request("1040", "FB-02@CE/K1", "1014", "Body feed from the second hour on."),
    Request("1042", "QC-07", "1003", "Sit in on the release tasting and keep the sheet."),
    Request("1039", "FC-06@CE", "1004", "Ask before the cooling is switched."),
    Request("1047", "HS-01", "1002", "Second entry; say why each thing is done."),
    Request("1046", "WH-06", "1029", "Count with the sheet, then against the screen."),
)


def plan(history: History) -> None:
    """Lay the roster for two weeks back and ahead, note who is away, and ask for tasks."""
    _be_away(history)
    _lay_roster(history)
    _stay_longer(history)
    _close_what_was_done(history)
    _forget_one_of_yesterday(history)
    for request in REQUESTS:
        for ahead in ASKED_DAYS:
            _ask(history, request, days_after(history.today, ahead))


@writing()
def _be_away(history: History) -> None:
    for number, first, last in HOLIDAYS:
        away = Away(from_on=days_after(history.today, first), until_on=days_after(history.today, last))
        record_absence(person=history.floor.people[number], away=away, by=history.office, now=history.now)
        history.floor.absent[number] = (away.from_on, away.until_on)


def _lay_roster(history: History) -> None:
    floor = history.floor
    shifts = {shift.name: shift for shift in Shift.objects.filter(plant=floor.plant)}
    lines = {line.code: line for line in Line.objects.filter(plant=floor.plant)}
    RosterDay.objects.bulk_create(
        RosterDay(person=floor.people[number], on=day, shift=shifts[shift], line=lines.get(line_of(floor, number)))
        for ahead in range(-ROSTERED_DAYS, ROSTERED_DAYS + 1)
        for day in [days_after(history.today, ahead)]
        for number in floor.people
        for shift in [rostered_shift(floor, number, day)]
        if shift
    )


def _stay_longer(history: History) -> None:
    """Let some stay on after their shift: more hours than are wise, of which the cover page warns (R9.5)."""
    for number, ahead, minutes in OVERTIME:
        rows = RosterDay.objects.filter(person=history.floor.people[number], on__gte=days_after(history.today, ahead))
        next_one = rows.order_by("on").values("pk")[:1]
        RosterDay.objects.filter(pk__in=next_one).update(overtime_minutes=minutes)


def rostered_shift(floor: Floor, number: str, day: date) -> str | None:
    """Return the shift that a person is rostered for: a young worker has the late shift instead of nights."""
    if not floor.is_here(number, day):
        return None
    shift = shift_on(floor.crew(number), day)
    person = floor.people[number]
    is_young = person.restricted_until is not None and day < person.restricted_until
    return LATE if is_young and shift not in {DAY, LATE, None} else shift


def line_of(floor: Floor, number: str) -> str:
    """Return where a person is rostered, "" for no line in particular."""
    person = floor.people[number]
    area = person.area.code if person.area else ""
    if area == "PK" and person.crew:
        return "L2" if number in ON_CANS else "L1"
    return LINE_OF_AREA.get(area, "") if person.crew else ""


def _close_what_was_done(history: History) -> None:
    """Ask, as it was asked the day before, for each run of the last days, and close the request with the run."""
    floor = history.floor
    numbers = {person.pk: number for number, person in floor.people.items()}
    recent = LedgerIndex.objects.filter(
        plant=floor.plant, kind=EntryKind.RUN, happened_on__gte=days_after(history.today, -DONE_DAYS)
    )
    for entry in recent.order_by("pk"):
        # A record that was joined to another is no longer on the books: nothing was asked of it.
        trainee, trainer = numbers.get(entry.person or 0), numbers.get(entry.actor or 0)
        if trainee is None or trainer is None:
            continue
        run = floor.fact(trainee, entry.pk)
        if isinstance(run, Run):
            request = Request(trainee, f"{run.task}@{run.scope}", trainer, "")
            for assignment in _assigned(history, request, run.on, run.shift):
                close_assignment(assignment=assignment, entry_seq=run.seq)


def _forget_one_of_yesterday(history: History) -> None:
    """Leave one run of yesterday asked for and not written down."""
    yesterday = days_after(history.today, -1)
    for request in REQUESTS:
        if _ask(history, request, yesterday):
            return


def _ask(history: History, request: Request, day: date) -> list[Assignment]:
    """Ask for one task on one day if trainee and trainer are both at work."""
    shift = rostered_shift(history.floor, request.trainee, day)
    if shift is None or rostered_shift(history.floor, request.trainer, day) is None:
        return []
    return _assigned(history, request, day, shift)


def _assigned(history: History, request: Request, day: date, shift: str) -> list[Assignment]:
    """Ask on the afternoon before, and return what was asked: nothing where something stands against it."""
    floor = history.floor
    asked_at = min(history.now, floor.clock.moment(days_after(day, -1), 15 * 60))
    try:
        return assign(
            plan=_plan(floor, request, parsed(request.task), day, shift),
            by=floor.people[request.trainer],
            now=asked_at,
            seen=True,
            note=request.note,
        )
    except ClashError:
        return []


def _plan(floor: Floor, request: Request, key: Key, day: date, shift: str) -> Plan:
    code, scope = key
    line = Line.objects.filter(plant=floor.plant, code=scope.line or line_of(floor, request.trainee)).first()
    machine = Machine.objects.filter(line=line, code=scope.machine).first() if scope.machine else None
    return Plan(
        people=[floor.people[request.trainee]],
        tasks=[floor.tasks[code]],
        on=day,
        shift=Shift.objects.get(plant=floor.plant, name=shift),
        line=line,
        machine=machine,
        trainer=floor.people[request.trainer],
    )
