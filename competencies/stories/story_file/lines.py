"""The lines of a story and who stands there: `lines`, `roster`, `training`."""

from competencies.importing.fields import Section
from competencies.importing.nodes import Scalar, Sequence
from competencies.standing.facts import Scope
from competencies.stories.story import StoryLine, StoryRoster, StorySlot, StoryTraining
from competencies.stories.story_file.values import day_told

PAIR = 2


def read_slots(section: Section) -> list[StorySlot]:
    """Return the stations of a line of `lines`."""
    section.expect(("code", "slots", "combinable", "neighbours", "groups", "relief"))
    line = section.code()
    return [
        StorySlot(
            line=line,
            task=text.partition("@")[0],
            scope=Scope.parse(text.partition("@")[2]) if "@" in text else None,
            section=section,
        )
        for text in section.texts("slots", longest=45)
    ]


def read_line(section: Section) -> StoryLine:
    """Return what is declared of a line of `lines`."""
    return StoryLine(
        code=section.text("code", longest=20),
        combinable=_task_sets(section, "combinable", PAIR),
        neighbours=_task_sets(section, "neighbours", PAIR),
        groups=_task_sets(section, "groups", None),
        relief=section.flag("relief"),
        section=section,
    )


def _task_sets(section: Section, key: str, size: int | None) -> tuple[tuple[str, ...], ...]:
    """Read a list of lists of tasks; a set may be one text, as "PK-06 + QC-04", and one set alone a plain list."""
    items = section.items(key)
    sets = [item.items if isinstance(item, Sequence) else (item,) for item in items]
    if len(items) > 1 and all(isinstance(item, Scalar) and "+" not in item.text for item in items):
        sets = [items]
    found = []
    for parts in sets:
        words = [part.text for part in parts if isinstance(part, Scalar)]
        if len(words) == 1:
            words = [word.strip() for word in words[0].split("+")]
        if size is not None and len(words) != size:
            section.note(key, "a list of pairs of tasks was expected, such as [[PK-06, QC-04]]")
        else:
            found.append(tuple(words))
    return tuple(found)


def read_roster(section: Section) -> StoryRoster:
    """Return a row of `roster`."""
    section.expect(("person", "line", "date", "until", "overtime_minutes", "shift"))
    return StoryRoster(
        person=section.text("person", longest=20, required=True),
        line=section.text("line", longest=10) or "L1",
        on=day_told(section, "date"),
        until_on=section.day("until"),
        overtime_minutes=section.whole("overtime_minutes", low=0, high=1440, default=0),
        shift=section.text("shift", longest=20) or "day",
        section=section,
    )


def read_training(section: Section) -> StoryTraining:
    """Return a row of `training`."""
    section.expect(("person", "task", "under", "line", "date", "shift"))
    return StoryTraining(
        person=section.text("person", longest=20, required=True),
        task=section.text("task", longest=20, required=True),
        under=section.text("under", longest=20, required=True),
        line=section.text("line", longest=10) or "L1",
        on=day_told(section, "date"),
        shift=section.text("shift", longest=20) or "day",
        section=section,
    )
