"""What one thing to do on a shift: what it brings, who is there for it, and a tap that fills in the assignment."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from competencies.models import TaskPlace
from competencies.vocabulary import AuthorityKind, Criticality
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def stations(floor):
    """Return a second task with a station beside the first one's; the trainer alone holds both."""
    other = make.make_task(floor.area, "PK-02")
    make.make_station(floor.line, floor.task)
    make.make_station(floor.line, other)
    make.hold(floor.trainer, other, assessed=60)
    return other


@pytest.fixture
def shift(floor):
    """Return the address of tomorrow's day shift, at which trainer and trainee are rostered."""
    for person in (floor.trainer, floor.trainee):
        make.roster(person, line=floor.line, ago=-1)
    return f"/cover/L1/{make.days_ago(-1).isoformat()}/day/one/"


def offers(client, where):
    return client.get(where).context["found"].offers


def test_the_first_run_is_offered_with_who_may_watch_it_and_the_whole_way_is_told(office, floor, stations, shift):
    best, second = offers(office, shift)

    # Two stations hang on the trainer; the trainee at either fills the second and helps when the trainer is missing.
    assert {best.task, second.task} == {floor.task, stations}
    assert (best.person, best.step.action, best.with_whom) == (floor.trainee, "run", (floor.trainer,))
    assert (best.gain.filled, best.gain.worth) == (1, 2.0)
    # Two runs of 60 minutes and an assessment of 90.
    assert (best.step_minutes, best.minutes) == (60, 210)
    text = " ".join(office.get(shift).content.decode().split())
    assert "1 more station can be manned" in text
    assert "3.5 hours in all; 0.57 stations an hour" in text


def test_a_run_that_is_done_is_taken_off_the_way_and_puts_it_first(office, floor, stations, shift):
    make.run(floor.trainee, stations, floor.trainer, ago=2)

    best = offers(office, shift)[0]

    assert (best.task, best.minutes) == (stations, 150)


def test_one_tap_fills_in_the_assignment(office, floor, stations, shift):
    [(_offer, address), *_] = office.get(shift).context["offers"]

    form = office.get(address).context["form"]

    assert str(floor.trainee.pk) in {str(value) for name in ("people", "more_people") for value in form.initial[name]}
    assert form.initial["on"] == make.days_ago(-1)
    assert (form.initial["line"], form.initial["shift"]) == ("L1", "day")
    assert str(form.initial["trainer"]) == str(floor.trainer.pk)


def test_where_nobody_there_may_watch_it_is_said_and_not_offered(office, floor, stations, shift):
    floor.trainer.authorities.update(until_on=make.days_ago(1))

    found = office.get(shift).context["found"]

    assert found.offers == ()
    assert found.unmanned == 2
    assert "2 more things would help, but nobody here" in " ".join(office.get(shift).content.decode().split())


def test_a_young_worker_is_not_offered_what_is_closed(office, floor, shift):
    closed = make.make_task(floor.area, "PK-03", asked=make.Asked(young_worker="closed"))
    make.make_station(floor.line, closed)
    make.hold(floor.trainer, closed, assessed=60)
    floor.trainee.restricted_until = date(2099, 1, 1)
    floor.trainee.save()
    make.employ(floor.trainee)

    assert offers(office, shift) == ()


def test_nobody_there_and_nothing_to_gain_are_said_honestly(office, floor):
    empty = f"/cover/L1/{make.days_ago(-1).isoformat()}/day/one/"
    assert "Nobody is rostered here on this shift" in office.get(empty).content.decode()

    make.roster(floor.trainer, line=floor.line, ago=-1)
    assert "Nothing that could be done here today" in office.get(empty).content.decode()


def test_a_shift_that_is_over_asks_for_nothing_any_more(office, floor, stations):
    for person in (floor.trainer, floor.trainee):
        make.roster(person, line=floor.line, ago=2)

    answer = office.get(f"/cover/L1/{make.days_ago(2).isoformat()}/day/one/")

    assert len(answer.context["found"].offers) == 2
    assert "This shift is over" in answer.content.decode()
    assert "/floor/assign/?" not in answer.content.decode()


def test_a_seldom_recorded_task_is_offered_to_who_has_begun_it(office, floor, stations, shift):
    rare = make.make_task(floor.area, "PK-09", "Change the filter", criticality=Criticality.NONE)
    TaskPlace.objects.create(task=rare, line=floor.line)
    assert office.get(shift).context["found"].rare == ()
    make.hold(floor.trainer, rare, assessed=60)
    make.run(floor.trainee, rare, floor.trainer, ago=3)

    [each] = office.get(shift).context["found"].rare

    # An assessment and a run.
    assert (each.task, each.times, each.people) == (rare, 2, (floor.trainee,))
    assert "recorded 2 times in the last 12 months." in office.get(shift).content.decode()
    for ago in (4, 5, 6, 7):
        make.run(floor.trainee, rare, floor.trainer, ago=ago)
    assert office.get(shift).context["found"].rare == ()


def test_others_are_refused_and_a_supervisor_who_may_ask_gets_the_way_there(client, floor, stations, shift):
    for kind, expected in ((AuthorityKind.TRAIN, 403), (AuthorityKind.AUDIT, 200)):
        person = make.make_person(floor.plant)
        make.grant(person, kind)
        client.force_login(person.user)
        answer = client.get(shift)
        assert answer.status_code == expected
        assert "/floor/assign/?" not in answer.content.decode()
    assert client.get(shift.replace("day/one", "dusk/one")).status_code == 404


def test_it_asks_a_constant_number_of_questions(office, floor, stations, shift):
    office.get(shift)
    with CaptureQueriesContext(connection) as few:
        office.get(shift)

    for number in range(3, 7):
        task = make.make_task(floor.area, f"PK-0{number}")
        make.make_station(floor.line, task)
        person = make.make_person(floor.plant, f"Person {number}")
        make.hold(person, task)
        make.roster(person, line=floor.line, ago=-1)
    office.get(shift)
    with CaptureQueriesContext(connection) as many:
        assert office.get(shift).context["found"].unmanned == 4

    assert len(many) == len(few) <= 45
