"""How far a person is on a task, and what an assessment on a day would be (R1, R2.1, R3.4, R4.4, R5.1). Pure."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from competencies.standing.facts import Scope
from competencies.standing.framework import Wanted
from competencies.standing.timeline import Reason


class PurposeKind(StrEnum):
    """What an assessment on a day would be."""

    INITIAL = "initial"
    CONVERSION = "conversion"
    RENEWAL = "renewal"
    DELTA = "delta"
    RETURN_AFTER_LAPSE = "return_after_lapse"
    RETURN_AFTER_WITHDRAWAL = "return_after_withdrawal"
    REASSESSMENT = "reassessment"


@dataclass(frozen=True, slots=True, kw_only=True)
class Purpose:
    """What is asked of an assessment: `criteria` to judge, `runs` wanted first, on procedure `revision`.

    All `runs` must be made after `after` (None: any that counts), and `fresh_runs` of them after `fresh_after`, a
    place in the order of things (R5.1).
    `is_delta`: only the changes of a revision are judged (R4.4), also when that is done again.
    """

    kind: PurposeKind
    rule: str
    revision: int
    criteria: tuple[int, ...]
    runs: int
    distinct_shifts: int
    ranges: Mapping[str, int] = field(default_factory=dict)
    after: datetime | None = None
    fresh_runs: int = 0
    fresh_after: tuple[datetime, int] | None = None
    is_delta: bool = False
    calculations: tuple[str, ...] = ()
    prerequisites: tuple[Wanted, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeProgress:
    """How many different values of a range the counted runs show."""

    name: str
    values: tuple[str, ...]
    needed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """Where a person is with a task at a moment: `counted` of `runs_needed`, and everything still missing.

    `not_counted` gives for every run that does not count all its reasons; `confirmed_by` the counted runs by each
    supervising person (R2.2); `prerequisites_missing` pairs of task and scope. `ready`: no reason is left.
    """

    purpose: Purpose
    counted: tuple[int, ...]
    runs_needed: int
    not_counted: tuple[tuple[int, tuple[Reason, ...]], ...]
    distinct_shifts: int
    distinct_shifts_needed: int
    ranges: tuple[RangeProgress, ...]
    calculations_missing: tuple[str, ...]
    prerequisites_missing: tuple[tuple[str, Scope], ...]
    confirmed_by: Mapping[int, int]
    ready: bool
    reasons: tuple[Reason, ...]
