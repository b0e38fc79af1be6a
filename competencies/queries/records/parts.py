"""What a progress record is made of: all of it follows from the ledger and the syllabus, for a day, as known."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from competencies.models import Person
from competencies.standing.credits import Distance
from competencies.standing.facts import Scope
from competencies.standing.readiness import PurposeKind, RangeProgress
from competencies.standing.signoffs import State
from competencies.standing.timeline import Period, Reason, Step
from competencies.vocabulary import AuthorityKind, Criticality, EntryKind, Judgement, Meaning


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """Who stands behind an entry, and when it was written down, in the plant's zone.

    `name` is the one that was true at signing, "" where it has been erased; `recorded_late_on` is set on an entry
    that was written down later than the plant's policy allows (R2.6).
    """

    seq: int
    person_id: int
    name: str
    meaning: Meaning | None
    role: AuthorityKind | None
    signed_at: datetime
    recorded_late_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOffLine:
    """The assessment a standing rests on, with its signatures; `effective_on` is the day of the last one (R2.5).

    `purpose` is what it was for: None where the entry does not say.
    """

    purpose: PurposeKind | None
    assessed_on: date
    effective_on: date
    revision: int
    assessor: Signed
    seconds: tuple[Signed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunTally:
    """How many supervised runs count, on how many shifts, with which range; `needed` is 0 where none is asked."""

    counted: int
    needed: int
    distinct_shifts: int
    distinct_shifts_needed: int
    ranges: tuple[RangeProgress, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """Where the person stands on one task in one scope at the end of the day.

    `scope` is None where no place is known: the pathway needs the task and the person has not begun it.
    `calculations` gives for each one asked the day of the last check that serves, or None. `missing` is everything
    that still stands between the person and an assessment.
    """

    code: str
    title: str
    scope: Scope | None
    criticality: Criticality
    is_needed: bool
    period: Period
    signoff: SignOffLine | None
    tally: RunTally
    calculations: tuple[tuple[str, date | None], ...]
    missing: tuple[Reason, ...]
    prerequisites_missing: tuple[str, ...]

    @property
    def is_begun(self) -> bool:
        """Whether there is an entry of the person's on the task."""
        return self.scope is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunLine:
    """One supervised run; it counts where `reasons` is empty."""

    seq: int
    on: date
    shift: str
    task: str
    scope: Scope
    revision: int
    signed: Signed
    reasons: tuple[Reason, ...]
    range_values: Mapping[str, str]
    is_drill: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckLine:
    """One calculation check that was passed: `right` of `problems` (None where the entry does not say)."""

    seq: int
    on: date
    calculation: str
    right: int | None
    problems: int | None
    signed: Signed


@dataclass(frozen=True, slots=True, kw_only=True)
class AttemptLine:
    """An assessment that gave no sign-off: not yet competent, without its second signature, or annulled.

    `open_criteria` are those not met or not seen, with their words; `feedback` and `practise` what the assessor wrote.
    """

    seq: int
    on: date
    task: str
    scope: Scope
    revision: int
    state: State
    open_criteria: tuple[tuple[int, str, Judgement], ...]
    feedback: str
    practise: str
    signed: Signed


@dataclass(frozen=True, slots=True, kw_only=True)
class EventLine:
    """A decision that changed a standing: a suspension, a withdrawal, a recognition; `of` is the entry it acts on."""

    seq: int
    kind: EntryKind
    on: date
    task: str
    scope: Scope
    of: int | None
    note: str
    signed: Signed


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionLine:
    """An entry that was made in error, and the correction that says so; both stay readable."""

    seq: int
    of: int
    of_kind: EntryKind | None
    of_on: date | None
    task: str
    scope: Scope
    on: date
    cause: str
    note: str
    signed: Signed


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLine:
    """One unit standard of the pathway; `missing` gives for each outcome the tasks and calculations still wanted.

    `is_refused`: a moderator disagreed before it was reported. `instead` is the unit that counts in its place; `flags`
    tell the moderator what has become of the sign-offs behind it.
    """

    code: str
    version: int
    title: str
    level: int
    credits: int
    group: str
    missing: Mapping[int, tuple[str, ...]]
    decided_on: date | None
    is_from_elsewhere: bool
    signed: Signed | None
    counted: int
    surplus: int
    reported_on: date | None = None
    is_disputed: bool = False
    is_refused: bool = False
    instead: tuple[str, int] | None = None
    flags: tuple[Reason, ...] = ()

    @property
    def outcomes_met(self) -> int:
        """Return how many outcomes stand."""
        return sum(1 for missing in self.missing.values() if not missing)

    @property
    def is_in_part(self) -> bool:
        """Whether some outcome stands and the unit is not decided."""
        return self.decided_on is None and self.outcomes_met > 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PathwayLine:
    """A version of a pathway the person is or was on, with the distance on each of its rules in credits.

    `left_on` is the day of moving to another version; the award is held since `held_since` for the `disputed` units.
    """

    code: str
    version: int
    title: str
    core: str
    level: int
    enrolled_on: date | None
    left_on: date | None
    total: int
    asked: int
    surplus: int
    distances: tuple[Distance, ...]
    core_missing: tuple[str, ...]
    awarded_on: date | None
    held_since: date | None
    disputed: tuple[str, ...]
    units: tuple[UnitLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NextAction:
    """Something to do next: a step, or a calculation check where `calculation` names one; by `until` where known."""

    step: Step
    calculation: str = ""
    until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One line that reads differently: `before` and `after` are the lines, None where there is none."""

    kind: str
    name: str
    before: object | None
    after: object | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgressRecord:
    """Everything a printed progress record says, as of the end of the day `as_of`.

    `known` is the second clock (None: all that is known) and `size` the number of ledger entries that were read.
    `since` are the lines that read differently today for the same day, as known now.
    """

    person: Person
    as_of: date
    known: datetime | None
    size: int
    pathways: tuple[PathwayLine, ...]
    tasks: tuple[TaskLine, ...]
    runs: tuple[RunLine, ...]
    checks: tuple[CheckLine, ...]
    attempts: tuple[AttemptLine, ...]
    events: tuple[EventLine, ...]
    corrections: tuple[CorrectionLine, ...]
    next_actions: tuple[NextAction, ...]
    since: tuple[Difference, ...] = ()

    @property
    def signed(self) -> tuple[Signed, ...]:
        """Return every signature that stands on the record, by its place in the ledger."""
        found: list[Signed] = [each.signed for each in self.runs]
        found += [each.signed for each in self.checks]
        found += [each.signed for each in self.attempts]
        found += [each.signed for each in self.events]
        found += [each.signed for each in self.corrections]
        found += [unit.signed for pathway in self.pathways for unit in pathway.units if unit.signed]
        for line in self.tasks:
            if line.signoff:
                found += [line.signoff.assessor, *line.signoff.seconds]
        return tuple(sorted({each.seq: each for each in found}.values(), key=lambda each: each.seq))
