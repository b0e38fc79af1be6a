"""Which slots a supervising person holds with a trainee, who then holds no other (R9.3). Pure."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

MOST_SLOTS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One place to be manned: its station, what is done there, and at which machine (None: at none in particular)."""

    station: int
    task: str
    machine: int | None = None
    is_critical: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """A trainee who learns a task on the shift under somebody."""

    trainee: int
    trainer: int
    task: str
    machine: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Supervision:
    """What the lessons of a shift mean for its slots.

    `fixed` names the supervising person by slot, `lessons` the lesson by slot. `loose` are lessons whose supervising
    person covers no slot by them: they do not count there, or one person may not watch so many (R9.3).
    """

    fixed: Mapping[int, int]
    lessons: Mapping[int, Lesson]
    loose: tuple[Lesson, ...]


def supervise(
    slots: Sequence[Slot],
    able: Sequence[Collection[int]],
    lessons: Iterable[Lesson],
    *,
    neighbours: Collection[tuple[int, int]] = (),
) -> Supervision:
    """Settle the slots at which somebody stands with a trainee.

    One to one on critical tasks; elsewhere up to two slots, if their stations are declared neighbours.

    Parameters
    ----------
    slots
        The slots of the line.
    able
        For each slot, who counts there.
    lessons
        Who learns what under whom on the shift.
    neighbours
        Pairs of stations next to each other, lower number first.

    """
    found: dict[int, Lesson] = {}
    loose = []
    for lesson in lessons:
        held = [slot for slot, other in found.items() if other.trainer == lesson.trainer]
        free = (
            place
            for place, slot in enumerate(slots)
            if place not in found
            and _is_there(slot, lesson)
            and lesson.trainer in able[place]
            and _may_join(slot, [slots[other] for other in held], neighbours)
        )
        place = next(free, None)
        if place is None:
            loose.append(lesson)
        else:
            found[place] = lesson
    fixed = {place: lesson.trainer for place, lesson in found.items()}
    return Supervision(fixed=fixed, lessons=found, loose=tuple(loose))


def _is_there(slot: Slot, lesson: Lesson) -> bool:
    return slot.task == lesson.task and (lesson.machine is None or lesson.machine == slot.machine)


def _may_join(slot: Slot, held: Sequence[Slot], neighbours: Collection[tuple[int, int]]) -> bool:
    """Whether whoever holds these slots with trainees may hold one more."""
    if not held:
        return True
    if len(held) >= MOST_SLOTS or slot.is_critical or any(other.is_critical for other in held):
        return False
    pairs = ((min(slot.station, other.station), max(slot.station, other.station)) for other in held)
    return all(pair in neighbours for pair in pairs)
