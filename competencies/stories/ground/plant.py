"""The plant that a story is played on, and what is usual where the story says nothing."""

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from competencies.importing.fields import Section
from competencies.models import Line, Machine, Person, Plant, Task
from competencies.operations.pins import Signer
from competencies.standing.facts import Scope
from competencies.vocabulary import ScopeKind

BEGINNING = datetime(1990, 1, 1, tzinfo=UTC)
USUAL_LINE, USUAL_MACHINE = "L1", "M1"
# Somebody entitled stands in wherever a story names nobody; one for each part, since the parts must differ.
STAND_INS = ("a supervising person", "an assessor", "a second signatory", "a coordinator")


@dataclass(slots=True)
class Ground:
    """What a story is played on."""

    plant: Plant
    zone: ZoneInfo
    founder: Signer
    people: dict[str, Person] = field(default_factory=dict)
    tasks: dict[str, Task] = field(default_factory=dict)
    entitled: set[int] = field(default_factory=set)
    entrusted: set[int] = field(default_factory=set)
    told: set[tuple[str, str]] = field(default_factory=set)
    founded: set[tuple[int, str, Scope, date]] = field(default_factory=set)

    def usual_scope(self, task: Task) -> Scope:
        """Return where a line or machine task is held when the story does not say."""
        if task.scope_kind == ScopeKind.SITE:
            return Scope()
        place = task.places.select_related("line", "machine").order_by("pk").first()
        if place is not None:
            return Scope(place.line.code, place.machine.code if place.machine else "")
        return Scope(USUAL_LINE, USUAL_MACHINE if task.scope_kind == ScopeKind.MACHINE else "")

    def told_scope(self, section: Section, task: Task) -> Scope:
        """Return where a story says that a task is, by its scope or by line and machine; else the usual place."""
        usual, is_machine = self.usual_scope(task), task.scope_kind == ScopeKind.MACHINE
        if section.has("scope"):
            told = Scope.parse(section.text("scope", longest=21))
            if not is_machine or told.machine or Line.objects.filter(plant=self.plant, code=told.line).exists():
                return told
            # One word for a machine task, and no line of that name: the machine.
            return Scope(usual.line, told.line)
        line, machine = section.text("line", longest=10), section.text("machine", longest=10)
        if task.scope_kind == ScopeKind.SITE or not (line or machine):
            return usual
        if not is_machine:
            return Scope(line or usual.line)
        here = task.places.filter(line__code=line).select_related("machine").order_by("pk").first()
        first = here.machine.code if here and here.machine else usual.machine
        return Scope(line or usual.line, machine or first)

    def signer(self, person: Person) -> Signer:
        """Return the person as one who has proved who they are."""
        return Signer(person, "story")


def founder_of(ground: Ground) -> Signer:
    """Return who signs for what was there from the beginning."""
    return ground.founder


def clock_of(minutes: int) -> time:
    """Return minutes after midnight as a time of the day."""
    return time(minutes // 60 % 24, minutes % 60)


def line_at(ground: Ground, code: str) -> Line:
    """Return the line of that code, made when a story first names it."""
    return Line.objects.get_or_create(plant=ground.plant, code=code, defaults={"title": code, "trainee_limit": 99})[0]


def machine_at(ground: Ground, scope: Scope) -> Machine | None:
    """Return the machine of a place, made when a story first names it, or None where the place has none."""
    if not scope.machine:
        return None
    line = line_at(ground, scope.line)
    return Machine.objects.get_or_create(line=line, code=scope.machine, defaults={"title": scope.machine})[0]
