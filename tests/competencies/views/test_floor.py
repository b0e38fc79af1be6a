"""The trainer's floor page: who sees it, what stands on it, and what it costs."""

from datetime import timedelta

import pytest
from django.urls import reverse

from competencies.queries.floor import NextStep
from competencies.vocabulary import AuthorityKind, Criticality, Standing
from tests import factories as make

pytestmark = pytest.mark.django_db
FLOOR = reverse("competencies:floor")


def asked_on(response):
    return [each for place in response.context["plan"].lines for each in place.asked]


def test_the_floor_is_for_those_who_teach_judge_or_lead(client, floor):
    client.force_login(floor.trainee.user)

    assert client.get(FLOOR).status_code == 403


@pytest.mark.parametrize(
    "kind", [AuthorityKind.TRAIN, AuthorityKind.ASSESS, AuthorityKind.SUPERVISE, AuthorityKind.COORDINATE]
)
def test_the_floor_shows_who_is_on_shift_and_what_they_are_asked(client, floor, kind):
    viewer = make.make_person(floor.plant)
    make.grant(viewer, kind)
    make.roster(floor.trainee, line=floor.line)
    make.ask(floor.trainee, floor.task, floor.trainer, line=floor.line, note="mind the new crowner")
    client.force_login(viewer.user)

    response = client.get(FLOOR)

    assert [each.assignment.person for each in asked_on(response)] == [floor.trainee]
    assert "mind the new crowner" in response.text
    assert floor.trainee.works_number in response.text


def test_what_another_plant_asks_is_not_shown(client, floor):
    elsewhere = make.make_plant("birch-wharf", "Birch Wharf")
    stranger = make.make_person(elsewhere, "Signe Aalto")
    task = make.make_task(make.make_area(elsewhere), "PK-01")
    make.ask(stranger, task, stranger)
    client.force_login(floor.trainer.user)

    assert "Signe Aalto" not in client.get(FLOOR).text


def test_an_empty_floor_says_what_to_do_next(client, floor):
    client.force_login(floor.trainer.user)

    response = client.get(FLOOR)

    assert "Nobody is rostered and nothing is asked for." in response.text
    assert reverse("competencies:run-new") in response.text


@pytest.mark.parametrize("asked", ["yesterday", "2026-13-40", "0001-01-01", "9999-12-31", "\u202e2026-01-01", ""])
def test_a_day_that_is_none_shows_today(client, floor, asked):
    client.force_login(floor.trainer.user)

    response = client.get(FLOOR, {"on": asked, "line": "nowhere", "view": "decade"})

    assert response.context["shown"].days == [make.today()]


def test_a_week_shows_its_seven_days_from_monday(client, floor):
    make.ask(floor.trainee, floor.task, floor.trainer, ago=make.today().weekday())
    client.force_login(floor.trainer.user)

    response = client.get(FLOOR, {"view": "week"})

    days = response.context["shown"].days
    assert (days[0].weekday(), len(days), days[-1] - days[0]) == (0, 7, timedelta(days=6))
    assert len(asked_on(response)) == 1


def test_a_line_narrows_the_day(client, floor):
    other = make.make_line(floor.plant, "L2", "Can line 2")
    make.ask(floor.trainee, floor.task, floor.trainer, line=floor.line)
    client.force_login(floor.trainer.user)

    assert asked_on(client.get(FLOOR, {"line": other.code})) == []
    assert len(asked_on(client.get(FLOOR, {"line": floor.line.code}))) == 1


def test_an_assignment_says_what_is_missing_in_plain_words(client):
    floor = make.make_floor(asked=make.Asked(runs=3, distinct_shifts=2, calculations=("C09",)))
    make.run(floor.trainee, floor.task, floor.trainer, ago=2)
    make.ask(floor.trainee, floor.task, floor.trainer)
    client.force_login(floor.trainer.user)

    response = client.get(FLOOR)

    [asked] = asked_on(response)
    assert asked.period.standing is Standing.LEARNING
    for phrase in ("1 of 3 runs", "2 more runs", "on another shift", "check C09"):
        assert phrase in response.text


def done(floor, **asked):
    """Return the floor's assignment after its run is recorded."""
    assignment = make.ask(floor.trainee, floor.task, floor.trainer)
    assignment.state, assignment.done_seq = assignment.State.DONE, 1
    assignment.save()


@pytest.mark.parametrize(
    ("asked", "runs", "step"),
    [
        pytest.param(make.Asked(runs=2), 0, NextStep.LOG_RUN, id="planned"),
        pytest.param(make.Asked(runs=2), 1, NextStep.WAIT, id="more runs are needed"),
        pytest.param(make.Asked(runs=1, calculations=("C09",)), 1, NextStep.OPEN_CHECK, id="a check is missing"),
        pytest.param(make.Asked(runs=1), 1, NextStep.HAND_ON, id="ready"),
    ],
)
def test_the_one_tap_that_matters(client, asked, runs, step):
    floor = make.make_floor(asked=asked)
    for number in range(runs):
        make.run(floor.trainee, floor.task, floor.trainer, ago=2 + number)
    if runs:
        done(floor)
    else:
        make.ask(floor.trainee, floor.task, floor.trainer)
    client.force_login(floor.assessor.user)

    [row] = asked_on(client.get(FLOOR))

    assert row.step is step


def test_who_is_ready_for_what(client):
    floor = make.make_floor(asked=make.Asked(runs=1, validity_months=12))
    next_task = make.make_task(floor.area, "PK-02", "Crown bottles", asked=make.Asked(prerequisites=(floor.task,)))
    locked = make.make_task(floor.area, "PK-03", "Change a valve", asked=make.Asked(prerequisites=(next_task,)))
    ready, learner, due = (make.make_person(floor.plant, name, area=floor.area) for name in ("Runa", "Lova", "Dag"))
    make.run(ready, floor.task, floor.trainer, ago=2)
    make.hold(learner, floor.task, assessed=40)
    make.hold(due, floor.task, assessed=340)
    for person in (ready, learner, due):
        make.roster(person, line=floor.line)
    make.ask(learner, floor.task, floor.trainer)
    client.force_login(floor.assessor.user)

    ready_for = client.get(FLOOR).context["plan"].ready_for

    assert names(ready_for.assessment) == {"PK-01": ["Runa"]}
    assert names(ready_for.first_run) == {"PK-02": ["Lova"]}
    assert names(ready_for.renewal) == {"PK-01": ["Dag"]}
    assert locked.code not in names(ready_for.first_run)


def names(groups):
    return {group.task.code: [person.name for person, _held in group.people] for group in groups}


@pytest.mark.parametrize(
    ("criticality", "ago", "said"),
    [
        pytest.param(Criticality.NONE, 1, "Record it before", id="in time"),
        pytest.param(Criticality.NONE, 6, "once the coordinator accepts it", id="late"),
        pytest.param(Criticality.FOOD, 6, "Too late to count", id="late on a critical task"),
    ],
)
def test_runs_nobody_recorded_are_reminded_of(client, criticality, ago, said):
    floor = make.make_floor(criticality=criticality)
    make.ask(floor.trainee, floor.task, floor.trainer, ago=ago)
    client.force_login(floor.trainer.user)

    response = client.get(FLOOR)

    assert len(response.context["plan"].overdue) == 1
    assert said in response.text


def test_a_shift_that_is_not_over_is_not_overdue(client, floor):
    make.ask(floor.trainee, floor.task, floor.trainer, ago=-1)
    client.force_login(floor.trainer.user)

    assert client.get(FLOOR).context["plan"].overdue == []


@pytest.mark.parametrize("size", [1, 4])
@pytest.mark.parametrize("view", ["day", "week"])
def test_the_floor_costs_the_same_queries_at_any_size(client, floor, size, view, django_assert_num_queries):
    tasks = [floor.task, *(make.make_task(floor.area, f"PK-1{number}") for number in range(size))]
    for _number in range(size):
        person = make.make_person(floor.plant, area=floor.area)
        make.roster(person, line=floor.line)
        make.run(person, floor.task, floor.trainer, ago=2)
        for task in tasks:
            make.ask(person, task, floor.trainer, line=floor.line)
        make.ask(person, floor.task, floor.trainer, ago=2)
    client.force_login(floor.trainer.user)
    client.get(FLOOR)

    with django_assert_num_queries(16):
        response = client.get(FLOOR, {"view": view})

    shown = len(asked_on(response))
    assert shown >= size * len(tasks)


def test_calling_off_asks_first_and_keeps_the_row(client, floor):
    assignment = make.ask(floor.trainee, floor.task, floor.trainer)
    address = reverse("competencies:assignment-drop", args=[assignment.pk])
    client.force_login(floor.trainer.user)

    client.get(address)
    assignment.refresh_from_db()
    assert assignment.state == assignment.State.PLANNED
    client.post(address)

    assignment.refresh_from_db()
    assert assignment.state == assignment.State.DROPPED


def test_calling_off_is_for_those_who_ask(client, floor):
    address = reverse("competencies:assignment-drop", args=[make.ask(floor.trainee, floor.task, floor.trainer).pk])
    client.force_login(floor.assessor.user)

    assert client.post(address).status_code == 403


def test_an_assignment_of_another_plant_is_not_there(client, floor):
    elsewhere = make.make_plant("birch-wharf", "Birch Wharf")
    stranger = make.make_person(elsewhere)
    assignment = make.ask(stranger, make.make_task(make.make_area(elsewhere)), stranger)
    client.force_login(floor.trainer.user)

    for name in ("assignment-drop", "run-log"):
        assert client.get(reverse(f"competencies:{name}", args=[assignment.pk])).status_code == 404


def test_the_page_opens_at_the_line_of_its_reader(client):
    floor = make.make_floor()
    make.roster(floor.trainer, line=floor.line)
    client.force_login(floor.trainer.user)

    assert client.get(FLOOR).context["shown"].line == floor.line
    assert client.get(FLOOR, {"line": "all"}).context["shown"].line is None
    assert client.get(FLOOR, {"on": make.days_ago(-3)}).context["shown"].line is None


def test_a_past_day_shows_the_standings_of_that_day(client, floor):
    make.ask(floor.trainee, floor.task, floor.trainer, ago=5)
    make.hold(floor.trainee, floor.task, assessed=2)
    client.force_login(floor.trainer.user)
    day = make.days_ago(5).isoformat()

    text = client.get(FLOOR, {"on": day}).text
    assert "As it stood at the end of" in text
    assert "badge standing-not_started" in text
    assert "As it stands" not in client.get(FLOOR).text
