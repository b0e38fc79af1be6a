"""The office's pages about a task: first trainers, another class, other terms."""

import pytest

from competencies.models import LedgerIndex, TaskRevision, TaskTerms
from competencies.queries.frame import frame_of
from competencies.vocabulary import AuthorityKind, ChangeClass, Criticality, EntryKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make.make_floor(criticality=Criticality.FOOD, asked=make.Asked(validity_months=24))


@pytest.fixture
def hana(client, floor):
    person = make.make_person(floor.plant, "Hana Coldwell", with_pin=True)
    make.grant(person, AuthorityKind.COORDINATE)
    client.force_login(person.user)
    return person


def filled(page, **changed):
    form = page.context["form"]
    values = {name: form[name].value() for name in form.fields}
    given = {**values, "pin": make.PIN, **changed}
    return {name: value for name, value in given.items() if value is not None and value is not False}


def test_a_first_trainer_is_named_and_shown_on_the_task_and_the_person(client, floor, hana):
    task = make.make_task(floor.area, "PK-30", "Run the new packer")

    answer = client.post(
        "/tasks/PK-30/first-trainers/", {"person": floor.trainee.pk, "revision": "", "pin": make.PIN}, follow=True
    )

    assert "Tove Brandvold is named." in answer.content.decode()
    assert "then no longer, unless signed off by then" in answer.content.decode()
    assert LedgerIndex.objects.filter(kind=EntryKind.INITIAL_TRAINER, task=task.code, actor=hana.pk).exists()
    assert "First trainer" in client.get(f"/people/{floor.trainee.pk}/").content.decode()


def test_a_refused_naming_says_why_and_keeps_what_was_chosen(client, floor, hana):
    given = {"person": floor.trainee.pk, "revision": "1", "pin": make.PIN}

    text = client.post("/tasks/PK-01/first-trainers/", given).content.decode()

    assert "2 people hold revision 1 there by a sign-off of their own" in text
    assert f'value="{floor.trainee.pk}" selected' in text
    assert not LedgerIndex.objects.filter(kind=EntryKind.INITIAL_TRAINER).exists()


def test_a_wrong_pin_is_named_at_its_field(client, floor, hana):
    make.make_task(floor.area, "PK-30")
    given = {"person": floor.trainee.pk, "revision": "", "pin": make.WRONG_PIN}

    answer = client.post("/tasks/PK-30/first-trainers/", given)

    assert "PIN" in str(answer.context["form"].errors["pin"])


def test_a_minor_revision_is_made_major_by_two_and_the_page_says_first_who_stops(client, floor, hana):
    make.make_revision(floor.task, 2, effective_on=make.days_ago(20), change=ChangeClass.MINOR, touches=(1,))
    assert "Make it a major one" in client.get("/tasks/PK-01/").content.decode()

    page = client.get("/tasks/PK-01/class/?revision=2")
    assert "2 sign-offs would stop counting." in page.content.decode()
    assert {each.person for each in page.context["page"]} == {floor.trainer, floor.assessor}
    given = {"pin": make.PIN, "second": floor.assessor.pk, "second_pin": make.PIN}
    answer = client.post("/tasks/PK-01/class/?revision=2", given, follow=True)

    assert TaskRevision.objects.get(task=floor.task, number=2).reclassified_at is not None
    assert "a major one since" in answer.content.decode()
    assert client.get("/tasks/PK-01/class/?revision=2").status_code == 404


def test_one_person_with_one_pin_does_not_make_it_major(client, floor, hana):
    make.make_revision(floor.task, 2, effective_on=make.days_ago(20), change=ChangeClass.MINOR, touches=(1,))
    own = {"pin": make.PIN, "second": hana.pk, "second_pin": make.PIN}
    wrong = {"pin": make.PIN, "second": floor.assessor.pk, "second_pin": make.WRONG_PIN}

    answers = [client.post("/tasks/PK-01/class/?revision=2", given) for given in (own, wrong)]

    assert "second" in answers[0].context["form"].errors
    assert "second_pin" in answers[1].context["form"].errors
    assert TaskRevision.objects.get(task=floor.task, number=2).reclassified_at is None


def test_terms_are_shown_simply_then_changed_after_a_look_at_who_is_touched(client, floor, hana):
    page = client.get("/tasks/PK-01/terms/")
    text = page.content.decode()
    assert text.index("Valid for months") < text.index("What else the task asks") < text.index("On different shifts")
    assert "the plant's own, 90 days" in text.replace("&#x27;", "'")
    changes = {"validity_months": 1, "applies_to_held_on": make.today().isoformat(), "recency_days": 60}

    shown = client.post("/tasks/PK-01/terms/", {**filled(page, **changes, pin=""), "show": "1"})
    assert {each.person for each in shown.context["page"]} == {floor.trainer, floor.assessor}
    assert TaskTerms.objects.filter(task=floor.task).count() == 1
    assert 'value="60"' in shown.content.decode()
    client.post("/tasks/PK-01/terms/", {**filled(page, **changes), "sign": "1"})

    found = frame_of(floor.plant).tasks["PK-01"].terms_on(make.today())
    assert (found.validity_months, found.recency_days, found.applies_to_held_on) == (1, 60, make.today())


def test_terms_are_not_signed_without_a_pin(client, floor, hana):
    page = client.get("/tasks/PK-01/terms/")

    answer = client.post("/tasks/PK-01/terms/", {**filled(page, pin=""), "sign": "1"})

    assert "pin" in answer.context["form"].errors
    assert TaskTerms.objects.filter(task=floor.task).count() == 1


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"ranges": "bottle size"}, "Write a range a line"),
        ({"calculations": "C 01!"}, "cannot be the code of a calculation"),
        ({"distinct_shifts": 9}, "No more different shifts can be asked than supervised runs (2)."),
        ({"effective_on": "2020-01-01"}, "New terms work forward"),
    ],
)
def test_what_cannot_be_asked_is_said_and_stays(client, floor, hana, changed, said):
    page = client.get("/tasks/PK-01/terms/")

    answer = client.post("/tasks/PK-01/terms/", {**filled(page, **changed), "sign": "1"})

    assert said in answer.content.decode()
    for name, value in changed.items():
        assert answer.context["form"][name].value() == str(value)
    assert TaskTerms.objects.filter(task=floor.task).count() == 1


@pytest.mark.parametrize("size", [1, 4])
def test_the_pages_cost_the_same_queries_at_any_size(client, floor, hana, size, django_assert_num_queries):
    make.make_revision(floor.task, 2, effective_on=make.days_ago(20), change=ChangeClass.MINOR, touches=(1,))
    for _ in range(size):
        make.hold(make.make_person(floor.plant), floor.task, assessed=90)
    client.get("/tasks/PK-01/class/?revision=2")

    with django_assert_num_queries(11):
        page = client.get("/tasks/PK-01/class/?revision=2")

    assert len(page.context["page"]) == 2 + size
