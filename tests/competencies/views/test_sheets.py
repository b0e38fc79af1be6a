"""The check page of a sheet: true, altered, out of date; and it names nobody to a stranger."""

import pytest
from django.core.cache import cache
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from competencies.models import LedgerAnchor, LedgerEntry, PrintedSheet, UnitStandard
from competencies.operations.paper import register_sheet
from competencies.printing.records import in_groups
from competencies.queries.records import progress_records
from competencies.queries.sheets import SheetVerdict, is_prefix, sheet_check
from competencies.views import sheets
from tests.competencies.printing.people import correct_run, take_back
from tests.factories import at, days_ago, make_person, make_plant, run, today
from tests.ledger_reset import owner_at_work

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _no_looks_yet():
    cache.clear()


def printed(made, *, as_of=None, known=None, now=None):
    """Print the person's record, an hour ago where nothing else is said."""
    now = now or at(today(), "00:00")
    [record] = progress_records([made.person], on=as_of or today(), known=known)
    return register_sheet(record=record, printed_by=made.coordinator, now=now).sheet


def url(sheet):
    return reverse("competencies:sheet-check", args=[sheet.code])


def page(client, sheet):
    response = client.get(url(sheet))
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def alter_entry(seq):
    """Change a byte of an entry, as only the owner of the database could."""
    with owner_at_work(), connection.cursor() as cursor:
        entry = LedgerEntry.objects.get(seq=seq)
        body = bytes(entry.body).replace(b'"v":1', b'"v":2')
        cursor.execute("UPDATE ledger_entry SET body = %s WHERE seq = %s", [body, seq])


def test_true_sheet_matches_without_signing_in(client, made):
    sheet = printed(made)

    shown = page(client, sheet)
    assert "The sheet matches the ledger" in shown
    assert "Nothing that it says about its day has changed since." in shown
    assert "Alder Quay" in shown
    assert in_groups(sheet.ledger_head) in shown
    assert f"{today():%-d %B %Y}" in shown


def test_page_names_nobody_to_a_stranger(client, made):
    take_back(made, "PK-02")
    sheet = printed(made)
    take_back(made, "PK-06")

    shown = page(client, sheet)
    for name in ("Tove", "Brandvold", "Rhona", "Vass", made.person.works_number, str(made.person.pk), "PK-06"):
        assert name not in shown


def test_later_correction_is_no_mismatch_and_is_counted(client, made):
    sheet = printed(made)
    [line] = [line for line in progress_records([made.person], on=today(), known=None)[0].runs if line.task == "PK-06"]
    correct_run(made, line.seq, 0)

    shown = page(client, sheet)
    assert "The sheet matches the ledger" in shown
    assert "lines would read differently" in shown


def test_later_withdrawal_is_no_mismatch_and_is_counted(client, made):
    sheet = printed(made, now=at(today(), "00:00"))
    take_back(made, "PK-02", clock="00:01")

    shown = page(client, sheet)
    assert "The sheet matches the ledger" in shown
    assert "different on" in shown


def test_lapse_since_is_no_mismatch(made):
    sheet = printed(made)

    check = sheet_check(sheet, on=days_ago(-400))
    assert check.verdict is SheetVerdict.MATCHES
    assert check.since == ()
    assert {each.name for each in check.today if each.kind == "task"} >= {"PK-02@", "PK-05@", "PK-06@"}


def test_later_run_is_no_change_to_what_was_printed(made):
    sheet = printed(made, as_of=days_ago(3), now=at(days_ago(2)))
    run(made.person, made.tasks["PK-04"], made.trainer, ago=1)

    check = sheet_check(sheet, on=days_ago(3))
    assert check.verdict is SheetVerdict.MATCHES
    assert (check.since, check.today) == ((), ())


def test_sheet_of_what_was_known_then_matches(made):
    sheet = printed(made, as_of=days_ago(15), known=at(days_ago(14)))

    check = sheet_check(sheet, on=today())
    assert check.verdict is SheetVerdict.MATCHES
    assert {each.kind for each in check.since} >= {"run", "correction"}


@pytest.mark.parametrize("place", ["first", "own", "last"])
def test_altered_entry_is_found(client, made, place):
    sheet = printed(made)
    own = progress_records([made.person], on=today(), known=None)[0].signed[0].seq
    alter_entry({"first": 0, "own": own, "last": sheet.ledger_size - 1}[place])

    shown = page(client, sheet)
    assert "Does not match: the ledger was changed" in shown
    assert "The sheet matches" not in shown


def test_cut_ledger_is_found(made):
    sheet = printed(made)
    sheet.ledger_size += 1

    assert sheet_check(sheet, on=today()).verdict is SheetVerdict.LEDGER_CHANGED


def test_another_head_is_found(made):
    sheet = printed(made)
    sheet.ledger_head = "0" * 64

    assert sheet_check(sheet, on=today()).verdict is SheetVerdict.LEDGER_CHANGED


def test_root_that_was_kept_elsewhere_is_compared(made):
    sheet = printed(made)
    LedgerAnchor.objects.create(size=sheet.ledger_size, root=bytes(32), at=at(today()), why="daily")

    assert not is_prefix(sheet.ledger_size, sheet.ledger_head)


def test_empty_ledger_is_a_prefix_of_every_ledger(made):
    assert is_prefix(0, "0" * 64)


@pytest.mark.parametrize("field", ["digest", "as_of", "person"])
def test_altered_sheet_row_does_not_match(client, made, field):
    sheet = printed(made)
    values = {"digest": "0" * 64, "as_of": days_ago(200), "person": made.trainer}
    PrintedSheet.objects.filter(pk=sheet.pk).update(**{field: values[field]})

    assert "Does not match: it would read differently today" in page(client, sheet)


def test_syllabus_changed_in_place_is_told_apart_from_a_changed_ledger(client, made):
    sheet = printed(made)
    UnitStandard.objects.filter(code="U101").update(credits=9)

    shown = page(client, sheet)
    assert "Does not match: it would read differently today" in shown
    assert "the ledger was changed" not in shown


def test_who_may_print_the_record_sees_which_lines_changed(client, made):
    sheet = printed(made)
    take_back(made, "PK-02")
    client.force_login(made.coordinator.user)

    shown = page(client, sheet)
    assert "Tove Brandvold" in shown
    assert "PK-02" in shown
    assert "Withdrawn" in shown


@pytest.mark.parametrize("who", ["trainer", "stranger"])
def test_others_who_are_signed_in_see_the_counts_only(client, made, who):
    sheet = printed(made)
    take_back(made, "PK-02")
    person = made.trainer if who == "trainer" else make_person(make_plant("other", "Other"))
    client.force_login(person.user)

    assert "Tove Brandvold" not in page(client, sheet)


@pytest.mark.parametrize("code", ["x", "A" * 16, "../../etc/passwd", "0" * 24, "%00", "é"])
def test_unknown_code_is_not_there(client, db, code):
    assert client.get(f"/check/{code}/").status_code == 404


def test_many_looks_from_one_place_are_slowed(client, made):
    sheet = printed(made)
    cache.set("sheet-check:127.0.0.1", sheets.LOOKS, 60)

    response = client.get(url(sheet))
    assert response.status_code == 429
    assert response["Retry-After"] == "60"
    assert client.get(url(sheet), REMOTE_ADDR="10.0.0.9").status_code == 200


def test_looking_costs_the_same_queries_for_a_long_record(made):
    sheet = printed(made)
    with CaptureQueriesContext(connection) as few:
        sheet_check(sheet, on=today())
    for _ in range(3):
        run(made.person, made.tasks["PK-04"], made.trainer, ago=1)
    longer = printed(made)
    with CaptureQueriesContext(connection) as many:
        sheet_check(longer, on=today())

    assert len(many) == len(few)


def test_only_looking_is_allowed(client, made):
    assert client.post(url(printed(made))).status_code == 405
