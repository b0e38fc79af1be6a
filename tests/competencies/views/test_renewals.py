"""Renewals spread over the weeks, what does not fit and why, and asking for them in one go."""

from datetime import timedelta

import pytest
from django.utils import timezone

from competencies.forms.renewals import plans_of
from competencies.models import Absence, Assignment, PlantPolicy
from competencies.operations.assignments import ClashError
from competencies.operations.renewals import ask_for_renewals
from competencies.queries.lapses import Narrowed
from competencies.queries.renewals import Obstacle, proposal
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db
# Valid for 12 months: what was assessed so long ago runs out in 40 days, within the window of 60.
RUNS_OUT = 325


@pytest.fixture
def floor():
    return make.make_floor()


@pytest.fixture
def due(floor):
    """Return three holders whose sign-offs run out within the window."""
    people = [make.make_person(floor.plant, f"Holder {letter}") for letter in "ABC"]
    for person in people:
        make.hold(person, floor.task, assessed=RUNS_OUT)
    return people


def proposed(floor, *, days=75, **more):
    until = make.today() + timedelta(days=days)
    return proposal(floor.plant, Narrowed(), moment=timezone.now(), until_on=until, **more)


def test_every_renewal_lies_in_its_window_with_an_assessor_and_no_week_has_two_while_one_is_free(floor, due):
    found = proposed(floor)

    assert not found.stuck
    assert found.is_exact
    assert {each.due.row.person_id for each in found.proposed} == {person.pk for person in due}
    for each in found.proposed:
        last = each.due.row.last_valid_on
        assert max(make.today(), last - timedelta(days=60)) < each.on <= last
        assert each.assessor == floor.assessor
        assert each.on.weekday() < 5
    # Three renewals of an hour, and more than three weeks for them.
    assert found.busiest.hours == 1
    assert sum(week.minutes for week in found.weeks) == 180


def test_too_few_hours_are_told_with_the_month_and_what_would_help(floor, due):
    # The assessor is there for a week only: one hour in it, and three renewals.
    last = proposed(floor).proposed[0].due.row.last_valid_on
    Absence.objects.create(person=floor.assessor, from_on=make.today() + timedelta(days=8), until_on=last)

    found = proposed(floor, week_hours=1)

    assert len(found.proposed) + len(found.stuck) == 3
    assert found.stuck
    assert {each.why for each in found.stuck} == {Obstacle.HOURS}
    [missing] = found.missing
    assert (missing.month, missing.area) == (last.replace(day=1), floor.area)
    assert (missing.renewals, missing.hours) == (len(found.stuck), len(found.stuck))


def test_without_an_entitled_assessor_it_is_said_so(floor, due):
    other = make.make_task(make.make_area(floor.plant, "BH", "Brewhouse"), "BH-01")
    make.hold(floor.trainee, other, assessed=RUNS_OUT)

    [stuck] = proposed(floor).stuck

    assert stuck.due.row.task == other
    assert stuck.why is Obstacle.NOBODY


def test_nobody_assesses_themselves(floor):
    # The only assessor runs out, and nobody else may judge it.
    task = make.make_task(floor.area, "PK-02")
    make.hold(floor.assessor, task, assessed=RUNS_OUT)

    [stuck] = proposed(floor).stuck

    assert (stuck.due.row.person_id, stuck.why) == (floor.assessor.pk, Obstacle.NOBODY)


def test_an_assessor_who_lapses_unrenewed_judges_nothing_after(floor):
    task = make.make_task(floor.area, "PK-02")
    make.hold(floor.assessor, task, assessed=363)
    make.hold(floor.trainee, task, assessed=RUNS_OUT)

    found = proposed(floor)

    # Their own renewal has no place, so only the days before their last valid day are left.
    last = next(each.due.row.last_valid_on for each in found.stuck if each.due.row.person_id == floor.assessor.pk)
    assert all(each.on <= last for each in found.proposed)


def test_who_is_away_is_not_planned_on_those_days(floor, due):
    away = Absence.objects.create(person=due[0], from_on=make.today(), until_on=make.today() + timedelta(days=28))

    found = proposed(floor)

    [each] = [each for each in found.proposed if each.due.row.person_id == due[0].pk]
    assert each.on > away.until_on


def test_the_rota_says_which_day_and_shift(floor, due):
    day = make.today() + timedelta(days=10)
    for person in (due[0], floor.assessor):
        make.roster(person, ago=-10, shift="late")
    monday = day - timedelta(days=day.weekday())
    Absence.objects.create(person=due[0], from_on=monday + timedelta(days=7), until_on=make.days_ago(-200))
    Absence.objects.create(person=due[0], from_on=make.today(), until_on=monday - timedelta(days=1))

    [each] = [each for each in proposed(floor).proposed if each.due.row.person_id == due[0].pk]

    assert (each.on, each.shift.name) == (day, "late")


def test_the_page_asks_for_the_ticked_ones_once(office, floor, due, coordinator):
    page = office.get("/lapses/renewals/")
    tokens = [row.proposed.token for row in page.context["rows"]]
    assert len(tokens) == 3
    assert "nothing lapses" in page.content.decode()

    answer = office.post("/lapses/renewals/", {"renewal": tokens[:2]}, follow=True).content.decode()
    again = office.post("/lapses/renewals/", {"renewal": tokens[:2]}, follow=True).content.decode()

    assert "Renewals asked for: 2." in answer
    assert "Asked for before, and left as they are: 2." in again
    asked = Assignment.objects.filter(state=Assignment.State.PLANNED)
    assert asked.count() == 2
    assert {each.trainer_id for each in asked} == {floor.assessor.pk}
    assert {each.created_by_id for each in asked} == {coordinator.pk}
    page = office.get("/lapses/renewals/")
    assert len(page.context["rows"]) == 1
    assert "2 renewals are asked for already." in page.content.decode()


def test_a_clash_that_came_up_meanwhile_stops_all_of_it(office, floor, due):
    tokens = [row.proposed.token for row in office.get("/lapses/renewals/").context["rows"]]
    Absence.objects.create(person=due[0], from_on=make.today(), until_on=make.days_ago(-100))

    text = office.post("/lapses/renewals/", {"renewal": tokens}).content.decode()

    assert "Holder A is away on that day." in text
    assert not Assignment.objects.exists()


def test_clashes_that_only_want_a_look_are_named_unless_they_were_seen(floor, due, coordinator):
    token = proposed(floor).proposed[0].token
    plans = plans_of(floor.plant, [token])
    make.roster(plans[0].people[0], ago=(make.today() - plans[0].on).days, shift="night")

    with pytest.raises(ClashError, match="other_shift"):
        ask_for_renewals(plans=plans, by=coordinator, now=timezone.now())

    assert ask_for_renewals(plans=plans, by=coordinator, now=timezone.now(), seen=True).made == 1


@pytest.mark.parametrize(
    "token",
    [
        *("", "x", "1|2|3", "a|PK-01||2026-01-01|day|1", "{p}|PK-99||2026-01-01|day|{a}"),
        *("{p}|PK-01|L9|2026-01-01|day|{a}", "{p}|PK-01||yesterday|day|{a}", "{p}|PK-01||2026-01-01|noon|{a}"),
        f"{'9' * 400}|PK-01||2026-01-01|day|{{a}}",
    ],
)
def test_what_is_none_of_the_plants_own_is_refused_in_words(office, floor, token):
    text = token.format(p=floor.trainee.pk, a=floor.assessor.pk)

    answer = office.post("/lapses/renewals/", {"renewal": text})

    assert "The list has changed" in answer.content.decode()
    assert not Assignment.objects.exists()


def test_nothing_ticked_is_told(office, floor):
    assert "Tick at least one renewal." in office.post("/lapses/renewals/", {}).content.decode()


def test_only_a_coordinator_plans_renewals(client, floor):
    client.force_login(floor.assessor.user)
    assert client.get("/lapses/renewals/").status_code == 403
    assert client.post("/lapses/renewals/", {"renewal": "x"}).status_code == 403


def test_the_settings_say_how_long_a_renewal_takes(floor, due):
    PlantPolicy.objects.create(
        plant=floor.plant,
        effective_on=make.days_ago(10),
        recorded_at=timezone.now(),
        settings={"renewal_minutes": {"other": 120, "critical": 180}},
    )
    floor.plant.frame_stamp = "changed"
    floor.plant.save()

    assert {each.due.minutes for each in proposed(floor).proposed} == {120}


def test_the_proposal_costs_the_same_queries_at_any_size(office, floor, due, django_assert_max_num_queries):
    def queries():
        with django_assert_max_num_queries(60) as captured:
            office.get("/lapses/renewals/")
        return len(captured)

    office.get("/lapses/renewals/")
    small = queries()
    second = make.make_person(floor.plant)
    make.grant(second, AuthorityKind.ASSESS)
    make.hold(second, floor.task, assessed=60)
    for _ in range(5):
        make.hold(make.make_person(floor.plant), floor.task, assessed=RUNS_OUT)

    assert queries() == small
