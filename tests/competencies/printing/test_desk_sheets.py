"""The sheets of the desk: what each holds, that nothing is cut off, and that each can be held against the ledger."""

from dataclasses import dataclass
from datetime import timedelta
from io import BytesIO

import pikepdf
import pypdfium2
import pytest
import zxingcpp
from django.urls import reverse

from competencies.models import PrintedSheet
from competencies.operations.paper import Statement
from competencies.queries.sheets import SheetVerdict, sheet_check
from competencies.vocabulary import AuthorityKind, Criticality, ScopeKind, SheetKind
from tests import factories as make
from tests.outside import pdf_validator

pytestmark = pytest.mark.django_db
A3 = (1190.55, 841.89)  # ISO 216: 420 mm by 297 mm, in points of 1/72 inch


@dataclass
class Desk:
    """A line with two stations and people, and the browser of its coordinator."""

    floor: object
    client: object
    coordinator: object
    machine: object
    task: object

    def print(self, kind, **fields):
        response = self.client.post(reverse("competencies:sheet-new", args=[kind]), fields)
        assert response["Content-Type"] == "application/pdf", response.content.decode()
        return response.content


@pytest.fixture
def desk(client):
    floor = make.make_floor()
    coordinator = make.make_person(floor.plant, "Rhona Feld")
    make.grant(coordinator, AuthorityKind.COORDINATE)
    machine = make.make_machine(floor.line)
    task = make.make_task(
        floor.area, "PK-30", "Run the bottle filler", criticality=Criticality.SAFETY, scope_kind=ScopeKind.MACHINE
    )
    revision = task.revisions.get()
    revision.hazards, revision.protective_equipment = ["broken glass"], ["goggles"]
    revision.save()
    make.add_reading(task)
    make.make_station(floor.line, task, machine=machine)
    make.make_station(floor.line, floor.task)
    client.force_login(coordinator.user)
    return Desk(floor, client, coordinator, machine, task)


def words(pdf):
    document = pypdfium2.PdfDocument(pdf)
    return [" ".join(page.get_textpage().get_text_bounded().replace("\x02", "-").split()) for page in document]


def today():
    return make.today().isoformat()


def test_a_task_card_has_its_hazards_first_and_says_that_it_is_no_sign_off(desk):
    pages = words(desk.print("task-card", task=desk.task.pk, machine=desk.machine.pk, person="", on=today()))

    assert len(pages) == 2
    front = pages[0]
    order = ["PK-30", "broken glass", "goggles", "This card is not a sign-off", "What is done and judged", "Met"]
    places = [front.index(part) for part in order]
    assert places == sorted(places)
    assert "fill height" in pages[1]
    assert "Confirmed by hand" in pages[1]


def test_the_code_on_a_card_leads_to_the_task_at_the_machine(desk):
    pdf = desk.print("task-card", task=desk.task.pk, machine=desk.machine.pk, person="", on=today())

    picture = pypdfium2.PdfDocument(pdf)[0].render(scale=3).to_pil()
    [read] = zxingcpp.read_barcodes(picture)
    assert read.text == "http://testserver/tasks/PK-30/?scope=L1/F1"


def test_a_machine_is_refused_for_a_task_of_the_whole_site(desk):
    fields = {"task": desk.floor.task.pk, "machine": desk.machine.pk, "person": "", "on": today()}
    response = desk.client.post(reverse("competencies:sheet-new", args=["task-card"]), fields)

    assert "leave the machine out" in response.content.decode()
    assert not PrintedSheet.objects.exists()


def test_a_task_without_a_procedure_on_that_day_says_so(desk):
    fields = {"task": desk.task.pk, "machine": "", "person": "", "on": "1960-01-01"}
    response = desk.client.post(reverse("competencies:sheet-new", args=["task-card"]), fields)

    assert "no procedure in force" in response.content.decode()


@pytest.mark.parametrize("on", ["", "tomorrow", "0001-01-01", "9999-12-31", "10" * 400, "<script>"])
def test_a_day_that_is_none_is_said_at_the_field(desk, on):
    fields = {"line": desk.floor.line.pk, "on": on}
    response = desk.client.post(reverse("competencies:sheet-new", args=["matrix"]), fields)

    assert response.status_code == 200
    assert response.context["form"].errors.keys() == {"on"}
    assert "<script>" not in response.content.decode()


def test_the_matrix_is_a3_and_says_word_day_depth_and_when_it_is_void(desk):
    pdf = desk.print("matrix", line=desk.floor.line.pk, on=today())

    [text] = words(pdf)
    with pikepdf.open(BytesIO(pdf)) as opened:
        box = [float(number) for number in opened.pages[0].MediaBox]
    assert (round(box[2]), round(box[3])) == (round(A3[0]), round(A3[1]))
    void = make.today() + timedelta(days=31)
    assert f"Void after {void.day} {void:%B %Y}." in text
    assert "COUNTS" in text
    assert desk.floor.trainer.name in text
    assert "How many count, of those needed" in text
    assert "0/1 short" in text


def test_the_matrix_names_no_birthday_and_a_bar_only_as_not_yet(desk):
    young = make.make_person(desk.floor.plant, "Ben Alder", restricted_until=make.today() + timedelta(days=99))
    make.run(young, desk.floor.task, desk.floor.trainer)

    [text] = words(desk.print("matrix", line=desk.floor.line.pk, on=today()))

    assert "Ben Alder" in text
    assert str(young.restricted_until.year + 1) not in text.replace(str(make.today().year), "")


def test_a_line_of_many_people_repeats_the_heads_and_cuts_nothing_off(desk):
    names = [f"Person {number:03}" for number in range(90)]
    for name in names:
        make.run(make.make_person(desk.floor.plant, name), desk.floor.task, desk.floor.trainer)

    pages = words(desk.print("matrix", line=desk.floor.line.pk, on=today()))

    assert len(pages) > 1
    assert all(any(name in page for page in pages) for name in names)
    with_rows = [page for page in pages if "Person 0" in page]
    assert all(desk.floor.task.title in page for page in with_rows)


def test_the_cover_sheet_holds_who_stands_where_and_room_for_decisions(desk):
    make.roster(desk.floor.trainer, line=desk.floor.line)
    shift = make.shift_of(desk.floor.plant)

    text = " ".join(words(desk.print("cover", line=desk.floor.line.pk, on=today(), shift=shift.pk)))

    assert desk.floor.trainer.name in text
    assert "NOBODY" in text
    for part in ("Not covered", "Relief at breaks", "Young workers", "Hours", "First aid", "Shift lead, signature"):
        assert part in text


@pytest.mark.parametrize("kind", ["task-card", "matrix", "cover"])
def test_every_sheet_is_registered_and_held_against_the_ledger(desk, kind):
    shift = make.shift_of(desk.floor.plant)
    fields = {"task": desk.task.pk, "line": desk.floor.line.pk, "shift": shift.pk, "on": today()}
    text = " ".join(words(desk.print(kind, **fields)))

    sheet = PrintedSheet.objects.get()
    check = sheet_check(sheet, on=make.today())
    page = desk.client.get(reverse("competencies:sheet-check", args=[sheet.code])).content.decode()
    assert (sheet.kind, sheet.printed_by, check.verdict) == (kind, desk.coordinator, SheetVerdict.LEDGER_UNCHANGED)
    assert sheet.code in text
    assert "Page 1 of" in text
    assert "The ledger it was read from is unchanged" in page
    assert sheet.digest[:4] in page


@pytest.mark.skipif(bool(pdf_validator.missing()), reason=f"not installed: {pdf_validator.missing()}")
@pytest.mark.parametrize("kind", ["task-card", "matrix", "cover"])
def test_every_sheet_keeps_pdf_ua(desk, kind, tmp_path):
    shift = make.shift_of(desk.floor.plant)
    fields = {"task": desk.task.pk, "line": desk.floor.line.pk, "shift": shift.pk, "on": today()}

    assert pdf_validator.faults(desk.print(kind, **fields), tmp_path / "sheet.pdf") == []


def test_what_is_stated_otherwise_has_another_digest():
    said = Statement(kind=SheetKind.MATRIX, as_of=make.today(), lines=("L1 PK-01 5 counts",))
    otherwise = Statement(kind=SheetKind.MATRIX, as_of=make.today(), lines=("L1 PK-01 5 out",))

    assert said.digest != otherwise.digest
    assert len(said.digest) == 64


@pytest.mark.parametrize("kind", ["matrix", "cover"])
def test_what_a_trainer_may_not_see_is_not_printed_for_them_either(client, desk, kind):
    client.force_login(desk.floor.trainer.user)

    assert client.get(reverse("competencies:sheet-new", args=[kind])).status_code == 403


@pytest.mark.parametrize("kind", ["record", "standing", "nothing"])
def test_there_is_no_form_for_other_kinds(desk, kind):
    assert desk.client.get(reverse("competencies:sheet-new", args=[kind])).status_code == 404


def test_another_page_names_the_choice_beforehand(desk):
    task = desk.client.get(reverse("competencies:task", args=["PK-30"])).content.decode()
    form = desk.client.get(reverse("competencies:sheet-new", args=["task-card"]), {"task": desk.task.pk})

    assert f"/paper/new/task-card/?task={desk.task.pk}" in task
    assert f'<option value="{desk.task.pk}" selected>' in form.content.decode()


@pytest.mark.parametrize("given", [{"task": "<script>"}, {"on": "10" * 300}, {"task": "999", "other": "x"}])
def test_a_choice_that_is_none_is_no_fault_of_the_page(desk, given):
    page = desk.client.get(reverse("competencies:sheet-new", args=["task-card"]), given)

    assert page.status_code == 200
    assert "<script>" not in page.content.decode()
