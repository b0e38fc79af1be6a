"""Asks a played story about cover: of a line on a shift, and of one person on it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from competencies.importing.fields import Section
from competencies.importing.nodes import Mapping as MapNode
from competencies.importing.nodes import Scalar
from competencies.models import Line, Person, Shift, Task
from competencies.queries.cover import covers_of, station_depths
from competencies.queries.facts import rule_of
from competencies.queries.frame import frame_of
from competencies.queries.line_cover import LineCover, SlotCover
from competencies.standing.calendar import clock_of
from competencies.standing.cover import judge_shift
from competencies.stories.answer import Answer, listed, words, yes
from competencies.stories.ground import entitled_person, roster_for
from competencies.stories.player import Play
from competencies.stories.story import StoryQuestion

CLOCK_LENGTH = len("10:40")


@dataclass(frozen=True, slots=True)
class _Asked:
    """A question about a line on a shift, with the cover that the pages show."""

    question: StoryQuestion
    playing: Play
    cover: LineCover

    @property
    def section(self) -> Section:
        return self.question.section

    def answer(self, what: str, expected: str, got: str) -> Answer:
        told = f"{self.cover.line.code} {self.cover.on} {self.cover.shift.name}"
        return Answer(self.question.line, f"{told}: {what}", expected, got)


def about_cover(playing: Play, question: StoryQuestion) -> list[Answer]:
    """Return the answers to a question about a line."""
    section, plant = question.section, playing.ground.plant
    line = Line.objects.select_related("plant").get(plant=plant, code=section.text("line", longest=10))
    found = _shift_and_day(playing, question)
    if found is None:
        return []
    shift, on = found
    roster_for(playing.ground, playing.story, line, on, shift)
    missing = words(section, "without") if section.has("without") else ()
    without = [entitled_person(playing.ground, name).pk for name in missing]
    cover = covers_of(lines=[line], shift=shift, on=on, known=question.known_at, without=without)[0]
    asked = _Asked(question, playing, cover)
    return [answer for key, answers in _ANSWERS.items() if section.has(key) for answer in answers(asked)]


def about_person_on_shift(playing: Play, question: StoryQuestion) -> list[Answer]:
    """Return whether a person counts for a task on a whole shift, and why not (R9.1)."""
    section = question.section
    found = _shift_and_day(playing, question)
    if found is None:
        return []
    shift, on = found
    person = entitled_person(playing.ground, section.text("person", longest=20))
    task = Task.objects.get(plant=playing.ground.plant, code=section.text("task", longest=20))
    scope = playing.ground.told_scope(section, task)
    frame = frame_of(playing.ground.plant)
    timeline = rule_of(person, known=question.known_at).timeline(task.code, scope)
    verdict = judge_shift(timeline, frame.shifts[shift.name], on, frame)
    asked = f"{person.name} {task.code} {on} {shift.name}"
    answers = []
    if section.has("counts"):
        answers.append(Answer(question.line, f"{asked}: counts", yes(section.flag("counts")), yes(verdict.counts)))
    if section.has("reasons"):
        codes = {reason.code for reason in verdict.reasons}
        answers.append(_among(question, f"{asked}: reasons", words(section, "reasons"), codes))
    return answers


def _shift_and_day(playing: Play, question: StoryQuestion) -> tuple[Shift, date] | None:
    name, on = shift_asked(playing, question)
    shift = Shift.objects.filter(plant=playing.ground.plant, name=name).first()
    if shift is None:
        question.section.note("shift", "the story tells of no such shift")
        return None
    return shift, on


def shift_asked(playing: Play, question: StoryQuestion) -> tuple[str, date]:
    """Return the shift a question is about: `shift: {date, name}`, a name beside `on`, or the one that runs `at`."""
    section = question.section
    if section.has("shift") and not isinstance(section.nodes["shift"][1], Scalar):
        told = section.map_of("shift")
        return (told.text("name", longest=20) or "day", told.day("date") or date.max) if told else ("day", date.max)
    if question.at is None:
        return section.text("shift", longest=20) or "day", question.on or date.max
    return _running(playing, question.at, section.text("shift", longest=20))


def _running(playing: Play, moment: datetime, wanted: str) -> tuple[str, date]:
    """Return the shift that runs at a moment, the one named if there is one."""
    frame = frame_of(playing.ground.plant)
    clock = clock_of(frame.timezone)
    today = clock.day(moment)
    for on in (today, date.fromordinal(today.toordinal() - 1)):
        for name, shift in frame.shifts.items():
            start, end = clock.shift_bounds(shift, on)
            if start <= moment < end and name == (wanted or name):
                return name, on
    return wanted or "day", today


def _among(question: StoryQuestion, asked: str, told: tuple[str, ...], codes: set[str]) -> Answer:
    """Every code told must be there, others may be; where none is told there must be none."""
    is_right = set(told) <= codes if told else not codes
    return Answer(question.line, asked, listed(told), listed(told) if is_right else listed(codes))


def _covered(asked: _Asked) -> list[Answer]:
    at = asked.question.at
    got = asked.cover.is_covered if at is None else asked.cover.is_covered_at(at)
    return [asked.answer("covered", yes(asked.section.flag("cover")), yes(got))]


def _short(asked: _Asked) -> list[Answer]:
    got = listed(slot.station.task.code for slot in asked.cover.short)
    return [asked.answer("short", listed(words(asked.section, "short")), got)]


def _covered_until(asked: _Asked) -> list[Answer]:
    expected = asked.section.text("covered_until", longest=25)
    until = asked.cover.covered_until
    if until is None:
        return [asked.answer("covered until", expected, "none")]
    local = until.astimezone(asked.playing.ground.zone)
    got = f"{local:%H:%M}" if len(expected) == CLOCK_LENGTH else f"{local:%Y-%m-%dT%H:%M}"
    return [asked.answer("covered until", expected, got)]


def _placed(asked: _Asked) -> list[Answer]:
    return _by_station(
        asked, "placed", lambda slots: [slot.person.name if slot.person else "nobody" for slot in slots]
    )


def _relief(asked: _Asked) -> list[Answer]:
    def free(slots: Sequence[SlotCover]) -> list[str]:
        return [person.name for person in dict.fromkeys(person for slot in slots for person in slot.relief)] or [
            "nobody"
        ]

    return _by_station(asked, "relief", free)


def _depth(asked: _Asked) -> list[Answer]:
    """Answer by station, or with the lowest of all where one figure is told."""
    depths = {each.station.task.code: str(each.depth.survives) for each in station_depths(asked.cover)}
    if isinstance(asked.section.nodes["depth"][1], Scalar):
        return [asked.answer("depth", asked.section.text("depth", longest=9), min(depths.values(), default="none"))]
    return _told(asked, "depth", depths)


def _hangs_on(asked: _Asked) -> list[Answer]:
    hanging = {each.station.task.code: listed(_names(each.hangs_on)) for each in station_depths(asked.cover)}
    return _told(asked, "hangs_on", hanging)


def _names(people: tuple[Person, ...]) -> list[str]:
    return [person.name for person in people]


def _warnings(asked: _Asked) -> list[Answer]:
    """Answer with the codes of all people, or by person."""
    found: dict[str, set[str]] = {person.name: {each.code for each in said} for person, said in asked.cover.hours}
    for slot in asked.cover.slots:
        if slot.person is not None:
            found.setdefault(slot.person.name, set()).update(each.code for each in slot.warnings)
    section = asked.section
    told = section.map_of("warnings") if _is_map(section, "warnings") else None
    if told is None:
        everything = {code for codes in found.values() for code in codes}
        return [_among(asked.question, f"{asked.cover.on}: warnings", words(section, "warnings"), everything)]
    return [
        _among(asked.question, f"{asked.cover.on} {name}: warnings", words(told, name), found.get(name, set()))
        for name in told.nodes
    ]


def _is_map(section: Section, key: str) -> bool:
    return isinstance(section.nodes[key][1], MapNode)


def _by_station(asked: _Asked, key: str, got: Callable[[Sequence[SlotCover]], list[str]]) -> list[Answer]:
    slots: dict[str, list[SlotCover]] = {}
    for slot in asked.cover.slots:
        slots.setdefault(slot.station.task.code, []).append(slot)
    return _told(asked, key, {code: listed(got(found)) for code, found in slots.items()})


def _told(asked: _Asked, key: str, got: Mapping[str, str]) -> list[Answer]:
    told = asked.section.map_of(key)
    if told is None:
        return []
    return [
        asked.answer(f"{key} {code}", listed(words(told, code)), got.get(code, "no such slot")) for code in told.nodes
    ]


_ANSWERS: Mapping[str, Callable[[_Asked], list[Answer]]] = {
    "cover": _covered,
    "short": _short,
    "covered_until": _covered_until,
    "placed": _placed,
    "relief": _relief,
    "depth": _depth,
    "hangs_on": _hangs_on,
    "warnings": _warnings,
}
