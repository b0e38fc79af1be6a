"""The pages after an incident: looking, keeping a copy, holding it against the ledger, printing it."""

from io import BytesIO

import pikepdf
import pytest
from django.core.cache import cache
from django.urls import reverse

from competencies.ledger.reading import read_entry
from competencies.models import Incident, LedgerEntry, LegalHold, PrintedSheet, RosterDay
from competencies.queries.incidents.copying import digest_of_copy
from competencies.queries.sheets import SheetVerdict, sheet_check
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db
LOOK = "competencies:incident-look"


@pytest.fixture(autouse=True)
def _no_looks_yet():
    cache.clear()


@pytest.fixture
def night(floor):
    make.make_station(floor.line, floor.task)
    make.roster(floor.assessor, ago=3, line=floor.line)
    return floor


def address(floor, **changed):
    asked = {"line": floor.line.code, "on": make.days_ago(3).isoformat(), "at": "10:20", **changed}
    return reverse(LOOK) + "?" + "&".join(f"{name}={value}" for name, value in asked.items())


def text_of(answer):
    return " ".join(answer.content.decode().split())


def opened(client, floor):
    answer = client.post(address(floor), {"number": "INC-26/1", "pin": make.PIN})
    assert answer.status_code == 302, text_of(answer)
    return Incident.objects.get()


def test_the_page_tells_who_was_on_and_whether_they_counted(office, night):
    text = text_of(office.get(address(night)))

    assert "<title>Bottle line 1" in text
    assert "Maren Oduya" in text
    assert "Rostered at the line" in text
    assert "Needed: 1. Counted as known then: 1; as known now: 1." in text
    assert "Revision 1 of the procedure was in force" in text


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"on": "2199-01-01"}, "Give a day between"),
        ({"on": "soon"}, "Enter a valid date."),
        ({"at": "25:70"}, "Enter a valid time."),
        ({"at": ""}, "This field is required."),
        ({"line": "<script>"}, "That choice is not one of the available choices."),
        ({"on": "9" * 400}, "Enter a valid date."),
    ],
)
def test_what_cannot_be_read_is_told_at_its_field_and_kept(office, night, changed, said):
    answer = office.get(reverse(LOOK), {"line": "L1", "on": make.days_ago(3).isoformat(), "at": "10:20", **changed})

    assert answer.status_code == 200
    assert "<script>" not in answer.content.decode().replace("<script src", "")
    assert said in text_of(answer)


def test_a_minute_that_has_not_come_is_refused(office, night):
    assert "This minute has not come yet" in text_of(office.get(address(night, on=make.days_ago(-2).isoformat())))


def test_opening_keeps_a_copy_that_the_entry_of_the_hold_commits_to(office, night):
    kept = opened(office, night)

    hold = LegalHold.objects.get()
    entry = read_entry(LedgerEntry.objects.get(seq=hold.entry_seq))
    assert entry["files"] == (kept.digest,) == (digest_of_copy(kept.copy),)
    assert entry["incident"] == hold.incident == "INC-26/1"
    assert night.assessor in hold.people.all()
    text = text_of(office.get(reverse("competencies:incident", args=[kept.pk])))
    assert "The copy is the one that was signed." in text
    assert "The page of today reads as the copy does." in text


def test_the_copy_stays_while_the_roster_is_changed(office, night):
    kept = opened(office, night)
    RosterDay.objects.all().delete()
    make.roster(night.trainer, ago=3, line=night.line)

    text = text_of(office.get(reverse("competencies:incident", args=[kept.pk])))

    assert "Iolo Castellan is told to have been on, and is not in the copy." in text
    assert "Maren Oduya is in the copy, and is not told to have been on any more." in text


def test_a_copy_that_was_changed_is_found_out_and_not_shown(office, night):
    kept = opened(office, night)
    changed = kept.copy.replace('"covered_now":true', '"covered_now":false')
    Incident.objects.update(copy=changed, digest=digest_of_copy(changed))

    text = text_of(office.get(reverse("competencies:incident", args=[kept.pk])))

    assert changed != kept.copy
    assert "The copy is not the one that was signed" in text
    assert "Station by station" not in text
    office.post(reverse("competencies:incident-print", args=[kept.pk]))
    assert not PrintedSheet.objects.exists()


@pytest.mark.parametrize("sent", [{"number": "INC-1", "pin": "0"}, {"number": "Ana Fell!", "pin": make.PIN}, {}])
def test_without_number_or_pin_nothing_is_kept(office, night, sent):
    assert office.post(address(night), sent).status_code == 200

    assert not Incident.objects.exists()
    assert not LegalHold.objects.exists()


def test_the_print_is_tagged_and_checked_against_what_was_signed(office, night):
    kept = opened(office, night)

    answer = office.post(reverse("competencies:incident-print", args=[kept.pk]))

    assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
    sheet = PrintedSheet.objects.get()
    with pikepdf.open(BytesIO(answer.content)) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert "INC-26/1" in str(pdf.docinfo.Title)
        kinds = {str(each.S) for each in pdf.objects if isinstance(each, pikepdf.Dictionary) and "/S" in each}
        assert kinds >= {"/H1", "/H2", "/Table", "/TH", "/Figure"}
    assert sheet_check(sheet, on=make.today()).verdict is SheetVerdict.MATCHES
    office.logout()
    text = text_of(office.get(reverse("competencies:sheet-check", args=[sheet.code])))
    assert "The sheet matches the ledger" in text
    assert "Oduya" not in text
    Incident.objects.update(copy="{}")
    assert sheet_check(sheet, on=make.today()).verdict is SheetVerdict.READS_DIFFERENTLY


def test_a_supervisor_looks_and_does_not_open(client, night):
    supervisor = make.make_person(night.plant, with_pin=True)
    make.grant(supervisor, AuthorityKind.SUPERVISE)
    client.force_login(supervisor.user)

    assert client.get(address(night)).status_code == 200
    assert client.post(address(night), {"number": "I-1", "pin": make.PIN}).status_code == 403
    assert not Incident.objects.exists()


@pytest.mark.parametrize("name", ["trainee", "trainer", "assessor"])
def test_others_do_not_ask_who_was_on(client, night, name):
    client.force_login(getattr(night, name).user)

    assert client.get(address(night)).status_code == 403
    assert client.get(reverse("competencies:incidents")).status_code == 403


def test_an_incident_of_another_plant_is_not_there(client, office, night):
    kept = opened(office, night)
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    make.grant(stranger, AuthorityKind.COORDINATE)
    client.force_login(stranger.user)

    assert client.get(reverse("competencies:incident", args=[kept.pk])).status_code == 404
    assert "INC-26/1" not in client.get(reverse("competencies:incidents")).content.decode()


def test_the_list_says_what_to_do_and_then_what_was_opened(office, night):
    assert "No incident was opened." in text_of(office.get(reverse("competencies:incidents")))
    opened(office, night)

    text = text_of(office.get(reverse("competencies:incidents")))
    assert "INC-26/1" in text
    assert "The hold is open." in text
