"""The settings page: figures, their history, who may set them."""

from fractions import Fraction

import pytest

from competencies.forms.policy import FURTHER, SIMPLE, USUAL
from competencies.models import PlantPolicy
from competencies.queries.facts import rules_of
from competencies.queries.frame import frame_of
from competencies.standing.facts import SITE
from competencies.standing.framework import Pair
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
    """Return what a browser would send of the page, with some fields changed; None unticks a box."""
    form = page.context["form"]
    values = {name: form[name].value() for name in form.fields}
    given = {**values, "effective_on": make.today().isoformat(), "pin": make.PIN, **changed}
    return {name: value for name, value in given.items() if value is not None and value is not False}


def test_figures_are_set_from_a_day_on_and_only_what_differs_is_kept(office, plant):
    page = office.get("/settings/")
    assert "Usual: 30 days; critical tasks 0 (common practice, no source)." in page.content.decode()
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


def test_every_setting_of_the_rule_is_explained_with_its_unit_and_where_it_comes_from():
    told = {**SIMPLE, **FURTHER}

    assert set(told) == set(USUAL)
    for name, each in told.items():
        assert str(each.label), name
        assert str(each.says).endswith("."), name
        assert str(each.unit), name
        assert str(each.source), name


# Figures of the paper on the trade, its list of settings: non-critical first, then critical.
@pytest.mark.parametrize(
    ("name", "usual"),
    [
        *(("due_window_days", 60), ("grace_days", (30, 0)), ("run_confirmation_hours", 72), ("run_age_months", 12)),
        *(("second_signature_days", 14), ("late_entry_days", 7), ("recency_days", (180, 90))),
        *(("long_absence_days", 90), ("lapse_first_months", 6), ("lapse_second_months", 24)),
        *(("minor_acknowledgement_days", 30), ("major_transition_days", (30, 0)), ("partial_reassessment_days", 30)),
        *(("renewal_run_on_days", (14, 0)), ("initial_trainer_days", 90), ("recognition_evidence_months", 24)),
        *(("unit_evidence_months", 24), ("agreement_pairs", 6), ("statistics_from_judgements", 10)),
        *(("runs_carried", Fraction(1, 2)), ("conversion_runs", Fraction(1, 3))),
        *(("assessor_share_of_runs", Fraction(1, 2)), ("evidence_months", 24), ("record_after_leaving_months", 36)),
    ],
)
def test_the_usual_figure_is_the_one_of_the_trade(name, usual):
    found = USUAL[name]

    assert ((found.other, found.critical) if isinstance(found, Pair) else found) == usual


def test_recency_is_switched_off_and_on_again(office, plant):
    page = office.get("/settings/")
    assert page.context["form"]["recency_days_asked"].value() is True

    office.post("/settings/", filled(page, recency_days_asked=None))

    assert PlantPolicy.objects.get(plant=plant).settings == {"recency_days": None}
    assert frame_of(plant).policy_on(make.today()).recency_days is None
    page = office.get("/settings/")
    assert page.context["form"]["recency_days_asked"].value() is False
    assert "Longest gap: not asked" in page.content.decode()
    office.post("/settings/", filled(page, recency_days_asked="on"))
    assert frame_of(plant).policy_on(make.today()).recency_days == Pair(other=180, critical=90)


def test_a_box_is_set_and_told_in_words(office, plant):
    page = office.get("/settings/")

    office.post("/settings/", filled(page, evidence_awaits_moderation=None))

    assert PlantPolicy.objects.get(plant=plant).settings == {"evidence_awaits_moderation": False}
    assert "Keep evidence through the next moderation: no" in office.get("/settings/").content.decode()


def test_settings_work_forward_only(office, plant):
    page = office.get("/settings/")

    answer = office.post("/settings/", filled(page, due_window_days="90", effective_on=make.days_ago(1).isoformat()))

    assert "Settings work forward" in answer.content.decode()
    assert 'value="90"' in answer.content.decode()
    assert not PlantPolicy.objects.exists()


def test_a_change_to_come_leaves_every_earlier_answer_as_it_was(office, plant):
    task = make.make_task(make.make_area(plant), asked=make.Asked(recency_days=None))
    person = make.make_person(plant)
    make.hold(person, task, assessed=170)
    before = {day: standing_on(person, task, day) for day in (-20, -5, 0)}
    page = office.get("/settings/")
    coming = make.days_ago(-10)

    figures = {"recency_days_other": "100", "recency_days_critical": "100", "effective_on": coming.isoformat()}
    office.post("/settings/", filled(page, **figures))

    assert {day: standing_on(person, task, day) for day in (-20, -5, 0)} == before
    policy = frame_of(plant)
    assert (policy.policy_on(make.today()).recency_days.other, policy.policy_on(coming).recency_days.other) == (
        180,
        100,
    )


def test_the_history_says_who_set_what(office, plant):
    who = plant.people.get(authorities__kind=AuthorityKind.COORDINATE)
    office.post("/settings/", filled(office.get("/settings/"), due_window_days="45"))

    text = office.get("/settings/").content.decode()

    assert f"by {who.name}" in text
    assert "Renewal due: 45" in text


def standing_on(person, task, ahead):
    moment = make.at(make.days_ago(ahead), "12:00")
    return rules_of([person])[person.pk].timeline(task.code, SITE).at(moment)


def test_limits_of_hours_are_settings_with_their_source(office, plant):
    page = office.get("/settings/")
    assert "HSG256" in page.content.decode()
    office.post("/settings/", filled(page, longest_hours="10", tired_is_no_cover="on"))
    policy = frame_of(plant).policy_on(make.today())
    assert (policy.longest_hours, policy.tired_is_no_cover, policy.rest_hours) == (10, True, 11)


def test_each_figure_stands_before_its_unit(office):
    text = office.get("/settings/").content.decode()

    field = text[text.index('id="id_run_confirmation_hours"') :]
    assert '<span aria-hidden="true">hours</span>' in field[: field.index("</div>")]
