"""The bytes of a body: one way to write it down, on every version and database (A9)."""

import hashlib
import hmac
import json
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from competencies.ledger.canonical import CanonicalError, commitment, decode, encode, entry_hash, parse
from competencies.ledger.chain import Chain
from competencies.ledger.schema import read_body, write_field
from competencies.models import LedgerEntry
from competencies.vocabulary import EntryKind

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
JSON = st.recursive(
    st.integers(-(2**63), 2**63 - 1) | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text("abcxyz_", min_size=1), inner, max_size=4),
)
BODIES = st.dictionaries(st.text("abcuvwxyz", min_size=1), JSON, max_size=6).map(lambda body: {**body, "v": 1})


def test_golden_entries_are_written_byte_for_byte(golden):
    assert len(golden) == 50
    assert [encode(entry.body) for entry in golden] == [entry.raw for entry in golden]
    assert [entry_hash(entry.raw) for entry in golden] == [entry.hash for entry in golden]


def test_golden_entries_are_a_whole_chain_of_all_sorts(golden):
    chain = Chain()

    for entry in golden:
        chain.follow(entry.body["seq"], entry.raw, bytes.fromhex(entry.body["prev"]), entry.hash)

    assert chain.head == golden[-1].hash
    kinds = {entry.body["kind"] for entry in golden}
    assert kinds <= set(EntryKind)
    assert len(kinds) >= 28


def test_golden_values_are_read_and_written_back_the_same(golden):
    for entry in golden:
        body = decode(entry.raw)

        values = read_body(body)

        assert {key: write_field(EntryKind(body["kind"]), key, value) for key, value in values.items()} == body


@pytest.mark.django_db
def test_golden_bytes_come_back_from_the_database_unchanged(golden):
    for entry in golden:
        LedgerEntry(
            seq=entry.body["seq"], body=entry.raw, prev=bytes.fromhex(entry.body["prev"]), hash=entry.hash
        ).save(force_insert=True)

    stored = LedgerEntry.objects.order_by("seq")

    assert [bytes(entry.body) for entry in stored] == [entry.raw for entry in golden]
    assert [entry_hash(bytes(entry.body)) for entry in stored] == [entry.hash for entry in golden]


@settings(deadline=None)
@given(BODIES)
def test_the_order_in_which_a_body_was_made_does_not_show(body):
    shuffled = list(body.items())
    random.Random(len(shuffled)).shuffle(shuffled)

    assert encode(dict(shuffled)) == encode(body)


@settings(deadline=None)
@given(BODIES)
def test_what_was_written_is_read_back_and_written_the_same(body):
    raw = encode(body)

    assert encode(decode(raw)) == raw
    assert raw.startswith(b'{"v":1')
    assert json.loads(raw) == decode(raw)


def test_equal_text_in_another_normal_form_gives_the_same_bytes():
    assert encode({"v": 1, "a": "cafe\u0301"}) == encode({"v": 1, "a": "caf\u00e9"})


@pytest.mark.parametrize(
    "value",
    [1.5, float("nan"), True, None, b"x", {1: "a"}, {"é": 1}, [2.0], {"a": {"b": False}}, 2**63, "\ud800", (1, 2)],
    ids=repr,
)
def test_what_has_no_one_way_of_writing_is_refused(value):
    with pytest.raises(CanonicalError):
        encode({"v": 1, "a": value})


def test_a_body_without_its_format_is_refused():
    with pytest.raises(CanonicalError):
        encode({"a": 1})


@pytest.mark.parametrize(
    "raw",
    [
        b'{"a":1,"v":1}',
        b'{"v": 1}',
        b'{"v":1,"b":1,"a":1}',
        b'{"v":1,"a":1,"a":1}',
        b'{"v":1,"a":1.0}',
        b'{"v":1,"a":NaN}',
        b'{"v":1,"a":"cafe\xcc\x81"}',
        b'{"v":1,"a":"\\u00e9"}',
        b'{"v":1,"a":null}',
        b"[1]",
        b"",
        b"\xff",
    ],
)
def test_bytes_written_in_another_way_are_refused(raw):
    with pytest.raises(CanonicalError):
        decode(raw)


@pytest.mark.parametrize("raw", [b"", b"[1]", b"{", b"\xff"])
def test_bytes_that_hold_no_body_are_not_parsed(raw):
    with pytest.raises(CanonicalError):
        parse(raw)


def test_the_hash_is_sha_256_of_a_zero_byte_and_the_bytes():
    # RFC 9162 2.1.1: the hash of a leaf is SHA-256(0x00 || d).
    assert entry_hash(b"abc") == hashlib.sha256(b"\x00abc").digest()


def test_a_commitment_is_an_hmac_over_kind_and_value():
    salt = bytes(range(16))

    expected = hmac.new(salt, b'["name","Ann Bell"]', hashlib.sha256).digest()

    assert commitment(salt, "name", "Ann Bell") == expected
    assert commitment(salt, "note", "Ann Bell") != expected
    assert commitment(bytes(16), "name", "Ann Bell") != expected


def test_a_short_salt_is_refused():
    with pytest.raises(CanonicalError):
        commitment(b"short", "name", "Ann Bell")
