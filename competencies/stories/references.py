"""Notes a fault wherever a story names a task, an event, a line or a pathway that it does not tell of. Pure."""

from collections.abc import Collection, Iterable

from competencies.importing.fields import Section
from competencies.stories.story import Story, StoryEvent
from competencies.vocabulary import CorrectionCause

# What an entry should have said; and what was wrong with it, which a story may say in fewer letters.
INSTEAD_KEYS = ("person", "task", "scope", "on", "at", "shift", "revision")
SHORTER = {"double": CorrectionCause.DOUBLE_ENTRY, "error": CorrectionCause.ENTERED_IN_ERROR}
CAUSES = (*(cause.value for cause in CorrectionCause), *SHORTER)
NEEDED = {
    **dict.fromkeys(("run", "assessment", "acknowledgement", "recognition", "suspension"), ("person", "task")),
    **dict.fromkeys(("withdrawal", "performance"), ("person", "task")),
    "check": ("person", "calculation"),
    "unit_decision": ("person", "unit"),
    "enrolment": ("person", "pathway"),
    "correction": ("of",),
    "join": ("person", "into"),
    "part": ("person", "into", "of"),
    "rename": ("person", "name"),
    **dict.fromkeys(("check_owed", "attempts_reviewed"), ("person", "task")),
    "conflict": ("person", "with"),
}


def note_unknown_names(story: Story) -> None:
    """Note every name that leads nowhere. People need not be told of: they are made as they are named."""
    tasks = {task.code for task in story.tasks}
    about_tasks = [hold.section for hold in story.holds]
    about_tasks += [event.section for event in story.events] + [question.section for question in story.questions]
    _note(about_tasks, "task", tasks)
    for slot in story.slots:
        if slot.task not in tasks:
            slot.section.note("slots", "the story tells of no such task: %(task)s", task=slot.task)
    _note_unknown_slots(story)
    shifts = {shift.name for shift in story.shifts}
    _note([row.section for row in story.roster], "shift", shifts)
    _note([row.section for row in story.training], "shift", shifts)
    _note_missing(story)
    _note([event.section for event in story.events], "unit", {unit.code for unit in story.units})
    pathways = {pathway.code for pathway in story.pathways}
    _note([event.section for event in story.events], "pathway", pathways)
    questions = [question.section for question in story.questions]
    _note(questions, "pathway", pathways)
    about_lines = [section for section in questions if not section.has("person")]
    _note(about_lines, "line", {slot.line for slot in story.slots})
    _note_unknown_events(story)


def _note_missing(story: Story) -> None:
    for event in story.events:
        for key in _needed(event):
            if not event.section.has(key):
                event.section.note(key, "this is missing")


def _needed(event: StoryEvent) -> tuple[str, ...]:
    """Return the fields without which an event cannot be told; a decision is named by `of`, or by person and unit."""
    if event.kind in {"unit_reported", "moderation"} and not event.section.has("of"):
        return ("person", "unit")
    return NEEDED.get(event.kind, ())


def note_twins(root: Section) -> None:
    """Note a task, a person or a revision that is told of twice: which of the two is meant cannot be known."""
    for part, keys in (("tasks", ("code",)), ("people", ("id",)), ("revisions", ("task", "number"))):
        seen: set[tuple[str, ...]] = set()
        for section in root.sections(part):
            name = tuple(section.text(key, longest=30) for key in keys)
            if name in seen:
                section.note(keys[-1], "this is told twice")
            seen.add(name)


def _note(sections: Iterable[Section], key: str, known: Collection[str]) -> None:
    for section in sections:
        if section.has(key) and section.text(key, longest=30) not in known:
            section.note(key, "the story tells of no such %(what)s", what=key)


def _note_unknown_slots(story: Story) -> None:
    for line in story.lines:
        manned = {slot.task for slot in story.slots if slot.line == line.code}
        for key, sets in (("combinable", line.combinable), ("neighbours", line.neighbours), ("groups", line.groups)):
            for task in sorted({task for each in sets for task in each} - manned):
                line.section.note(key, "the line has no such slot: %(task)s", task=task)


def _note_unknown_events(story: Story) -> None:
    earlier: set[str] = set()
    tasks = {task.code for task in story.tasks}
    for event in story.events:
        if event.kind == "part":
            for text, line in event.section.lined_texts("of", longest=30):
                if text not in earlier:
                    event.section.faults.add(line, event.section.at("of"), "the story tells of no such event")
        else:
            _note([event.section], "of", earlier)
        _note([event.section], "twin", earlier)
        if event.kind == "correction":
            _note_correction(event.section, tasks)
        earlier.add(event.id)


def _note_correction(section: Section, tasks: Collection[str]) -> None:
    cause = section.text("cause", longest=40)
    if cause and cause not in CAUSES:
        section.note("cause", "one of these was expected: %(words)s", words=", ".join(CAUSES))
    inner = section.map_of("instead")
    if inner is not None:
        inner.expect(INSTEAD_KEYS)
        _note([inner], "task", tasks)
