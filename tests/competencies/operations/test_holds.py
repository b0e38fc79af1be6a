"""Legal holds: who sets and ends them, what they cover (R14)."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from competencies.ledger.reading import read_entry
from competencies.models import LedgerEntry, LegalHold
from competencies.operations.holds import HoldCover, end_hold, set_hold
from competencies.operations.recording import RefusedError
from competencies.queries.retention import holds_of, open_holds
from competencies.standing.facts import SITE, Scope
from competencies.standing.retention import Hold, Kept
from competencies.vocabulary import EntryKind
from tests.factories import at, days_ago, signer

pytestmark = pytest.mark.django_db
ANA, BEN = 1, 2
MAY, JUNE, JULY = date(2025, 5, 10), date(2025, 6, 10), date(2025, 7, 10)


def codes(refused):
    return {refusal.code for refusal in refused.value.refusals}


def test_a_hold_names_the_incident_and_who_set_it(floor, two_signers):
    hana, perla = two_signers
    cover = HoldCover(
        incident="INC-7/2", people=[floor.trainee], task=floor.task, line=floor.line, from_on=days_ago(40)
    )

    hold = set_hold(plant=floor.plant, cover=cover, by=hana, now=at(days_ago(3)))

    entry = read_entry(LedgerEntry.objects.get(seq=hold.entry_seq))
    assert entry["kind"] is EntryKind.HOLD
    assert (entry["incident"], entry["actor"], entry["people"]) == ("INC-7/2", hana.person.pk, (floor.trainee.pk,))
    assert (entry["task"], entry["scope"], entry["covers_from"]) == ("PK-01", Scope(floor.line.code), days_ago(40))
    [found] = open_holds(floor.plant)
    assert (found.people, found.task, found.line) == ({floor.trainee.pk}, "PK-01", floor.line.code)
    end_hold(hold=hold, by=perla, now=at(days_ago(1)))
    assert open_holds(floor.plant) == []
    ended = LegalHold.objects.get()
    assert (ended.ended_by, ended.ended_at) == (perla.person, at(days_ago(1)))
    assert read_entry(LedgerEntry.objects.get(seq=ended.ended_entry_seq))["of"] == hold.entry_seq


def test_who_set_it_does_not_end_it(floor, two_signers):
    hold = set_hold(
        plant=floor.plant, cover=HoldCover(incident="I1", task=floor.task), by=two_signers[0], now=at(days_ago(3))
    )

    with pytest.raises(RefusedError) as refused:
        end_hold(hold=hold, by=two_signers[0], now=at(days_ago(1)))

    assert codes(refused) == {"hold_ended_by_setter"}
    assert open_holds(floor.plant)


def test_the_database_itself_knows_two_people(floor, two_signers):
    hold = set_hold(
        plant=floor.plant, cover=HoldCover(incident="I1", task=floor.task), by=two_signers[0], now=at(days_ago(3))
    )

    with pytest.raises(IntegrityError), transaction.atomic():
        LegalHold.objects.filter(pk=hold.pk).update(ended_by=hold.set_by)


def test_a_hold_covers_something_and_is_set_by_the_office(floor, two_signers):
    with pytest.raises(RefusedError) as refused:
        set_hold(plant=floor.plant, cover=HoldCover(incident="I1"), by=signer(floor.trainer), now=at(days_ago(3)))

    assert codes(refused) == {"hold_covers_nothing", "no_office"}
    days = HoldCover(incident="I1", task=floor.task, from_on=days_ago(1), until_on=days_ago(2))
    with pytest.raises(RefusedError) as refused:
        set_hold(plant=floor.plant, cover=days, by=two_signers[0], now=at(days_ago(0)))
    assert codes(refused) == {"days_out_of_order"}


@pytest.mark.parametrize(
    ("cover", "entry", "is_covered"),
    [
        ({"people": {ANA}}, {"people": {ANA, BEN}}, True),
        ({"people": {ANA}}, {"people": {BEN}}, False),
        ({"task": "T1"}, {"task": "T1"}, True),
        ({"task": "T1"}, {"task": "T2"}, False),
        ({"line": "L1"}, {"scope": Scope("L1", "F1")}, True),
        ({"line": "L1"}, {"scope": Scope("L2")}, False),
        ({"line": "L1"}, {"scope": SITE}, True),
        ({"from_on": JUNE}, {"on": JUNE}, True),
        ({"from_on": JUNE}, {"on": MAY}, False),
        ({"until_on": JUNE}, {"on": JUNE}, True),
        ({"until_on": JUNE}, {"on": JULY}, False),
        ({"people": {ANA}, "task": "T1", "from_on": MAY, "until_on": JULY}, {"task": "T1"}, True),
        ({"people": {ANA}, "task": "T2", "from_on": MAY, "until_on": JULY}, {"task": "T1"}, False),
    ],
)
def test_what_a_hold_covers(cover, entry, is_covered):
    hold = Hold(seq=1, incident="I1", **{name: frozenset(v) if isinstance(v, set) else v for name, v in cover.items()})
    given = {"people": frozenset({ANA}), "on": JUNE, **entry}

    assert hold.covers(Kept(**{**given, "people": frozenset(given["people"])})) is is_covered


@pytest.mark.parametrize("size", [1, 5])
def test_the_list_costs_the_same_queries_at_any_size(floor, two_signers, size, django_assert_num_queries):
    for number in range(size):
        cover = HoldCover(incident=f"I{number}", people=[floor.trainee])
        set_hold(plant=floor.plant, cover=cover, by=two_signers[0], now=at(days_ago(3)))

    with django_assert_num_queries(2):
        rows = [[person.name for person in hold.people.all()] for hold in holds_of(floor.plant)]
    with django_assert_num_queries(3):
        assert len(open_holds(floor.plant)) == len(rows) == size
