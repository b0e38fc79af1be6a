"""A person's pathway unit by unit, the list of units, and what is signed there."""

import pytest

from competencies.models import Enrolment, LedgerEntry, LedgerIndex, Qualification
from competencies.operations.decisions import withdraw
from competencies.operations.moderation import Opinion, moderate_unit, report_unit
from competencies.operations.pathways import UnitResult, decide_unit, enrol
from competencies.operations.recording import OnTask
from competencies.vocabulary import AuthorityKind, EntryKind
from tests import factories as make
from tests.competencies.operations.test_units import entrusted, make_unit, when

pytestmark = pytest.mark.django_db
UNITS_QUERIES, PATHWAY_QUERIES = 10, 15


@pytest.fixture
def unit(floor):
    return make_unit(floor, "U101")


@pytest.fixture
def pathway(floor):
    return Qualification.objects.create(
        plant=floor.plant,
        code="Q",
        title="Certificate in Filling",
        min_total_credits=9,
        rules=[{"group": "K", "rule": "min", "credits": 6}],
    )


@pytest.fixture
def followed(floor, unit, pathway, coordinator):
    """The trainee follows the pathway, holds the task, and has the unit since twenty days."""
    make.hold(floor.trainee, floor.task)
    enrol(person=floor.trainee, qualification=pathway, by=make.signer(coordinator), when=when(40))
    return decide_unit(
        person=floor.trainee, result=UnitResult(unit=unit), assessor=make.signer(floor.assessor), when=when(20)
    )


def page_of(client, person, reader, **query):
    client.force_login(reader.user)
    return client.get(f"/people/{person.pk}/pathway/", query)


def act(client, signer, person, verb, **given):
    client.force_login(signer.user)
    return client.post(f"/people/{person.pk}/sign/{verb}/", {"pin": make.PIN, **given})


def test_the_page_tells_the_distance_on_each_rule_in_words_and_figures(client, floor, followed, coordinator):
    text = page_of(client, floor.trainee, coordinator).content.decode()

    assert "Credits in group K: 1 credit to go." in text
    assert "Credits in all: 4 credits to go." in text
    assert "Not awarded yet." in text
    assert "5 of 5 credits counted" in text
    assert "by Maren Oduya" in text
    assert "Outcome 1" in text


def test_credit_without_standing_and_standing_without_credit_are_told(client, floor, followed, coordinator):
    other = make.make_task(floor.area, "PK-02", "Seam cans")
    make.hold(floor.trainee, other, assessed=700)
    make.hold(floor.trainee, other, assessed=10)
    seams = make_unit(floor, "U102")
    seams.outcomes.get().items.update(task=other)

    now = page_of(client, floor.trainee, coordinator).content.decode()
    later = page_of(client, floor.trainee, coordinator, on=make.days_ago(-600).isoformat()).content.decode()

    assert "Credit without standing" not in now
    assert "Standing without credit" in now
    assert "PK-02 Seam cans" in now
    assert "Credit without standing" in later
    assert "Standing without credit" not in later


def test_a_disputed_unit_holds_the_award_and_says_what_to_do(client, floor, followed, coordinator):
    report_unit(person=floor.trainee, decision=followed.seq, by=make.signer(coordinator), when=when(10))
    opinion = Opinion(agrees=False, reason="no readings kept", moderator="Rune Holm")
    moderate_unit(
        person=floor.trainee, decision=followed.seq, opinion=opinion, by=make.signer(coordinator), when=when(5)
    )

    text = page_of(client, floor.trainee, coordinator).content.decode()

    assert "Ask the training body for a correction." in text
    assert "The moderator Rune Holm disagreed" in text
    assert "no readings kept" in text


def test_both_versions_are_shown_to_whom_has_moved(client, floor, followed, pathway, coordinator):
    newer = Qualification.objects.create(
        plant=floor.plant, code="Q", version=2, title="Certificate in Filling", min_total_credits=12, rules=[]
    )

    answer = act(client, coordinator, floor.trainee, "enrol", qualification=newer.pk)

    assert answer.status_code == 302
    text = page_of(client, floor.trainee, coordinator).content.decode()
    assert "version 1" in text
    assert "for version 2, by a recorded choice." in text
    assert Enrolment.objects.filter(person=floor.trainee).count() == 2


def test_a_person_sees_their_own_pathway_and_no_other(client, floor, followed):
    assert page_of(client, floor.trainee, floor.trainee).status_code == 200
    assert page_of(client, floor.assessor, floor.trainee).status_code == 403
    assert "sign/moderate-unit" not in page_of(client, floor.trainee, floor.trainee).content.decode()


def test_a_unit_is_decided_and_what_stands_against_it_is_said_before(client, floor, unit):
    client.force_login(floor.assessor.user)
    page = f"/people/{floor.trainee.pk}/sign/decide-unit/"
    given = {"unit": unit.pk, "decided_on": make.today().isoformat()}

    before = client.get(page, {"unit": unit.pk}).content.decode()
    refused = act(client, floor.assessor, floor.trainee, "decide-unit", **given)
    make.hold(floor.trainee, floor.task)
    free = client.get(page, {"unit": unit.pk}).content.decode()
    taken = act(client, floor.assessor, floor.trainee, "decide-unit", **given)

    assert "utcome 1 of the unit is not met" in before
    assert "Outcome 1 of the unit is not met." in refused.content.decode()
    assert "of the unit is not met" not in free
    assert (taken.status_code, taken.url) == (302, f"/people/{floor.trainee.pk}/pathway/")
    assert LedgerIndex.objects.filter(kind=EntryKind.UNIT_DECISION).count() == 1
    assert f'<option value="{unit.pk}"' not in client.get(page).content.decode()


def test_a_decision_of_an_earlier_day_picks_the_version_of_that_day(client, floor):
    make.hold(floor.trainee, floor.task)
    old = make_unit(floor, "U9", last_date_for_assessment=make.days_ago(3))

    late = act(client, floor.assessor, floor.trainee, "decide-unit", unit=old.pk, decided_on=make.today().isoformat())
    in_time = act(
        client, floor.assessor, floor.trainee, "decide-unit", unit=old.pk, decided_on=make.days_ago(3).isoformat()
    )
    future = act(
        client, floor.assessor, floor.trainee, "decide-unit", unit=old.pk, decided_on=make.days_ago(-1).isoformat()
    )

    assert "could be assessed until" in late.content.decode()
    assert in_time.status_code == 302
    assert future.status_code == 200
    entry = LedgerIndex.objects.get(kind=EntryKind.UNIT_DECISION)
    assert entry.happened_on == make.days_ago(3)


def test_a_report_is_made_once(client, floor, followed, coordinator):
    given = {"entry": followed.seq, "reported_on": make.days_ago(2).isoformat()}

    first = act(client, coordinator, floor.trainee, "report-unit", **given)
    again = act(client, coordinator, floor.trainee, "report-unit", **given)
    before = client.get(f"/people/{floor.trainee.pk}/sign/report-unit/", {"entry": followed.seq}).content.decode()

    assert (first.status_code, again.status_code) == (302, 200)
    assert "was reported on" in before
    assert LedgerIndex.objects.filter(kind=EntryKind.UNIT_REPORTED).count() == 1


def test_nothing_typed_is_lost_when_a_moderation_is_not_taken(client, floor, followed, coordinator):
    given = {"entry": followed.seq, "moderated_on": make.today().isoformat(), "agrees": "no", "reason": "no readings"}
    before = LedgerEntry.objects.count()

    unnamed = act(client, coordinator, floor.trainee, "moderate-unit", **given).content.decode()
    wrong = act(
        client,
        coordinator,
        floor.trainee,
        "moderate-unit",
        **{**given, "moderator": "Rune Holm", "pin": make.WRONG_PIN},
    ).content.decode()
    silent = act(
        client, coordinator, floor.trainee, "moderate-unit", **{**given, "moderator": "Rune Holm", "reason": ""}
    ).content.decode()

    assert "Say who the moderator was." in unnamed
    assert "no readings" in unnamed
    assert "Rune Holm" in wrong
    assert "no readings" in wrong
    assert "A reason must be given." in silent
    assert "Rune Holm" in silent
    assert LedgerEntry.objects.count() == before


def test_a_moderation_is_recorded_by_coordinator_and_auditor(client, floor, followed, coordinator):
    auditor = make.make_person(floor.plant, "Perpetua Lind", with_pin=True)
    make.grant(auditor, AuthorityKind.AUDIT)
    given = {"entry": followed.seq, "moderated_on": make.today().isoformat(), "agrees": "yes"}

    by_auditor = act(client, auditor, floor.trainee, "moderate-unit", **given)
    by_office = act(client, coordinator, floor.trainee, "moderate-unit", moderator="Rune Holm", **given)

    assert (by_auditor.status_code, by_office.status_code) == (302, 302)
    text = page_of(client, floor.trainee, coordinator).content.decode()
    assert "The moderator Perpetua Lind agreed" in text
    assert "The moderator Rune Holm agreed" in text


def test_what_a_disagreement_puts_under_review_is_told_before(client, floor, followed, coordinator):
    client.force_login(coordinator.user)

    text = client.get(f"/people/{floor.trainee.pk}/sign/moderate-unit/", {"entry": followed.seq}).content.decode()

    assert "puts these sign-offs under review" in text
    assert "PK-01" in text


def test_whoever_decided_is_told_that_they_do_not_moderate(client, floor, followed):
    make.grant(floor.assessor, AuthorityKind.AUDIT)
    client.force_login(floor.assessor.user)

    text = client.get(f"/people/{floor.trainee.pk}/sign/moderate-unit/", {"entry": followed.seq}).content.decode()

    assert "hoever decided the unit does not moderate it" in text


def test_the_list_of_units_tells_versions_who_is_part_way_and_what_is_to_be_reported(
    client, floor, followed, pathway, coordinator
):
    make_unit(floor, "U202", last_date_for_assessment=make.days_ago(-30))
    make_unit(floor, "U203", last_date_for_assessment=make.days_ago(1))
    make_unit(floor, "U204", first_date_for_assessment=make.days_ago(-9))
    client.force_login(coordinator.user)

    text = client.get("/units/").content.decode()

    assert "expiring: to be decided by" in text
    assert "discontinued, last day" in text
    assert "to be decided from" in text
    assert "Tove Brandvold" in text
    assert f"report-unit/?entry={followed.seq}" in text


def test_a_unit_whose_evidence_was_annulled_is_on_the_moderators_list(client, floor, followed, coordinator):
    auditor = entrusted(floor, AuthorityKind.AUDIT)
    opinion = Opinion(agrees=True)
    client.force_login(auditor.user)
    assert "moderate-unit/?entry" not in client.get("/units/").content.decode()

    withdraw(
        on_task=OnTask(person=floor.trainee, task=floor.task),
        by=make.signer(coordinator),
        when=when(5),
        reason="seen unsafe",
    )
    flagged = client.get("/units/").content.decode()
    moderate_unit(person=floor.trainee, decision=followed.seq, opinion=opinion, by=make.signer(auditor), when=when(4))
    looked_at = client.get("/units/").content.decode()

    assert "was withdrawn on" in flagged
    assert f"moderate-unit/?entry={followed.seq}" in flagged
    assert "was withdrawn on" not in looked_at


@pytest.mark.parametrize("size", [1, 6])
def test_the_pages_cost_the_same_queries_at_any_size(
    client, floor, pathway, coordinator, size, django_assert_num_queries
):
    units = [make_unit(floor, f"U30{number}") for number in range(1 + size)]
    people = [floor.trainee, *(make.make_person(floor.plant) for _ in range(size))]
    for person in people:
        make.hold(person, floor.task)
        enrol(person=person, qualification=pathway, by=make.signer(coordinator), when=when(40))
        for each in units:
            decide_unit(
                person=person, result=UnitResult(unit=each), assessor=make.signer(floor.assessor), when=when(20)
            )
    client.force_login(coordinator.user)
    pages = {"/units/": UNITS_QUERIES, f"/people/{floor.trainee.pk}/pathway/": PATHWAY_QUERIES}
    for page in pages:
        client.get(page)

    for page, queries in pages.items():
        with django_assert_num_queries(queries):
            assert client.get(page).status_code == 200
