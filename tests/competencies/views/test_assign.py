"""Asking for floor tasks: one form, every clash named before anything is saved."""

import pytest
from django.urls import reverse

from competencies.models import Absence, Assignment
from competencies.vocabulary import Criticality, ScopeKind, YoungWorker
from tests import factories as make

pytestmark = pytest.mark.django_db
ASSIGN = reverse("competencies:assign")


@pytest.fixture
def floor(client):
    floor = make.make_floor()
    client.force_login(floor.trainer.user)
    return floor


def plan(floor, **changes):
    return {
        "people": [floor.trainee.pk],
        "tasks": [floor.task.code],
        "on": make.days_ago(-1).isoformat(),
        "shift": "day",
        "line": "",
        "machine": "",
        "trainer": floor.trainer.pk,
        "note": "",
        **changes,
    }


def faults(response):
    return [str(error) for errors in response.context["form"].errors.values() for error in errors]


def test_asking_is_for_trainers_supervisors_and_coordinators(client, floor):
    client.force_login(floor.assessor.user)

    assert client.get(ASSIGN).status_code == 403
    assert client.post(ASSIGN, plan(floor)).status_code == 403
    assert not Assignment.objects.exists()


def test_each_person_is_asked_for_each_task(client, floor):
    second = make.make_person(floor.plant)
    task = make.make_task(floor.area, "PK-02")
    make.hold(floor.trainer, task)

    response = client.post(
        ASSIGN, plan(floor, people=[floor.trainee.pk, second.pk], tasks=["PK-01", "PK-02"], note="gently")
    )

    assert response.status_code == 302
    asked = set(Assignment.objects.values_list("person", "task__code", "note", "shift__name"))
    assert asked == {(p.pk, code, "gently", "day") for p in (floor.trainee, second) for code in ("PK-01", "PK-02")}


def test_one_task_for_four_people_takes_two_requests_from_the_floor(client, floor):
    """The tap on "Ask all 4" fills everything in; the next tap asks. At most six taps are promised."""
    people = [make.make_person(floor.plant, area=floor.area) for _ in range(4)]
    for person in people:
        make.roster(person, line=floor.line)
        make.run(person, floor.task, floor.trainer, ago=2)
    page = client.get(reverse("competencies:floor")).text
    address = next(
        part.split('"')[0] for part in page.split('href="') if part.startswith(f"{ASSIGN}?") and "task=" in part
    )

    form = client.get(address.replace("&amp;", "&")).context["form"]
    filled = {name: form[name].value() for name in form.fields if form[name].value()}
    response = client.post(ASSIGN, filled)

    assert response.status_code == 302
    assert set(Assignment.objects.values_list("person", flat=True)) == {person.pk for person in people}


@pytest.mark.parametrize("shift", ["day", "late", "night"])
def test_the_shift_is_that_of_the_people_asked_for(client, floor, shift):
    make.roster(floor.trainee, shift=shift, line=floor.line)

    form = client.get(ASSIGN, {"person": floor.trainee.pk, "on": make.today()}).context["form"]

    assert form["shift"].value() == shift


def test_the_address_fills_the_form_in(client, floor):
    make.roster(floor.trainee, ago=-1, shift="late", line=floor.line)

    form = client.get(
        ASSIGN,
        {"person": floor.trainee.pk, "task": "PK-01", "on": make.days_ago(-1), "shift": "late", "line": "L1"},
    ).context["form"]

    assert form["people"].value() == [str(floor.trainee.pk)]
    assert form["tasks"].value() == ["PK-01"]
    assert (form["shift"].value(), form["line"].value(), form["trainer"].value()) == ("late", "L1", floor.trainer.pk)


def test_nothing_that_was_typed_is_lost(client, floor):
    response = client.post(ASSIGN, plan(floor, people=[], note="bring the gauge", on="soon"))

    form = response.context["form"]
    assert "Tick at least one person." in faults(response)
    assert form["note"].value() == "bring the gauge"
    assert form["on"].value() == "soon"
    assert form["tasks"].value() == ["PK-01"]
    assert not Assignment.objects.exists()


@pytest.mark.parametrize(
    "changes",
    [
        {"people": ["0"]},
        {"people": ["9" * 400]},
        {"tasks": ["PK-99"]},
        {"shift": "dawn"},
        {"line": "L9"},
        {"machine": "9" * 30},
        {"trainer": "x"},
        {"note": "n" * 301},
        {"note": "a\x00b"},
        {"on": "0000-00-00"},
    ],
)
def test_odd_input_is_named_at_its_field(client, floor, changes):
    response = client.post(ASSIGN, plan(floor, **changes))

    assert response.status_code == 200
    assert faults(response)
    assert not Assignment.objects.exists()


def away(floor, person):
    Absence.objects.create(person=person, from_on=make.today(), until_on=make.days_ago(-5))


def left(floor, person):
    person.last_day = make.today()
    person.save()


def under_age(floor, person):
    person.restricted_until = make.days_ago(-100)
    person.save()
    make.employ(person)
    make.make_terms(floor.task, make.Asked(young_worker=YoungWorker.CLOSED), effective_on=make.today())


def asked_before(floor, person):
    make.ask(person, floor.task, floor.trainer, ago=-1)


def needs_safety_first(floor, person):
    lock_off = make.make_task(floor.area, "HS-03", criticality=Criticality.SAFETY)
    make.make_terms(floor.task, make.Asked(prerequisites=(lock_off,)), effective_on=make.today())
    make.hold(floor.trainer, lock_off)


BLOCKING = [
    pytest.param(away, "is away on that day", id="absent"),
    pytest.param(under_age, "as a young worker until", id="age"),
    pytest.param(asked_before, "has been asked to do", id="asked_already"),
    pytest.param(needs_safety_first, "a safety task", id="prerequisite of safety"),
]


@pytest.mark.parametrize(("arrange", "said"), BLOCKING)
def test_a_clash_of_a_trainee_that_blocks_is_named(client, floor, arrange, said):
    arrange(floor, floor.trainee)
    before = Assignment.objects.count()

    response = client.post(ASSIGN, plan(floor, seen="on"))

    assert any(said in fault and floor.trainee.name in fault for fault in faults(response))
    assert Assignment.objects.count() == before


def test_somebody_who_has_left_by_then_is_named(client, floor):
    left(floor, floor.trainee)

    response = client.post(ASSIGN, plan(floor))

    assert faults(response)
    assert not Assignment.objects.exists()


def test_a_full_line_is_named_at_the_line(client, floor):
    floor.line.trainee_limit = 1
    floor.line.save()
    make.ask(make.make_person(floor.plant), floor.task, floor.trainer, ago=-1, line=floor.line)

    response = client.post(ASSIGN, plan(floor, line="L1"))

    assert "limit is 1" in response.context["form"].errors["line"][0]


def test_a_missing_place_is_named_at_the_line(client, floor):
    task = make.make_task(floor.area, "PK-07", scope_kind=ScopeKind.LINE)

    response = client.post(ASSIGN, plan(floor, tasks=[task.code]))

    assert "choose which" in response.context["form"].errors["line"][0]


def test_a_machine_of_another_line_is_named_at_the_machine(client, floor):
    machine = make.make_machine(make.make_line(floor.plant, "L2", "Can line 2"), "C1", "Can filler")

    response = client.post(ASSIGN, plan(floor, line="L1", machine=machine.pk))

    assert "another line" in response.context["form"].errors["machine"][0]


def test_a_trainer_without_authority_is_named_at_the_trainer(client, floor):
    other = make.make_area(floor.plant, "BH", "Brewhouse")
    task = make.make_task(other, "BH-01")
    make.hold(floor.trainer, task)

    response = client.post(ASSIGN, plan(floor, tasks=[task.code]))

    assert "not authorised to train in Brewhouse" in response.context["form"].errors["trainer"][0]


def test_a_trainer_who_is_not_in_force_is_named_at_the_trainer(client, floor):
    task = make.make_task(floor.area, "PK-02")

    response = client.post(ASSIGN, plan(floor, tasks=[task.code]))

    assert "is not in force on" in response.context["form"].errors["trainer"][0]


def test_a_trainer_cannot_train_themselves(client, floor):
    response = client.post(ASSIGN, plan(floor, people=[floor.trainer.pk]))

    assert any("both the trainee and the trainer" in fault for fault in faults(response))


def other_shift(floor):
    make.roster(floor.trainee, ago=-1, shift="night")


def needs_other_first(floor):
    first = make.make_task(floor.area, "PK-00")
    make.make_terms(floor.task, make.Asked(prerequisites=(first,)), effective_on=make.today())
    make.hold(floor.trainer, first)


@pytest.mark.parametrize(
    ("arrange", "said"),
    [
        pytest.param(other_shift, "rostered for another shift", id="other_shift"),
        pytest.param(needs_other_first, "is not in force on PK-00 yet", id="prerequisite"),
    ],
)
def test_a_clash_that_does_not_block_wants_to_be_seen_first(client, floor, arrange, said):
    arrange(floor)

    shown = client.post(ASSIGN, plan(floor))
    assert said in shown.text
    assert "seen" in shown.context["form"].errors
    assert not Assignment.objects.exists()
    answer = client.post(ASSIGN, plan(floor, seen="on", seen_of=shown.context["form"]["seen_of"].value()))

    assert answer.status_code == 302
    assert Assignment.objects.count() == 1


def test_a_tick_holds_only_for_what_was_shown(client, floor):
    shown = client.post(ASSIGN, plan(floor))
    Assignment.objects.all().delete()
    other_shift(floor)

    response = client.post(ASSIGN, plan(floor, seen="on", seen_of="0123456789abcdef"))

    assert shown.status_code == 302
    assert "seen" in response.context["form"].errors
    assert not Assignment.objects.exists()


def test_looking_for_clashes_saves_nothing(client, floor):
    clear = client.post(ASSIGN, plan(floor, look="look"))
    away(floor, floor.trainee)
    clashing = client.post(ASSIGN, plan(floor, look="look"))

    assert "Nothing clashes" in clear.text
    assert any("is away" in fault for fault in faults(clashing))
    assert not Assignment.objects.exists()


def test_people_of_another_plant_cannot_be_asked(client, floor):
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))

    response = client.post(ASSIGN, plan(floor, people=[stranger.pk]))

    assert faults(response)
    assert not Assignment.objects.exists()


@pytest.mark.parametrize("size", [1, 5])
def test_the_form_costs_the_same_queries_at_any_size(client, floor, size, django_assert_num_queries):
    for number in range(size):
        make.roster(make.make_person(floor.plant), line=floor.line)
        make.make_task(floor.area, f"PK-2{number}")
    client.get(ASSIGN)

    with django_assert_num_queries(16):
        client.get(ASSIGN, {"line": "L1"})
