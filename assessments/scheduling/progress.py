"""What one answer after another makes of a person's progress with a kind of calculation.

How an answer is rated for the memory
-------------------------------------
    right, alone, in time                                           good
    right with some of the steps shown, or after ten minutes        hard
    right with a wrong step, unit missing or wrong, or too coarse   hard
    wrong; or the whole working was on the page                     again

Nothing is rated easy: how fast somebody types on a phone says little about what they remember. Where the time is not
known (the phone lay in a pocket), the answer counts as in time. A check is no practice and rates nothing: it counts
on the record, and what somebody practises in private must not tell of it, nor the other way round.

How the help fades
------------------
A first problem is shown fully worked, to read. Then the last step is left blank, then the last two, then all. Right
without asking goes one on, and right alone goes to the end; wrong twice running goes one back.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from enum import IntEnum
from typing import Final

from fsrs import Rating

from assessments.scheduling.memory import Memory, remembered
from assessments.vocabulary import Help, Verdict

IN_TIME_SECONDS: Final = 10 * 60
MISSES_BACK: Final = 2
_NEARLY: Final = frozenset({Verdict.UNIT_MISSING, Verdict.UNIT_WRONG, Verdict.TOO_COARSE})


class Stage(IntEnum):
    """How much of the next problem of a kind is shown at the start."""

    READ = 0
    LAST_BLANK = 1
    LAST_TWO_BLANK = 2
    ALONE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What of an attempt matters for the progress. `steps_right` is False when a blank step was got wrong."""

    verdict: Verdict
    at: datetime
    help: Help = Help.NONE
    seconds: int | None = None
    steps_right: bool = True
    slip: str = ""

    @property
    def is_wrong(self) -> bool:
        """Return whether the value itself was wrong."""
        return self.verdict is not Verdict.RIGHT and self.verdict not in _NEARLY

    @property
    def is_right(self) -> bool:
        """Return whether value, unit, rounding and every blank step were right."""
        return self.verdict is Verdict.RIGHT and self.steps_right


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """What is known of one person and one kind.

    `misses` counts the wrong answers running. `right_at` is when the person was last right; `wrong_at` and `slip` tell
    of a wrong answer with no right one since.
    """

    memory: Memory
    stage: Stage = Stage.READ
    misses: int = 0
    right_at: datetime | None = None
    wrong_at: datetime | None = None
    slip: str = ""


def rating_of(answer: Answer) -> Rating:
    """Return the rating of an answer, by the rule above."""
    if answer.is_wrong or answer.help is Help.WHOLE:
        return Rating.Again
    is_in_time = answer.seconds is None or answer.seconds <= IN_TIME_SECONDS
    return Rating.Good if answer.is_right and answer.help is Help.NONE and is_in_time else Rating.Hard


def progressed(progress: Progress | None, answer: Answer) -> Progress:
    """Return the progress after an answer; None stands for a kind that was never answered."""
    memory = remembered(progress.memory if progress else None, rating_of(answer), answer.at)
    before = progress or Progress(memory=memory)
    after = replace(before, memory=memory)
    if answer.is_wrong:
        return _missed(after, answer)
    after = replace(after, misses=0)
    if not answer.is_right or answer.help is Help.WHOLE:
        return after
    return replace(after, stage=_further(before.stage, answer.help), right_at=answer.at, wrong_at=None, slip="")


def replayed(answers: Iterable[Answer]) -> Progress | None:
    """Return the progress that answers lead to, in the order in which they were given; None without any."""
    progress: Progress | None = None
    for answer in answers:
        progress = progressed(progress, answer)
    return progress


def _missed(progress: Progress, answer: Answer) -> Progress:
    misses, stage = progress.misses + 1, progress.stage
    if misses == MISSES_BACK:
        misses, stage = 0, Stage(max(stage - 1, Stage.READ))
    return replace(progress, misses=misses, stage=stage, wrong_at=answer.at, slip=answer.slip)


def _further(stage: Stage, given: Help) -> Stage:
    if given is Help.NONE:
        return Stage.ALONE
    if given is Help.ASKED:
        return stage
    # What was only read so far has now been done with the last step blank.
    return Stage(min(max(stage, Stage.LAST_BLANK) + 1, Stage.ALONE))
