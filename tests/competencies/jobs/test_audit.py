"""The audit pack of a line and a period: what it holds, its sample, and that it can be checked."""

import hashlib
from datetime import timedelta

import pikepdf
import pypdfium2
import pytest
from django.core.management import call_command
from django.urls import reverse

from competencies.jobs.doing import do_waiting
from competencies.models import Job, PrintedSheet
from competencies.operations.decisions import suspend
from competencies.operations.recording import OnTask
from competencies.printing.audit_pack import index_part, sign_offs_part
from competencies.queries.audit import AuditSpan, revisions_in_force
from competencies.queries.sheets import SheetVerdict, sheet_check
from competencies.vocabulary import AuthorityKind
from tests import factories as make
from tests.competencies.printing.people import when
from tests.outside import pdf_validator

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    floor = make.make_floor()
    make.make_station(floor.line, floor.task)
    for ago in (3, 2):
        make.roster(floor.trainer, ago=ago, line=floor.line)
        make.roster(floor.trainee, ago=ago, line=floor.line)
    return floor


@pytest.fixture
def desk(client, floor, job_files):
    person = make.make_person(floor.plant, "Rhona Feld", with_pin=True)
    make.grant(person, AuthorityKind.COORDINATE)
    client.force_login(person.user)
    client.person = person
    return client


def asked(floor, **fields):
    days = {"from_on": make.days_ago(5).isoformat(), "until_on": make.days_ago(1).isoformat()}
    return {"line": floor.line.pk, **days, "seed": 7, **fields}


def made(desk, floor):
    response = desk.post(reverse("competencies:audit-new"), asked(floor))
    assert response.status_code == 302
    call_command("make_files", once=True)
    return Job.objects.get()


def words(job):
    document = pypdfium2.PdfDocument(job.path.read_bytes())
    return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in document).split())


def test_the_pack_holds_every_part_and_a_code(desk, floor):
    person = floor.trainer
    suspend(
        on_task=OnTask(person=person, task=floor.task),
        by=make.signer(floor.assessor),
        when=when(2, "15:00"),
        reason="A near miss is looked into.",
    )
    job = made(desk, floor)

    text, sheet = words(job), PrintedSheet.objects.get()
    assert (job.state, job.fault, job.done) == ("done", "", job.total)
    assert set(job.people.all()) == {floor.trainer, floor.trainee}
    for part in ("Tasks and procedures", "Who was on", "Sign-offs and who stands behind them", "Not in this pack"):
        assert part in text
    assert f"{person.name} ({person.works_number})" in text
    assert "suspension" in text
    assert "Entitled" in text or "Not entitled" in text
    assert "IN THE SAMPLE" in text
    assert sheet.code in text
    assert sheet_check(sheet, on=make.today()).verdict is SheetVerdict.LEDGER_UNCHANGED


def test_the_pack_is_tagged_and_keeps_pdf_ua(desk, floor, tmp_path):
    job = made(desk, floor)

    with pikepdf.open(job.path) as pdf:
        assert bool(pdf.Root.MarkInfo.Marked)
        assert len(pdf.Root.StructTreeRoot.K) == 5
    if not pdf_validator.missing():
        assert pdf_validator.faults(job.path.read_bytes(), tmp_path / "pack.pdf") == []


def test_a_period_without_a_roster_says_so(desk, floor):
    desk.post(
        reverse("competencies:audit-new"),
        asked(floor, from_on=make.days_ago(60).isoformat(), until_on=make.days_ago(59).isoformat()),
    )
    do_waiting(lambda: make.at(make.today(), "12:00"))

    assert Job.objects.get().fault == "No shift of this period has begun."


@pytest.mark.parametrize(
    ("fields", "fault"),
    [
        ({"from_on": "2999-01-01"}, "from_on"),
        ({"from_on": "0001-01-01"}, "from_on"),
        ({"until_on": "1990-01-01"}, "until_on"),
        ({"from_on": "1990-01-01"}, "until_on"),
        ({"seed": "1e400"}, "seed"),
        ({"seed": "-1"}, "seed"),
        ({"line": "999999"}, "line"),
    ],
    ids=str,
)
def test_what_cannot_be_meant_is_said_at_the_field(desk, floor, fields, fault):
    response = desk.post(reverse("competencies:audit-new"), asked(floor, **fields))

    assert response.context["form"].errors.keys() == {fault}
    assert not Job.objects.exists()


def test_only_office_and_auditors_ask(client, floor):
    client.force_login(floor.trainer.user)

    assert client.post(reverse("competencies:audit-new"), asked(floor)).status_code == 403


def test_the_index_names_the_hash_of_each_part(floor):
    part = sign_offs_part([], frozenset())
    span = AuditSpan(line=floor.line, from_on=make.days_ago(5), until_on=make.today())

    lines = " ".join(index_part([(part, b"the file", 3)], span, 7).lines).replace(" ", "")

    assert hashlib.sha256(b"the file").hexdigest() in lines


def test_a_revision_that_was_replaced_before_the_period_is_left_out(floor):
    make.make_revision(floor.task, 2, effective_on=make.days_ago(40))
    make.make_revision(floor.task, 3, effective_on=make.days_ago(3))
    span = AuditSpan(line=floor.line, from_on=make.days_ago(5), until_on=make.today() - timedelta(days=1))

    assert [row.number for row in revisions_in_force([floor.task], span)] == [3, 2]
