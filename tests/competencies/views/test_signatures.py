"""Second signatures: the queue holds only what one may sign, and the record is signed as shown."""

import pytest
from django.urls import reverse

from competencies.models import LedgerIndex
from competencies.operations.decisions import Verdict, When, assess
from competencies.operations.recording import OnTask
from competencies.operations.runs import Observed
from competencies.vocabulary import AuthorityKind, Criticality, Judgement, Outcome
from tests import factories as make

pytestmark = pytest.mark.django_db
QUEUE = reverse("competencies:signature-queue")


@pytest.fixture
def floor():
    return make.make_floor(criticality=Criticality.BOTH)


@pytest.fixture
def food(floor):
    return signatory(floor, AuthorityKind.SIGN_FOOD, "Fay Lindqvist")


def signatory(floor, *kinds, name=""):
    person = make.make_person(floor.plant, name if isinstance(name, str) else "", with_pin=True)
    make.grant(person, *[kind for kind in kinds if isinstance(kind, AuthorityKind)])
    return person


def assessed(floor, *, ago=2, trainee=None, outcome=Outcome.COMPETENT):
    """Record an assessment so many days ago, with two runs before it; return its place."""
    trainee = trainee or floor.trainee
    runs = [make.run(trainee, floor.task, floor.trainer, ago=ago + more).seq for more in (2, 1)]
    day = make.days_ago(ago)
    last = Judgement.MET if outcome is Outcome.COMPETENT else Judgement.NOT_MET
    verdict = Verdict(
        outcome=outcome,
        revision=1,
        observed=Observed(judged={1: Judgement.MET, 2: last}),
        evidence=runs,
        feedback="steady hands",
    )
    return assess(
        on_task=OnTask(person=trainee, task=floor.task),
        assessor=make.signer(floor.assessor),
        verdict=verdict,
        when=When(happened_at=make.at(day, "11:00"), on=day, now=make.at(day, "11:05")),
    ).seq


def page_of(seq):
    return reverse("competencies:sign", args=[seq])


def signed(client, seq, **changes):
    token = client.get(page_of(seq)).context["form"]["token"].value()
    return client.post(page_of(seq), {"checked": "on", "pin": make.PIN, "token": token, **changes})


def second_signatures():
    return LedgerIndex.objects.filter(kind="second_signature", recorded_at__gte=make.at(make.days_ago(1), "00:00"))


def test_the_queue_shows_what_waits_with_the_days_left(client, floor, food):
    seq = assessed(floor, ago=4)
    client.force_login(food.user)

    response = client.get(QUEUE)

    assert [(each.fact.seq, each.days_left) for each in response.context["waiting"]] == [(seq, 10)]
    assert "10 days left" in response.text


@pytest.mark.parametrize("ago", [14, 15])
def test_the_fourteenth_day_is_in_and_the_fifteenth_is_not(client, floor, food, ago):
    assessed(floor, ago=ago)
    client.force_login(food.user)

    response = client.get(QUEUE)

    assert len(response.context["waiting"]) == (1 if ago == 14 else 0)
    assert ("Today is the last day" in response.text) is (ago == 14)


def test_the_queue_is_for_those_with_a_role(client, floor):
    seq = assessed(floor)
    client.force_login(floor.trainer.user)

    assert client.get(QUEUE).status_code == 403
    assert client.get(page_of(seq)).status_code == 403
    assert client.post(page_of(seq), {"checked": "on", "pin": make.PIN}).status_code == 403


@pytest.mark.parametrize("own", ["trainee", "assessor"])
def test_nobody_signs_their_own_a_second_time(client, floor, own):
    seq = assessed(floor)
    person = getattr(floor, own)
    make.grant(person, AuthorityKind.SIGN_FOOD, AuthorityKind.SIGN_SAFETY)
    client.force_login(person.user)

    assert client.get(QUEUE).context["waiting"] == []
    assert client.get(page_of(seq)).status_code == 403
    assert client.post(page_of(seq), {"checked": "on", "pin": make.PIN}).status_code == 403
    assert second_signatures().count() == 0


def test_a_role_in_another_area_sees_nothing(client, floor):
    assessed(floor)
    person = make.make_person(floor.plant)
    make.grant(person, AuthorityKind.SIGN_FOOD, area=make.make_area(floor.plant, "BH", "Brewhouse"))
    client.force_login(person.user)

    assert client.get(QUEUE).context["waiting"] == []


def test_the_record_is_shown_whole(client, floor, food):
    seq = assessed(floor)
    client.force_login(food.user)

    response = client.get(page_of(seq))

    for text in ("steady hands", "PK-01 step 2 of revision 1", "Maren Oduya", "Iolo Castellan", "Competent"):
        assert text in response.text
    assert "I observed the performance and judge it competent" in response.text
    record = response.context["record"]
    assert len(record.evidence) == 2
    for signature in (record.signature, *record.evidence):
        assert f"{signature.signed_at:%H:%M %z}" in response.text


def test_each_role_signs_once_and_then_it_is_in_force(client, floor, food):
    seq = assessed(floor)
    safety = signatory(floor, AuthorityKind.SIGN_SAFETY)
    client.force_login(food.user)

    assert signed(client, seq).status_code == 302
    assert client.get(QUEUE).context["waiting"] == []
    client.force_login(safety.user)
    assert signed(client, seq).status_code == 302

    assert set(second_signatures().values_list("of", "actor")) == {(seq, food.pk), (seq, safety.pk)}
    assert "asks for no further signature" in client.get(page_of(seq)).text


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"pin": make.WRONG_PIN}, "pin"), ({"pin": ""}, "pin"), ({"checked": ""}, "checked")],
)
def test_without_pin_or_check_nothing_is_signed(client, floor, food, changes, field):
    seq = assessed(floor)
    client.force_login(food.user)

    response = signed(client, seq, **changes)

    assert field in response.context["form"].errors
    assert second_signatures().count() == 0


def test_a_double_tap_signs_once(client, floor, food):
    seq = assessed(floor)
    client.force_login(food.user)

    signed(client, seq, token="t" * 20)
    again = signed(client, seq, token="t" * 20)

    assert again.status_code == 302
    assert second_signatures().count() == 1


def test_a_void_assessment_is_refused_in_words(client, floor, food):
    seq = assessed(floor, ago=15)
    client.force_login(food.user)

    response = signed(client, seq)

    assert response.context["form"].non_field_errors()
    assert second_signatures().count() == 0


def test_what_would_be_refused_is_said_before_the_pin(client, floor, food):
    late, in_time = assessed(floor, ago=15), assessed(floor, trainee=make.make_person(floor.plant))
    client.force_login(food.user)

    refused, usual = client.get(page_of(late)), client.get(page_of(in_time))

    assert [each.code for each in refused.context["refused"]] == ["too_late"]
    assert "this would be refused" in refused.text
    assert usual.context["refused"] == ()
    assert "this would be refused" not in usual.text


def test_nobody_signs_a_not_yet_competent(client, floor, food):
    seq = assessed(floor, outcome=Outcome.NOT_YET_COMPETENT)
    client.force_login(food.user)

    assert client.get(QUEUE).context["waiting"] == []
    assert "asks for no further signature" in client.get(page_of(seq)).text


def test_other_entries_and_other_plants_are_not_there(client, floor, food):
    run = make.run(floor.trainee, floor.task, floor.trainer, ago=3)
    client.force_login(food.user)

    for seq in (run.seq, 0, 10**12):
        assert client.get(page_of(seq)).status_code == 404


def test_an_assessment_of_another_plant_is_not_there(client, floor, food):
    elsewhere = make.make_plant("birch-wharf", "Birch Wharf")
    task = make.make_task(make.make_area(elsewhere), "PK-01", criticality=Criticality.FOOD)
    seq = make.hold(make.make_person(elsewhere), task, assessed=3).seq
    client.force_login(food.user)

    assert client.get(page_of(seq)).status_code == 404


@pytest.mark.parametrize("size", [1, 4])
def test_the_queue_costs_the_same_queries_at_any_size(client, floor, food, size, django_assert_num_queries):
    for _number in range(size):
        assessed(floor, trainee=make.make_person(floor.plant))
    client.force_login(food.user)
    client.get(QUEUE)

    with django_assert_num_queries(9):
        response = client.get(QUEUE)

    assert len(response.context["waiting"]) == size
