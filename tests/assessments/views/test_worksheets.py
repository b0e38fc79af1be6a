"""Worksheets on the pages: made by a trainer, read with the key, printed, and kept from trainees."""

import io

import pikepdf
import pytest
from django.urls import reverse

from assessments.models import Worksheet, WorksheetCopy
from competencies.models import Crew
from tests.assessments.sheets import worksheet_for
from tests.factories import Asked, ask, make_floor, make_person, make_plant
from tests.outside.pdf_text import text_of

pytestmark = pytest.mark.django_db
NEW = "assessments:worksheet-new"


@pytest.fixture
def floor():
    return make_floor(asked=Asked(calculations=("C03", "C10")))


@pytest.fixture
def trainer(client, floor):
    client.force_login(floor.trainer.user)
    return client


def asked(**changes):
    return {"title": "", "problems": "4", "own_figures": "on", "kinds": ["C03-strike"], "seed": "", **changes}


def make(client, **changes):
    return client.post(reverse(NEW), asked(**changes))


def test_a_trainer_makes_a_worksheet_for_a_person(trainer, floor):
    response = make(trainer, person=floor.trainee.pk, seed="11")

    worksheet = Worksheet.objects.get()
    copy = worksheet.copies.get()
    assert response.url == reverse("assessments:worksheet", args=[worksheet.pk])
    assert (worksheet.seed, worksheet.made_by, worksheet.title) == (11, floor.trainer, "Worksheet")
    assert copy.person == floor.trainee
    assert [kept["calculation"] for kept in copy.problems] == ["C03-strike"] * 4


def test_a_crew_has_a_copy_for_everybody_who_still_works_here(trainer, floor):
    crew = Crew.objects.create(plant=floor.plant, code="X", title="Crew X")
    people = [make_person(floor.plant, crew=crew) for _ in range(3)]
    make_person(floor.plant, crew=crew, last_day=floor.trainee.started_on)

    make(trainer, crew=crew.pk)

    assert set(WorksheetCopy.objects.values_list("person", flat=True)) == {person.pk for person in people}


def test_without_a_tick_the_coming_tasks_decide(trainer, floor):
    ask(floor.trainee, floor.task, floor.trainer)

    make(trainer, person=floor.trainee.pk, kinds=[])

    codes = {kept["calculation"].partition("-")[0] for kept in WorksheetCopy.objects.get().problems}
    assert codes == {"C03", "C10"}


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"problems": "0"}, "greater than or equal to 1"),
        ({"problems": "31"}, "less than or equal to 30"),
        ({"problems": "words"}, "whole number"),
        ({"problems": ""}, "required"),
        ({"seed": "-1"}, "greater than or equal to 0"),
        ({"seed": "1" * 400}, "less than or equal to"),
        ({"kinds": ["C99-none"]}, "Select a valid choice"),
        ({"title": "x" * 81}, "at most 80 characters"),
        ({"person": "<script>"}, "Select a valid choice"),
    ],
    ids=lambda value: next(iter(value)) if isinstance(value, dict) else None,
)
def test_bad_input_is_told_at_the_field_and_kept(trainer, floor, changes, message):
    response = make(trainer, **changes)

    form = response.context["form"]
    name, typed = next(iter(changes.items()))
    assert message in " ".join(form.errors[name])
    assert form[name].value() == typed
    assert not Worksheet.objects.exists()


def test_a_person_and_a_crew_at_once_are_refused(trainer, floor):
    crew = Crew.objects.create(plant=floor.plant, code="X", title="Crew X")

    response = make(trainer, person=floor.trainee.pk, crew=crew.pk)

    assert "not both" in response.context["form"].errors["crew"][0]


def test_an_empty_crew_is_refused(trainer, floor):
    crew = Crew.objects.create(plant=floor.plant, code="X", title="Crew X")

    assert "Nobody is in this crew" in make(trainer, crew=crew.pk).context["form"].errors["crew"][0]


def test_what_was_ticked_stays_ticked_and_in_sight(trainer, floor):
    response = make(trainer, problems="0", kinds=["C05-pressure"])

    is_open = {group["heading"]: group["is_open"] for group in response.context["form"].kind_groups}
    assert [heading for heading, opened in is_open.items() if opened] == ["Carbonation"]
    assert '<input type="checkbox" name="kinds" value="C05-pressure" checked>' in response.text


def test_too_many_problems_in_all_are_refused(trainer, floor):
    crew = Crew.objects.create(plant=floor.plant, code="X", title="Crew X")
    for _ in range(6):
        make_person(floor.plant, crew=crew)

    response = make(trainer, crew=crew.pk, problems="30")

    assert "180 problems" in response.context["form"].errors["problems"][0]


def test_nothing_ahead_and_nothing_ticked_is_told(trainer, floor):
    response = make(trainer, person=make_person(floor.plant).pk, kinds=[])

    assert "tick at least one" in response.context["form"].errors["kinds"][0]


def test_the_page_shows_one_copy_with_its_key(trainer, floor):
    other = make_person(floor.plant)
    worksheet = worksheet_for(floor.trainer, people=[floor.trainee, other])

    response = trainer.get(reverse("assessments:worksheet", args=[worksheet.pk]), {"copy": "2"})

    assert response.context["copy"].person == other
    shown = [each["set"].answer for each in response.context["problems"]]
    assert shown == [kept["answer"] for kept in worksheet.copies.get(number=2).problems]


@pytest.mark.parametrize("part", ["sheet", "key"])
def test_both_files_are_tagged_and_name_the_sheet(trainer, floor, part):
    worksheet = worksheet_for(floor.trainer, people=[floor.trainee], kinds=("C03-strike", "C15-check_digit"))

    response = trainer.get(reverse("assessments:worksheet-file", args=[worksheet.pk, part]))

    assert response["Content-Type"] == "application/pdf"
    assert figures_without_words(response.content) == []
    text = text_of(response.content)
    assert f"W{worksheet.pk}" in text
    assert floor.trainee.name in text
    answer = worksheet.copies.get().problems[0]["answer"].replace("\u2009", " ")
    assert (answer in text) is (part == "key")


def test_a_part_that_is_no_part_is_not_there(trainer, floor):
    worksheet = worksheet_for(floor.trainer)

    assert trainer.get(reverse("assessments:worksheet-file", args=[worksheet.pk, "other"])).status_code == 404


def test_a_trainee_sees_no_worksheet_and_no_key(client, floor):
    worksheet = worksheet_for(floor.trainer, people=[floor.trainee])
    client.force_login(floor.trainee.user)

    for address in (
        reverse("assessments:worksheet-list"),
        reverse(NEW),
        reverse("assessments:worksheet", args=[worksheet.pk]),
        reverse("assessments:worksheet-file", args=[worksheet.pk, "key"]),
    ):
        assert client.get(address).status_code == 403


def test_another_plant_has_no_such_worksheet(trainer, floor):
    elsewhere = make_floor_elsewhere()
    worksheet = worksheet_for(elsewhere)

    assert trainer.get(reverse("assessments:worksheet", args=[worksheet.pk])).status_code == 404


def figures_without_words(pdf):
    """Return the figures of a tagged PDF that say nothing to those who listen."""
    opened = pikepdf.open(io.BytesIO(pdf))
    assert opened.Root.MarkInfo.Marked
    figures = [each for each in opened.objects if getattr(each, "get", None) and each.get("/S") == "/Figure"]
    assert figures
    return [str(figure.keys()) for figure in figures if not str(figure.get("/Alt", ""))]


def make_floor_elsewhere():
    return make_person(make_plant("birch-wharf", "Birch Wharf"))


@pytest.mark.parametrize("size", [1, 3])
def test_the_list_costs_the_same_queries_at_any_size(trainer, floor, size, django_assert_num_queries):
    for seed in range(size):
        worksheet_for(floor.trainer, seed=seed)

    with django_assert_num_queries(6):
        response = trainer.get(reverse("assessments:worksheet-list"))

    assert len(response.context["rows"]) == size


@pytest.mark.parametrize("size", [1, 3])
def test_the_page_costs_the_same_queries_for_any_crew(trainer, floor, size, django_assert_num_queries):
    worksheet = worksheet_for(floor.trainer, people=[make_person(floor.plant) for _ in range(size)])

    with django_assert_num_queries(7):
        assert len(trainer.get(reverse("assessments:worksheet", args=[worksheet.pk])).context["copies"]) == size
