"""Assessments: who waits, what is shown, and that a signature covers exactly that."""

from datetime import timedelta

import pytest
from django.urls import reverse

from competencies.ledger.reading import read_entry
from competencies.models import Authority, Criterion, LedgerEntry, Person, StandingPeriod
from competencies.queries.signatures import signatures
from competencies.vocabulary import AuthorityKind, Criticality, Judgement, Meaning, Standing
from tests import factories as make

pytestmark = pytest.mark.django_db
QUEUE = reverse("competencies:assessment-queue")


@pytest.fixture
def floor(client):
    """Return a floor whose trainee is ready: two runs, watched by the trainer."""
    floor = make.make_floor()
    for ago in (3, 2):
        make.run(floor.trainee, floor.task, floor.trainer, ago=ago)
    client.force_login(floor.assessor.user)
    return floor


def page_of(floor, person=None, scope=""):
    address = reverse("competencies:assess", args=[(person or floor.trainee).pk, floor.task.code])
    return f"{address}?scope={scope}" if scope else address


def judged(client, floor, **changes):
    """Return what a competent assessment sends."""
    form = client.get(page_of(floor)).context["form"]
    return {
        "token": form["token"].value(),
        "shown": form["shown"].value(),
        "on": make.today().isoformat(),
        "judged_1": "met",
        "judged_2": "met",
        "feedback": "calm and exact",
        "outcome": "competent",
        "no_conflict": "on",
        "pin": make.PIN,
        **changes,
    }


def assessments():
    found = LedgerEntry.objects.filter(index__kind="assessment", index__recorded_at__date__gte=make.days_ago(1))
    return [read_entry(row) for row in found.order_by("seq")]


def faults(response):
    return [str(error) for errors in response.context["form"].errors.values() for error in errors]


def standing(floor):
    rows = StandingPeriod.objects.filter(person=floor.trainee, task=floor.task, known_to=None)
    return rows.exclude(starts_at=None).order_by("-starts_at").filter(starts_at__lte=make.at(make.today(), "23:59"))[0]


def test_a_competent_assessment_is_signed_and_in_force(client, floor):
    response = client.post(page_of(floor), judged(client, floor), follow=True)

    [entry] = assessments()
    assert (entry["outcome"], entry["actor"], entry["revision"]) == ("competent", floor.assessor.pk, 1)
    assert entry["judged"] == {1: Judgement.MET, 2: Judgement.MET}
    assert len(entry["evidence"]) == 2
    assert "actor_right" in entry
    assert signatures([entry["seq"]])[entry["seq"]].meaning is Meaning.COMPETENT
    assert standing(floor).standing == Standing.IN_FORCE
    assert f"signed as entry {entry['seq']}" in response.text


def test_the_page_names_the_evidence_with_date_person_and_words(client, floor):
    page = client.get(page_of(floor))

    sheet = page.context["sheet"]
    assert sheet.purpose.kind == "initial"
    assert [each.fact.on for each in sheet.runs] == [make.days_ago(3), make.days_ago(2)]
    for each in sheet.runs:
        assert each.signature.name == "Iolo Castellan"
        assert f"{each.signature.signed_at:%H:%M %z}" in page.text
    assert "I watched this and confirm it" in page.text
    assert "PK-01 step 1 of revision 1" in page.text


def test_only_an_assessor_reaches_the_form(client, floor):
    client.force_login(floor.trainer.user)

    assert client.get(page_of(floor)).status_code == 403
    assert client.post(page_of(floor), {"pin": make.PIN}).status_code == 403
    assert client.get(QUEUE).status_code == 403
    assert assessments() == []


def test_nobody_assesses_themselves(client, floor):
    address = page_of(floor, floor.assessor)

    page = client.get(address)
    sheet = page.context["sheet"]
    sent = {"shown": sheet.digest(), "token": "t" * 20, "on": make.today(), "outcome": "competent"}
    sent |= {"judged_1": "met", "judged_2": "met", "no_conflict": "on", "pin": make.PIN}
    response = client.post(address, sent)

    assert "Nobody signs for themselves." in page.text
    assert "Nobody signs for themselves." in faults(response)
    assert assessments() == []


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        pytest.param({"judged_2": ""}, "judged_2", "Say whether it was met.", id="a criterion is open"),
        pytest.param({"judged_2": "not_met", "why_2": "no lamp"}, "outcome", "not yet competent", id="one is missed"),
        pytest.param({"judged_2": "not_seen"}, "outcome", "seen and met", id="one was not seen"),
        pytest.param({"outcome": ""}, "outcome", "required", id="no decision"),
        pytest.param({"outcome": "not_yet_competent"}, "outcome", "decision is competent", id="all met and not yet"),
        pytest.param(
            {"outcome": "not_yet_competent", "judged_2": "not_seen", "practise": "x"},
            "outcome",
            "neither a pass nor a fault",
            id="not seen alone decides nothing",
        ),
        pytest.param(
            {"outcome": "not_yet_competent", "judged_2": "not_met", "why_2": "no lamp"},
            "practise",
            "what to practise",
            id="nothing to practise",
        ),
        pytest.param({"on": make.days_ago(-1).isoformat()}, "on", "not come yet", id="a day ahead"),
        pytest.param({"no_conflict": ""}, "no_conflict", "required", id="a conflict is not denied"),
        pytest.param({"pin": make.WRONG_PIN}, "pin", "not the PIN of Maren Oduya", id="a wrong PIN"),
        pytest.param({"pin": ""}, "pin", "required", id="no PIN"),
    ],
)
def test_what_is_wrong_is_said_at_the_field_and_nothing_is_lost(client, floor, changes, field, said):
    sent = judged(client, floor, **changes)

    response = client.post(page_of(floor), sent)

    form = response.context["form"]
    assert said in " ".join(form.errors[field])
    assert form["feedback"].value() == "calm and exact"
    assert form["judged_1"].value() == "met"
    assert make.PIN not in response.text
    assert assessments() == []


def test_not_yet_competent_names_what_to_practise_and_asks_for_one_more_run(client, floor):
    sent = judged(client, floor, judged_2="not_met", why_2="no lamp", outcome="not_yet_competent", practise="lamp")
    client.post(page_of(floor), sent)

    [entry] = assessments()
    texts = signatures([entry["seq"]])[entry["seq"]].texts
    assert (texts["practise"], texts["note"]) == ("lamp", "Not met, criterion 2: no lamp")
    sheet = client.get(page_of(floor)).context["sheet"]
    assert sheet.purpose.kind == "reassessment"
    assert [each.number for each in sheet.criteria] == [2]
    assert sheet.last_attempt.seq == entry["seq"]


def change_text(floor):
    Criterion.objects.filter(revision__task=floor.task, number=1).update(text="something else")


def one_more_run(floor):
    make.run(floor.trainee, floor.task, floor.trainer, ago=1)


def next_revision(floor):
    make.make_revision(floor.task, 2, touches=(1,))


@pytest.mark.parametrize("change", [change_text, one_more_run, next_revision])
def test_what_changed_since_it_was_shown_is_not_signed(client, floor, change):
    """The promise that a signature covers exactly what was on the screen."""
    sent = judged(client, floor)
    change(floor)

    response = client.post(page_of(floor), sent)

    assert response.status_code == 409
    assert "what you saw has changed" in response.text
    assert response.context["form"]["feedback"].value() == "calm and exact"
    assert response.context["form"]["shown"].value() != sent["shown"]
    assert assessments() == []


@pytest.mark.parametrize("shown", ["", "0" * 64, "x\x00"])
def test_a_forged_digest_signs_nothing(client, floor, shown):
    assert client.post(page_of(floor), judged(client, floor, shown=shown)).status_code == 409
    assert assessments() == []


def test_a_double_tap_signs_once(client, floor):
    sent = judged(client, floor)

    client.post(page_of(floor), sent)
    again = client.post(page_of(floor), sent, follow=True)

    assert len(assessments()) == 1
    assert "was signed already" in again.text


def test_a_right_taken_away_between_looking_and_signing_refuses(client, floor):
    sent = judged(client, floor)
    Authority.objects.filter(person=floor.assessor).update(until_on=make.days_ago(1))

    assert client.post(page_of(floor), sent).status_code == 403
    assert assessments() == []


def test_an_area_that_is_not_the_assessors_is_refused_in_words(client, floor):
    other = make.make_task(make.make_area(floor.plant, "BH", "Brewhouse"), "BH-01")
    make.hold(floor.assessor, other)
    address = reverse("competencies:assess", args=[floor.trainee.pk, other.code])

    assert "No authority for the area BH on that day." in client.get(address).text


def test_who_is_not_ready_is_told_before_judging(client):
    floor = make.make_floor()
    client.force_login(floor.assessor.user)

    response = client.get(page_of(floor))

    assert "0 of 2 supervised runs count so far." in response.text
    assert "id_judged_1" not in response.text


def test_a_critical_task_waits_for_the_second_signature(client):
    floor = make.make_floor(criticality=Criticality.BOTH)
    for ago in (3, 2):
        make.run(floor.trainee, floor.task, floor.trainer, ago=ago)
    client.force_login(floor.assessor.user)

    page = client.get(page_of(floor)).text
    response = client.post(page_of(floor), judged(client, floor), follow=True)

    until = make.today() + timedelta(days=14)
    assert "food safety, people&#x27;s safety" in page
    assert f"{until:%-d %B %Y}" in response.text
    assert standing(floor).standing == Standing.AWAITING_SIGNATURE


def test_an_assessor_who_watched_most_runs_of_a_critical_task_is_told(client):
    floor = make.make_floor(criticality=Criticality.FOOD)
    for ago in (3, 2):
        make.run(floor.trainee, floor.task, floor.assessor, ago=ago)
    client.force_login(floor.assessor.user)

    assert "The assessor watched 2 of the 2 runs" in client.get(page_of(floor)).text
    assert "You confirmed 2 of 2 runs." in client.get(QUEUE).text


@pytest.mark.parametrize(
    "address",
    ["{trainee}/PK-99/", "0/PK-01/", "{trainee}/PK-01/?scope=L9", "{trainee}/PK-01/?scope=L1/F1", "{stranger}/PK-01/"],
)
def test_what_is_not_in_the_plant_is_not_there(client, floor, address):
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    asked = address.format(trainee=floor.trainee.pk, stranger=stranger.pk)

    assert client.get(f"{QUEUE}{asked}").status_code == 404


def waiting(response):
    return [(row.candidate.why.value, row.candidate.person.name) for row in response.context["rows"]]


def test_the_queue_says_who_waits_and_why(client, floor):
    due, behind, back, fine, gone = (
        make.make_person(floor.plant, name) for name in ("Due", "Behind", "Back", "Fine", "Gone")
    )
    make.hold(due, floor.task, assessed=340)
    make.hold(gone, floor.task, assessed=340)
    Person.objects.filter(pk=gone.pk).update(last_day=make.days_ago(1))
    make.hold(back, floor.task, assessed=400 + 31)
    make.run(back, floor.task, floor.trainer, ago=1)
    make.hold(fine, floor.task, assessed=30)
    make.hold(behind, floor.task, assessed=90)
    assert waiting(client.get(QUEUE)) == [
        ("ready", "Tove Brandvold"),
        ("return", "Back"),
        ("renewal", "Due"),
    ]
    make.make_revision(floor.task, 2, touches=(1,))

    assert {("delta", "Behind"), ("delta", "Fine")} <= set(waiting(client.get(QUEUE)))


def test_the_queue_leaves_out_other_areas_and_oneself(client, floor):
    other = make.make_task(make.make_area(floor.plant, "BH", "Brewhouse"), "BH-01", asked=make.Asked(runs=1))
    brewer = make.make_person(floor.plant)
    make.hold(brewer, other)
    make.run(floor.trainee, other, brewer, ago=2)
    make.grant(brewer, AuthorityKind.ASSESS)

    assert [row.candidate.task.code for row in client.get(QUEUE).context["rows"]] == ["PK-01"]
    client.force_login(brewer.user)
    codes = {row.candidate.task.code for row in client.get(QUEUE).context["rows"]}
    assert codes == {"PK-01", "BH-01"}


def test_an_empty_queue_says_so(client):
    floor = make.make_floor()
    client.force_login(floor.assessor.user)

    assert "Nobody waits for you." in client.get(QUEUE).text


@pytest.mark.parametrize("size", [1, 5])
def test_the_queue_costs_the_same_queries_at_any_size(client, floor, size, django_assert_num_queries):
    for _number in range(size):
        person = make.make_person(floor.plant)
        make.hold(person, floor.task, assessed=340)
        back = make.make_person(floor.plant)
        make.hold(back, floor.task, assessed=431)
        make.run(back, floor.task, floor.trainer, ago=1)
    client.get(QUEUE)

    with django_assert_num_queries(10):
        response = client.get(QUEUE)

    assert len(response.context["rows"]) == 1 + 2 * size


@pytest.mark.parametrize("size", [1, 5])
def test_the_sheet_costs_the_same_queries_at_any_size(client, floor, size, django_assert_num_queries):
    for number in range(size):
        make.run(floor.trainee, floor.task, floor.trainer, ago=4 + number)
        make.add_reading(floor.task, f"reading {number}")
    client.get(page_of(floor))

    with django_assert_num_queries(18):
        client.get(page_of(floor))


def test_the_changes_of_a_coming_revision_are_judged_before_it_is_in_effect(client):
    floor = make.make_floor()
    make.hold(floor.trainee, floor.task, assessed=90)
    make.make_revision(floor.task, 2, effective_on=make.days_ago(-9), approved_on=make.days_ago(5), touches=(1,))
    for person in (floor.trainer, floor.assessor):
        make.make_initial_trainer(person, floor.task, revision=2, ago=4)
    make.run(floor.trainee, floor.task, floor.trainer, ago=2, revision=2)
    client.force_login(floor.assessor.user)
    address = f"{page_of(floor)}?coming=1"

    form = client.get(address).context["form"]
    sent = {"token": form["token"].value(), "shown": form["shown"].value(), "on": make.today(), "judged_1": "met"}
    response = client.post(address, {**sent, "outcome": "competent", "no_conflict": "on", "pin": make.PIN})

    assert response.status_code == 302
    [entry] = assessments()
    assert (entry["revision"], entry["delta"], entry["judged"]) == (2, True, {1: Judgement.MET})
