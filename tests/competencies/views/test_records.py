"""Printing records: who may, for which day, in one file or many, and what is said where it cannot be done."""

import builtins
import re
from io import BytesIO

import pikepdf
import pypdfium2
import pytest
from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from competencies.models import Crew, Job, LedgerAnchor, Person, PrintedSheet
from competencies.operations.pathways import enrol
from competencies.printing.readiness import check_press
from competencies.views import records as record_views
from competencies.vocabulary import AuthorityKind
from tests.competencies.printing.people import when
from tests.factories import at, days_ago, grant, make_person, make_plant, signer, today

pytestmark = pytest.mark.django_db


def url(name, *args):
    return reverse(f"competencies:{name}", args=args)


def as_(client, person):
    client.force_login(person.user)
    return client


def auditor(plant):
    person = make_person(plant, "Odd Lindqvist")
    grant(person, AuthorityKind.AUDIT)
    return person


def words(response):
    document = pypdfium2.PdfDocument(response.content)
    return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in document).split())


def without_token(response):
    return re.sub(rb'name="csrfmiddlewaretoken" value="\w+"', b"", response.content)


def today_form(**fields):
    return {"as_of": today().isoformat(), "known_at": "", **fields}


def test_own_record_is_everybodys_to_print(client, made):
    response = as_(client, made.person).post(url("record-print", made.person.pk), today_form())

    sheet = PrintedSheet.objects.get()
    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == f'inline; filename="{sheet.code}.pdf"'
    assert response["Cache-Control"] == "no-store"
    assert sheet.printed_by == made.person
    assert "Tove Brandvold" in words(response)
    assert f"/check/{sheet.code}/" in words(response).replace(" ", "")
    assert LedgerAnchor.objects.filter(why="print").count() == 1


@pytest.mark.parametrize("who", ["coordinator", "auditor"])
def test_office_prints_anybodys(client, made, who):
    person = made.coordinator if who == "coordinator" else auditor(made.plant)

    assert as_(client, person).get(url("record-print", made.person.pk)).status_code == 200
    assert as_(client, person).post(url("record-print", made.person.pk), today_form()).status_code == 200


@pytest.mark.parametrize("who", ["trainer", "assessor", "second"])
@pytest.mark.parametrize("method", ["get", "post"])
def test_others_are_refused_and_nothing_is_registered(client, made, who, method):
    sender = as_(client, getattr(made, who))

    assert getattr(sender, method)(url("record-print", made.person.pk), today_form()).status_code == 403
    assert getattr(sender, method)(url("record-crew"), today_form()).status_code == 403
    assert sender.get(url("records")).status_code == 403
    assert not PrintedSheet.objects.exists()


def test_another_plants_office_is_refused_as_if_nobody_were_there(client, made):
    other = make_person(make_plant("other", "Other"), "Other Office")
    grant(other, AuthorityKind.COORDINATE, AuthorityKind.AUDIT)
    sender = as_(client, other)

    refused = sender.get(url("record-print", made.person.pk))
    unknown = sender.get(url("record-print", 123))
    assert refused.status_code == unknown.status_code == 403
    assert without_token(refused) == without_token(unknown)


@pytest.mark.parametrize("name", ["records", "record-crew"])
def test_signed_out_is_sent_to_sign_in(client, name):
    assert client.get(url(name)).status_code == 302


def test_day_that_has_passed_is_printed_as_of_that_day(client, made):
    sent = today_form(as_of=days_ago(115).isoformat())
    response = as_(client, made.coordinator).post(url("record-print", made.person.pk), sent)

    assert PrintedSheet.objects.get().as_of == days_ago(115)
    assert "PK-01" in words(response)
    assert "PK-04" not in words(response)


def test_second_clock_prints_what_was_known_then(client, made):
    sent = today_form(as_of=days_ago(15).isoformat(), known_at=f"{days_ago(14).isoformat()}T10:00")
    response = as_(client, made.coordinator).post(url("record-print", made.person.pk), sent)

    assert "As known then As known now" in words(response)
    assert PrintedSheet.objects.get().ledger_size < LedgerAnchor.objects.get(why="print").size


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("as_of", "2999-01-01", "This day has not come yet."),
        ("as_of", "yesterday", "Enter a valid date."),
        ("as_of", "", "This field is required."),
        ("known_at", "2999-01-01T10:00", "This moment has not come yet."),
        ("known_at", "noon", "Enter a valid date/time."),
    ],
)
def test_day_that_does_not_fit_is_told_at_the_field(client, made, field, value, message):
    response = as_(client, made.coordinator).post(url("record-print", made.person.pk), today_form(**{field: value}))

    assert response.status_code == 200
    assert response.context["form"].errors[field] == [message]
    assert value in response.content.decode()
    assert not PrintedSheet.objects.exists()


def test_crew_comes_in_one_file_each_person_with_a_sheet(client, made):
    crew = Crew.objects.create(plant=made.plant, code="A", title="Crew A")
    for person in (made.person, made.trainer):
        person.crew = crew
        person.save()
    response = as_(client, made.coordinator).post(url("record-crew"), today_form(crew=crew.pk, pathway=""))

    assert PrintedSheet.objects.count() == 2
    assert {sheet.person for sheet in PrintedSheet.objects.all()} == {made.person, made.trainer}
    with pikepdf.open(BytesIO(response.content)) as pdf, pdf.open_outline() as outline:
        assert [item.title for item in outline.root] == ["Iolo Castellan", "Tove Brandvold"]
        assert pdf.open_metadata()["dc:title"] == "Progress records, 2 people"
    assert words(response).count("Page 1 of") == 2


def test_pathway_chooses_who_is_on_it(client, made):
    as_(client, made.coordinator).post(url("record-crew"), today_form(crew="", pathway=made.pathway.pk))

    assert [sheet.person for sheet in PrintedSheet.objects.all()] == [made.person]


def test_empty_choice_is_told(client, made):
    crew = Crew.objects.create(plant=made.plant, code="B", title="Crew B")
    response = as_(client, made.coordinator).post(url("record-crew"), today_form(crew=crew.pk, pathway=""))

    assert "Nobody is in this choice on that day." in response.content.decode()


def test_many_people_are_made_in_the_background(client, made, monkeypatch):
    monkeypatch.setattr(record_views, "MOST_AT_ONCE", 3)
    response = as_(client, made.coordinator).post(url("record-crew"), today_form(crew="", pathway=""))

    job = Job.objects.get()
    assert response["Location"] == url("job", job.code)
    assert (job.kind, job.asked_by, job.site) == ("records", made.coordinator, "http://testserver/")
    assert job.parameters == {"crew": None, "pathway": None, "as_of": today().isoformat(), "known_at": None}
    assert not PrintedSheet.objects.exists()


@pytest.fixture
def no_libraries(monkeypatch):
    """Let the library fail to load as it does where its native parts are missing."""
    load = builtins.__import__

    def refuse(name, *args, **kwargs):
        if name.partition(".")[0] == "weasyprint":
            raise OSError("cannot load library 'libgobject-2.0-0': no such file\nmore")
        return load(name, *args, **kwargs)

    monkeypatch.setattr(builtins, "__import__", refuse)


def test_page_says_what_to_install_where_nothing_can_be_drawn(client, made, no_libraries):
    response = as_(client, made.coordinator).post(url("record-print", made.person.pk), today_form())

    assert response.status_code == 200
    assert "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0" in response.content.decode()
    assert not PrintedSheet.objects.exists()


def test_check_names_the_missing_packages(no_libraries):
    [found] = check_press(None)

    assert found.id == "competencies.W001"
    assert "apt-get install --no-install-recommends libpango-1.0-0" in found.hint


def test_check_is_content_where_sheets_can_be_drawn():
    assert check_press(None) == []
    call_command("check", fail_level="WARNING")


def test_list_says_pathway_credits_and_last_print(client, made):
    sender = as_(client, made.coordinator)
    sender.post(url("record-print", made.person.pk), today_form())
    page = " ".join(sender.get(url("records")).content.decode().split())

    assert "6 of 15 credits" in page
    assert "never" in page
    assert f"{PrintedSheet.objects.get().printed_at:%Y}" in page
    assert url("record-print", made.person.pk) in page


def test_list_is_narrowed_by_crew_and_pathway(client, made):
    crew = Crew.objects.create(plant=made.plant, code="A", title="Crew A")
    made.trainer.crew = crew
    made.trainer.save()
    sender = as_(client, made.coordinator)

    by_crew = sender.get(url("records"), {"crew": crew.pk})
    by_pathway = sender.get(url("records"), {"pathway": made.pathway.pk})
    assert [row.person for row in by_crew.context["rows"]] == [made.trainer]
    assert [row.person for row in by_pathway.context["rows"]] == [made.person]
    assert sender.get(url("records"), {"crew": "x"}).status_code == 200


def test_leavers_are_not_on_the_list(client, made):
    made.trainer.last_day = days_ago(1)
    made.trainer.save()

    rows = as_(client, made.coordinator).get(url("records")).context["rows"]
    assert made.trainer not in [row.person for row in rows]


def test_list_costs_the_same_queries_at_any_size(client, made):
    sender = as_(client, made.coordinator)
    sender.get(url("records"))
    with CaptureQueriesContext(connection) as few:
        sender.get(url("records"))
    for _ in range(8):
        person = make_person(made.plant)
        enrol(person=person, qualification=made.pathway, by=signer(made.coordinator), when=when(10))
    with CaptureQueriesContext(connection) as many:
        response = sender.get(url("records"))

    assert len(response.context["rows"]) == Person.objects.filter(plant=made.plant).count() >= 13
    assert len(many) == len(few)


def test_long_list_is_cut_into_pages(client, made):
    for _ in range(30):
        make_person(made.plant)
    sender = as_(client, made.coordinator)

    count = Person.objects.filter(plant=made.plant).count()
    assert len(sender.get(url("records")).context["rows"]) == record_views.PAGE_SIZE
    assert len(sender.get(url("records"), {"page": 2}).context["rows"]) == min(record_views.PAGE_SIZE, count - 20)


def test_print_is_registered_at_the_moment_of_printing(client, made):
    as_(client, made.coordinator).post(url("record-print", made.person.pk), today_form())

    assert PrintedSheet.objects.get().printed_at >= at(today(), "00:00")
