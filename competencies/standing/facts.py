"""What happened, as the standing rule reads it: frozen facts, one class a kind of entry.

Every fact carries two clocks. `happened_at` is the moment on the floor and drives the logic;
`recorded_at` is the server's moment and only picks what was known. Both are aware datetimes
in UTC; `on` is the plant's local date of `happened_at`. `seq` is the place in the ledger.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from competencies.vocabulary import ConflictCause, Judgement, Outcome, SecondRole


@dataclass(frozen=True, slots=True, order=True)
class Scope:
    """What a sign-off serves: the site (both empty), a line, or a machine type at a line."""

    line: str = ""
    machine: str = ""

    def __str__(self) -> str:
        """Return "" for the site, "L1" for a line, "L1/F1" for a machine."""
        return f"{self.line}/{self.machine}" if self.machine else self.line

    @classmethod
    def parse(cls, text: str) -> "Scope":
        """Return the scope that `str()` wrote."""
        line, _, machine = text.partition("/")
        return cls(line, machine)


SITE = Scope()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One thing that happened to one person; `task` is empty where no task is meant.

    An entry that was made in place of a corrected one has that entry's place in `stands_for`; `first_seq` and
    `first_recorded_at` are the place and the moment of the first of a chain of such entries (R7).
    """

    seq: int
    person: int
    happened_at: datetime
    recorded_at: datetime
    on: date
    task: str = ""
    scope: Scope = SITE
    by: int | None = None
    stands_for: int | None = None
    first_seq: int | None = None
    first_recorded_at: datetime | None = None

    @property
    def place(self) -> int:
        """Return the place in the ledger that counts for the order of things: that of the first entry made of it."""
        return self.seq if self.first_seq is None else self.first_seq

    @property
    def written_at(self) -> datetime:
        """Return when it was first written down, which decides whether it was late (R2.6)."""
        return self.first_recorded_at or self.recorded_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Run(Fact):
    """One supervised performance. `by` is the supervising person; `on` the date the shift starts.

    `confirmed_at` is when the supervising person confirmed it (None: not confirmed yet).
    `range_values` maps a range's name (e.g. "bottle size") to the value this run showed.
    """

    shift: str
    revision: int
    confirmed_at: datetime | None
    simulated: bool = False
    stopped: bool = False
    range_values: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunAccepted(Fact):
    """The coordinator accepts a run that was confirmed late (R1.2)."""

    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Check(Fact):
    """A calculation check taken under supervision; `by` opened it."""

    calculation: str
    passed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessment(Fact):
    """An assessor's signed judgement of one performance. `by` is the assessor.

    `judged` maps the number of each judged criterion to the judgement. `delta` marks the judging of the
    criteria a major revision touched (R4.4); a full assessment leaves it False.
    """

    revision: int
    outcome: Outcome
    judged: Mapping[int, Judgement] = field(default_factory=dict)
    delta: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondSignature(Fact):
    """The second signature on an assessment, by a person holding the roles named."""

    of: int
    roles: frozenset[SecondRole]


@dataclass(frozen=True, slots=True, kw_only=True)
class Acknowledgement(Fact):
    """The holder has read and understood a revision."""

    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Recognition(Fact):
    """Evidence from elsewhere judged adequate here (R11); cuts the runs, never the assessment.

    `evidence_on` is the date of the outside evidence, `evidence_ends_on` the last day of the outside certificate.
    `criteria` are those granted (empty: all). `range_values` maps a range's name to the values it shows.
    """

    evidence_on: date
    evidence_ends_on: date | None = None
    criteria: frozenset[int] = frozenset()
    runs_needed: int = 1
    range_values: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Performance(Fact):
    """The person did the task on the job (work log), or supervised or assessed it (R3.5)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspension(Fact):
    """Looking into it: stops now, no fault recorded (R6.1)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifting(Fact):
    """Lifts the suspension `of`."""

    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawal(Fact):
    """Competence taken back for cause (R6.2)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckOwed(Fact):
    """An extra check at once, whatever the date (R3.7); `cause` is a code."""

    cause: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Annulment(Fact):
    """The sign-off `of` was never in force, as known from now on (R6.4).

    `cause` is a code of `AnnulmentCause` ("" in older entries); `unentitled_from` is the first day on which the
    assessor was not entitled, from which on their other sign-offs are in doubt.
    """

    of: int
    cause: str = ""
    unentitled_from: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Review(Fact):
    """The sign-off `of` is under review since `happened_at` because its assessor was not entitled (R6.4).

    `cause` is a code of `DoubtCause` ("" in older entries); `annulment` is the annulment that put it in doubt, if any.
    """

    of: int
    cause: str = ""
    annulment: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reverification(Fact):
    """The sign-off `of` was looked at again and stands."""

    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction(Fact):
    """The entry `of` was entered in error.

    `instead` is the entry that says what it should have said, `twin` the one that it was a double of. `other` is who
    watched or judged in the corrected entry: it told of them as well.
    """

    of: int
    instead: int | None = None
    twin: int | None = None
    other: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleJoined(Fact):
    """The records `person` and `other` are one person: the entries of `other` count for `person` (R7)."""

    other: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleParted(Fact):
    """The `entries` on the record `person` are about another person, whose record is `other` (R7)."""

    other: int
    entries: frozenset[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Employment(Fact):
    """What the rule needs to know of the person's employment; the newest known entry holds for its time of it.

    One that starts after the last day known so far tells of a return; the time before stays as it was known.

    `restricted_until` is the first day on which the young-worker bar no longer holds (None: no bar).
    """

    started_on: date | None = None
    last_day: date | None = None
    restricted_until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InitialTrainer(Fact):
    """The procedure owner names a first trainer for a task, or for a revision of it (R4.10)."""

    revision: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Absence(Fact):
    """A long absence: last day worked (`on`) and first day back."""

    back_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AttemptsReviewed(Fact):
    """The coordinator reviewed three not yet competent in a row; a fourth attempt may be made (R5.2)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutcomeSeen(Fact):
    """The trainee has seen the outcome of the assessment `of` (R2.7)."""

    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Appeal(Fact):
    """The trainee appeals against the assessment `of`: the next is judged by another assessor (R2.7)."""

    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict(Fact):
    """A conflict of interest between `person` and the person `other`, both ways, from a day to a day (R2.2).

    Of several declarations on the same two people and `cause` the newest holds.
    """

    other: int
    cause: ConflictCause
    valid_from: date
    valid_until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitDecision(Fact):
    """An assessor for the unit decided that it is achieved (R8.1); `unit` is "U304" with its version.

    `evidence` are the ledger places it rests on: sign-offs with their signatures, and checks.
    """

    unit: str
    version: int
    elsewhere: bool = False
    evidence: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitReported(Fact):
    """The decision `of` was reported to the training body on the day `on` (R8.8)."""

    of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Moderation(Fact):
    """A moderator looked at the decision `of` and agrees with it, or does not (R8.8)."""

    of: int
    agrees: bool
