"""Whatever is changed in the stored ledger behind the guards is found when it is verified (A3, A4, A5)."""

import random
import sqlite3
from functools import partial

import pytest
from django.db import connection, transaction
from django.utils import timezone

from competencies.ledger.anchoring import AnchorReason, anchor_ledger
from competencies.ledger.canonical import decode, encode, entry_hash
from competencies.ledger.chain import Chain, ChainError
from competencies.ledger.verifying import verify_ledger
from competencies.models import LedgerAnchor, LedgerEntry, LedgerIndex
from tests.ledger_reset import owner_at_work

FLIPS = 300
TRIALS = 200
FILE_FLIPS = 1500


def flipped(value, rng):
    """Return `value` with one bit turned."""
    if isinstance(value, int):
        return value ^ (1 << rng.randrange(6, 40))
    turned = bytearray(value)
    turned[rng.randrange(len(turned))] ^= 1 << rng.randrange(8)
    return bytes(turned)


def fault_of(rows):
    """Return where the chain stops to fit, or None."""
    chain = Chain()
    try:
        for seq, raw, prev, stored_hash in rows:
            chain.follow(seq, raw, prev, stored_hash)
    except ChainError as error:
        return error.where
    return None


@pytest.fixture
def rows(golden):
    return [(entry.body["seq"], entry.raw, bytes.fromhex(entry.body["prev"]), entry.hash) for entry in golden]


def test_the_untouched_chain_fits(rows):
    assert fault_of(rows) is None


@pytest.mark.parametrize("column", [0, 1, 2, 3], ids=["seq", "body", "prev", "hash"])
def test_each_flipped_bit_is_found_where_it_is(rows, column):
    rng = random.Random(column)
    for _ in range(FLIPS):
        place = rng.randrange(len(rows))
        changed = [list(row) for row in rows]
        changed[place][column] = flipped(changed[place][column], rng)

        assert fault_of(changed) == place


def removed(rows, rng):
    # Not the last: a cut tail can be seen only from an anchor.
    place = rng.randrange(len(rows) - 1)
    return rows[:place] + rows[place + 1 :]


def removed_and_renumbered(rows, rng):
    return [(place, *row[1:]) for place, row in enumerate(removed(rows, rng))]


def inserted(rows, rng):
    place = rng.randrange(1, len(rows))
    body = {**decode(rows[place - 1][1]), "seq": place, "prev": rows[place - 1][3].hex()}
    raw = encode(body)
    forged = (place, raw, rows[place - 1][3], entry_hash(raw))
    return [*rows[:place], forged, *((row[0] + 1, *row[1:]) for row in rows[place:])]


def swapped(rows, rng):
    one, other = sorted(rng.sample(range(len(rows)), 2))
    changed = list(rows)
    changed[one], changed[other] = (one, *rows[other][1:]), (other, *rows[one][1:])
    return changed


def renumbered(rows, rng):
    place, shift = rng.randrange(len(rows)), rng.randrange(1, 9)
    return [(row[0] + shift, *row[1:]) if row[0] >= place else row for row in rows]


def rewritten(rows, rng):
    """Change a body and give it its right hash: the next entry no longer follows (or the body names its place)."""
    place = rng.randrange(len(rows) - 1)
    raw = encode({**decode(rows[place][1]), "plant": rng.randrange(2, 99)})
    return [(row[0], raw, row[2], entry_hash(raw)) if row[0] == place else row for row in rows]


@pytest.mark.parametrize("tamper", [removed, removed_and_renumbered, inserted, swapped, renumbered, rewritten])
def test_the_order_of_entries_cannot_be_changed_unseen(rows, tamper):
    rng = random.Random(tamper.__name__)

    found = [fault_of(tamper(rows, rng)) for _ in range(TRIALS)]

    assert sum(place is not None for place in found) == TRIALS


def read_file(path):
    """Return the rows that SQLite reads from the file, or None when it refuses to."""
    database = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    try:
        return database.execute("SELECT seq, body, prev, hash FROM ledger_entry ORDER BY seq").fetchall()
    except (sqlite3.DatabaseError, OverflowError):
        return None
    finally:
        database.close()


def test_no_flipped_bit_of_the_file_alters_what_is_read_unseen(rows, tmp_path):
    path, rng = tmp_path / "ledger.sqlite3", random.Random(0)
    database = sqlite3.connect(path)
    database.execute("CREATE TABLE ledger_entry (seq bigint PRIMARY KEY, body BLOB, prev BLOB, hash BLOB)")
    database.executemany("INSERT INTO ledger_entry VALUES (?, ?, ?, ?)", rows)
    database.commit()
    database.close()
    whole, altered, unseen = path.read_bytes(), 0, 0
    for _ in range(FILE_FLIPS):
        path.write_bytes(flipped(whole, rng))
        read = read_file(path)
        if read is None or read == rows:
            continue
        altered += 1
        unseen += not_noticed(read, rows)

    assert altered >= FILE_FLIPS // 5
    assert unseen == 0


def not_noticed(read, rows):
    """Whether a file that reads differently passes: one that lost its tail is caught by its size, as by an anchor."""
    typed = all(isinstance(value, bytes) for row in read for value in row[1:])
    return typed and len(read) == len(rows) and fault_of(read) is None


# ---------------------------------------------------------------------------------------------------------
# In the database itself, past the guards


@pytest.fixture
def tampering(five_runs):
    """Run a change as the owner of the tables, see what the verification says, and undo it."""

    def fault_after(change):
        with owner_at_work(), transaction.atomic():
            change()
            fault = _verified()
            transaction.set_rollback(True)
        return fault

    return fault_after


def _verified():
    # The guards are away while the owner works; what the rows say comes before that.
    try:
        verify_ledger(with_values=True)
    except ChainError as error:
        return error.where if error.where != "guards" else None
    return None


def test_without_a_change_nothing_is_found(tampering):
    assert tampering(lambda: None) is None


@pytest.mark.parametrize("column", ["body", "prev", "hash"])
def test_a_flipped_bit_in_the_database_is_found(tampering, column):
    rng = random.Random(column)
    for _ in range(20):
        entry = LedgerEntry.objects.get(seq=rng.randrange(5))
        value = flipped(bytes(getattr(entry, column)), rng)

        assert tampering(partial(LedgerEntry.objects.filter(seq=entry.seq).update, **{column: value})) == entry.seq


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("kind", "check"),
        ("person", 5),
        ("person", None),
        ("actor", 5),
        ("task", "HS-03"),
        ("scope", "L1"),
        ("happened_at", timezone.now()),
        ("happened_on", timezone.now().date()),
        ("recorded_at", timezone.now()),
        ("of", 3),
        ("revision", 3),
        ("token", "another-token-0123456789"),
    ],
)
def test_a_search_row_that_says_something_else_is_found(tampering, column, value):
    assert tampering(lambda: LedgerIndex.objects.filter(entry=3).update(**{column: value})) == 3


def test_a_missing_search_row_is_found(tampering):
    assert tampering(lambda: LedgerIndex.objects.filter(entry=2).delete()) == 2


def test_an_entry_removed_from_the_database_is_found(tampering):
    def remove():
        LedgerIndex.objects.filter(entry=2).delete()
        LedgerEntry.objects.filter(seq=2).delete()

    assert tampering(remove) == 2


def rewrite_from(seq):
    """Write every entry from `seq` on again, with right hashes and links: what only an insider can do."""
    entries = list(LedgerEntry.objects.order_by("seq"))
    prev = bytes(entries[seq].prev)
    for entry in entries[seq:]:
        LedgerEntry.objects.filter(seq=entry.seq).update(prev=entry_hash(b"aside" + bytes(entry.prev)))
    for entry in entries[seq:]:
        raw = encode({**decode(bytes(entry.body)), "prev": prev.hex(), "shift": "night"})
        LedgerEntry.objects.filter(seq=entry.seq).update(body=raw, prev=prev, hash=entry_hash(raw))
        prev = entry_hash(raw)


@pytest.mark.parametrize("seq", range(5))
def test_a_recomputed_chain_is_whole_but_for_the_anchor(tampering, seq):
    assert tampering(lambda: rewrite_from(seq)) is None

    anchor_ledger(at=timezone.now(), why=AnchorReason.DAILY)

    assert tampering(lambda: rewrite_from(seq)) == "anchors"


def forge_last(raw):
    """Give the last entry other bytes and their right hash: nothing follows it that could give it away."""
    last = LedgerEntry.objects.order_by("-seq").first()
    LedgerEntry.objects.filter(seq=last.seq).update(body=raw, hash=entry_hash(raw))


FORGED = {
    "another place": {"seq": 3},
    "another link": {"prev": "ab" * 32},
    "another form": {"v": 1, "kind": "party"},
    "a strange key": {"nickname": "Annie"},
    "a day that is none": {"happened_on": "2025-02-30"},
    "a value that does not fit": {"revision": 2, "shift": ""},
}


@pytest.mark.parametrize("change", FORGED)
def test_a_last_entry_with_its_right_hash_must_still_make_sense(tampering, change):
    body = decode(bytes(LedgerEntry.objects.get(seq=4).body))

    assert tampering(lambda: forge_last(encode({**body, **FORGED[change]}))) == 4


@pytest.mark.parametrize("raw", [b"", b"[1]", b"no body", b'{"v":1}'])
def test_a_last_entry_that_is_no_body_is_found(tampering, raw):
    assert tampering(lambda: forge_last(raw)) == 4


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL keeps the foreign key")
def test_a_search_row_without_an_entry_is_found(tampering):
    def add():
        LedgerIndex.objects.filter(entry=4).update(entry=9)
        LedgerEntry.objects.filter(seq=4).delete()

    assert tampering(add) == 9


def cut_tail(size):
    LedgerIndex.objects.filter(entry__gte=size).delete()
    LedgerEntry.objects.filter(seq__gte=size).delete()


@pytest.mark.parametrize("size", range(5))
def test_a_cut_tail_is_found_from_the_anchor(tampering, size):
    assert tampering(lambda: cut_tail(size)) is None

    anchor_ledger(at=timezone.now(), why=AnchorReason.DAILY)

    assert tampering(lambda: cut_tail(size)) == "anchors"


def test_an_older_anchor_still_holds_when_the_ledger_has_grown(append_run):
    for _ in range(7):
        anchor_ledger(at=timezone.now(), why=AnchorReason.PRINT)
        append_run()

    assert verify_ledger().anchors == 7


def test_a_false_anchor_is_found(five_runs):
    LedgerAnchor.objects.create(size=3, root=bytes(32), at=timezone.now(), why="daily")

    with pytest.raises(ChainError, match="first 3 entries"):
        verify_ledger()


@pytest.mark.skipif(connection.vendor != "sqlite", reason="only SQLite keeps any value in any column")
@pytest.mark.parametrize(("column", "value"), [("body", "text"), ("happened_at", "soon"), ("happened_on", 5)])
def test_a_value_that_cannot_be_read_is_a_fault_and_no_crash(tampering, column, value):
    table, key = ("ledger_entry", "seq") if column == "body" else ("ledger_index", "seq")

    def write():
        with connection.cursor() as cursor:
            cursor.execute(f"UPDATE {table} SET {column} = %s WHERE {key} = 1", [value])

    assert tampering(write) is not None
