"""The cover of one line on one shift, and what is declared about its stations."""

from datetime import timedelta

import pytest

from competencies.models import Absence, CoverRule, Person
from competencies.operations.decisions import When, withdraw
from competencies.operations.recording import OnTask
from competencies.vocabulary import AuthorityKind, CoverRuleKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def other_task(floor):
    return make.make_task(floor.area, "PK-02")


@pytest.fixture
def stations(floor, other_task):
    return make.make_station(floor.line, floor.task), make.make_station(floor.line, other_task)


def address(floor, ago, shift="day"):
    return f"/cover/{floor.line.code}/{make.days_ago(ago).isoformat()}/{shift}/"


def read(client, where, **query):
    return " ".join(client.get(where, query).content.decode().split())


def there(floor, *people, ago):
    for person in people:
        make.roster(person, line=floor.line, ago=ago)


def test_the_page_names_who_stands_where_and_what_two_stations_share(office, floor, stations, other_task):
    make.hold(floor.trainer, other_task)
    there(floor, floor.trainer, floor.trainee, ago=-1)

    text = read(office, address(floor, -1))

    assert f"PK-01 and PK-02 share only {floor.trainer.name}" in text.replace("</span>", "")
    assert "short already" in text
    make.hold(floor.assessor, other_task)
    there(floor, floor.assessor, ago=-1)
    text = read(office, address(floor, -1))
    assert "Every station has somebody of its own for the whole shift." in text
    assert "hangs on" in text


def test_without_somebody_the_line_is_staffed_anew(office, floor, stations, other_task):
    make.hold(floor.assessor, other_task)
    there(floor, floor.trainer, floor.assessor, ago=-1)

    assert "Every station has somebody" in read(office, address(floor, -1))
    text = read(office, address(floor, -1), without=floor.assessor.pk)

    assert f"As if {floor.assessor.name} were missing:" in text
    assert "Nobody for PK-02" in text


def test_a_withdrawal_in_mid_shift_is_told_to_the_minute_and_not_known_before(office, floor, stations, other_task):
    make.hold(floor.assessor, other_task)
    there(floor, floor.trainer, floor.assessor, ago=1)
    moment = make.at(make.days_ago(1), "10:40")
    make.grant(floor.trainer, AuthorityKind.SUPERVISE)
    withdraw(
        on_task=OnTask(person=floor.assessor, task=other_task, scope=make.SITE),
        by=make.signer(floor.trainer),
        when=When(happened_at=moment, on=make.days_ago(1), now=moment + timedelta(minutes=5)),
        reason="seen unsafe",
    )

    now, then = read(office, address(floor, 1)), read(office, address(floor, 1), known="then")

    assert "Covered until 10:40, not since" in now
    assert "Until 10:40, then: it was withdrawn for cause" in now
    assert "the way back: full assessment on PK-02" in now
    assert "As known when the shift began:</strong> covered" in now
    assert "Every station has somebody" in then
    assert "As known when the shift began." in then


def test_hours_are_warned_of(office, floor, stations):
    there(floor, floor.trainer, ago=-1)
    make.roster(floor.trainer, line=floor.line, ago=-1, shift="late")

    text = read(office, address(floor, -1))

    assert f"<strong>{floor.trainer.name}:</strong> 16 hours at a stretch; the limit with overtime is 12." in text


def test_relief_that_is_asked_for_and_missing_leaves_the_line_uncovered(office, floor, coordinator):
    make.make_station(floor.line, floor.task)
    there(floor, floor.trainer, ago=-1)
    assert "Relief: nobody." in read(office, address(floor, -1))
    assert "Every station has somebody" in read(office, address(floor, -1))

    office.post(f"/cover/{floor.line.code}/rules/", {"kind": "relief"})

    assert "Nobody is free at breaks for PK-01" in read(office, address(floor, -1))
    there(floor, floor.assessor, ago=-1)
    assert "Every station has somebody" in read(office, address(floor, -1))


@pytest.mark.parametrize("wrong", ["L9/2026-01-31/day", "L1/2026-02-31/day", "L1/soon/day", "L1/2026-01-31/dusk"])
def test_a_shift_that_there_is_not_is_not_there(office, floor, wrong):
    assert office.get(f"/cover/{wrong}/").status_code == 404


def test_a_shift_of_another_plant_is_not_there(client, floor):
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    make.grant(stranger, AuthorityKind.COORDINATE)
    client.force_login(stranger.user)

    assert client.get(address(floor, 0)).status_code == 404
    assert client.get(f"/cover/{floor.line.code}/rules/").status_code == 404


def test_the_page_asks_a_constant_number_of_questions(office, floor, stations, django_assert_num_queries):
    there(floor, floor.trainer, floor.assessor, ago=1)
    office.get(address(floor, 1))

    with django_assert_num_queries(20):
        office.get(address(floor, 1))

    for number in range(3, 9):
        task = make.make_task(floor.area, f"PK-0{number}")
        make.make_station(floor.line, task)
        person = make.make_person(floor.plant, f"Person {number}")
        make.hold(person, task)
        there(floor, person, ago=1)
    office.get(address(floor, 1))
    with django_assert_num_queries(20):
        assert office.get(address(floor, 1)).context["cover"].slots[7].person is not None


def test_a_coordinator_declares_a_pair_and_ends_it(office, floor, stations, coordinator):
    first, second = stations
    page = f"/cover/{floor.line.code}/rules/"

    answer = office.post(
        page, {"kind": "combinable", "combinable-first": second.pk, "combinable-second": first.pk}, follow=True
    )

    [rule] = CoverRule.objects.all()
    assert (rule.kind, rule.first, rule.second, rule.set_by) == (CoverRuleKind.COMBINABLE, first, second, coordinator)
    text = answer.content.decode()
    assert "PK-01 and PK-02" in text
    assert "by Rhona Feld" in text
    office.post(page, {"end": rule.pk})
    rule.refresh_from_db()
    assert rule.ended_by == coordinator


def test_what_contradicts_is_told_at_the_field_and_nothing_typed_is_lost(office, floor, stations):
    first, _second = stations
    page = f"/cover/{floor.line.code}/rules/"
    group = {"kind": "group", "group-group": "  the   tank ", "group-first": first.pk, "group-role": "entrant"}

    assert office.post(page, group).status_code == 302
    answer = office.post(page, {**group, "group-group": "another tank"})

    assert answer.status_code == 200
    assert "This station has its part in a group already." in answer.content.decode()
    assert 'value="another tank"' in answer.content.decode()
    assert [rule.group for rule in CoverRule.objects.all()] == ["the tank"]
    assert office.post(page, {"kind": "no such"}).status_code == 200
    assert office.post(page, {"end": "99999"}).status_code == 404


def test_a_pair_declared_now_helps_the_next_shift_and_no_earlier_one(office, floor, stations, other_task):
    first, second = stations
    make.hold(floor.trainer, other_task)
    there(floor, floor.trainer, ago=1)
    there(floor, floor.trainer, ago=-1)

    pair = {"kind": "combinable", "combinable-first": first.pk, "combinable-second": second.pk}
    office.post(f"/cover/{floor.line.code}/rules/", pair)

    assert "Every station has somebody" not in read(office, address(floor, 1))
    assert "Every station has somebody" in read(office, address(floor, -1))


def test_others_see_what_was_declared_and_declare_nothing(client, floor, stations):
    page = f"/cover/{floor.line.code}/rules/"
    for kind, expected in ((AuthorityKind.SUPERVISE, 200), (AuthorityKind.TRAIN, 403)):
        person: Person = make.make_person(floor.plant)
        make.grant(person, kind)
        client.force_login(person.user)
        assert client.get(page).status_code == expected
        assert "Declare" not in client.get(page).content.decode().replace("Declared", "")
        assert client.post(page, {"kind": "relief"}).status_code == 403
    assert not CoverRule.objects.exists()


def test_whoever_trains_on_another_line_makes_no_cover_here(office, floor, other_task):
    elsewhere = make.make_line(floor.plant, "L2", "Can line 2")
    make.make_station(floor.line, floor.task)
    make.make_station(elsewhere, floor.task)
    make.roster(floor.trainer, ago=-1)
    assert "Every station has somebody" in read(office, address(floor, -1))

    make.ask(floor.trainee, floor.task, floor.trainer, ago=-1, line=elsewhere)

    assert "Nobody for PK-01" in read(office, address(floor, -1))


def test_the_page_says_until_when_a_sign_off_holds_and_who_is_free(office, floor):
    make.make_station(floor.line, floor.task)
    there(floor, floor.trainer, floor.trainee, ago=-1)

    text = read(office, address(floor, -1))

    assert "(signed off until" in text
    assert f"There and placed nowhere: {floor.trainee.name}." in text


@pytest.mark.parametrize("view", ["day", "week"])
def test_day_and_week_ask_a_constant_number_of_questions(office, floor, stations, django_assert_num_queries, view):
    there(floor, floor.trainer, floor.assessor, ago=0)
    office.get("/cover/", {"view": view})

    with django_assert_num_queries(13):
        office.get("/cover/", {"view": view})

    for number in range(2, 5):
        line = make.make_line(floor.plant, f"L{number}", f"Line {number}")
        make.make_station(line, floor.task)
        person = make.make_person(floor.plant, f"Person {number}")
        make.hold(person, floor.task)
        make.roster(person, line=line, ago=0)
    office.get("/cover/", {"view": view})
    with django_assert_num_queries(13):
        found = office.get("/cover/", {"view": view}).context
    shown = found["week"] if view == "week" else found["days"][0][1][0][1]
    assert len(shown) == (12 if view == "week" else 4)


def test_the_week_is_a_grid_that_says_in_words_what_is_short_and_leads_to_each_shift(office, floor, other_task):
    make.make_station(floor.line, floor.task)
    make.make_station(floor.line, other_task)
    monday = make.today() - timedelta(days=make.today().weekday())
    make.roster(floor.trainer, line=floor.line, ago=(make.today() - monday).days, shift="late")

    answer = office.get("/cover/", {"view": "week"})

    day, late, _night = answer.context["week"]
    assert [len(row.cells) for row in answer.context["week"]] == [7, 7, 7]
    assert late.cells[0][1] == "nobody for PK-02"
    assert day.cells[0][1] == "nobody for PK-01"
    text = " ".join(answer.content.decode().split())
    assert f'href="/cover/L1/{monday.isoformat()}/late/"' in text
    assert "Late: short, nobody for PK-02" in text


def test_days_at_work_are_counted_beyond_the_limit_and_a_day_away_starts_anew(office, floor):
    make.make_station(floor.line, floor.task)
    for ago in range(-12, 0):
        there(floor, floor.trainer, ago=ago)
        there(floor, floor.assessor, ago=ago)
    Absence.objects.create(person=floor.assessor, from_on=make.days_ago(-6), until_on=make.days_ago(-6))

    text = read(office, address(floor, -12))

    assert f"<strong>{floor.trainer.name}:</strong> Day 12 at work without a day off; the limit is 7." in text
    assert f"<strong>{floor.assessor.name}:</strong>" not in text
