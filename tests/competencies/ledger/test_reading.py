"""Facts go into bodies and come out the same; what the rule does not read is left out."""

from dataclasses import fields
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from competencies.ledger.canonical import decode, encode
from competencies.ledger.reading import FACTS, fact_of, facts_of, fields_of, opened, read_entry
from competencies.ledger.schema import CODECS, KINDS, write_field
from competencies.ledger.writer import append, writing
from competencies.models import Detached, LedgerEntry
from competencies.standing import facts
from competencies.standing.facts import Fact, Scope
from competencies.vocabulary import AuthorityKind, ConflictCause, EntryKind, Judgement, Outcome, SecondRole
from tests.competencies.ledger.conftest import ANN, BEN, NOON

NUMBERS = st.integers(1, 2**62)
PLACES = st.integers(0, 2**62)
DAYS = st.dates(date(1990, 1, 1), date(2100, 1, 1))
MOMENTS = st.integers(0, 4 * 10**15).map(lambda us: datetime(1990, 1, 1, tzinfo=UTC) + timedelta(microseconds=us))
CODES = st.from_regex(r"[A-Z]{2}-[0-9]{2}", fullmatch=True)
SCOPES = st.sampled_from([Scope(), Scope("L1"), Scope("L1", "F1"), Scope("BH")])
LABELS = st.sampled_from(["330 mL", "500 mL", "day", "Würze", "bottle size", "日勤"])

# How to make a value of each field; the fields' names mean the same in every fact.
VALUES = {
    "seq": PLACES,
    "person": NUMBERS,
    "happened_at": MOMENTS,
    "recorded_at": MOMENTS,
    "on": DAYS,
    "task": CODES,
    "scope": SCOPES,
    "by": st.none() | NUMBERS,
    "shift": LABELS,
    "revision": st.integers(1, 99),
    "confirmed_at": st.none() | MOMENTS,
    "simulated": st.booleans(),
    "stopped": st.booleans(),
    "range_values": st.dictionaries(LABELS, LABELS),
    "of": PLACES,
    "calculation": CODES,
    "passed": st.booleans(),
    "outcome": st.sampled_from(Outcome),
    "judged": st.dictionaries(st.integers(1, 30), st.sampled_from(Judgement)),
    "delta": st.booleans(),
    "roles": st.frozensets(st.sampled_from(SecondRole)),
    "evidence_on": DAYS,
    "evidence_ends_on": st.none() | DAYS,
    "criteria": st.frozensets(st.integers(1, 30)),
    "runs_needed": st.integers(0, 9),
    "cause": st.sampled_from(["", "near_miss", "seen_unsafe"]),
    "started_on": st.none() | DAYS,
    "last_day": st.none() | DAYS,
    "restricted_until": st.none() | DAYS,
    "back_on": st.none() | DAYS,
    "unit": CODES,
    "version": st.integers(1, 9),
    "elsewhere": st.booleans(),
    "evidence": st.lists(PLACES).map(tuple),
    "agrees": st.booleans(),
    "stands_for": st.none() | PLACES,
    "first_seq": st.none() | PLACES,
    "first_recorded_at": st.none() | MOMENTS,
    "instead": st.none() | PLACES,
    "twin": st.none() | PLACES,
    "other": NUMBERS,
    "entries": st.frozensets(PLACES, min_size=1),
    "unentitled_from": st.none() | DAYS,
    "annulment": st.none() | PLACES,
    "valid_from": DAYS,
    "valid_until": st.none() | DAYS,
}
OTHERWISE = {
    (facts.Recognition, "range_values"): st.dictionaries(LABELS, st.lists(LABELS).map(tuple)),
    (facts.InitialTrainer, "revision"): st.none() | st.integers(1, 99),
    (facts.Correction, "other"): st.none() | NUMBERS,
    (facts.Conflict, "cause"): st.sampled_from(ConflictCause),
}


def strategy_of(kind):
    return st.builds(
        kind, **{field.name: OTHERWISE.get((kind, field.name), VALUES.get(field.name)) for field in fields(kind)}
    )


def body_of(fact):
    """Write the fact as `append` would, with what the ledger itself gives."""
    kind, values = fields_of(fact)
    given = {**values, "v": 1, "seq": fact.seq, "prev": "00" * 32, "kind": kind, "at": fact.recorded_at}
    given |= {"plant": 1, "tz": "Europe/Dublin"}
    return encode({key: write_field(kind, key, value) for key, value in given.items()})


@pytest.mark.parametrize("kind", FACTS.values(), ids=lambda kind: kind.__name__)
@settings(deadline=None)
@given(data=st.data())
def test_a_fact_comes_back_from_its_body_the_same(kind, data):
    fact = data.draw(strategy_of(kind))

    assert fact_of(decode(body_of(fact))) == fact


def test_every_fact_that_the_rule_reads_has_a_kind_of_entry():
    # By name: dataclasses with slots leave the class they were made from behind.
    assert {kind.__name__ for kind in FACTS.values()} == {kind.__name__ for kind in Fact.__subclasses__()}


def test_every_kind_of_entry_has_its_closed_list_of_keys():
    assert set(KINDS) == set(EntryKind)


def test_no_key_holds_a_name_or_a_typed_text():
    """What is committed to is a digest; every other text is of a fixed form or from a list of the plant's (G1)."""
    suspects = {"name", "text", "comment", "title", "description", "email", "works_number", "birth"}

    keys = {key for codecs in CODECS.values() for key in codecs}

    assert not {key for key in keys if key in suspects}
    assert len(keys) > 80


def test_the_order_of_entries_is_the_order_of_facts(five_runs):
    found = facts_of(LedgerEntry.objects.order_by("seq"))

    assert [fact.seq for fact in found] == [run.seq for run in five_runs]
    assert {type(fact) for fact in found} == {facts.Run}
    assert {fact.by for fact in found} == {BEN[0]}


def test_entries_that_the_rule_does_not_read_are_left_out(plant, five_runs):
    with writing():
        append(
            kind=EntryKind.AUTHORITY,
            plant=plant,
            at=NOON,
            fields={"authority": AuthorityKind.ASSESS, "valid_from": NOON.date()},
            names={"subject": BEN},
        )
        append(kind=EntryKind.CORRECTION, plant=plant, at=NOON, fields={"of": 5, "reason": "wrong_day"})

    assert len(facts_of(LedgerEntry.objects.all())) == len(five_runs)


def test_a_paper_record_tells_who_acted_and_who_signed(append_run):
    append_run(by=77)

    entry = LedgerEntry.objects.get()

    assert facts_of([entry])[0].by == 77
    assert read_entry(entry)["actor"] == BEN[0]
    assert entry.index.actor == 77


def test_readings_keep_the_digits_they_were_read_with(append_run):
    append_run(readings=[{"number": 1, "trainee": Decimal("4.10"), "assessor": Decimal("4.1"), "unit": "mg/L"}])

    reading = read_entry(LedgerEntry.objects.get())["readings"][0]

    assert (str(reading["trainee"]), str(reading["assessor"])) == ("4.10", "4.1")


def test_names_and_texts_are_opened_by_their_commitments(append_run):
    append_run(texts={"note": "Sat the lid twice."})
    values = read_entry(LedgerEntry.objects.get())

    texts = opened([values["subject_name"], values["note"]])

    assert texts == {values["subject_name"]: ANN[1], values["note"]: "Sat the lid twice."}


def test_a_text_changed_behind_the_ledger_is_not_shown(append_run):
    append_run(texts={"note": "Sat the lid twice."})
    note = read_entry(LedgerEntry.objects.get())["note"]

    Detached.objects.filter(kind="note").update(value="All fine.")

    assert opened([note]) == {}


def test_an_erased_text_is_gone_and_the_fact_stays(append_run):
    append_run(texts={"note": "Sat the lid twice."})
    values = read_entry(LedgerEntry.objects.get())

    Detached.objects.filter(person=ANN[0]).delete()

    assert set(opened([values["subject_name"], values["actor_name"], values["note"]])) == {values["actor_name"]}
    assert facts_of(LedgerEntry.objects.all())[0].person == ANN[0]
