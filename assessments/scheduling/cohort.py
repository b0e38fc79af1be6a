"""How many problems it takes to hold 90 % recall at 30 days: by the chooser, and by uniform chance.

A learner answers up to `A_DAY` problems a day, a minute apart, until the recall that they would have 30 days on
without any more practice is 90 % on the mean over all kinds. The chooser sees the marks only, never the learner's
memory, and stops for the day when nothing is worth practising; uniform chance always has something to ask. Both arms
meet the same learner, drawn from the same seed.
"""

import statistics
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Final

from assessments.scheduling.choosing import Candidate, Moment, choose
from assessments.scheduling.learners import LAWS, Learner
from assessments.scheduling.progress import Answer, Progress, progressed
from assessments.vocabulary import Family, Verdict

GOAL: Final = 0.9
HOLD: Final = timedelta(days=30)
A_DAY: Final = 10
LONGEST_DAYS: Final = 730
_START: Final = datetime(2026, 1, 5, 10, tzinfo=UTC)

Kinds = Mapping[str, Family]
#: What asks the next problem at a moment, and is told how the last one went; None ends the day.
Asker = Callable[[datetime], str | None]


@dataclass(frozen=True, slots=True)
class Reached:
    """What it took one learner: problems for each kind, and days; `is_there` is False where the time ran out."""

    problems_a_kind: float
    days: int
    is_there: bool


@dataclass(frozen=True, slots=True)
class Compared:
    """The medians of one cohort: problems a kind and days by the chooser and by chance, and who never got there."""

    chosen: float
    uniform: float
    chosen_days: float
    uniform_days: float
    unreached: int

    @property
    def ratio(self) -> float:
        """Return what the chooser needs as a share of what chance needs."""
        return self.chosen / self.uniform


class Chooser:
    """Asks what `choose` says, from nothing but the marks."""

    def __init__(self, kinds: Kinds) -> None:
        """Begin with kinds that were never tried."""
        self._kinds = kinds
        self._progress: dict[str, Progress] = {}
        self._last: Family | None = None

    def ask(self, now: datetime) -> str | None:
        """Return the kind to ask, or None when nothing is worth practising now."""
        candidates = (
            Candidate(code=code, family=family, progress=self._progress.get(code))
            for code, family in self._kinds.items()
        )
        choice = choose(candidates, at=Moment(now, UTC), last_family=self._last)
        return None if choice is None or choice.is_early else choice.candidate.code

    def tell(self, code: str, now: datetime, *, is_right: bool) -> None:
        """Take in the mark."""
        verdict = Verdict.RIGHT if is_right else Verdict.OTHER
        self._progress[code] = progressed(self._progress.get(code), Answer(verdict=verdict, at=now))
        self._last = self._kinds[code]


class Uniform:
    """Asks any kind, each as likely."""

    def __init__(self, kinds: Kinds, chance: Random) -> None:
        """Keep the kinds and the chance."""
        self._codes, self._chance = list(kinds), chance

    def ask(self, _now: datetime) -> str | None:
        """Return a kind."""
        return self._chance.choice(self._codes)

    def tell(self, code: str, now: datetime, *, is_right: bool) -> None:
        """Take no notice."""


def practised(learner: Learner, asker: Chooser | Uniform, kinds: Kinds, chance: Random) -> Reached:
    """Return what it took the learner to get there."""
    problems = 0
    for day in range(LONGEST_DAYS):
        for place in range(A_DAY):
            now = _START + timedelta(days=day, minutes=place)
            code = asker.ask(now)
            if code is None:
                break
            is_right = chance.random() < learner.recall(code, now)
            learner.learn(code, now, is_right=is_right)
            asker.tell(code, now, is_right=is_right)
            problems += 1
            if _holds(learner, kinds, now):
                return Reached(problems / len(kinds), day + 1, is_there=True)
    return Reached(problems / len(kinds), LONGEST_DAYS, is_there=False)


def _holds(learner: Learner, kinds: Kinds, now: datetime) -> bool:
    return statistics.fmean(learner.recall(code, now + HOLD) for code in kinds) >= GOAL


def cohort(law: str, kinds: Kinds, *, learners: int, seed: int) -> Compared:
    """Return what a cohort of learners under one law needs, by the chooser and by chance. The seed fixes it all."""
    chosen, uniform = [], []
    for number in range(learners):
        name = f"{law} {seed} {number}"
        chosen.append(practised(LAWS[law](Random(name)), Chooser(kinds), kinds, Random(f"marks {name}")))  # noqa: S311
        asker = Uniform(kinds, Random(f"kinds {name}"))  # noqa: S311 - a simulation, seeded
        uniform.append(practised(LAWS[law](Random(name)), asker, kinds, Random(f"marks {name}")))  # noqa: S311
    return Compared(
        chosen=_median(chosen),
        uniform=_median(uniform),
        chosen_days=statistics.median(each.days for each in chosen),
        uniform_days=statistics.median(each.days for each in uniform),
        unreached=sum(not each.is_there for each in (*chosen, *uniform)),
    )


def _median(reached: Sequence[Reached]) -> float:
    return statistics.median(each.problems_a_kind for each in reached)
