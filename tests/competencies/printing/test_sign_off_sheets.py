"""The record of an assessment and the certificate: what they hold, who prints them, and what a check finds."""

import pypdfium2
import pytest
from django.urls import reverse

from competencies.models import LedgerIndex, PrintedSheet
from competencies.queries.chain import sign_offs_of
from competencies.queries.sheets import SheetVerdict, sheet_check
from tests.competencies.printing.people import make_recorded, take_back
from tests.factories import at, today
from tests.outside import pdf_validator

pytestmark = pytest.mark.django_db


@pytest.fixture
def made():
    return make_recorded()


def entry_of(made, code):
    return next(each.seq for each in sign_offs_of(made.person, moment=at(today())) if each.task_code == code)


def send(client, made, who, kind, code="PK-02", seq=None):
    client.force_login(getattr(made, who).user)
    seq = entry_of(made, code) if seq is None else seq
    return client.post(reverse("competencies:sign-off-print", args=[made.person.pk, code, seq, kind]))


def words(response):
    assert response["Content-Type"] == "application/pdf"
    document = pypdfium2.PdfDocument(response.content)
    return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in document).split())


def test_the_record_holds_criteria_evidence_and_every_signature_with_what_entitled_it(client, made):
    text = words(send(client, made, "coordinator", "assessment"))

    for part in ("Maren Oduya", "Ines Quarrington", "Each criterion", "Met", "Entitled.", "No appeal was made"):
        assert part in text
    assert "Iolo Castellan" in text or "None is named" in text


def test_an_attempt_that_was_not_yet_competent_has_a_record_and_no_certificate(client, made):
    seq = LedgerIndex.objects.get(kind="assessment", task="PK-04", person=made.person.pk).pk

    text = words(send(client, made, "coordinator", "assessment", "PK-04", seq))
    refused = send(client, made, "coordinator", "certificate", "PK-04", seq)

    assert "Not yet competent" in text
    assert "Torque was set before the head had warmed up." in text
    assert refused.status_code == 302
    assert PrintedSheet.objects.filter(kind="certificate").count() == 0


def test_the_certificate_says_what_it_covers_and_what_not(client, made):
    text = words(send(client, made, "person", "certificate"))

    sheet = PrintedSheet.objects.get()
    for part in ("Tove Brandvold", "PK-02", "Last valid day", "What it does not cover", sheet.code):
        assert part in text
    assert sheet_check(sheet, on=today()).verdict is SheetVerdict.MATCHES


def test_a_check_finds_what_became_of_a_certificate(client, made):
    send(client, made, "coordinator", "certificate")
    take_back(made, "PK-02", ago=0)

    check = sheet_check(PrintedSheet.objects.get(), on=today())

    assert check.verdict is SheetVerdict.MATCHES
    assert check.today or check.since


def test_what_is_not_in_force_gets_no_certificate(client, made):
    seq = entry_of(made, "PK-02")
    take_back(made, "PK-02", ago=1, clock="12:00")

    response = send(client, made, "coordinator", "certificate", "PK-02", seq)

    assert response.status_code == 302
    assert not PrintedSheet.objects.exists()


@pytest.mark.parametrize("kind", ["assessment", "certificate"])
def test_others_are_refused(client, made, kind):
    assert send(client, made, "trainer", kind).status_code == 403
    assert not PrintedSheet.objects.exists()


@pytest.mark.parametrize(("kind", "seq"), [("matrix", None), ("certificate", 10**12), ("assessment", 10**30)])
def test_what_is_not_there_is_not_found(client, made, kind, seq):
    assert send(client, made, "coordinator", kind, seq=seq).status_code == 404


def test_a_look_leads_back_and_prints_nothing(client, made):
    client.force_login(made.coordinator.user)
    seq = entry_of(made, "PK-02")

    response = client.get(reverse("competencies:sign-off-print", args=[made.person.pk, "PK-02", seq, "certificate"]))

    assert response.status_code == 302
    assert not PrintedSheet.objects.exists()


@pytest.mark.skipif(bool(pdf_validator.missing()), reason=f"not installed: {pdf_validator.missing()}")
@pytest.mark.parametrize("kind", ["assessment", "certificate"])
def test_both_keep_pdf_ua(client, made, kind, tmp_path):
    assert pdf_validator.faults(send(client, made, "coordinator", kind).content, tmp_path / "sheet.pdf") == []
