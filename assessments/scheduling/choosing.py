"""Which kind of calculation to practise next, and why.

    need = what is likely forgotten x the tasks ahead x a slip made lately

What is likely forgotten is 1 - recall; for a kind never tried it is `NEVER_TRIED`. First comes what is worth
practising now: what is due, and what a task ahead asks for and was never tried; then other kinds never tried; then
what is not due yet. Within each the greatest need comes first. The family of the last problem is passed over while
another family has something worth practising: mixing kinds teaches which formula to take, not only how to work it.
The weights are the project's own choice; `manage.py cohort` shows what they do.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from enum import IntEnum, StrEnum
from typing import Final

from assessments.scheduling.progress import Progress
from assessments.vocabulary import Family

NEVER_TRIED: Final = 0.3
# Days until the task, and how much more its calculations weigh.
SOON: Final = ((1, 3.0), (7, 2.0))
LATER: Final = 1.5
SLIPPED: Final = 2.0
LATELY: Final = timedelta(days=7)


class Why(StrEnum):
    """Why a kind comes next."""

    TASK = "task"
    ON_THE_WAY = "on_the_way"
    SLIP = "slip"
    WRONG = "wrong"
    DUE = "due"
    NOT_RIGHT_YET = "not_right_yet"
    NEW = "new"
    EARLY = "early"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why, with what the sentence names: a task or a slip, and the day of it."""

    why: Why
    names: str = ""
    on: date | None = None

    def as_json(self) -> dict[str, str]:
        """Return it as a round keeps it."""
        return {"why": self.why.value, "names": self.names, "on": self.on.isoformat() if self.on else ""}

    @classmethod
    def from_json(cls, kept: dict[str, str]) -> "Reason":
        """Return what `as_json` was made from."""
        return cls(Why(kept["why"]), kept["names"], date.fromisoformat(kept["on"]) if kept["on"] else None)


@dataclass(frozen=True, slots=True)
class Asked:
    """The soonest task ahead that asks for a kind; `on` is None when the person is on the way to it without a day."""

    task: str
    on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A kind that could be practised; `progress` is None where it was never tried."""

    code: str
    family: Family
    progress: Progress | None = None
    asked: Asked | None = None


@dataclass(frozen=True, slots=True)
class Moment:
    """Now, and the zone in which its day is told."""

    now: datetime
    zone: tzinfo

    @property
    def today(self) -> date:
        """Return the day of now."""
        return self.day(self.now)

    def day(self, moment: datetime) -> date:
        """Return the day of a moment."""
        return moment.astimezone(self.zone).date()


class _Turn(IntEnum):
    NOW = 0
    NEW = 1
    EARLY = 2


@dataclass(frozen=True, slots=True)
class Choice:
    """What comes next and why; `is_early` when nothing is worth practising now."""

    candidate: Candidate
    reason: Reason
    is_early: bool


def choose(candidates: Iterable[Candidate], *, at: Moment, last_family: Family | None = None) -> Choice | None:
    """Return what to practise next; None when there is nothing at all."""
    ranked = sorted((_turn(each, at), -need(each, at), each.code, each) for each in candidates)
    if not ranked:
        return None
    worth = [entry for entry in ranked if entry[0] is not _Turn.EARLY] or ranked
    others = (entry for entry in worth if entry[3].family is not last_family)
    turn, _need, _code, chosen = next(others, worth[0])
    return Choice(chosen, reason_for(chosen, at), is_early=turn is _Turn.EARLY)


def need(candidate: Candidate, at: Moment) -> float:
    """Return how much a kind needs practice, see above; a number to compare, without a unit."""
    progress = candidate.progress
    forgotten = 1 - progress.memory.recall(at.now) if progress else NEVER_TRIED
    return forgotten * _task_weight(candidate.asked, at.today) * (SLIPPED if _slipped_lately(progress, at) else 1.0)


def reason_for(candidate: Candidate, at: Moment) -> Reason:
    """Return the reason that weighs most."""
    progress, asked = candidate.progress, candidate.asked
    days = (asked.on - at.today).days if asked and asked.on else None
    if asked and days is not None and days <= SOON[0][0]:
        return Reason(Why.TASK, asked.task, asked.on)
    if progress and progress.wrong_at and _slipped_lately(progress, at):
        return Reason(Why.SLIP if progress.slip else Why.WRONG, progress.slip, at.day(progress.wrong_at))
    if asked and days is not None and days <= SOON[-1][0]:
        return Reason(Why.TASK, asked.task, asked.on)
    if progress:
        return _reason_to_repeat(progress, at)
    if asked:
        return Reason(Why.TASK if asked.on else Why.ON_THE_WAY, asked.task, asked.on)
    return Reason(Why.NEW)


def _reason_to_repeat(progress: Progress, at: Moment) -> Reason:
    if not progress.memory.is_due(at.now):
        return Reason(Why.EARLY, on=at.day(progress.memory.due_at))
    if progress.right_at is None:
        return Reason(Why.NOT_RIGHT_YET)
    return Reason(Why.DUE, on=at.day(progress.right_at))


def _turn(candidate: Candidate, at: Moment) -> _Turn:
    if candidate.progress is None:
        return _Turn.NOW if candidate.asked else _Turn.NEW
    return _Turn.NOW if candidate.progress.memory.is_due(at.now) else _Turn.EARLY


def _task_weight(asked: Asked | None, today: date) -> float:
    if asked is None:
        return 1.0
    if asked.on is None:
        return LATER
    days = (asked.on - today).days
    return next((weight for within, weight in SOON if days <= within), LATER)


def _slipped_lately(progress: Progress | None, at: Moment) -> bool:
    return progress is not None and progress.wrong_at is not None and at.now - progress.wrong_at <= LATELY
