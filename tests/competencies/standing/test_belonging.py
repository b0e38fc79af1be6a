"""Whose an entry is, once records were joined and parted (R7)."""

from datetime import UTC, datetime, timedelta

import pytest

from competencies.standing.belonging import belonging, kin_of, owner_of
from competencies.standing.facts import (
    Correction,
    PeopleJoined,
    PeopleParted,
    Performance,
    Run,
    RunAccepted,
    SecondSignature,
)
from competencies.standing.live import known_at

ANA, BEA, CAL, GUS = 1, 2, 3, 4
START = datetime(2025, 4, 1, 9, tzinfo=UTC)


def common(seq, person):
    moment = START + timedelta(days=seq)
    return {"seq": seq, "person": person, "happened_at": moment, "recorded_at": moment, "on": moment.date()}


def done(seq, person):
    return Performance(**common(seq, person), task="T1")


def joined(seq, kept, other):
    return PeopleJoined(**common(seq, kept), other=other)


def parted(seq, record, other, *entries):
    return PeopleParted(**common(seq, record), other=other, entries=frozenset(entries))


def owned(person, facts):
    return [fact.seq for fact in belonging(person, facts) if isinstance(fact, Performance)]


@pytest.mark.parametrize(
    ("changes", "of_ana", "of_bea"),
    [
        pytest.param([], [1, 3], [2, 4], id="two records, each with its own"),
        pytest.param([joined(5, ANA, BEA)], [1, 2, 3, 4], [], id="joined: all of the other's"),
        pytest.param([parted(5, ANA, BEA, 3)], [1], [2, 3, 4], id="parted: those named"),
        pytest.param([parted(5, ANA, BEA, 2)], [1, 3], [2, 4], id="what was never on the record stays"),
        pytest.param([joined(5, ANA, BEA), parted(6, ANA, BEA, 2)], [1, 3, 4], [2], id="joined and parted in part"),
        pytest.param([parted(5, ANA, BEA, 3), parted(6, BEA, ANA, 3)], [1, 3], [2, 4], id="parted and given back"),
        pytest.param([parted(5, ANA, BEA, 1), joined(6, ANA, BEA)], [1, 2, 3, 4], [], id="parted, then one after all"),
    ],
)
def test_entries_follow_the_joinings_and_partings(changes, of_ana, of_bea):
    facts = [done(1, ANA), done(2, BEA), done(3, ANA), done(4, BEA), *changes]

    assert owned(ANA, facts) == of_ana
    assert owned(BEA, facts) == of_bea
    assert {fact.person for fact in belonging(ANA, facts)} <= {ANA}


def test_joined_twice_leads_to_the_last():
    facts = [done(1, ANA), joined(2, BEA, ANA), joined(3, CAL, BEA)]

    assert owned(CAL, facts) == [1]
    assert kin_of(ANA, facts) == {ANA, BEA, CAL}


def test_what_is_written_on_a_joined_record_later_still_counts_for_the_one():
    facts = [joined(1, ANA, BEA), done(2, BEA)]

    assert owned(ANA, facts) == [2]


def test_once_parted_off_later_entries_are_a_persons_own_again():
    facts = [done(1, BEA), joined(2, ANA, BEA), parted(3, ANA, BEA, 1), done(4, BEA)]

    assert owned(ANA, facts) == []
    assert owned(BEA, facts) == [1, 4]


def test_what_points_at_an_entry_goes_with_it():
    facts = [
        done(1, ANA),
        SecondSignature(**common(2, ANA), of=1, roles=frozenset()),
        Correction(**common(3, ANA), of=1),
        parted(4, ANA, BEA, 1),
        Correction(**common(5, BEA), of=3),
    ]

    assert [fact.seq for fact in belonging(BEA, facts)] == [1, 2, 3, 5]
    assert owner_of(facts[1], facts) == BEA


def test_as_known_before_each_record_had_its_own():
    facts = [done(1, ANA), done(2, BEA), joined(5, ANA, BEA)]
    before = START + timedelta(days=4)

    assert owned(ANA, known_at(facts, before)) == [1]
    assert owned(BEA, known_at(facts, before)) == [2]


def test_kin_are_only_those_who_were_joined_or_parted_with_one_another():
    facts = [joined(1, ANA, BEA), joined(2, CAL, GUS)]

    assert kin_of(ANA, facts) == kin_of(BEA, facts) == {ANA, BEA}
    assert kin_of(GUS, facts) == {CAL, GUS}


def test_parting_another_record_off_ends_no_joining():
    facts = [done(1, ANA), joined(2, ANA, BEA), parted(3, ANA, CAL, 1), done(4, BEA), joined(5, CAL, GUS)]

    assert owned(ANA, facts) == [4]
    assert owned(CAL, facts) == [1]


def test_a_joining_after_a_parting_lasts_whatever_is_written_on_the_record_later():
    facts = [parted(1, ANA, BEA, 9), joined(2, ANA, BEA), done(3, BEA), done(1000, BEA)]

    assert owned(ANA, facts) == [3, 1000]


def watched(seq, person, by):
    """Return a run, and the same as work of whoever watched it."""
    fields = {"task": "T1", "by": by}
    run = Run(**common(seq, person), **fields, shift="day", revision=1, confirmed_at=None)
    return [run, Performance(**common(seq, by), **fields)]


@pytest.mark.parametrize("is_turned", [False, True], ids=["as written", "the watcher's first"])
def test_what_points_at_an_entry_goes_to_who_it_is_about_and_not_to_who_watched(is_turned):
    told = watched(1, ANA, GUS)
    struck = [Correction(**common(4, person), of=1, other=GUS) for person in (ANA, GUS)]
    facts = [
        *(reversed(told) if is_turned else told),
        parted(2, ANA, BEA, 1),
        # Gus' record held entries of somebody else too, so that it is read with the others.
        parted(3, GUS, ANA, 99),
        *(reversed(struck) if is_turned else struck),
    ]
    later = [RunAccepted(**common(5, BEA), of=1), Correction(**common(6, BEA), of=4)]

    assert [owner_of(fact, [*facts, *later]) for fact in later] == [BEA, BEA]
    assert [owner_of(fact, facts) for fact in told] == [BEA, GUS]
    assert [owner_of(fact, facts) for fact in struck] == [BEA, GUS]


def test_what_points_at_an_entry_goes_with_it_from_hand_to_hand():
    run, _ = watched(1, ANA, GUS)
    accepted = RunAccepted(**common(3, BEA), of=1)
    facts = [run, parted(2, ANA, BEA, 1), accepted, parted(4, BEA, CAL, 1)]

    assert [owner_of(fact, facts) for fact in (run, accepted)] == [CAL, CAL]


def test_an_entry_points_at_earlier_ones_only():
    facts = [Correction(**common(2, BEA), of=3), done(3, ANA), Correction(**common(4, BEA), of=4)]
    linked = [*facts, parted(9, ANA, BEA, 99)]

    assert [owner_of(fact, linked) for fact in facts] == [BEA, ANA, BEA]
