"""The settings page: figures, their history, who may set them."""

import pytest

from competencies.models import PlantPolicy
from competencies.queries.frame import frame_of
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def plant():
    return make.make_plant()


@pytest.fixture
def office(client, plant):
    coordinator = make.make_person(plant, with_pin=True)
    make.grant(coordinator, AuthorityKind.COORDINATE)
    client.force_login(coordinator.user)
    return client


def filled(page, **changed):
    form = page.context["form"]
    values = {name: form[name].value() for name in form.fields}
    return {**values, "effective_on": make.today().isoformat(), "pin": make.PIN, **changed}


def test_figures_are_set_from_a_day_on_and_only_what_differs_is_kept(office, plant):
    page = office.get("/settings/")
    assert "Usual: 30 days; critical tasks 0." in page.content.decode()
    given = filled(page, due_window_days="90", grace_days_critical="7", runs_carried="1/3")
    answer = office.post("/settings/", given)
    assert answer.status_code == 302
    kept = {"due_window_days": 90, "grace_days": {"other": 30, "critical": 7}, "runs_carried": "1/3"}
    assert PlantPolicy.objects.get(plant=plant).settings == kept
    policy = frame_of(plant).policy_on(make.today())
    assert (policy.due_window_days, policy.grace_days.critical) == (90, 7)
    text = office.get("/settings/").content.decode()
    assert "Renewal due: 90" in text
    assert "30; critical tasks 7" in text


def test_what_cannot_be_is_named_at_the_field_and_stays(office, plant):
    page = office.get("/settings/")
    text = office.post("/settings/", filled(page, runs_carried="7/2")).content.decode()
    assert "A share lies between 0 and 1." in text
    assert "7/2" in text
    text = office.post("/settings/", filled(page, due_window_days="77", pin=make.WRONG_PIN)).content.decode()
    assert 'value="77"' in text
    assert not PlantPolicy.objects.filter(plant=plant).exists()


def test_only_a_coordinator_sets_figures(client, plant):
    auditor = make.make_person(plant)
    make.grant(auditor, AuthorityKind.AUDIT)
    client.force_login(auditor.user)
    assert client.get("/settings/").status_code == 403
