"""The lines of a story: their stations, what is declared of them, who is rostered and who learns there."""

from datetime import date

from competencies.models import Assignment, CoverRule, Line, RosterDay, Shift, Station
from competencies.standing.facts import Scope
from competencies.stories.ground.people import entitled_person
from competencies.stories.ground.plant import BEGINNING, Ground, line_at, machine_at
from competencies.stories.ground.signoffs import scope_below
from competencies.stories.story import Story, StoryLine
from competencies.vocabulary import CoverRuleKind


def set_stations(ground: Ground, story: Story) -> None:
    """Put up the lines' stations, and the trainees who stand at them."""
    for slot in story.slots:
        task = ground.tasks[slot.task]
        scope = slot.scope or scope_below(ground, task, Scope(slot.line))
        line = line_at(ground, slot.line)
        machine = machine_at(ground, Scope(slot.line, scope.machine)) if scope.machine else None
        station, is_new = Station.objects.get_or_create(line=line, task=task, machine=machine)
        if not is_new:
            station.needed += 1
            station.save(update_fields=["needed"])
    _lay_roster(ground, story)
    for told in story.lines:
        _declare(line_at(ground, told.code), told)
    for row in story.training:
        Assignment.objects.create(
            plant=ground.plant,
            person=entitled_person(ground, row.person),
            task=ground.tasks[row.task],
            line=line_at(ground, row.line),
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
        person, line = entitled_person(ground, row.person), line_at(ground, row.line)
        for on in row.days:
            told = {"line": line, "overtime_minutes": row.overtime_minutes}
            RosterDay.objects.update_or_create(person=person, on=on, shift=shifts[row.shift], defaults=told)
