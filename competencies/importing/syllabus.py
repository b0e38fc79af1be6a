"""A syllabus as plain rows: what a file says, and what the plant has now, in one shape. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from competencies.vocabulary import ChangeClass, Criticality, ScopeKind, YoungWorker


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaRow:
    """A part of the plant that a set of tasks belongs to."""

    code: str
    title: str
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineRow:
    """A machine type at a line. `line` is the line of the file, here and below."""

    code: str
    title: str
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRow:
    """A line with its machines."""

    code: str
    title: str
    machines: tuple[MachineRow, ...] = ()
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class CalculationAsked:
    """A worked calculation that a task asks for: problems in a check, and how many must be right."""

    code: str
    problems: int = 5
    pass_mark: int = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class TermsRow:
    """What a task asks. None: `validity_months` never ends; `grace_days`, `recency_days` as the plant's policy."""

    runs: int = 1
    distinct_shifts: int = 1
    simulated_max: int = 0
    ranges: Mapping[str, int] = field(default_factory=dict)
    validity_months: int | None = 12
    young_worker: YoungWorker = YoungWorker.OPEN
    min_age: int | None = None
    grace_days: int | None = None
    recency_days: int | None = None
    prerequisites: frozenset[str] = frozenset()
    prerequisite_places: Mapping[str, frozenset[str]] = field(default_factory=dict)
    refreshes: frozenset[str] = frozenset()
    calculations: tuple[CalculationAsked, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionRow:
    """One observable thing that the person does."""

    text: str
    is_critical: bool = False
    is_scope_specific: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    """A quantity the person measures; a result in words has `target_text` and no numbers."""

    name: str
    unit: str = ""
    target: Decimal | None = None
    target_text: str = ""
    low: Decimal | None = None
    high: Decimal | None = None
    paired_tolerance: Decimal | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureRow:
    """One issue of a task's procedure, without its number and dates."""

    criteria: tuple[CriterionRow, ...] = ()
    readings: tuple[ReadingRow, ...] = ()
    hazards: tuple[str, ...] = ()
    protective_equipment: tuple[str, ...] = ()
    evidence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """What the file itself says of a changed procedure; what it leaves open is asked when it is imported.

    `carries_runs` is the part of the runs made before that carries over, as "1/2"; empty: the plant's policy says.
    """

    change: ChangeClass | None = None
    approved_on: date | None = None
    effective_on: date | None = None
    note: str = ""
    touches: tuple[int, ...] | None = None
    carries_runs: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskRow:
    """A task: where it belongs, what it asks, and its procedure. `places` are "L1" or "L1/F1"."""

    code: str
    title: str
    area: str
    level: int = 2
    scope: ScopeKind = ScopeKind.SITE
    critical: Criticality = Criticality.NONE
    places: frozenset[str] = frozenset()
    recognisable: bool = True
    terms: TermsRow = field(default_factory=TermsRow)
    procedure: ProcedureRow = field(default_factory=ProcedureRow)
    release: Release = field(default_factory=Release, compare=False)
    line: int = field(default=0, compare=False)
    field_lines: Mapping[str, int] = field(default_factory=dict, compare=False)

    def line_of(self, name: str) -> int:
        """Return the line of a field of the file, or the task's where it is not known."""
        return self.field_lines.get(name, self.line)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRow:
    """One version of a unit standard. An outcome's items are task codes, or `calc:` and a calculation's code."""

    code: str
    title: str
    level: int
    credits: int
    group: str
    version: int = 1
    outcomes: tuple[tuple[str, ...], ...] = ()
    first_date_for_assessment: date | None = None
    last_date_for_assessment: date | None = None
    min_age: int | None = None
    line: int = field(default=0, compare=False)

    @property
    def key(self) -> str:
        """Return code and version as one word, such as U304v2."""
        return f"{self.code}v{self.version}"


@dataclass(frozen=True, slots=True, kw_only=True)
class QualificationRow:
    """A pathway: credits in all, its rules as the file states them, and the pairs of units that count once."""

    code: str
    title: str
    min_total_credits: int
    version: int = 1
    rules: tuple[Mapping[str, object], ...] = ()
    exclusions: tuple[tuple[str, ...], ...] = ()
    last_date_to_enrol: date | None = None
    last_date_to_achieve: date | None = None
    line: int = field(default=0, compare=False)

    @property
    def key(self) -> str:
        """Return code and version as one word."""
        return f"{self.code}v{self.version}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SyllabusFile:
    """A whole syllabus, or the part of one that a file holds. `calculations` are the codes a task may ask for."""

    areas: tuple[AreaRow, ...] = ()
    lines: tuple[LineRow, ...] = ()
    calculations: tuple[str, ...] = ()
    tasks: tuple[TaskRow, ...] = ()
    units: tuple[UnitRow, ...] = ()
    qualifications: tuple[QualificationRow, ...] = ()


NO_SYLLABUS = SyllabusFile()


def place_codes(syllabus: SyllabusFile) -> frozenset[str]:
    """Return every place of the plant, "L1" for a line and "L1/F1" for a machine type at it."""
    lines = {line.code for line in syllabus.lines}
    machines = {f"{line.code}/{machine.code}" for line in syllabus.lines for machine in line.machines}
    return frozenset(lines | machines)
