"""Bringing rosters and absences: seen before they are taken, and taken whole or not at all."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from competencies.importing.plan import AwayRow
from competencies.models import Absence, LedgerEntry, PendingFile, RosterDay
from competencies.operations.absences import AbsenceError, Away, record_absence
from competencies.operations.imports import FileKind, Upload, keep_file
from competencies.operations.pins import Signer
from competencies.operations.plan import take_absences
from tests import factories as make

pytestmark = pytest.mark.django_db


def bring(office, kind, text):
    file = SimpleUploadedFile(f"{kind}.csv", text.encode())
    return office.post(f"/imports/plan/{kind}/", {"file": file}, follow=True)


def take(office, shown):
    return office.post(shown.redirect_chain[-1][0], {"take": "yes"}, follow=True)


def test_a_roster_is_shown_first_and_taken_on_a_yes(office, floor):
    make.roster(floor.trainer, ago=-1)
    day, numbers = make.days_ago(-1), [floor.trainee.works_number, floor.trainer.works_number]
    rows = "".join(f"{number},{day},day,{floor.line.code},30\n" for number in numbers)

    shown = bring(office, "roster", f"employee number,day,shift,line,overtime minutes\n{rows}")

    assert floor.trainee.name in shown.content.decode()
    assert RosterDay.objects.count() == 1
    text = take(office, shown).content.decode()
    assert "1 shifts are new in the roster, 1 were there already." in text
    assert set(RosterDay.objects.values_list("line__code", "overtime_minutes")) == {(floor.line.code, 30)}
    assert RosterDay.objects.count() == 2
    assert not PendingFile.objects.exists()


def test_absences_are_taken_and_a_long_one_goes_into_the_ledger(office, floor):
    before = LedgerEntry.objects.count()
    rows = f"{floor.trainee.works_number},{make.days_ago(-1)},{make.days_ago(-3)}\n"
    rows += f"{floor.trainer.works_number},{make.days_ago(-1)},{make.days_ago(-200)}\n"

    take(office, bring(office, "absences", f"employee number,first day away,last day away\n{rows}"))

    assert Absence.objects.count() == 2
    assert LedgerEntry.objects.count() == before + 1


def test_a_file_with_a_fault_is_not_kept(office, floor):
    rows = f"{floor.trainee.works_number},{make.days_ago(-1)},day\n99999,{make.days_ago(-1)},day\n"

    text = bring(office, "roster", f"employee number,day,shift\n{rows}").content.decode()

    assert "row 3" in text
    assert "nobody here has the number 99999" in text
    assert not RosterDay.objects.exists()
    assert not PendingFile.objects.exists()


def test_nothing_is_entered_when_one_absence_cannot_stand(floor, coordinator):
    now = make.at(make.today())
    record_absence(
        person=floor.trainer,
        away=Away(from_on=make.days_ago(-2), until_on=make.days_ago(-4)),
        by=make.signer(coordinator),
        now=now,
    )
    pending = keep_file(upload=Upload(kind=FileKind.ABSENCES, name="a.csv", content=b""), by=coordinator, now=now)
    rows = [
        AwayRow(row=number, works_number=person.works_number, from_on=make.days_ago(-3), until_on=make.days_ago(-3))
        for number, person in enumerate((floor.trainee, floor.trainer), start=2)
    ]

    with pytest.raises(AbsenceError):
        take_absences(pending=pending, rows=rows, by=Signer(coordinator, "import"), now=now)

    assert Absence.objects.count() == 1
    assert PendingFile.objects.exists()


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_an_empty_file_comes_back_as_one_with_nothing_under_its_heading(office, form):
    empty = office.get(f"/imports/plan/roster/empty.{form}").content

    text = office.post("/imports/plan/roster/", {"file": SimpleUploadedFile(f"roster.{form}", empty)}).content.decode()

    assert "there is nothing under the heading" in text


def test_another_kind_of_plan_is_not_there_and_a_trainer_brings_none(client, office, floor):
    assert office.get("/imports/plan/lottery/").status_code == 404
    assert office.get("/imports/plan/roster/empty.exe").status_code == 404
    client.force_login(floor.trainer.user)
    assert client.get("/imports/plan/roster/").status_code == 403
