"""Appending: what goes in, what is refused, and that a form posted twice signs once."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import DatabaseError, connection, transaction

from competencies.ledger.canonical import decode, entry_hash
from competencies.ledger.schema import SchemaError
from competencies.ledger.writer import LedgerError, TokenReusedError, append, appended_under, writing
from competencies.models import Detached, LedgerEntry, LedgerIndex, Plant
from competencies.vocabulary import EntryKind
from tests.competencies.ledger.conftest import ANN, BEN, NOON

TOKEN = "form-token-0123456789"


def body_at(seq):
    return decode(bytes(LedgerEntry.objects.get(seq=seq).body))


def test_the_first_entry_follows_nothing(append_run):
    appended = append_run()

    entry = LedgerEntry.objects.get()
    assert (entry.seq, bytes(entry.prev)) == (0, bytes(32))
    assert bytes(entry.hash) == entry_hash(bytes(entry.body)) == appended.hash


def test_each_entry_follows_the_one_before(five_runs):
    entries = list(LedgerEntry.objects.order_by("seq"))

    assert [entry.seq for entry in entries] == [0, 1, 2, 3, 4]
    assert [bytes(entry.prev) for entry in entries[1:]] == [bytes(entry.hash) for entry in entries[:-1]]
    assert [(body_at(e.seq)["seq"], body_at(e.seq)["prev"]) for e in entries] == [
        (e.seq, bytes(e.prev).hex()) for e in entries
    ]


def test_the_search_row_says_what_the_body_says(append_run, plant):
    append_run(of=None, token=TOKEN)

    row = LedgerIndex.objects.get()
    assert (row.plant, row.kind, row.person, row.actor) == (plant, "run", ANN[0], BEN[0])
    assert (row.task, row.scope, row.revision, row.of, row.token) == ("QC-04", "", 2, None, TOKEN)
    assert (row.happened_at, row.recorded_at, row.happened_on) == (NOON, NOON, NOON.date())


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        pytest.param(datetime(2025, 6, 14, 22, 59, tzinfo=UTC), date(2025, 6, 14), id="last minute of the day"),
        pytest.param(datetime(2025, 6, 14, 23, 0, tzinfo=UTC), date(2025, 6, 15), id="summer time: an hour on"),
        pytest.param(datetime(2025, 1, 14, 23, 30, tzinfo=UTC), date(2025, 1, 14), id="winter time: as UTC"),
    ],
)
def test_the_day_is_the_plants_own(append_run, moment, day):
    append_run(at=moment)

    assert LedgerIndex.objects.get().happened_on == day
    assert body_at(0)["tz"] == "Europe/Dublin"


def test_the_day_of_a_night_shift_is_the_one_given(append_run):
    append_run(at=datetime(2025, 6, 15, 3, tzinfo=UTC), happened_on=date(2025, 6, 14))

    assert LedgerIndex.objects.get().happened_on == date(2025, 6, 14)


def test_names_and_typed_texts_stay_out_of_the_body(append_run):
    append_run(texts={"note": "Ann forgot the gloves", "feedback": "Good pace"})

    raw = bytes(LedgerEntry.objects.get().body).decode()
    assert not [word for word in ("Ann", "Bell", "Ben", "Clay", "gloves", "pace") if word in raw]
    detached = {(row.kind, row.person, row.value) for row in Detached.objects.all()}
    assert detached == {
        ("name", ANN[0], ANN[1]),
        ("name", BEN[0], BEN[1]),
        ("note", ANN[0], "Ann forgot the gloves"),
        ("feedback", ANN[0], "Good pace"),
    }


def test_the_same_text_never_gives_the_same_commitment(append_run):
    for _ in range(3):
        append_run(texts={"note": "As before."})

    assert len({body_at(seq)["note"] for seq in range(3)}) == 3
    assert len({body_at(seq)["subject_name"] for seq in range(3)}) == 3


def test_an_entry_with_a_clock_behind_its_predecessor_is_marked(append_run):
    for minutes in (0, 5, -60, 10):
        append_run(at=NOON + timedelta(minutes=minutes))

    assert [body_at(seq).get("clock_back") for seq in range(4)] == [None, None, 1, None]


def test_nothing_is_appended_outside_the_lock(plant):
    with pytest.raises(LedgerError, match="inside writing"):
        append(kind=EntryKind.SUSPENSION, plant=plant, at=NOON, fields={"subject": 1})

    assert LedgerEntry.objects.count() == 0


@pytest.mark.parametrize(
    ("fields", "texts", "names", "error"),
    [
        pytest.param({"comment": "Ann was late"}, {}, {}, SchemaError, id="strange key"),
        pytest.param({"outcome": "competent"}, {}, {}, SchemaError, id="key of another kind"),
        pytest.param({"revision": 0}, {}, {}, SchemaError, id="bad value"),
        pytest.param({"reason": "She was late"}, {}, {}, SchemaError, id="sentence for a code"),
        pytest.param({"note": "00" * 32}, {}, {}, SchemaError, id="commitment as a field"),
        pytest.param({"subject_name": "00" * 32}, {}, {}, SchemaError, id="name as a field"),
        pytest.param({"seq": 7}, {}, {}, SchemaError, id="place as a field"),
        pytest.param({"prev": "00" * 32}, {}, {}, SchemaError, id="link as a field"),
        pytest.param({"at": NOON}, {}, {}, SchemaError, id="moment of recording as a field"),
        pytest.param({"shift": None}, {}, {}, SchemaError, id="needed key missing"),
        pytest.param({}, {"gossip": "x"}, {}, ValueError, id="strange text"),
        pytest.param({}, {}, {"cousin": (5, "Cal Dunn")}, ValueError, id="strange part"),
        pytest.param({"actor": 5}, {}, {"actor": BEN}, LedgerError, id="another's name"),
        pytest.param({"happened_at": NOON + timedelta(seconds=1)}, {}, {}, LedgerError, id="the future"),
    ],
)
def test_what_does_not_belong_is_refused_and_nothing_is_written(plant, fields, texts, names, error):
    given = {"subject": ANN[0], "task": "QC-04", "shift": "day", "revision": 2, **fields}

    with pytest.raises(error), writing():
        append(kind=EntryKind.RUN, plant=plant, at=NOON, fields=given, texts=texts, names=names)

    assert (LedgerEntry.objects.count(), LedgerIndex.objects.count(), Detached.objects.count()) == (0, 0, 0)


def test_a_form_posted_twice_signs_once(append_run):
    first = append_run(token=TOKEN)

    again = append_run(token=TOKEN, at=NOON + timedelta(seconds=1))

    assert (again.seq, again.hash) == (first.seq, first.hash)
    assert (first.repeated, again.repeated) == (False, True)
    assert (LedgerEntry.objects.count(), Detached.objects.count()) == (1, 2)
    assert appended_under(TOKEN) == again


def test_a_token_does_not_serve_for_another_entry(append_run):
    append_run(token=TOKEN)

    with pytest.raises(TokenReusedError):
        append_run(token=TOKEN, task="HS-03")

    assert LedgerEntry.objects.count() == 1


def test_the_database_too_knows_a_token_only_once(append_run):
    append_run(token=TOKEN)
    append_run()

    with pytest.raises(DatabaseError), transaction.atomic():
        LedgerIndex.objects.filter(entry=1).update(token=TOKEN)


def test_an_unknown_token_stands_under_nothing(db):
    assert appended_under(TOKEN) is None


@writing()
def append_and_fail(append_run):
    append_run()
    raise ZeroDivisionError


def test_a_failure_afterwards_takes_the_entry_back(append_run):
    with pytest.raises(ZeroDivisionError):
        append_and_fail(append_run)

    assert LedgerEntry.objects.count() == 0
    assert append_run().seq == 0


def test_a_failure_inside_takes_back_only_what_is_inside(append_run):
    with writing():
        append_run()
        with pytest.raises(ZeroDivisionError):
            append_and_fail(append_run)
        append_run()

    assert list(LedgerEntry.objects.order_by("seq").values_list("seq", flat=True)) == [0, 1]


def test_writing_serves_as_a_decorator(append_run):
    @writing()
    def append_two():
        return [append_run().seq, append_run().seq]

    assert append_two() + append_two() == [0, 1, 2, 3]


def test_an_entry_costs_the_same_queries_at_any_length(append_run, django_assert_num_queries):
    counts = []
    for size in (1, 20):
        for _ in range(size):
            append_run()
        with django_assert_num_queries(7 if connection.vendor == "sqlite" else 8) as captured:
            append_run()
        counts.append(len(captured))

    assert counts[0] == counts[1]


def test_plants_share_one_ledger(append_run, plant):
    append_run()
    other = Plant.objects.create(code="hill", name="Hilltop", timezone="Pacific/Auckland")

    with writing():
        append(kind=EntryKind.SUSPENSION, plant=other, at=NOON, fields={"subject": 5})

    assert body_at(1)["plant"] == other.pk
    assert LedgerIndex.objects.get(plant=other).happened_on == date(2025, 3, 11)
