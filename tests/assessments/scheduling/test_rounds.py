"""The clock of a round: what counts of a problem's time, and when no further one is asked."""

import pytest

from assessments.scheduling.rounds import MOST_A_PROBLEM, ROUND_SECONDS, counted, is_over, minutes_left


@pytest.mark.parametrize(
    ("seconds", "expected"), [(None, 0), (-5, 0), (0, 0), (45, 45), (120, 120), (121, MOST_A_PROBLEM), (3600, 120)]
)
def test_pause_does_not_count(seconds, expected):
    assert counted(seconds) == expected


@pytest.mark.parametrize(
    ("used", "over", "minutes"), [(0, False, 5), (1, False, 5), (60, False, 4), (299, False, 1), (300, True, 0)]
)
def test_round_lasts_five_minutes(used, over, minutes):
    assert ROUND_SECONDS == 300
    assert (is_over(used), minutes_left(used)) == (over, minutes)


def test_time_used_beyond_the_end_leaves_none():
    assert minutes_left(400) == 0
