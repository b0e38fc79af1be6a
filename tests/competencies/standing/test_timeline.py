"""Timelines and the effects they are made of: over all time, without gap, overlap or needless cut."""

from datetime import UTC, datetime

import pytest

from competencies.standing.calendar import FOR_EVER, LONG_AGO
from competencies.standing.effects import PRECEDENCE, Effect, Mark, Weight, clipped, periods, without
from competencies.standing.facts import SITE, Scope
from competencies.standing.timeline import Period, Reason, Step, Timeline, reason
from competencies.standing.way_back import Need, Remedy
from competencies.vocabulary import Standing


def hour(number):
    return datetime(2025, 3, 10, number, tzinfo=UTC)


def stop(start, end, standing=Standing.SUSPENDED, rule="R6.1", **fields):
    return Effect(start=start, end=end, weight=Weight.STOP, standing=standing, reason=Reason(rule, "told"), **fields)


def remark(start, end, rule="R4.2", **fields):
    return Effect(start=start, end=end, weight=Weight.REMARK, reason=Reason(rule, "told"), **fields)


def made(*effects, marks=(), **fields):
    return periods(effects, marks, "T-01", SITE, **{"is_critical": False, **fields})


def told(found):
    return [
        (period.start and period.start.hour, period.end and period.end.hour, period.standing.value) for period in found
    ]


# -- the timeline ----------------------------------------------------------------------------------------------------

THREE = Timeline(
    person=1,
    task="T-01",
    scope=SITE,
    periods=(
        Period(start=None, end=hour(4), standing=Standing.LEARNING, counts=False),
        Period(start=hour(4), end=hour(8), standing=Standing.IN_FORCE, counts=True),
        Period(start=hour(8), end=None, standing=Standing.LAPSED, counts=False),
    ),
)


@pytest.mark.parametrize(
    ("moment", "expected"),
    [(LONG_AGO, 0), (hour(3), 0), (hour(4), 1), (hour(7), 1), (hour(8), 2), (FOR_EVER, 2)],
)
def test_one_period_holds_at_every_moment(moment, expected):
    held = [each.holds_at(moment) for each in THREE.periods]

    assert THREE.at(moment) is THREE.periods[expected]
    assert held == [index == expected for index in range(3)]


@pytest.mark.parametrize(
    ("start", "end", "expected"),
    [
        (1, 3, [0]),
        (1, 4, [0]),
        (1, 5, [0, 1]),
        (4, 8, [1]),
        (4, 9, [1, 2]),
        (5, 6, [1]),
        (3, 9, [0, 1, 2]),
        (8, 9, [2]),
    ],
)
def test_between_gives_the_periods_that_are_touched(start, end, expected):
    assert list(THREE.between(hour(start), hour(end))) == [THREE.periods[index] for index in expected]


def test_a_reason_holds_its_parameters_as_text_in_order_of_their_names():
    assert reason("R2.4", "void", b=2, a=None) == Reason("R2.4", "void", (("a", "None"), ("b", "2")))


# -- effects to periods ----------------------------------------------------------------------------------------------


def test_nothing_said_is_in_force_for_ever():
    assert made() == (Period(start=None, end=None, standing=Standing.IN_FORCE, counts=True),)


@pytest.mark.parametrize(
    ("weight", "standing", "counts"),
    [(Weight.REMARK, None, True), (Weight.NO_COVER, None, False), (Weight.STOP, Standing.STALE, False)],
)
def test_what_weighs_more_than_a_remark_does_not_count(weight, standing, counts):
    why = Reason("R10", "age")
    before, during, after = made(Effect(start=hour(1), end=hour(2), weight=weight, standing=standing, reason=why))

    assert (before.counts, during.counts, after.counts) == (True, counts, True)
    assert during.standing is (standing or Standing.IN_FORCE)


def test_every_pair_is_named_by_the_graver_and_told_with_both_reasons():
    for index, graver in enumerate(PRECEDENCE):
        for lighter in PRECEDENCE[index + 1 :]:
            both = made(stop(hour(1), hour(2), lighter, "A"), stop(hour(1), hour(2), graver, "B"))[1]
            assert both.standing is graver
            assert [each.rule for each in both.reasons] == ["B", "A"]


def test_every_standing_has_its_place():
    assert set(PRECEDENCE) == set(Standing)


def test_effects_that_overlap_cut_each_other_and_those_without_length_do_nothing():
    found = made(
        stop(hour(1), hour(4)),
        stop(hour(2), hour(6), Standing.STALE, "R3.5"),
        stop(hour(3), hour(3), Standing.WITHDRAWN, "R6.2"),
        stop(hour(9), hour(8), Standing.WITHDRAWN, "R6.2"),
    )

    assert told(found) == [
        (None, 1, "in_force"),
        (1, 2, "suspended"),
        (2, 4, "suspended"),
        (4, 6, "stale"),
        (6, None, "in_force"),
    ]
    assert [len(period.reasons) for period in found] == [0, 1, 2, 1, 0]


def test_equal_reasons_are_told_once_and_none_is_told_where_there_is_none():
    silent = Effect(start=hour(1), end=hour(2), weight=Weight.REMARK)

    during = made(remark(hour(1), hour(2)), remark(hour(1), hour(3)), silent)[1]

    assert during.reasons == (Reason("R4.2", "told"),)


def test_neighbours_that_say_the_same_are_one():
    assert told(made(stop(hour(1), hour(3)), stop(hour(3), hour(5)))) == [
        (None, 1, "in_force"),
        (1, 5, "suspended"),
        (5, None, "in_force"),
    ]


@pytest.mark.parametrize(
    "other",
    [
        {"rule": "R6.4"},
        {"standing": Standing.STALE},
        {"remedy": Remedy(Need.LIFTING)},
        {"rests_on": (7,)},
        {"steps": (Step("run", "S-01", SITE),)},
    ],
    ids=["reason", "standing", "way back", "entries", "steps"],
)
def test_neighbours_that_differ_in_anything_are_two(other):
    found = made(stop(hour(1), hour(3)), stop(hour(3), hour(5), **other))

    assert [each[:2] for each in told(found)] == [(None, 1), (1, 3), (3, 5), (5, None)]


@pytest.mark.parametrize("field", ["last_valid_on", "revision", "rests_on"])
def test_neighbours_with_other_marks_are_two(field):
    value = {"last_valid_on": hour(5).date(), "revision": 2, "rests_on": (3,)}[field]

    before, after = made(marks=[Mark(start=hour(2)), Mark(start=hour(4), **{field: value})])

    assert (before.end, after.start) == (hour(4), hour(4))
    assert getattr(after, field) == value


def test_remark_and_no_cover_of_the_same_reason_are_two():
    why = Reason("R10", "age")

    found = made(
        Effect(start=hour(1), end=hour(2), weight=Weight.REMARK, reason=why),
        Effect(start=hour(2), end=hour(3), weight=Weight.NO_COVER, reason=why),
    )

    assert [period.counts for period in found] == [True, True, False, True]


def test_entries_of_marks_and_effects_are_told_together_in_order():
    found = made(remark(hour(1), hour(2), rests_on=(9, 2)), marks=[Mark(start=LONG_AGO, rests_on=(5, 2), revision=1)])

    assert [period.rests_on for period in found] == [(5, 2), (2, 5, 9), (5, 2)]


def test_the_way_back_is_on_the_task_and_scope_and_steps_of_prerequisites_come_first():
    scope = Scope("L1", "F1")
    first = Step("run", "S-01", SITE)
    effects = [
        stop(hour(1), hour(2), remedy=Remedy(Need.FULL, 2)),
        stop(hour(1), hour(2), Standing.BLOCKED, "R6.3", steps=(first,)),
    ]

    during = periods(effects, (), "T-01", scope, is_critical=True)[1]

    assert during.way_back == (
        first,
        Step("run", "T-01", scope, 2),
        Step("assessment", "T-01", scope),
        Step("second_signature", "T-01", scope),
    )


# -- the moment of a gain --------------------------------------------------------------------------------------------


def gains(*effects):
    return [
        (period.start and period.start.hour, period.gained_at and period.gained_at.hour) for period in made(*effects)
    ]


def test_a_stretch_opened_by_a_gain_keeps_its_moment():
    assert gains(stop(hour(1), hour(4), helped_at=hour(6))) == [(None, None), (1, None), (4, 6)]


def test_the_moment_outlives_a_remark_that_begins_before_it_and_is_over_for_one_that_begins_after():
    gained = stop(hour(1), hour(4), helped_at=hour(6))

    assert gains(gained, remark(hour(5), hour(9))) == [(None, None), (1, None), (4, 6), (5, 6), (9, None)]
    assert gains(gained, remark(hour(6), hour(9))) == [(None, None), (1, None), (4, 6), (6, 6), (9, None)]
    assert gains(gained, remark(hour(7), hour(9))) == [(None, None), (1, None), (4, 6), (7, None), (9, None)]


def test_of_several_gains_the_last_moment_counts_and_a_remark_that_ends_is_no_gain():
    assert gains(
        stop(hour(1), hour(4), helped_at=hour(6)),
        stop(hour(2), hour(4), Standing.STALE, "R3.5", helped_at=hour(7)),
        remark(hour(2), hour(4), helped_at=hour(9)),
    ) == [(None, None), (1, None), (2, None), (4, 7)]


def test_somebody_stopped_again_has_gained_nothing_and_what_the_calendar_ends_is_no_gain():
    again = stop(hour(4), hour(5), Standing.STALE, "R3.5")

    assert gains(stop(hour(1), hour(4), helped_at=hour(6)), again) == [(None, None), (1, None), (4, None), (5, 6)]


@pytest.mark.parametrize(
    ("effect", "expected"),
    [
        (stop(hour(4), hour(4), helped_at=hour(6)), [(None, None), (4, 6)]),
        (stop(hour(4), hour(4), helped_at=hour(4)), [(None, None)]),
        (stop(hour(4), hour(4)), [(None, None)]),
        (stop(hour(4), hour(3), helped_at=hour(6)), [(None, None)]),
        (remark(hour(4), hour(4), helped_at=hour(6)), [(None, None)]),
    ],
    ids=["made good later", "at once", "by nobody", "before it began", "a remark"],
)
def test_a_loss_that_a_gain_of_the_day_makes_good_leaves_its_moment(effect, expected):
    assert gains(effect) == expected


def test_a_loss_that_is_made_good_says_nothing_while_another_stops_and_two_of_one_moment_wait_for_the_later():
    lost = stop(hour(4), hour(4), helped_at=hour(6))
    later = stop(hour(4), hour(4), Standing.STALE, "R3.5", helped_at=hour(7))

    assert gains(lost, stop(hour(2), hour(5), Standing.STALE, "R3.5")) == [(None, None), (2, None), (5, 6)]
    assert gains(lost, later) == [(None, None), (4, 7)]


# -- cutting effects -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "end", "expected"),
    [(1, 3, []), (1, 4, []), (1, 5, [(4, 5)]), (4, 6, [(4, 6)]), (5, 6, [(5, 6)])],
)
def test_clipped_leaves_what_lies_at_or_after_a_moment(start, end, expected):
    left = clipped([stop(hour(start), hour(end))], hour(4))

    assert [(effect.start.hour, effect.end.hour) for effect in left] == expected


@pytest.mark.parametrize(
    ("start", "end", "expected"),
    [
        (1, 3, [(1, 3, None)]),
        (1, 4, [(1, 4, None)]),
        (8, 9, [(8, 9, None)]),
        (1, 5, [(1, 4, 7)]),
        (4, 8, [(4, 4, 7)]),
        (5, 6, []),
        (1, 8, [(1, 4, 7)]),
        (4, 9, [(4, 4, 7), (8, 9, None)]),
        (7, 9, [(8, 9, None)]),
        (1, 9, [(1, 4, 7), (8, 9, None)]),
    ],
    ids=["before", "up to", "after", "into", "all of it", "inside", "up to its end", "from its start", "out", "over"],
)
def test_without_cuts_a_stretch_out_and_the_cut_begins_by_a_gain(start, end, expected):
    left = without([stop(hour(start), hour(end))], hour(4), hour(8), hour(7))

    assert [
        (effect.start.hour, effect.end.hour, effect.helped_at and effect.helped_at.hour) for effect in left
    ] == expected


def test_without_a_gain_nothing_is_told_to_have_helped():
    left = without([stop(hour(1), hour(9)), stop(hour(4), hour(8))], hour(4), hour(8))

    assert [(effect.start.hour, effect.end.hour, effect.helped_at) for effect in left] == [
        (1, 4, None),
        (8, 9, None),
        (4, 4, None),
    ]


def test_without_looks_at_every_effect():
    left = without([stop(hour(1), hour(3)), stop(hour(1), hour(9)), stop(hour(8), hour(9))], hour(4), hour(8), hour(4))

    assert len(left) == 4
