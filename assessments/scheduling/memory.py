"""How well a person is thought to remember a kind of calculation, by the open FSRS-6 algorithm.

The library `fsrs` (MIT licence) does the arithmetic, with its published default parameters. Its random widening of
intervals is off, so that a state can be worked again from the answers, and no interval is longer than a quarter:
a sum of the plant is looked at again at least four times a year.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from fsrs import Card, Rating, Scheduler, State

TARGET_RECALL: Final = 0.9
LONGEST_DAYS: Final = 91
DAY_SECONDS: Final = 86_400
# The library numbers its cards; here the row says whose and of what a memory is.
_NO_NUMBER: Final = 0


def scheduler_of(*, longest_days: int = LONGEST_DAYS, parameters: tuple[float, ...] | None = None) -> Scheduler:
    """Return a scheduler for a recall of 90 %, without chance; `parameters` are the 21 weights of FSRS-6."""
    chosen = Scheduler() if parameters is None else Scheduler(parameters)
    return Scheduler(
        chosen.parameters, desired_retention=TARGET_RECALL, maximum_interval=longest_days, enable_fuzzing=False
    )


SCHEDULER: Final = scheduler_of()


@dataclass(frozen=True, slots=True, kw_only=True)
class Memory:
    """The state of one memory.

    `stability` is the number of days after which recall has fallen to 90 %, `difficulty` runs from 1 to 10. `phase`
    and `step` are the library's state (1 learning, 2 known, 3 learnt again) and its place in the first minutes.
    """

    stability: float
    difficulty: float
    phase: int
    step: int | None
    due_at: datetime
    last_at: datetime

    def recall(self, at: datetime, scheduler: Scheduler = SCHEDULER) -> float:
        """Return the chance of remembering at a moment, between 0 and 1.

        R = (1 + F t / S)^-w20 with F = 0.9^(-1/w20) - 1 (FSRS-6). The library counts t in whole days; here it runs on
        between them, so that what was wrong this morning comes before what was right this morning.
        """
        days = max((at - self.last_at).total_seconds(), 0.0) / DAY_SECONDS
        decay = scheduler.parameters[20]
        return float((1 + (TARGET_RECALL ** (-1 / decay) - 1) * days / self.stability) ** -decay)

    def is_due(self, at: datetime) -> bool:
        """Return whether recall is thought to have fallen to the target."""
        return at >= self.due_at


def remembered(memory: Memory | None, rating: Rating, at: datetime, scheduler: Scheduler = SCHEDULER) -> Memory:
    """Return the memory after an answer; None stands for a kind that was never answered."""
    card, _log = scheduler.review_card(_card(memory, at), rating, at.astimezone(UTC))
    if card.stability is None or card.difficulty is None or card.last_review is None:
        raise RuntimeError("The library left an answered card without a state.")
    return Memory(
        stability=card.stability,
        difficulty=card.difficulty,
        phase=int(card.state),
        step=card.step,
        due_at=card.due,
        last_at=card.last_review,
    )


def _card(memory: Memory | None, at: datetime) -> Card:
    if memory is None:
        return Card(card_id=_NO_NUMBER, due=at.astimezone(UTC))
    return Card(
        card_id=_NO_NUMBER,
        state=State(memory.phase),
        step=memory.step,
        stability=memory.stability,
        difficulty=memory.difficulty,
        due=memory.due_at,
        last_review=memory.last_at.astimezone(UTC),
    )
