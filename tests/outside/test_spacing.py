"""The spacing of practice against published figures: FSRS-6, reference values 10.3.

Sources: the formula R = (1 + F t/S)^-w20, F = 0.9^(-1/w20) - 1 and the default parameters as published with the
package fsrs 6.3.2 (MIT); 10.3a follows from the meaning of stability, 10.3b from the formula worked by hand.
"""

from datetime import UTC, datetime, timedelta

import pytest
from fsrs import Rating

from assessments.scheduling.memory import LONGEST_DAYS, Memory, remembered, scheduler_of

START = datetime(2026, 1, 5, 8, tzinfo=UTC)
UNBOUNDED = scheduler_of(longest_days=36_500)
AGAIN, HARD, GOOD, EASY = Rating.Again, Rating.Hard, Rating.Good, Rating.Easy


def intervals(ratings, scheduler=UNBOUNDED):
    """Return the whole days to the next look after each rating, each given on its due moment."""
    memory, at, found = None, START, []
    for rating in ratings:
        memory = remembered(memory, rating, at, scheduler)
        found.append((memory.due_at - at).days)
        at = memory.due_at
    return found


@pytest.mark.parametrize(
    ("days", "expected", "within"),
    [(10, 0.9, 1e-6), (30, 0.8094, 5e-4)],
    ids=["10.3a", "10.3b"],
)
def test_recall_falls_by_the_published_power_law(days, expected, within):
    memory = Memory(stability=10.0, difficulty=5.0, phase=2, step=None, due_at=START, last_at=START)

    assert memory.recall(START + timedelta(days=days)) == pytest.approx(expected, abs=within)


@pytest.mark.parametrize(
    ("ratings", "expected"),
    [([GOOD] * 6, [0, 2, 11, 46, 163, 498]), ([GOOD, GOOD, GOOD, AGAIN, GOOD, GOOD], [0, 2, 11, 0, 2, 5])],
    ids=["10.3d", "10.3e"],
)
def test_intervals_are_the_published_ones(ratings, expected):
    assert intervals(ratings) == expected


def test_intervals_of_the_plant_are_the_published_ones_up_to_a_quarter():
    assert intervals([GOOD] * 6, scheduler_of()) == [0, 2, 11, 46, LONGEST_DAYS, LONGEST_DAYS]


def test_first_answer_sets_the_published_state():
    easy, good = (remembered(None, rating, START) for rating in (EASY, GOOD))

    assert easy.stability == pytest.approx(8.2956, abs=1e-6)  # 10.3f
    assert good.difficulty == pytest.approx(2.1181, abs=1e-4)  # 10.3g
