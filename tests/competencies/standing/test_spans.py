"""Stretches of time and how they combine (R6.3): half open, and a gain never helps what had begun (3.17)."""

from datetime import UTC, datetime

import pytest

from competencies.standing.calendar import FOR_EVER, LONG_AGO
from competencies.standing.facts import SITE
from competencies.standing.spans import Gain, Span, gaps, holds_at, in_force_spans, overlap, union
from competencies.standing.timeline import Period, Timeline
from competencies.vocabulary import Standing


def hour(number, day=1):
    return datetime(2025, 3, day, number, tzinfo=UTC)


def span(start, end, gained=None):
    """Return a stretch between two hours of one day, gained at its start unless told."""
    return Span(hour(start), hour(end), hour(start if gained is None else gained))


@pytest.mark.parametrize(
    ("lost_at", "ended_at"),
    [
        (hour(9, day=4), hour(0, day=5)),
        (hour(0, day=5), hour(10, day=5)),
        (hour(9, day=5), hour(10, day=5)),
        (hour(10, day=5), hour(10, day=5)),
        (hour(11, day=5), hour(11, day=5)),
    ],
    ids=["the day before", "at midnight", "the same morning", "at that minute", "after it"],
)
def test_a_gain_ends_a_loss_from_its_day_but_on_the_day_of_the_loss_from_its_minute(lost_at, ended_at):
    assert Gain(hour(0, day=5), hour(10, day=5)).end_of(lost_at) == ended_at


@pytest.mark.parametrize(
    ("groups", "expected"),
    [
        ([[span(1, 3)], [span(3, 5)]], [span(1, 5)]),
        ([[span(1, 3)], [span(4, 5)]], [span(1, 3), span(4, 5)]),
        ([[span(1, 6)], [span(2, 4)]], [span(1, 6)]),
        ([[span(1, 4, 3)], [span(2, 6, 2)]], [span(1, 6, 2)]),
        ([[], []], []),
        ([[span(1, 3)], [span(3, 5, 4)]], [span(1, 3), span(3, 5, 4)]),
        ([[span(1, 3)], [span(3, 5, 4)], [span(3, 6)]], [span(1, 3), span(3, 6)]),
        ([[span(1, 4)], [span(3, 5, 4)]], [span(1, 5)]),
    ],
    ids=[
        "touching",
        "apart",
        "one inside the other",
        "gained by the sooner",
        "nothing",
        "touching by a later gain",
        "a third without a break",
        "overlapping by a later gain",
    ],
)
def test_union_holds_while_one_of_several_does(groups, expected):
    assert union(groups) == tuple(expected)


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        (span(1, 4), span(2, 6), [span(2, 4)]),
        (span(1, 3), span(3, 6), []),
        (span(1, 3), span(4, 6), []),
        (span(1, 6, 3), span(2, 5, 2), [span(2, 5, 3)]),
        (span(1, 6, 1), span(2, 5, 4), [span(2, 5, 4)]),
        (span(3, 6, 2), span(1, 5, 1), [span(3, 5, 3)]),
    ],
    ids=["in part", "touching", "apart", "gained by the first", "gained by the second", "not before it starts"],
)
def test_overlap_holds_while_both_do_and_is_gained_by_the_later(first, second, expected):
    assert overlap([first], [second]) == tuple(expected)


def test_gaps_are_everything_outside_with_the_gain_that_ends_each():
    held = [span(2, 4, 3), span(6, 8)]

    assert gaps(held) == [(LONG_AGO, hour(2), hour(3)), (hour(4), hour(6), hour(6)), (hour(8), FOR_EVER, FOR_EVER)]


def test_a_loss_that_a_gain_of_the_day_makes_good_is_a_gap_without_length():
    held = [Span(LONG_AGO, hour(4), LONG_AGO), Span(hour(4), FOR_EVER, hour(6))]

    assert gaps(held) == [(hour(4), hour(4), hour(6))]


@pytest.mark.parametrize(
    ("spans", "expected"),
    [
        ([], [(LONG_AGO, FOR_EVER, FOR_EVER)]),
        ([Span(LONG_AGO, FOR_EVER, LONG_AGO)], []),
        ([Span(LONG_AGO, hour(2), LONG_AGO), Span(hour(2), FOR_EVER, hour(2))], []),
    ],
    ids=["never held", "always held", "held without a break"],
)
def test_what_is_held_without_a_break_has_no_gap(spans, expected):
    assert gaps(spans) == expected


@pytest.mark.parametrize(
    ("at", "held"), [(1, False), (2, True), (3, True), (4, False), (5, False), (6, True), (8, False)]
)
def test_a_span_holds_from_its_first_moment_to_before_its_last(at, held):
    assert holds_at([span(2, 4), span(6, 8)], hour(at)) is held


def test_in_force_while_the_standing_is_in_pieces_that_a_loss_parts_and_a_remark_does_not():
    told = [
        (None, 2, "learning", None),
        (2, 4, "in_force", 3),
        (4, 6, "renewal_due", None),
        (6, 8, "lapsed", None),
        # The calendar gives back what it took, as where a prerequisite is asked no more.
        (8, 10, "in_force", None),
        # Lost and gained again in the same hour, and a remark before the gain.
        (10, 11, "in_force", 12),
        (11, 14, "in_force", 12),
        (14, None, "in_grace", None),
    ]
    periods = [
        Period(
            start=None if start is None else hour(start),
            end=None if end is None else hour(end),
            standing=Standing(standing),
            counts=False,
            gained_at=None if gained is None else hour(gained),
        )
        for start, end, standing, gained in told
    ]

    spans = in_force_spans(Timeline(person=1, task="T-01", scope=SITE, periods=periods))

    assert spans == (span(2, 6, 3), span(8, 10), Span(hour(10), FOR_EVER, hour(12)))
