"""The explanation of a standing on paper: registered, checked later, tagged, open to whom the record is."""

from io import BytesIO

import pikepdf
import pytest
from django.core.cache import cache
from django.urls import reverse

from competencies.models import LedgerIndex, PrintedSheet
from competencies.queries.explanation import explanation, statement_of
from competencies.queries.sheets import SheetVerdict, sheet_check
from competencies.standing.facts import SITE
from tests import factories as make
from tests.competencies.printing.people import correct_run, take_back

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _no_looks_yet():
    cache.clear()


def url(made, code, query=""):
    return reverse("competencies:person-task-print", args=[made.person.pk, code]) + query


def printed(client, made, code, query=""):
    answer = client.post(url(made, code, query))
    assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
    return answer.content, PrintedSheet.objects.latest("printed_at")


def test_the_sheet_is_tagged_and_says_what_it_is(auditor, made):
    content, sheet = printed(auditor, made, "PK-02")

    with pikepdf.open(BytesIO(content)) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang).startswith("en")
        assert sheet.code in str(pdf.docinfo.Title)
        kinds = {str(each.S) for each in pdf.objects if isinstance(each, pikepdf.Dictionary) and "/S" in each}
        figures = [
            each for each in pdf.objects if isinstance(each, pikepdf.Dictionary) and each.get("/S") == "/Figure"
        ]
        assert kinds >= {"/H1", "/H2", "/Table", "/TH", "/Figure"}
        assert len(figures) == 2
        assert all(str(figure.Alt) for figure in figures)


def test_the_sheet_matches_and_its_check_page_names_nobody(client, auditor, made):
    _content, sheet = printed(auditor, made, "PK-02")

    assert (sheet.kind, sheet.person, sheet.task.code, sheet.scope) == ("standing", made.person, "PK-02", "")
    client.logout()
    text = " ".join(client.get(reverse("competencies:sheet-check", args=[sheet.code])).content.decode().split())
    assert "The sheet matches the ledger" in text
    assert "A standing explained" in text
    for name in ("Tove", "Brandvold", "Oduya", made.person.works_number, "PK-02"):
        assert name not in text


def test_a_later_correction_is_told_and_is_no_mismatch(client, made):
    client.force_login(made.coordinator.user)
    entry = LedgerIndex.objects.get(person=made.person.pk, task="PK-04", kind="run")
    _content, sheet = printed(client, made, "PK-04", f"?on={make.days_ago(57)}")
    correct_run(made, entry.pk, 0)

    check = sheet_check(sheet, on=make.today())
    assert check.verdict is SheetVerdict.MATCHES
    assert [(each.before.standing, each.after.standing) for each in check.since] == [("ready", "not_started")]
    text = client.get(reverse("competencies:sheet-check", args=[sheet.code])).content.decode()
    assert "Ready for assessment" in text
    assert "Not started" in text


def test_what_was_known_then_is_printed_as_known_then(client, made):
    client.force_login(made.coordinator.user)
    take_back(made, "PK-02", ago=4, clock="10:40")
    day = make.days_ago(5).isoformat()

    _content, sheet = printed(client, made, "PK-02", f"?on={make.days_ago(3)}&known={day}")
    assert sheet_check(sheet, on=make.today()).verdict is SheetVerdict.MATCHES
    moment = sheet.moment
    then = explanation(made.person, made.tasks["PK-02"], SITE, moment=moment, known=make.at(make.days_ago(5), "23:59"))
    assert (then.period.counts, explanation(made.person, made.tasks["PK-02"], SITE, moment=moment).period.counts) == (
        True,
        False,
    )


def test_another_digest_reads_differently(auditor, made):
    _content, sheet = printed(auditor, made, "PK-02")
    sheet.digest = "0" * 64
    sheet.save()

    assert sheet_check(sheet, on=make.today()).verdict is SheetVerdict.READS_DIFFERENTLY


def test_no_name_and_no_typed_text_is_in_what_is_digested(made):
    take_back(made, "PK-02", ago=4)
    found = explanation(made.person, made.tasks["PK-02"], SITE, moment=make.at(make.today()))

    text = statement_of(found)
    assert "withdrawn" in text
    for name in ("Tove", "Oduya", "Seen unsafe"):
        assert name not in text


def test_the_sheet_is_for_whom_the_record_is(client, made):
    for person, status in [(made.person, 200), (made.coordinator, 200), (made.trainer, 403), (made.assessor, 403)]:
        client.force_login(person.user)
        assert client.post(url(made, "PK-01")).status_code == status
    assert PrintedSheet.objects.count() == 2


def test_a_look_prints_nothing_and_leads_to_the_page(auditor, made):
    answer = auditor.get(url(made, "PK-01", "?on=2026-01-02"))

    assert answer.url == reverse("competencies:person-task", args=[made.person.pk, "PK-01"]) + "?on=2026-01-02"
    assert PrintedSheet.objects.count() == 0
