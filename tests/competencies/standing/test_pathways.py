"""What decided units add up to: which of two counts, what is cut, how far it is, and on which day (R8.4 to R8.6)."""

from dataclasses import replace

import pytest

from competencies.standing.credits import Distance, Qualification, Unit, pathway_result
from competencies.standing.facts import UnitDecision
from tests.competencies.standing.plant import ANA, ELI, Book, d, frame

U1_OR_U2 = (frozenset({("U1", 1), ("U2", 1)}),)


def unit(code, group, credits, level=3, **fields):  # noqa: A002 - the trade's word
    return Unit(**{"code": code, "version": 1, "level": level, "credits": credits, "group": group, **fields})


def result_of(qualification, offered, *, decided=None, on="2025-12-31", **known):
    """Return what the decisions add up to: (unit, day) each, or all that is offered on 3 March."""
    book = Book(frame())
    for each, day in [(each, "2025-03-03") for each in offered] if decided is None else decided:
        book.write(UnitDecision, ANA, day, unit=each.code, version=each.version, by=ELI)
    return pathway_result(book.facts, qualification, offered, d(on), **known)


# Which of two counts: all rules met, the fewest core units missing, the most credits, the fewest missing (R8.4)


@pytest.mark.parametrize(
    ("asked", "one", "two", "chosen"),
    [
        ({"total": 9}, unit("U1", "K", 4), unit("U2", "P", 5), "U2"),
        ({"total": 9}, unit("U1", "K", 5), unit("U2", "P", 4), "U1"),
        # All rules met comes before more credits.
        ({"total": 3, "minimum": {"P": 2}}, unit("U1", "K", 4), unit("U2", "P", 3), "U2"),
        ({"total": 1, "minimum": {"P": 1}}, unit("U1", "K", 4), unit("U2", "P", 1), "U2"),
        ({"total": 1, "minimum": {"P": 1}}, unit("U1", "K", 1), unit("U2", "P", 1), "U2"),
        ({"total": 1, "minimum": {"P": 1}, "level": 4}, unit("U1", "K", 1), unit("U2", "P", 1), "U2"),
        ({"total": 1, "level": 3, "level_credits": 1}, unit("U1", "K", 1, level=2), unit("U2", "K", 1), "U2"),
        ({"total": 4, "level": 3, "level_credits": 1}, unit("U1", "K", 5, level=2), unit("U2", "P", 4), "U2"),
        # Where they are not met, more credits come before fewer missing, and of as many the fewest missing count.
        ({"total": 10, "minimum": {"P": 5}}, unit("U1", "K", 4), unit("U2", "P", 3), "U1"),
        ({"total": 10, "minimum": {"P": 5}}, unit("U1", "K", 3), unit("U2", "P", 3), "U2"),
        # A core unit comes before any credits.
        ({"total": 10}, unit("U1", "K", 9), unit("U2", "core", 1), "U2"),
        # A group counts up to its maximum; of two by which one stands equally well, the one of more credits.
        ({"total": 10, "maximum": {"P": 3}}, unit("U1", "K", 4), unit("U2", "P", 9), "U1"),
        ({"total": 10, "maximum": {"P": 3}}, unit("U1", "K", 3), unit("U2", "P", 9), "U2"),
        ({"total": 10, "maximum": {"K": 3}}, unit("U1", "K", 9), unit("U2", "P", 3), "U1"),
    ],
    ids=lambda value: f"{value.group} {value.credits} at {value.level}" if isinstance(value, Unit) else None,
)
def test_of_an_excluded_pair_the_one_counts_by_which_the_person_stands_best(asked, one, two, chosen):
    result = result_of(Qualification(code="Q", exclusions=U1_OR_U2, **asked), [one, two])
    left = ({"U1", "U2"} - {chosen}).pop()

    assert result.chosen == {chosen: 1}
    assert result.excluded == {(left, 1): (chosen, 1)}


def test_credits_above_a_groups_maximum_are_none_at_the_level_either():
    # P counts 4 of 6 at level 3, and with W 6 in all; K and R give 6 as well, of which 5 at level 3.
    units = [unit("U1", "P", 6), unit("U3", "W", 2, level=2), unit("U2", "K", 5), unit("U4", "R", 1, level=2)]
    pairs = tuple(frozenset({(one, 1), (other, 1)}) for one in ("U1", "U3") for other in ("U2", "U4"))
    asked = Qualification(code="Q", total=6, maximum={"P": 4}, level=3, level_credits=5, exclusions=pairs)

    result = result_of(asked, units)

    assert result.chosen == {"U2": 1, "U4": 1}
    assert result.holds


# What is cut (R8.5)


@pytest.mark.parametrize(
    ("units", "counted", "surplus"),
    [
        # Below the level asked first, then what was decided last, then the later code.
        ([("U1", 2, "2025-03-03"), ("U2", 3, "2025-03-04")], {"U1": 1, "U2": 3}, {"U1": 2}),
        ([("U1", 4, "2025-03-04"), ("U2", 3, "2025-03-03")], {"U1": 1, "U2": 3}, {"U1": 2}),
        ([("U1", 2, "2025-03-04"), ("U2", 2, "2025-03-03")], {"U1": 1, "U2": 3}, {"U1": 2}),
        ([("U1", 3, "2025-03-03"), ("U2", 3, "2025-03-03")], {"U1": 3, "U2": 1}, {"U2": 2}),
        ([("U1", 3, "2025-03-03")], {"U1": 3}, {}),
    ],
    ids=["level", "above the level is no better", "decided last", "code", "nothing"],
)
def test_a_group_is_cut_to_its_maximum_credit_by_credit(units, counted, surplus):
    offered = [unit(code, "P", 3, level=level) for code, level, _ in units]
    decided = [(each, day) for each, (_, _, day) in zip(offered, units, strict=True)]
    asked = Qualification(code="Q", total=9, maximum={"P": 4}, level=3)

    result = result_of(asked, offered, decided=decided)

    assert (result.counted, result.surplus) == (counted, surplus)


# How far it is (R8.5)


def test_every_rule_tells_what_it_asks_and_what_is_reached():
    units = [unit("U1", "core", 4), unit("U2", "core", 5), unit("U3", "P", 3, level=2), unit("U4", "K", 2)]
    asked = Qualification(code="Q", total=12, minimum={"P": 4, "K": 2}, level=3, level_credits=8)

    nothing = result_of(asked, units, decided=[])
    some = result_of(asked, units, decided=[(units[0], "2025-03-03"), (units[2], "2025-03-03")])

    def told(result):
        return {each.rule: (each.asked, each.reached, each.missing) for each in result.distances}

    assert told(nothing) == {
        "core": (9, 0, 9),
        "P": (4, 0, 4),
        "K": (2, 0, 2),
        "level": (8, 0, 8),
        "total": (12, 0, 12),
    }
    assert told(some) == {
        "core": (9, 4, 5),
        "P": (4, 3, 1),
        "K": (2, 0, 2),
        "level": (8, 4, 4),
        "total": (12, 7, 5),
    }
    assert (some.core_missing, some.total) == (("U2",), 7)


@pytest.mark.parametrize(
    ("on", "asked"),
    [("2025-05-31", 4), ("2025-06-01", 7)],
    ids=["the day before the new version", "its first day"],
)
def test_a_core_unit_is_asked_in_the_newest_version_begun(on, asked):
    old = unit("U1", "core", 4)
    new = replace(old, version=2, credits=7, first_assessment_on=d("2025-06-01"))

    result = result_of(Qualification(code="Q", total=4), [new, old], decided=[], on=on)

    assert result.distances[0] == Distance(rule="core", asked=asked, reached=0)


def test_a_core_unit_of_which_no_version_has_begun_is_asked_all_the_same():
    coming = unit("U1", "core", 4, first_assessment_on=d("2025-06-01"))

    result = result_of(Qualification(code="Q", total=4), [coming], decided=[], on="2025-05-31")

    assert (result.core_missing, result.distances[0].asked) == (("U1",), 4)


# Which decisions count, and on which day it is awarded (R8.4, R8.6)


@pytest.mark.parametrize(
    ("decided", "total"),
    [
        ([("U1", "2025-03-03")], 4),
        ([("U1", "2025-03-04")], 0),
        ([("U9", "2025-03-03")], 0),
    ],
    ids=["last day", "the day after", "not of this pathway"],
)
def test_a_decision_counts_on_a_version_that_was_open_and_is_offered(decided, total):
    offered = [unit("U1", "K", 4, last_assessment_on=d("2025-03-03"))]
    made = [(unit(code, "K", 4), day) for code, day in decided]

    assert result_of(Qualification(code="Q", total=4), offered, decided=made).total == total


@pytest.mark.parametrize(
    ("last", "on", "enrolled", "left", "awarded"),
    [
        (None, "2025-03-02", None, None, None),
        (None, "2025-03-03", None, None, "2025-03-03"),
        ("2025-03-03", "2025-12-31", None, None, "2025-03-03"),
        ("2025-03-02", "2025-12-31", None, None, None),
        (None, "2025-03-04", "2025-03-04", None, "2025-03-04"),
        (None, "2025-03-04", "2025-03-05", None, None),
        (None, "2025-12-31", None, "2025-03-03", None),
        (None, "2025-12-31", None, "2025-03-04", "2025-03-03"),
    ],
    ids=[
        *("before", "that day", "last day to achieve", "too late"),
        *("enrolled today", "enrolled tomorrow", "left that day", "left the day after"),
    ],
)
def test_it_is_awarded_on_the_first_day_on_which_every_rule_holds(last, on, enrolled, left, awarded):
    asked = Qualification(code="Q", total=4, last_achievement_on=last and d(last))
    known = {"enrolled_on": enrolled and d(enrolled), "left_on": left and d(left)}

    result = result_of(asked, [unit("U1", "K", 4)], on=on, **known)

    assert result.awarded_on == (awarded and d(awarded))
