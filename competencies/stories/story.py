"""What a story holds, once its file was read. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from competencies.importing.faults import Faults
from competencies.importing.fields import Section
from competencies.standing.facts import Scope
from competencies.vocabulary import AuthorityKind, ChangeClass, Criticality, ScopeKind, SecondRole, YoungWorker


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryTask:
    """A task with its first terms; revision 1 has `criteria` criteria and was always in force."""

    code: str
    area: str
    scope_kind: ScopeKind
    criticality: Criticality
    runs: int
    distinct_shifts: int
    simulated_max: int
    ranges: Mapping[str, int]
    validity_months: int | None
    grace_days: int | None
    recency_days: int | None
    young_worker: YoungWorker
    requires: tuple[str, ...]
    refreshes: tuple[str, ...]
    is_recognisable: bool
    calculations: tuple[str, ...]
    criteria: int
    critical_criteria: tuple[int, ...]
    scope_criteria: tuple[int, ...]
    held_at: tuple[Scope, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryTerms:
    """Later terms of a task: only what the file names changes."""

    task: str
    effective_on: date
    changes: Mapping[str, object]
    recorded_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryPolicy:
    """Settings that change from a day on: only those that the file names."""

    effective_on: date
    settings: Mapping[str, object]
    recorded_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryRevision:
    """An issue of a task's procedure after the first."""

    task: str
    number: int
    approved_on: date
    effective_on: date
    change: ChangeClass
    touches: tuple[int, ...]
    criteria: int | None
    carries_runs: str
    recorded_at: datetime | None
    reclassified_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryGrant:
    """An authority of a person; no area means the whole plant."""

    kind: AuthorityKind
    area: str
    from_on: date
    until_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryPerson:
    """A person, what they are entrusted with, and their days."""

    id: str
    grants: tuple[StoryGrant, ...] = ()
    restricted_until: date | None = None
    last_day: date | None = None
    started_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryHold:
    """A sign-off that the story starts from, as if it had been made by the book."""

    person: str
    task: str
    assessed_on: date | None
    last_valid_on: date | None
    revision: int | None
    section: Section


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryEvent:
    """One thing that happens. `refused` holds the codes expected (empty and `is_refused`: any refusal)."""

    id: str
    kind: str
    section: Section
    happened_at: datetime
    on: date
    recorded_at: datetime
    is_refused: bool
    refused: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryUnit:
    """One version of a unit standard."""

    code: str
    version: int
    level: int
    credits: int
    group: str
    outcomes: Mapping[int, tuple[str, ...]]
    first_date: date | None
    last_date: date | None
    min_age: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryPathway:
    """A qualification: credits in all, by group, at a level, and pairs that count once."""

    code: str
    version: int
    total: int
    minimum: Mapping[str, int]
    maximum: Mapping[str, int]
    level: int
    level_credits: int
    exclusions: tuple[str, ...]
    last_enrolment: date | None
    last_achievement: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StorySlot:
    """A station of a line."""

    line: str
    task: str
    scope: Scope | None
    section: Section


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryLine:
    """What is declared of a line: pairs and groups of its stations, by task, and whether relief is wanted."""

    code: str
    combinable: tuple[tuple[str, ...], ...]
    neighbours: tuple[tuple[str, ...], ...]
    groups: tuple[tuple[str, ...], ...]
    relief: bool
    section: Section


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryRoster:
    """A person rostered at a line for a shift, on each day up to `until_on` where that is told, with overtime."""

    person: str
    line: str
    on: date
    until_on: date | None
    overtime_minutes: int
    shift: str
    section: Section

    @property
    def days(self) -> Iterator[date]:
        """Return every day told, both in."""
        last = self.until_on or self.on
        return (date.fromordinal(day) for day in range(self.on.toordinal(), last.toordinal() + 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryTraining:
    """A trainee who stands at a station under somebody, who is then used up there."""

    person: str
    task: str
    under: str
    line: str
    on: date
    shift: str
    section: Section


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryShift:
    """A shift with its local start and end in minutes after midnight."""

    name: str
    starts: int
    ends: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryQuestion:
    """A question with the answers that are expected; which are asked is told by the section's keys."""

    line: int
    section: Section
    at: datetime | None
    on: date | None
    known_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """A whole story."""

    title: str
    file: str
    timezone: str
    faults: Faults
    policy: Mapping[str, object] = field(default_factory=dict)
    shifts: tuple[StoryShift, ...] = ()
    tasks: tuple[StoryTask, ...] = ()
    policies: tuple[StoryPolicy, ...] = ()
    terms: tuple[StoryTerms, ...] = ()
    revisions: tuple[StoryRevision, ...] = ()
    people: tuple[StoryPerson, ...] = ()
    holds: tuple[StoryHold, ...] = ()
    events: tuple[StoryEvent, ...] = ()
    units: tuple[StoryUnit, ...] = ()
    pathways: tuple[StoryPathway, ...] = ()
    slots: tuple[StorySlot, ...] = ()
    lines: tuple[StoryLine, ...] = ()
    roster: tuple[StoryRoster, ...] = ()
    training: tuple[StoryTraining, ...] = ()
    questions: tuple[StoryQuestion, ...] = ()


SECOND_GRANTS = {SecondRole.FOOD: AuthorityKind.SIGN_FOOD, SecondRole.SAFETY: AuthorityKind.SIGN_SAFETY}
