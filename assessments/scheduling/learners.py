"""Simulated learners, whose memory follows a law that is stated and that the chooser does not see.

Three laws, so that the schedule is not only tried on memories of its own kind:

    power         FSRS-6 itself, each learner and kind with a first strength of its own
    exponential   recall = exp(-t / tau); a success lengthens tau the more, the more was forgotten
    unspaced      recall = exp(-t / tau); a success lengthens tau always by the same factor, so that spacing as such
                  teaches nothing

exp(-t / tau) is the usual textbook form of the forgetting curve. The figures of the two exponential laws are the
project's own choice, such that about five well-placed successes make a memory that lasts a month; they stand for no
measured person.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from random import Random
from typing import Final, Protocol

from fsrs import Rating, Scheduler

from assessments.scheduling.memory import DAY_SECONDS, SCHEDULER, Memory, remembered, scheduler_of

#: How often a kind is right at the very first try.
FIRST_TRY: Final = 0.5
# The spread of first strengths between learners, and again between kinds, as the deviation of the logarithm.
_SPREAD: Final = 0.35
_FIRST_TAU: Final = 2.0
_GAIN_WHEN_FORGOTTEN: Final = 8.0
_FIXED_FACTOR: Final = 2.5
_LONGEST_TAU: Final = 3650.0
# The first four weights of FSRS-6 are the first strengths; the library takes them between these.
_FIRST_WEIGHTS: Final = 4
_WEAKEST, _STRONGEST = 0.001, 100.0


class Learner(Protocol):
    """Somebody who practises: what they would know at a moment, and what an answer does to them."""

    def recall(self, code: str, at: datetime) -> float:
        """Return the true chance of being right, between 0 and 1."""

    def learn(self, code: str, at: datetime, *, is_right: bool) -> None:
        """Change by an answer."""


class _Strengths:
    """First strengths, drawn once for the learner and once for each kind."""

    def __init__(self, chance: Random) -> None:
        self._chance, self._own = chance, chance.gauss(0, _SPREAD)
        self._drawn: dict[str, float] = {}

    def of(self, code: str) -> float:
        if code not in self._drawn:
            self._drawn[code] = math.exp(self._own + self._chance.gauss(0, _SPREAD))
        return self._drawn[code]


class PowerLearner:
    """A learner whose memory is FSRS-6's."""

    def __init__(self, chance: Random) -> None:
        """Draw the learner's strength."""
        self._strengths = _Strengths(chance)
        self._schedulers: dict[str, Scheduler] = {}
        self._memories: dict[str, Memory] = {}

    def recall(self, code: str, at: datetime) -> float:
        """Return the recall by the power law."""
        memory = self._memories.get(code)
        return memory.recall(at) if memory else FIRST_TRY

    def learn(self, code: str, at: datetime, *, is_right: bool) -> None:
        """Change as FSRS-6 says."""
        rating = Rating.Good if is_right else Rating.Again
        self._memories[code] = remembered(self._memories.get(code), rating, at, self._scheduler(code))

    def _scheduler(self, code: str) -> Scheduler:
        if code not in self._schedulers:
            weights, strength = SCHEDULER.parameters, self._strengths.of(code)
            first = [min(max(weight * strength, _WEAKEST), _STRONGEST) for weight in weights[:_FIRST_WEIGHTS]]
            self._schedulers[code] = scheduler_of(parameters=(*first, *weights[_FIRST_WEIGHTS:]))
        return self._schedulers[code]


@dataclass
class _Trace:
    tau: float
    at: datetime


@dataclass
class ExponentialLearner:
    """A learner who forgets as exp(-t / tau); `factor` tells by the recall how much a success lengthens tau."""

    chance: Random
    factor: Callable[[float], float]
    _traces: dict[str, _Trace] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Draw the learner's strength."""
        self._strengths = _Strengths(self.chance)

    def recall(self, code: str, at: datetime) -> float:
        """Return the recall by the exponential law."""
        trace = self._traces.get(code)
        if trace is None:
            return FIRST_TRY
        return math.exp(-(at - trace.at).total_seconds() / DAY_SECONDS / trace.tau)

    def learn(self, code: str, at: datetime, *, is_right: bool) -> None:
        """Lengthen tau by a success, halve it by a failure."""
        trace = self._traces.get(code)
        if trace is None:
            self._traces[code] = _Trace(_FIRST_TAU * self._strengths.of(code), at)
            return
        factor = self.factor(self.recall(code, at)) if is_right else 0.5
        self._traces[code] = _Trace(min(max(trace.tau * factor, 1.0), _LONGEST_TAU), at)


def _spaced(recall: float) -> float:
    return 1 + _GAIN_WHEN_FORGOTTEN * (1 - recall)


def _unspaced(_recall: float) -> float:
    return _FIXED_FACTOR


LAWS: Final[Mapping[str, Callable[[Random], Learner]]] = {
    "power": PowerLearner,
    "exponential": lambda chance: ExponentialLearner(chance, _spaced),
    "unspaced": lambda chance: ExponentialLearner(chance, _unspaced),
}
