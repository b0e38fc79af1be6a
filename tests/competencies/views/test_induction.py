"""The first days of a starter: sets by area and role, what is late, and what comes before any other task."""

import pytest

from competencies.models import Assignment, InductionIssue
from competencies.operations.induction import StepAsked, issue_induction
from competencies.queries.clashes import Plan, clashes_of
from competencies.queries.induction import gates_before, starts_of
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make.make_floor()


@pytest.fixture
def hana(client, floor):
    person = make.make_person(floor.plant, "Hana Coldwell")
    make.grant(person, AuthorityKind.COORDINATE)
    client.force_login(person.user)
    return person


@pytest.fixture
def safety(floor):
    return make.make_task(make.make_area(floor.plant, "HS", "Safety"), "HS-01", "Site induction")


@pytest.fixture
def starter(floor):
    return make.make_person(floor.plant, "Ana Lindqvist", started_on=make.days_ago(10), area=floor.area)


def issue(hana, steps, *, since=100, area=None, role=""):
    asked = [StepAsked(task=task, due_days=days, is_gate=gate) for task, days, gate in steps]
    now = make.at(make.days_ago(since))
    return issue_induction(area=area, role=role, from_on=make.days_ago(since), steps=asked, by=hana, now=now)


def start_of(person):
    return starts_of([person], on=make.today(), now=make.at(make.today(), "12:00"))[0]


def test_a_step_is_late_the_day_after_it_was_due_and_done_once_in_force(hana, floor, safety, starter):
    issue(hana, [(safety, 9, True), (floor.task, 10, False)])

    before = start_of(starter)
    make.hold(starter, safety, assessed=1)
    after = start_of(starter)

    assert ([step.task.code for step in before.late], before.next.task) == (["HS-01"], safety)
    assert (after.done, after.late, after.next.task, after.gates) == (1, [], floor.task, [])
    assert after.last_day == make.days_ago(10 - 89)


def test_a_set_serves_its_area_and_role_and_whoever_starts_from_its_day(hana, floor, safety, starter):
    brewhouse = make.make_area(floor.plant, "BH", "Brewhouse")
    issue(hana, [(safety, 5, True)], area=brewhouse)
    issue(hana, [(safety, 5, True)], role=AuthorityKind.TRAIN)
    issue(hana, [(safety, 3, True)], since=9)
    assert start_of(starter).steps == []

    issue(hana, [(floor.task, 30, False)], area=floor.area)
    make.grant(starter, AuthorityKind.TRAIN, since=5)

    assert [(step.task.code, step.due_on) for step in start_of(starter).steps] == [
        ("HS-01", make.days_ago(5)),
        ("PK-01", make.days_ago(-20)),
    ]
    assert start_of(floor.trainee).steps == []


def test_a_newer_set_takes_the_place_for_later_starters_only(hana, floor, safety, starter):
    issue(hana, [(safety, 5, True)], since=100)
    issue(hana, [], since=5)
    later = make.make_person(floor.plant, started_on=make.days_ago(4))

    assert [len(start_of(person).steps) for person in (starter, later)] == [1, 0]


def test_a_gate_refuses_other_tasks_and_lets_the_induction_through(hana, floor, safety, starter):
    issue(hana, [(safety, 5, True)])
    common = {"on": make.today(), "shift": make.shift_of(floor.plant), "line": floor.line, "machine": None}
    plan = Plan(people=[starter, floor.trainee], tasks=[floor.task, safety], trainer=floor.trainer, **common)

    found = [each for each in clashes_of(plan) if each.code == "induction_first"]

    assert [(each.person, each.task, each.blocks) for each in found] == [(starter, floor.task, True)]
    assert "HS-01 before Fill bottles" in found[0].message
    make.hold(starter, safety, assessed=1)
    assert gates_before([starter], on=make.today(), now=make.at(make.today(), "12:00")) == {}


def test_a_run_before_the_gate_is_refused_with_the_reason(client, hana, floor, safety, starter):
    issue(hana, [(safety, 5, True)])
    asked = make.ask(starter, floor.task, floor.trainer, ago=1)
    client.force_login(floor.trainer.user)
    form = client.get(f"/floor/run/{asked.pk}/").context["form"]
    given = {name: form[name].value() for name in form.fields}
    given |= {name: "met" for name in form.fields if name.startswith("judged_")}

    page = client.post(
        f"/floor/run/{asked.pk}/", {k: v for k, v in {**given, "pin": make.PIN}.items() if v is not None}
    )

    assert "The induction comes first: HS-01 must be in force before." in page.content.decode()
    assert Assignment.objects.get(pk=asked.pk).state == "planned"


def test_the_coordinator_issues_a_set_and_the_list_shows_who_is_late(client, hana, floor, safety, starter):
    given = {"area": "", "role": "", "from_on": make.days_ago(60).isoformat(), "steps": "HS-01 1 first\nPK-01 30"}

    shown = client.post("/starters/sets/", given, follow=True).content.decode()
    listed = client.get("/starters/")
    own = client.get(f"/people/{starter.pk}/start/").content.decode()

    assert "due 30 days after the start" in shown
    assert [(each.person, each.done, len(each.late)) for each in listed.context["rows"]] == [(starter, 0, 1)]
    assert "Until these are in force nothing outside the induction" in own
    copy = client.get(f"/starters/sets/?from={InductionIssue.objects.get().pk}").context["form"]
    assert copy["steps"].value() == "HS-01 1 first\nPK-01 30"


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        ("HS-01", "Line 1: write it such as"),
        ("HS-01 1 later", "Line 1: write it such as"),
        ("HS-01 999", "Line 1: write it such as"),
        ("PK-01 3\nXX-99 1", "Line 2: there is no task XX-99."),
        ("PK-01 3\npk-01 4", "Line 2: PK-01 stands there already."),
        ("<script> 1", "there is no task &lt;script&gt;"),
    ],
)
def test_a_set_that_cannot_be_is_refused_at_its_line(client, hana, floor, steps, told):
    given = {"area": "", "role": "", "from_on": make.today().isoformat(), "steps": steps}

    page = client.post("/starters/sets/", given)

    assert told in page.content.decode()
    assert InductionIssue.objects.count() == 0


@pytest.mark.parametrize("size", [1, 5])
def test_the_list_costs_the_same_queries_at_any_size(client, floor, safety, hana, size, django_assert_num_queries):
    issue(hana, [(safety, 5, True)])
    for _number in range(size):
        make.make_person(floor.plant, started_on=make.days_ago(20), area=floor.area)
    client.get("/starters/")

    with django_assert_num_queries(11):
        page = client.get("/starters/")

    assert len(page.context["rows"]) == size


def test_a_trainee_sees_the_own_first_days_and_not_the_list(client, starter, floor):
    client.force_login(starter.user)

    assert client.get(f"/people/{starter.pk}/start/").status_code == 200
    assert client.get("/starters/").status_code == 403
    assert client.get("/starters/sets/").status_code == 403
