"""People by tasks: each cut, both clocks, places, totals that lead to what they count, and what a cell says."""

import re
from datetime import timedelta

import pytest

from competencies.models import (
    Area,
    Crew,
    Enrolment,
    OutcomeItem,
    Person,
    Qualification,
    Task,
    UnitOutcome,
    UnitStandard,
)
from competencies.operations.decisions import When, withdraw
from competencies.operations.recording import OnTask
from competencies.queries.matrix import AsOf, Cell, Cut, people_of_cut, tasks_of_cut
from competencies.standing.facts import Scope
from competencies.views.matrix_drawing import Pen
from competencies.views.matrix_table import matrix_table
from competencies.vocabulary import AuthorityKind, ScopeKind, Standing, YoungWorker
from tests import factories as make

pytestmark = pytest.mark.django_db
PAGE = "/matrix/"


def page(client, **query):
    answer = client.get(PAGE, query)
    assert answer.status_code == 200
    return answer


def cells(answer):
    """Return what stands in each cell: (person, task) -> (the words, the address)."""
    found = {}
    for head in answer.context["rows"]:
        links = re.findall(r'<a href="([^"]*)" aria-label="([^"]*)">', head.cells)
        for column, (address, words) in zip(answer.context["columns"], links, strict=True):
            found[head.thing.name, column.thing.code] = (words, address.replace("&amp;", "&"))
    return found


def names(answer):
    return [person.name for person in answer.context["people"]]


def codes(answer):
    return [task.code for task in answer.context["tasks"]]


def test_a_cell_says_the_standing_in_a_word_with_sign_and_shape_and_leads_to_why(office, floor):
    answer = page(office)

    words, address = cells(answer)["Iolo Castellan", "PK-01"]
    assert words == "in force"
    assert address == f"/people/{floor.trainer.pk}/tasks/PK-01/"
    assert office.get(address).status_code == 200
    drawn = next(head.cells for head in answer.context["rows"] if head.thing == floor.trainer)
    assert "standing-in_force" in drawn
    assert '<use href="#shape-in_force"/>' in drawn
    assert ">In<" in re.sub(r"<svg.*?</svg>", "", drawn)
    assert cells(answer)["Tove Brandvold", "PK-01"][0] == "not started"


def test_every_sign_is_told_and_no_two_are_alike(office, floor):
    answer = page(office)

    signs = [str(sign) for _standing, sign in answer.context["signs"]]
    assert [standing for standing, _sign in answer.context["signs"]] == [each.value for each in Standing]
    assert len(set(signs)) == len(signs)


def test_who_leads_nothing_is_refused(client, floor):
    client.force_login(floor.trainer.user)

    assert client.get(PAGE).status_code == 403


@pytest.fixture
def wide(floor):
    """Add a second area, a crew, a line task at two lines, and somebody on a pathway that asks for one task."""
    brewhouse = make.make_area(floor.plant, "BH", "Brewhouse")
    make.make_task(brewhouse, "BH-01")
    other_line = make.make_line(floor.plant, "L2", "Can line 2")
    line_task = make.make_task(floor.area, "PK-09", scope_kind=ScopeKind.LINE)
    for line in (floor.line, other_line):
        line_task.places.create(line=line)
    make.make_station(floor.line, floor.task)
    crew = Crew.objects.create(plant=floor.plant, code="B", title="Crew B")
    Person.objects.filter(pk=floor.trainee.pk).update(crew=crew)
    unit = UnitStandard.objects.create(plant=floor.plant, code="U1", title="Fill", level=2, credits=4, group="core")
    OutcomeItem.objects.create(outcome=UnitOutcome.objects.create(unit=unit, number=1), task=floor.task)
    pathway = Qualification.objects.create(plant=floor.plant, code="Q1", title="Certificate", min_total_credits=4)
    Enrolment.objects.create(person=floor.assessor, qualification=pathway, enrolled_on=make.days_ago(9))
    return pathway


@pytest.mark.parametrize(
    ("query", "people", "tasks"),
    [
        ({"area": "BH"}, None, ["BH-01"]),
        ({"line": "L2"}, None, ["PK-09"]),
        ({"line": "L1"}, None, ["PK-01", "PK-09"]),
        ({"crew": "B"}, ["Tove Brandvold"], None),
        ({"role": "train"}, ["Iolo Castellan"], None),
        ({"tasks": "pk-09; BH-01"}, None, ["BH-01", "PK-09"]),
        ({"text": "oduya"}, ["Maren Oduya"], None),
        ({"holding": "in_force"}, ["Iolo Castellan", "Maren Oduya"], None),
        ({"holding": "begun", "area": "BH"}, [], ["BH-01"]),
        ({"pathway": "the one"}, ["Maren Oduya"], ["PK-01"]),
        ({"pathway": "the one", "on": "long ago"}, [], ["PK-01"]),
        ({"area": "BH", "crew": "B"}, ["Tove Brandvold"], ["BH-01"]),
    ],
    ids=str,
)
def test_each_cut_keeps_what_it_names(office, floor, wide, query, people, tasks):
    meant = {"the one": wide.pk, "long ago": make.days_ago(10).isoformat()}

    answer = page(office, **{name: meant.get(value, value) for name, value in query.items()})

    everybody = sorted(Person.objects.filter(plant=floor.plant).values_list("name", flat=True))
    assert names(answer) == (everybody if people is None else people)
    assert codes(answer) == (["BH-01", "PK-01", "PK-09"] if tasks is None else tasks)


def test_of_several_places_the_one_furthest_from_counting_is_shown_and_how_many_count(office, floor, wide):
    task = Task.objects.get(code="PK-09")
    make.hold(floor.trainer, task, scope=Scope("L1"), assessed=60)
    make.run(floor.trainee, task, floor.trainer, scope=Scope("L1"))
    make.hold(floor.trainee, task, scope=Scope("L2"), assessed=2)

    words, address = cells(page(office))["Tove Brandvold", "PK-09"]

    assert words == "learning, counts at 1 of 2 places"
    assert address.endswith("?scope=L1")
    assert office.get(address).status_code == 200
    words, address = cells(page(office, line="L2"))["Tove Brandvold", "PK-09"]
    assert (words, address[-9:]) == ("in force", "?scope=L2")


@pytest.fixture
def withdrawn(floor):
    """Take the assessor's sign-off away five days ago, written down two days ago."""
    make.grant(floor.trainer, AuthorityKind.SUPERVISE)
    moment = make.at(make.days_ago(5), "10:40")
    withdraw(
        on_task=OnTask(person=floor.assessor, task=floor.task),
        by=make.signer(floor.trainer),
        when=When(happened_at=moment, on=make.days_ago(5), now=moment + timedelta(days=3)),
        reason="seen unsafe",
    )


def test_both_clocks_move_the_cells_and_what_differs_is_marked_and_named(office, floor, withdrawn):
    day = make.days_ago(4).isoformat()
    key = ("Maren Oduya", "PK-01")

    now, then = page(office, on=day), page(office, on=day, known=day)
    before = page(office, on=make.days_ago(6).isoformat())

    assert cells(now)[key][0] == "withdrawn, something else was said then"
    assert cells(then)[key][0] == "in force, something else was said then"
    assert cells(then)[key][1].endswith(f"?on={day}&known={day}")
    assert cells(before)[key][0] == "in force"
    for answer in (now, then):
        [row] = answer.context["differing"]
        assert (row.label, row.code) == ("Maren Oduya", "PK-01")
    assert before.context["differing"] == []
    assert cells(page(office))[key][0] == "withdrawn"


def test_the_totals_lead_to_exactly_what_they_count(office, floor, wide, withdrawn):
    answer = page(office, area="PK")

    column = next(head for head in answer.context["columns"] if head.thing == floor.task)
    row = next(head for head in answer.context["rows"] if head.thing == floor.trainer)
    assert (column.total, row.total) == (1, 1)
    people = office.get(PAGE + column.counted)
    assert (names(people), codes(people)) == (["Iolo Castellan"], ["PK-01"])
    tasks = office.get(PAGE + row.counted)
    assert (names(tasks), codes(tasks)) == (["Iolo Castellan"], ["PK-01"])


def test_a_total_counts_the_whole_cut_and_a_page_shows_a_part(office, floor):
    for number in range(24):
        make.hold(make.make_person(floor.plant, f"Operator {number:02d}"), floor.task)

    first, second = page(office, size="small"), page(office, size="small", page="2")

    assert (len(names(first)), len(names(second))) == (25, 4)
    assert [head.total for head in first.context["columns"]] == [26]
    assert len(names(page(office, crew="", task="PK-01", alone="1"))) == 26


def test_tasks_that_do_not_fit_side_by_side_have_pages_of_their_own(office, floor):
    Task.objects.bulk_create(
        Task(plant=floor.plant, area=floor.area, code=f"PK-{number}", title="One of many") for number in range(20, 42)
    )

    first = page(office, size="small")
    second = office.get(PAGE + first.context["later_tasks"])

    assert (len(codes(first)), len(codes(second))) == (20, 3)
    assert "Tasks 21 to 23 of 23" in second.content.decode()


@pytest.mark.parametrize("size", [1, 4])
def test_the_page_asks_a_constant_number_of_questions(office, floor, withdrawn, django_assert_num_queries, size):
    for number in range(size):
        task = make.make_task(floor.area, f"PK-1{number}")
        for each in range(size):
            make.hold(make.make_person(floor.plant, f"Operator {number} {each}"), task)
    day = make.days_ago(4).isoformat()
    page(office, on=day)

    with django_assert_num_queries(17):
        answer = page(office, on=day)

    assert len(cells(answer)) == (5 + size * size) * (1 + size)


def test_one_person_is_a_list_with_each_place(office, floor, wide):
    task = Task.objects.get(code="PK-09")
    for line in ("L1", "L2"):
        make.hold(floor.trainee, task, scope=Scope(line), assessed=2)

    answer = page(office, person=floor.trainee.pk)

    listed = {row.task.code: [place for place, _period in row.places] for row in answer.context["listed"]}
    assert listed == {"BH-01": [None], "PK-01": [None], "PK-09": ["L1", "L2"]}
    assert f"/people/{floor.trainee.pk}/tasks/PK-09/?scope=L2" in answer.content.decode()
    assert "Matrix, Tove Brandvold" in answer.content.decode()


def test_who_holds_and_does_not_count_for_age_is_marked(office, floor):
    task = make.make_task(floor.area, "PK-05", asked=make.Asked(young_worker=YoungWorker.TRAINING_ONLY))
    young = make.make_person(floor.plant, "Young One", restricted_until=make.days_ago(-300))
    make.employ(young)
    make.hold(young, task, assessed=5)

    answer = page(office, tasks="PK-05")

    assert cells(answer)["Young One", "PK-05"][0] == "in force, does not count"
    assert [head.total for head in answer.context["columns"]] == [0]


@pytest.mark.parametrize(
    ("query", "told"),
    [
        ({"tasks": "PK-77"}, "No task has this code: PK-77"),
        ({"tasks": "<script>alert(1)</script>"}, "No task has this code: &lt;script&gt;alert(1)&lt;/script&gt;"),
        ({"area": "XX"}, "Select a valid choice"),
        ({"role": "king"}, "Select a valid choice"),
        ({"pathway": "9" * 400}, "Select a valid choice"),
        ({"on": "soon"}, "Enter a valid date"),
        ({"known": "2999-01-01"}, "Give a day between"),
        ({"text": "x" * 500}, "at most 120 characters"),
    ],
    ids=str,
)
def test_what_cannot_be_read_is_told_at_its_field_and_kept(office, floor, query, told):
    text = page(office, **query).content.decode()

    assert told in text
    if "tasks" in query:
        assert "PK-77" in text or "&lt;script&gt;" in text


@pytest.mark.parametrize("query", [{"page": "x"}, {"page": "-1"}, {"part": "9" * 40}, {"alone": "no"}, {"size": ""}])
def test_an_odd_page_is_the_nearest_there_is(office, floor, query):
    assert codes(page(office, **query)) == ["PK-01"]


@pytest.mark.parametrize("query", [{"person": "abc"}, {"person": "9" * 400}, {"task": "PK-99"}])
def test_a_person_or_task_that_there_is_not_is_not_there(office, floor, query):
    assert office.get(PAGE, query).status_code == 404


def test_nothing_of_another_plant_is_shown(office, floor):
    plant = make.make_plant("birch-wharf", "Birch Wharf")
    task = make.make_task(make.make_area(plant, "ZZ", "Elsewhere"), "ZZ-01")
    stranger = make.make_person(plant, "Somebody Else")
    make.hold(stranger, task)

    answer = page(office)

    assert "Somebody Else" not in names(answer)
    assert codes(answer) == ["PK-01"]
    assert office.get(PAGE, {"person": stranger.pk}).status_code == 404
    assert office.get(PAGE, {"task": "ZZ-01"}).status_code == 404
    assert "Select a valid choice" in page(office, area="ZZ").content.decode()


def test_nobody_and_nothing_say_what_to_do(office, floor):
    assert "Nobody fits." in page(office, text="zzz").content.decode()
    Area.objects.create(plant=floor.plant, code="EM", title="Empty")
    text = page(office, area="EM").content.decode()
    assert "No task fits." in text
    assert "bring the syllabus in as a file" in text


def test_what_a_plant_writes_into_a_code_is_escaped_in_a_cell():
    pen = Pen([Task(pk=1, code='<b>"&')], {"on": '"><i>'}, {(7, 1)})

    drawn = pen.row(7, "/people/7/", {(7, 1): Cell("in_grace", True, '"<u>', 1, 1)})

    assert re.findall(r"<[biu]>", drawn) == []
    assert drawn.count('"') == 2 * len(re.findall(r'[a-z-]+="', drawn)) == 14
    assert "something else was said then" in drawn


def test_the_matrix_is_told_as_plain_rows(floor, wide):
    at = AsOf(on=make.today(), moment=make.at(make.today(), "23:00"))
    cut = Cut(codes=("PK-01",))
    people = people_of_cut(floor.plant, cut, at).select_related("crew")

    heads, rows = matrix_table(list(people), list(tasks_of_cut(floor.plant, cut, at)), cut, at)

    assert heads == ["Name", "Employee number", "Crew", "PK-01"]
    assert ["Tove Brandvold", floor.trainee.works_number, "Crew B", "not started"] in rows
    assert ["Maren Oduya", floor.assessor.works_number, "", "in force"] in rows
