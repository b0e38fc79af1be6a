"""The cover of the next twelve months: when a line breaks and why, on whom it hangs, what if somebody leaves."""

from datetime import timedelta
from io import BytesIO

import pikepdf
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from competencies.models import Absence, Crew
from competencies.standing.ahead import Days
from competencies.standing.calendar import add_months
from competencies.vocabulary import AuthorityKind
from tests import factories as make
from tests.outside import pdf_validator
from tests.outside.pdf_text import text_of

pytestmark = pytest.mark.django_db
PAGE = "/cover/ahead/"


@pytest.fixture
def crew(floor):
    """Return a crew of the two holders, as the roster of the last weeks had it at the line."""
    crew = Crew.objects.create(plant=floor.plant, code="A", title="Crew A")
    for person in (floor.trainer, floor.assessor):
        person.crew = crew
        person.save(update_fields=["crew"])
        make.roster(person, line=floor.line, ago=3)
    make.make_station(floor.line, floor.task)
    return crew


def read(client, **query):
    return " ".join(client.get(PAGE, query).content.decode().split())


def shown(client, **query):
    [(line, _chart)] = client.get(PAGE, query).context["lines"]
    return line


def lapses_on(floor):
    """Return the first day after grace: assessed 60 days ago, valid for 12 months, 30 days of grace."""
    return add_months(make.days_ago(60), 12) + timedelta(days=31)


def test_a_line_breaks_on_the_day_after_the_last_sign_off_and_says_whose(office, floor, crew):
    first = shown(office).first_break

    assert (first.on, first.crew, first.is_rostered) == (lapses_on(floor), crew, False)
    assert {loss.person for loss in first.losses} == {floor.trainer, floor.assessor}
    text = read(office)
    assert "Crew A, from" in text
    assert f"{floor.trainer.name} at PK-01. PK-01: the last valid day was" in text


def test_an_announced_leaver_and_an_absence_count_from_their_day(office, floor, crew):
    floor.assessor.last_day = make.days_ago(-30)
    floor.assessor.save(update_fields=["last_day"])
    Absence.objects.create(person=floor.trainer, from_on=make.days_ago(-40), until_on=make.days_ago(-50))

    first = shown(office).first_break

    assert first.on == make.days_ago(-40)
    assert "away" in read(office)


def test_without_somebody_the_page_names_the_difference_and_writes_nothing(office, floor, crew):
    floor.assessor.last_day = make.days_ago(-30)
    floor.assessor.save(update_fields=["last_day"])

    text = read(office, without=floor.trainer.pk)

    assert f"Without {floor.trainer.name}" in text
    assert "left to nobody in some crew: PK-01" in text
    [each] = office.get(PAGE, {"without": floor.trainer.pk}).context["differences"]
    assert each.after.first_break.on == make.days_ago(-31)
    assert each.before.first_break.on == lapses_on(floor)
    floor.trainer.refresh_from_db()
    assert floor.trainer.last_day is None
    assert "no difference." in read(
        office,
        without=floor.assessor.pk,
        out_from=make.days_ago(-100).isoformat(),
        out_until=make.days_ago(-110).isoformat(),
    )


def test_a_station_that_hangs_on_one_person_is_named_with_its_crew(office, floor, crew):
    assert shown(office).hangs == ()
    Absence.objects.create(person=floor.assessor, from_on=make.days_ago(1), until_on=make.days_ago(-1))

    [hanging] = shown(office).hangs

    assert ([station.task for station in hanging.stations], hanging.crew) == ([floor.task], crew)
    assert hanging.person == floor.trainer
    assert f"{floor.trainer.name} (Crew A): PK-01." in read(office)


def test_a_planned_assignment_counts_from_the_day_after_if_it_passes(office, floor, crew):
    other = make.make_task(floor.area, "PK-02")
    make.make_station(floor.line, other)
    make.ask(floor.trainer, other, floor.assessor, ago=-2, line=floor.line)

    weeks = shown(office).weeks

    assert (weeks[1].covered, weeks[1].planned, weeks[1].of) == (0, 1, 1)
    assert weeks[1].have == (2, 0)


def test_the_roster_is_asked_shift_by_shift_as_far_as_it_goes(office, floor, crew):
    for ago in (0, -1):
        make.roster(floor.trainer, line=floor.line, ago=ago)

    line = shown(office)

    assert line.first_break.is_rostered
    assert line.first_break.shift.name == "late"
    week = line.weeks[0]
    assert week.is_rostered
    assert week.of in {3, 6}  # the two days may lie in two weeks
    assert line.runs[0].days.from_on == make.today()


def test_a_line_that_nobody_is_known_to_work_says_so(office, floor):
    make.make_station(floor.line, floor.task)

    text = read(office)

    assert "nobody is known to work this line" in text
    assert "There is no roster from today on" in text


@pytest.mark.parametrize(
    ("query", "told"),
    [
        ({"out_from": "soon", "without": ""}, "Enter a valid date."),
        ({"out_from": "2026-02-01", "out_until": "2026-01-01"}, "The last day lies before the first."),
        ({"out_from": "2026-02-01"}, "Say who is missing on these days."),
        ({"out_from": "9999-01-01"}, "Give a day between 1950 and 2150."),
        ({"without": "10^400"}, "Select a valid choice."),
        ({"line": "<script>"}, "Select a valid choice."),
    ],
)
def test_what_cannot_be_asked_is_told_at_its_field(office, floor, crew, query, told):
    answer = office.get(PAGE, query)

    assert answer.status_code == 200
    assert told in answer.content.decode()


def test_others_are_refused_and_another_plant_is_not_seen(client, floor, crew):
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    for kind, expected in ((AuthorityKind.TRAIN, 403), (AuthorityKind.SUPERVISE, 200)):
        make.grant(stranger, kind)
        client.force_login(stranger.user)
        assert client.get(PAGE).status_code == expected
        assert client.get("/cover/ahead.pdf").status_code == expected
    assert client.get(PAGE).context["lines"] == []
    assert "No line has stations yet." in client.get(PAGE).content.decode()


def test_the_page_asks_a_constant_number_of_questions(office, floor, crew):
    for person in (floor.trainer, floor.assessor):
        make.roster(person, line=floor.line, ago=-3)
    office.get(PAGE)
    with CaptureQueriesContext(connection) as few:
        office.get(PAGE, {"without": floor.trainer.pk})

    for number in range(2, 5):
        line = make.make_line(floor.plant, f"L{number}", f"Line {number}")
        make.make_station(line, floor.task)
        person = make.make_person(floor.plant, f"Person {number}", crew=crew)
        make.hold(person, floor.task)
        for ago in (2, -number):
            make.roster(person, line=line, ago=ago)
    office.get(PAGE)
    with CaptureQueriesContext(connection) as many:
        found = office.get(PAGE, {"without": floor.trainer.pk}).context

    assert len(found["lines"]) == 4
    assert len(many) == len(few) <= 40


@pytest.mark.parametrize("query", [{}, {"line": "L1"}], ids=["every line", "one line"])
def test_it_prints_with_the_chart_its_words_and_the_figures(office, floor, crew, query, tmp_path):
    answer = office.get("/cover/ahead.pdf", query)

    assert answer["Content-Type"] == "application/pdf"
    text = text_of(answer.content)
    assert "Bottle line 1: first short on" in text
    assert "0 of 1 crew shifts" in text
    with pikepdf.open(BytesIO(answer.content)) as pdf:
        figures = [each for each in pdf.objects if getattr(each, "get", None) and each.get("/S") == "/Figure"]
        assert ["first short on" in str(each.get("/Alt")) for each in figures] == [True]
    if not pdf_validator.missing():
        # ISO 14289-1 (PDF/UA-1), as veraPDF reads it.
        assert pdf_validator.faults(answer.content, tmp_path / "ahead.pdf") == []


def test_weeks_with_the_same_figures_are_one_row(office, floor, crew):
    line = shown(office)

    assert len(line.weeks) == 52
    assert [(run.covered, run.of) for run in line.runs] == [(1, 1), (0, 1)]
    assert line.runs[0].days == Days(make.today(), line.runs[1].days.from_on - timedelta(days=1))
