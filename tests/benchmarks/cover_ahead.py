"""A week of cover read in one go, against shift by shift; a year staffed where it changes, against day by day."""

from datetime import date, timedelta

from competencies.models import Shift
from competencies.queries.cover import covers_of, covers_over
from competencies.standing.ahead import Days, Spell, stretches
from competencies.standing.staffing import needs_of, staff_needs
from tests import factories as make
from tests.benchmarks.figure import Figure, medians_ms

NAME = "cover_ahead"
LINES, STATIONS, CREW = 3, 3, 4
FIRST, YEAR = date(2026, 1, 1), 364
SLOTS, PEOPLE = 6, 12


def figures():
    """Return what a week costs as a multiple of its shifts one by one, and a year as one of its days."""
    lines, shifts, days = plant()
    spells = year()
    whole, one_by_one, changes, every_day = medians_ms(
        lambda: covers_over(lines=lines, shifts=shifts, days=days),
        lambda: [covers_of(lines=lines, shift=shift, on=day) for day in days for shift in shifts],
        lambda: stretches(spells, slots=SLOTS, days=Days(FIRST, FIRST + timedelta(days=YEAR - 1))),
        lambda: [staffed(spells, FIRST + timedelta(days=step)) for step in range(YEAR)],
        rounds=3,
    )
    return [
        Figure(
            name=f"week of {LINES} lines",
            unit="ms",
            measured=whole,
            baseline_name=f"its {len(days) * len(shifts)} shifts one by one",
            baseline=one_by_one,
            goal=0.35,
        ),
        Figure(
            name=f"year of {SLOTS} slots, {PEOPLE} people",
            unit="ms",
            measured=changes,
            baseline_name=f"its {YEAR} days one by one",
            baseline=every_day,
            goal=0.25,
        ),
    ]


def plant():
    """Return the lines, shifts and days of a plant on which each line has a crew on every day shift."""
    floor = make.make_floor()
    tasks = [make.make_task(floor.area, f"PK-1{number}") for number in range(STATIONS)]
    days = [make.today() + timedelta(days=step) for step in range(7)]
    lines = []
    for number in range(LINES):
        line = make.make_line(floor.plant, f"B{number}", f"Line {number}")
        lines.append(line)
        for task in tasks:
            make.make_station(line, task)
        for member in range(CREW):
            person = make.make_person(floor.plant, f"Worker {number}{member}")
            for task in tasks[: member + 1]:
                make.hold(person, task)
            for ago in range(7):
                make.roster(person, line=line, ago=-ago)
    return lines, list(Shift.objects.filter(plant=floor.plant)), days


def year():
    """Return who could stand where: each person at three slots, each until another day of the year."""
    return [
        Spell(
            person=person,
            slot=(person + step) % SLOTS,
            days=Days(FIRST, FIRST + timedelta(days=40 + 25 * person + 7 * step)),
        )
        for person in range(PEOPLE)
        for step in range(3)
    ]


def staffed(spells, day):
    """Return the slots that are short on a day, asked of that day alone."""
    able = [
        [spell.person for spell in spells if spell.slot == slot and spell.days.from_on <= day <= spell.days.until_on]
        for slot in range(SLOTS)
    ]
    return staff_needs(needs_of(able)).short
