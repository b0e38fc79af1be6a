"""R14: what a legal hold keeps back, and from which day a record may go. Worked by hand from the rule's own words."""

import pytest

from competencies.standing.facts import SITE, Scope
from competencies.standing.framework import Policy
from competencies.standing.retention import (
    Hold,
    Kept,
    evidence_is_due,
    evidence_kept_until,
    holding_back,
    record_is_due,
    record_kept_until,
)
from tests.competencies.standing.plant import ANA, BEN, CHEN, d

L1, L2 = Scope("L1"), Scope("L2")
MARCH_10 = Kept(people=frozenset({ANA, BEN}), on=d("2025-03-10"), task="T-01", scope=L1)


def hold(**about):
    return Hold(seq=7, incident="A-1", **about)


@pytest.mark.parametrize(
    ("about", "is_kept"),
    [
        ({}, True),
        ({"people": frozenset({BEN, CHEN})}, True),
        ({"people": frozenset({CHEN})}, False),
        ({"task": "T-01"}, True),
        ({"task": "T-02"}, False),
        ({"line": "L1"}, True),
        ({"line": "L2"}, False),
        ({"from_on": d("2025-03-10")}, True),
        ({"from_on": d("2025-03-11")}, False),
        ({"until_on": d("2025-03-10")}, True),
        ({"until_on": d("2025-03-09")}, False),
        ({"from_on": d("2025-03-09"), "until_on": d("2025-03-11")}, True),
        ({"from_on": d("2025-03-11"), "until_on": d("2025-03-12")}, False),
        ({"people": frozenset({ANA}), "task": "T-01", "line": "L1"}, True),
        ({"people": frozenset({ANA}), "task": "T-01", "line": "L2"}, False),
    ],
    ids=str,
)
def test_a_hold_covers_what_it_names(about, is_kept):
    assert hold(**about).covers(MARCH_10) is is_kept


def test_what_belongs_to_no_line_may_have_happened_at_any():
    everywhere = Kept(people=frozenset({ANA}), on=d("2025-03-10"), task="T-01", scope=SITE)

    assert hold(line="L2").covers(everywhere)


def test_an_open_hold_covers_an_entry_without_task_and_people():
    bare = Kept(people=frozenset(), on=d("2025-03-10"))

    assert hold().covers(bare)
    assert not hold(task="T-01").covers(bare)
    assert not hold(people=frozenset({ANA})).covers(bare)


def test_every_hold_that_keeps_an_entry_back_is_named():
    first, other, third = hold(task="T-01"), hold(task="T-02"), hold(line="L1")

    assert holding_back([first, other, third], MARCH_10) == [first, third]


@pytest.mark.parametrize(
    ("judged_on", "months", "last"),
    [
        ("2024-02-29", 24, "2026-02-28"),
        ("2025-03-10", 24, "2027-03-10"),
        ("2025-08-31", 6, "2026-02-28"),
    ],
)
def test_evidence_is_kept_so_many_months(judged_on, months, last):
    assert evidence_kept_until(d(judged_on), Policy(evidence_months=months)) == d(last)


# Judged on 10 March 2025: 24 months end on 10 March 2027.
@pytest.mark.parametrize(
    ("on", "moderated_on", "awaits", "is_due"),
    [
        ("2027-03-10", "2026-01-01", True, False),
        ("2027-03-11", "2026-01-01", True, True),
        ("2027-03-11", "2025-03-10", True, True),
        ("2027-03-11", "2025-03-09", True, False),
        ("2027-03-11", None, True, False),
        ("2027-03-11", None, False, True),
        ("2027-03-10", None, False, False),
    ],
)
def test_evidence_goes_after_its_months_and_a_moderation(on, moderated_on, awaits, is_due):
    policy = Policy(evidence_months=24, evidence_awaits_moderation=awaits)

    moderated = d(moderated_on) if moderated_on else None
    assert evidence_is_due(d("2025-03-10"), policy, moderated_on=moderated, on=d(on)) is is_due


def test_a_leavers_record_is_kept_three_years():
    policy = Policy(record_after_leaving_months=36)

    assert record_kept_until(d("2022-06-30"), policy) == d("2025-06-30")
    assert record_kept_until(d("2024-02-29"), policy) == d("2027-02-28")


@pytest.mark.parametrize(
    ("last_day", "on", "is_due"),
    [("2022-06-30", "2025-06-30", False), ("2022-06-30", "2025-07-01", True), (None, "2099-01-01", False)],
)
def test_a_name_goes_only_after_the_person_left_and_the_years_are_over(last_day, on, is_due):
    policy = Policy(record_after_leaving_months=36)

    assert record_is_due(d(last_day) if last_day else None, policy, on=d(on)) is is_due
