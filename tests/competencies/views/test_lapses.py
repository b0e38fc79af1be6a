"""What runs out: the months, who they are, what is left out, and what it costs."""

import pytest

from competencies.models import Line, StandingPeriod
from competencies.standing.calendar import add_months
from competencies.standing.facts import Scope
from competencies.vocabulary import AuthorityKind, ScopeKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make.make_floor()


def month_page(day):
    return f"/lapses/{day.year}-{day.month}/"


def counts(answer):
    """Return the counts that the table shows, by the first day of the month."""
    return {bar.month.first_on: bar.month.total for bar, _parts in answer.context["rows"]}


def test_a_sign_off_counts_in_the_month_of_its_last_valid_day(office, floor):
    # Assessed 60 days ago and valid for 12 months: trainer and assessor, and the trainee by a sign-off of their own.
    make.hold(floor.trainee, floor.task, assessed=200)
    earlier = add_months(make.days_ago(200), 12).replace(day=1)
    later = add_months(make.days_ago(60), 12).replace(day=1)

    answer = office.get("/lapses/")

    assert {first: count for first, count in counts(answer).items() if count} == {earlier: 1, later: 2}
    assert len(counts(answer)) == 18
    assert "Packaging" in answer.content.decode()


def test_a_month_names_the_people_with_the_way_to_their_standing(office, floor):
    text = office.get(month_page(add_months(make.days_ago(60), 12))).content.decode()

    assert floor.trainer.name in text
    assert f"/people/{floor.trainer.pk}/tasks/PK-01/?scope=" in text
    assert "2 sign-offs" in text


def test_what_is_in_grace_counts_in_the_first_month_and_what_has_lapsed_does_not(office, floor):
    # Valid for 12 months and 30 days of grace: some 10 days in grace, and lapsed since months.
    make.hold(floor.trainee, floor.task, assessed=376)
    lapsed = make.make_person(floor.plant, "Ebba Lund")
    make.hold(lapsed, floor.task, assessed=500)
    first = make.today().replace(day=1)

    assert counts(office.get("/lapses/"))[first] == 1
    text = office.get(month_page(first)).content.decode()
    assert floor.trainee.name in text
    assert "Ebba Lund" not in text


def test_who_leaves_before_the_day_is_left_out(office, floor):
    floor.trainer.last_day = make.days_ago(-30)
    floor.trainer.save()

    answer = office.get(month_page(add_months(make.days_ago(60), 12)))

    assert [row.person.name for row in answer.context["page"]] == [floor.assessor.name]


def test_a_line_has_what_is_held_there_and_what_its_stations_ask_for(office, floor):
    other = make.make_line(floor.plant, "L2", "Can line 2")
    on_line = make.make_task(floor.area, "PK-07", scope_kind=ScopeKind.LINE)
    make.hold(floor.trainee, on_line, scope=Scope("L2"), assessed=60)
    make.make_station(floor.line, floor.task)

    assert office.get("/lapses/", {"line": floor.line.pk}).context["total"] == 2
    assert office.get("/lapses/", {"line": other.pk}).context["total"] == 1
    split = office.get("/lapses/", {"by": "line"}).content.decode()
    assert "Bottle line 1" in split
    assert "Can line 2" in split


def test_each_part_of_a_month_leads_to_what_it_counts(office, floor):
    make.hold(floor.trainee, make.make_task(make.make_area(floor.plant, "BH", "Brewhouse"), "BH-01"), assessed=60)
    at = month_page(add_months(make.days_ago(60), 12))

    text = office.get("/lapses/").content.decode()

    assert f'<a href="{at}?area={floor.area.pk}">2</a>' in text
    assert office.get(f"{at}?area={floor.area.pk}").context["page"].paginator.count == 2


def test_an_empty_list_and_odd_addresses_say_what_to_do(office, floor):
    StandingPeriod.objects.all().delete()
    assert "Nothing runs out." in office.get("/lapses/").content.decode()
    assert office.get("/lapses/1999-1/").status_code == 404
    assert office.get("/lapses/2026-13/").status_code == 404
    assert office.get("/lapses/", {"area": "x", "by": "colour"}).status_code == 200


def test_what_runs_out_elsewhere_is_not_shown(office, floor):
    there = make.make_plant("birch-wharf", "Birch Wharf")
    stranger = make.make_person(there, "Runa Vik")
    make.hold(stranger, make.make_task(make.make_area(there), "PK-01"), assessed=60)

    assert office.get("/lapses/").context["total"] == 2
    assert "Runa Vik" not in office.get(month_page(add_months(make.days_ago(60), 12))).content.decode()


def test_a_trainer_does_not_see_what_runs_out_and_an_assessor_does(client, floor):
    client.force_login(floor.trainer.user)
    assert client.get("/lapses/").status_code == 403
    client.force_login(floor.assessor.user)
    assert client.get("/lapses/").status_code == 200


@pytest.mark.parametrize("by", ["area", "line"])
def test_what_runs_out_costs_the_same_queries_at_any_size(office, floor, by, django_assert_max_num_queries):
    day = add_months(make.days_ago(60), 12)

    def queries():
        with django_assert_max_num_queries(20) as captured:
            office.get("/lapses/", {"by": by})
            office.get(month_page(day))
        return len(captured)

    office.get("/lapses/")
    small = queries()
    for number in range(2, 8):
        make.hold(make.make_person(floor.plant), make.make_task(floor.area, f"PK-0{number}"), assessed=60)
    make.make_station(Line.objects.get(plant=floor.plant), floor.task)

    assert queries() == small


def test_the_months_are_told_in_words_beside_the_drawing(client, floor):
    lead = make.make_person(floor.plant)
    make.grant(lead, AuthorityKind.SUPERVISE)
    client.force_login(lead.user)

    text = client.get("/lapses/").content.decode()

    assert f"Most run out in {add_months(make.days_ago(60), 12):%B %Y}: 2." in text
