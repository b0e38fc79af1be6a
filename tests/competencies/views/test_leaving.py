"""Leavers and movers: what goes with them is told first, then entered in one act."""

import pytest

from competencies.models import Assignment, LedgerIndex
from competencies.queries.facts import rule_of
from competencies.standing.facts import SITE, Scope
from competencies.vocabulary import AuthorityKind, EntryKind, ScopeKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make.make_floor()


@pytest.fixture
def hana(client, floor):
    person = make.make_person(floor.plant, "Hana Coldwell", with_pin=True)
    make.grant(person, AuthorityKind.COORDINATE)
    client.force_login(person.user)
    return person


@pytest.fixture
def ends(floor):
    """Return the last day of the trainer, who is asked to train somebody after it."""
    make.make_station(floor.line, floor.task, needed=2)
    make.ask(floor.trainee, floor.task, floor.trainer, ago=-20)
    make.ask(floor.trainee, floor.task, floor.trainer, ago=-10, shift="late")
    make.roster(floor.trainer, ago=-21)
    return make.days_ago(-14)


def test_what_goes_with_a_leaver_is_told_before_it_is_entered(client, floor, hana, ends):
    page = client.post(f"/people/{floor.trainer.pk}/leaving/", {"last_day": ends.isoformat(), "show": "1"})

    found, text = page.context["found"], page.content.decode()
    assert [(each.others, each.is_short) for each in found.stations] == [(1, True)]
    assert "Cover is lost." in text
    assert [each.on for each in found.training] == [make.days_ago(-20)]
    assert found.rostered == 1
    assert [each.kind for each in found.authorities] == ["train"]
    floor.trainer.refresh_from_db()
    assert floor.trainer.last_day is None


def test_one_act_sets_the_day_ends_the_authority_and_calls_off_what_was_asked_after_it(client, floor, hana, ends):
    given = {"last_day": ends.isoformat(), "pin": make.PIN, "sign": "1"}

    client.post(f"/people/{floor.trainer.pk}/leaving/", given)

    floor.trainer.refresh_from_db()
    assert floor.trainer.last_day == ends
    assert floor.trainer.authorities.get().until_on == ends
    assert LedgerIndex.objects.filter(kind=EntryKind.EMPLOYMENT, person=floor.trainer.pk, actor=hana.pk).count() == 1
    assert LedgerIndex.objects.filter(kind=EntryKind.AUTHORITY_ENDED).count() == 1
    states = dict(Assignment.objects.values_list("on", "state"))
    assert states == {make.days_ago(-20): "dropped", make.days_ago(-10): "planned"}
    timeline = rule_of(floor.trainer).timeline("PK-01", SITE)
    assert timeline.at(make.at(ends, "23:00")).counts
    assert not timeline.at(make.at(make.days_ago(-15), "00:00")).counts


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"last_day": make.days_ago(4000).isoformat()}, "cannot lie before the first"),
        ({"last_day": "soon"}, "valid date"),
        ({"pin": ""}, "This field is required"),
        ({"pin": make.WRONG_PIN}, "not the PIN"),
    ],
)
def test_a_last_day_that_cannot_be_is_refused_in_words(client, floor, hana, ends, changed, told):
    given = {"last_day": ends.isoformat(), "pin": make.PIN, "sign": "1", **changed}

    text = client.post(f"/people/{floor.trainer.pk}/leaving/", given).content.decode()

    floor.trainer.refresh_from_db()
    assert told in text
    assert floor.trainer.last_day is None


def test_nobody_enters_their_own_last_day_or_move(client, floor, hana):
    given = {"last_day": make.days_ago(-3).isoformat(), "pin": make.PIN, "sign": "1"}

    left = client.post(f"/people/{hana.pk}/leaving/", given).content.decode()
    moved = client.post(f"/people/{hana.pk}/moving/", {"area": floor.area.pk, "pin": make.PIN, "sign": "1"})

    assert "Somebody else enters your last day." in left
    assert "Somebody else enters your move." in moved.content.decode()


def test_a_move_tells_what_goes_along_and_ends_what_belongs_to_the_old_area(client, floor, hana):
    line_task = make.make_task(floor.area, "PK-20", scope_kind=ScopeKind.LINE)
    make.hold(floor.trainer, line_task, scope=Scope("L1"))
    brewhouse = make.make_area(floor.plant, "BH", "Brewhouse")
    floor.trainer.area = floor.area
    floor.trainer.save()
    make.ask(floor.trainer, floor.task, floor.assessor, ago=-5)
    url = f"/people/{floor.trainer.pk}/moving/"

    page = client.get(url)
    given = {"area": brewhouse.pk, "ends_authorities": "on", "drops_asked": "on", "pin": make.PIN, "sign": "1"}
    client.post(url, given)

    found = page.context["found"]
    assert [each.task_code for each in found.site_wide] == ["PK-01"]
    assert [(each.task_code, str(each.scope)) for each in found.bound] == [("PK-20", "L1")]
    floor.trainer.refresh_from_db()
    assert floor.trainer.area == brewhouse
    assert floor.trainer.authorities.get().until_on == make.today()
    assert Assignment.objects.get().state == "dropped"


def test_a_move_may_leave_the_authority_and_one_to_the_same_place_is_refused(client, floor, hana):
    brewhouse = make.make_area(floor.plant, "BH", "Brewhouse")
    floor.trainer.area = floor.area
    floor.trainer.save()
    url = f"/people/{floor.trainer.pk}/moving/"

    same = client.post(url, {"area": floor.area.pk, "pin": make.PIN, "sign": "1"})
    client.post(url, {"area": brewhouse.pk, "pin": make.PIN, "sign": "1"})

    assert "That is the area and the crew that they are in." in same.content.decode()
    assert floor.trainer.authorities.get().until_on is None


@pytest.mark.parametrize("page", ["leaving", "moving"])
def test_only_a_coordinator_enters_it(client, floor, page):
    client.force_login(floor.assessor.user)

    assert client.get(f"/people/{floor.trainee.pk}/{page}/").status_code == 403
