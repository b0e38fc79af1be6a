"""How a kind of problem does in checks: how hard, how well it tells people apart, how long, by which slips. Pure."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import StatisticsError, correlation, median, quantiles
from typing import Final

from assessments.statistics.intervals import NORMAL_95, Interval, wilson
from assessments.vocabulary import Verdict

#: Of fewer answers no discrimination is given.
LEAST_ANSWERS: Final = 20
#: The rules by which an item is pointed out; the figures are the project's own, common practice has none.
LEAST_WRONG, MOST_OF_WRONG = 5, 0.6
STRONG_REST, LEAST_STRONG_WRONG, MOST_OF_STRONG = 0.75, 3, 0.5
LEAST_TIMED, SLOW_TIMES = 10, 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemAnswer:
    """One answer in a finished check. `place` is its number in the sitting; `seconds` how long it took."""

    sitting: int
    place: int
    item: str
    verdict: Verdict
    slips: tuple[str, ...] = ()
    seconds: int = 0

    @property
    def is_right(self) -> bool:
        """Whether it counted as right."""
        return self.verdict is Verdict.RIGHT


class Undefined(StrEnum):
    """Why there is no discrimination."""

    TOO_FEW = "too_few"
    ALL_RIGHT = "all_right"
    ALL_WRONG = "all_wrong"
    SAME_REST = "same_rest"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seconds:
    """How long the answers took: the middle one, and the two that have a quarter on their outer side."""

    quarter: float
    middle: float
    three_quarters: float


class Doubt(StrEnum):
    """A way in which an item may mislead, each with its rule."""

    TURNED_ROUND = "turned_round"
    FOOLS_THE_STRONG = "fools_the_strong"
    ONE_SLIP = "one_slip"
    SLOW = "slow"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pointer:
    """A doubt about an item, with what it rests on: `count` of `total` for slips, `ratio` for time."""

    doubt: Doubt
    slip: str = ""
    count: int = 0
    total: int = 0
    ratio: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemFigures:
    """What the answers to one kind of problem tell. `discrimination` is a number, or the reason why there is none."""

    item: str
    answers: int
    right: int
    within: Interval
    discrimination: float | Undefined
    seconds: Seconds
    slips: tuple[tuple[str, int], ...]
    verdicts: Mapping[Verdict, int]
    pointers: tuple[Pointer, ...] = ()

    @property
    def difficulty(self) -> float:
        """Return the share of right answers: the higher, the easier, as the trade of testing has it."""
        return self.right / self.answers


def item_figures(answers: Iterable[ItemAnswer]) -> list[ItemFigures]:
    """Return the figures of every item among the answers of whole sittings, by item."""
    known = list(answers)
    rests = rest_shares(known)
    by_item: dict[str, list[ItemAnswer]] = defaultdict(list)
    for answer in known:
        by_item[answer.item].append(answer)
    middles = {item: median([each.seconds for each in found]) for item, found in by_item.items() if _is_timed(found)}
    return [_figures(item, by_item[item], rests, middles) for item in sorted(by_item)]


def rest_shares(answers: Iterable[ItemAnswer]) -> Mapping[tuple[int, int], float]:
    """Return for each answer, by sitting and place, the share that was right of the others in its sitting.

    The answer itself is left out: with it in, an item would be held against itself. A sitting of one problem has no
    others, and its answer is not in the mapping.
    """
    by_sitting: dict[int, list[ItemAnswer]] = defaultdict(list)
    for answer in answers:
        by_sitting[answer.sitting].append(answer)
    rests = {}
    for sitting, found in by_sitting.items():
        right = sum(each.is_right for each in found)
        for each in found if len(found) > 1 else ():
            rests[sitting, each.place] = (right - each.is_right) / (len(found) - 1)
    return rests


def discrimination(right: Sequence[bool], rests: Sequence[float]) -> float | Undefined:
    """Return the point-biserial correlation of an item with the rest of the check, or why there is none.

    It is Pearson's correlation of 1 for right and 0 for wrong with the share that was right of the rest: from -1 to 1;
    above 0 those who are good at the rest get the item right more often.

    Parameters
    ----------
    right : sequence of bool
        Whether each answer was right.
    rests : sequence of float
        The share that was right of the rest of the same sitting [0 to 1], in the same order.
    """
    if len(right) < LEAST_ANSWERS:
        return Undefined.TOO_FEW
    if len(set(right)) == 1:
        return Undefined.ALL_RIGHT if right[0] else Undefined.ALL_WRONG
    try:
        return correlation([float(each) for each in right], rests)
    except StatisticsError:
        return Undefined.SAME_REST


def _figures(
    item: str,
    answers: Sequence[ItemAnswer],
    rests: Mapping[tuple[int, int], float],
    middles: Mapping[str, float],
) -> ItemFigures:
    right = sum(each.is_right for each in answers)
    with_rest = [(each, rests[each.sitting, each.place]) for each in answers if (each.sitting, each.place) in rests]
    held = discrimination([each.is_right for each, _ in with_rest], [rest for _, rest in with_rest])
    slips = _slips(answers)
    strong = [each for each, rest in with_rest if rest >= STRONG_REST and not each.is_right]
    pointers = (
        _turned_round(held, len(with_rest)),
        _fools_the_strong(strong),
        _one_slip(slips, len(answers) - right),
        _slow(item, middles),
    )
    return ItemFigures(
        item=item,
        answers=len(answers),
        right=right,
        within=wilson(right, len(answers)),
        discrimination=held,
        seconds=_seconds(answers),
        slips=slips,
        verdicts=Counter(each.verdict for each in answers),
        pointers=tuple(pointer for pointer in pointers if pointer is not None),
    )


def _is_timed(answers: Sequence[ItemAnswer]) -> bool:
    return len(answers) >= LEAST_TIMED


def _seconds(answers: Sequence[ItemAnswer]) -> Seconds:
    taken = [each.seconds for each in answers]
    if len(taken) == 1:
        return Seconds(quarter=taken[0], middle=taken[0], three_quarters=taken[0])
    quarter, middle, three_quarters = quantiles(taken, n=4, method="inclusive")
    return Seconds(quarter=quarter, middle=middle, three_quarters=three_quarters)


def _slips(answers: Iterable[ItemAnswer]) -> tuple[tuple[str, int], ...]:
    """Return each slip with the number of answers that it was in, the most frequent first."""
    counts = Counter(slip for each in answers for slip in set(each.slips))
    return tuple(sorted(counts.items(), key=lambda pair: (-pair[1], pair[0])))


def _turned_round(held: float | Undefined, answers: int) -> Pointer | None:
    """Point out a discrimination below 0 by more than chance gives where there is none: 1.96 / sqrt(n - 1)."""
    is_negative = not isinstance(held, Undefined) and held < -NORMAL_95 / math.sqrt(answers - 1)
    return Pointer(doubt=Doubt.TURNED_ROUND) if is_negative else None


def _fools_the_strong(wrong: Sequence[ItemAnswer]) -> Pointer | None:
    slips = _slips(wrong)
    if len(wrong) < LEAST_STRONG_WRONG or not slips or slips[0][1] <= MOST_OF_STRONG * len(wrong):
        return None
    return Pointer(doubt=Doubt.FOOLS_THE_STRONG, slip=slips[0][0], count=slips[0][1], total=len(wrong))


def _one_slip(slips: Sequence[tuple[str, int]], wrong: int) -> Pointer | None:
    if wrong < LEAST_WRONG or not slips or slips[0][1] < MOST_OF_WRONG * wrong:
        return None
    return Pointer(doubt=Doubt.ONE_SLIP, slip=slips[0][0], count=slips[0][1], total=wrong)


def _slow(item: str, middles: Mapping[str, float]) -> Pointer | None:
    others = [middle for other, middle in middles.items() if other != item]
    usual = median(others) if others else 0.0
    if item not in middles or usual <= 0 or middles[item] < SLOW_TIMES * usual:
        return None
    return Pointer(doubt=Doubt.SLOW, ratio=middles[item] / usual)
