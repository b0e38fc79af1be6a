"""Enrolment, decisions on units, reports and moderations, as they are written to the ledger (R8)."""

import pytest

from competencies.ledger.reading import opened, read_entry
from competencies.ledger.verifying import verify_ledger
from competencies.models import (
    Enrolment,
    LedgerEntry,
    LedgerIndex,
    OutcomeItem,
    Qualification,
    UnitOutcome,
    UnitStandard,
)
from competencies.operations.decisions import When
from competencies.operations.moderation import Opinion, moderate_unit, report_unit
from competencies.operations.pathways import UnitResult, decide_unit, enrol
from competencies.operations.recording import RefusedError
from competencies.queries.pathways import pathways_of
from competencies.queries.standing import standings_at
from competencies.vocabulary import AuthorityKind, Criticality, EntryKind
from tests import factories as make

pytestmark = pytest.mark.django_db
AGREES = Opinion(agrees=True)
DISAGREES = Opinion(agrees=False, reason="the seams were not measured", moderator="Rune Holm")


@pytest.fixture
def floor():
    return make.make_floor(criticality=Criticality.FOOD)


@pytest.fixture
def unit(floor):
    return make_unit(floor, "U101", credits_=5)


@pytest.fixture
def pathway(floor):
    return Qualification.objects.create(
        plant=floor.plant, code="Q", title="Fills bottles", min_total_credits=5, rules=[]
    )


@pytest.fixture
def coordinator(floor):
    return entrusted(floor, AuthorityKind.COORDINATE)


@pytest.fixture
def auditor(floor):
    return entrusted(floor, AuthorityKind.AUDIT)


def entrusted(floor, kind):
    person = make.make_person(floor.plant)
    make.grant(person, kind)
    return person


def make_unit(floor, code, *, credits_=5, **fields):
    row = UnitStandard.objects.create(
        plant=floor.plant, code=code, title=f"Unit {code}", level=3, credits=credits_, group="K", **fields
    )
    outcome = UnitOutcome.objects.create(unit=row, number=1)
    OutcomeItem.objects.create(outcome=outcome, task=floor.task)
    return row


def when(ago=0, clock="10:00", *, entered=None):
    day = make.days_ago(ago)
    return When(
        happened_at=make.at(day, clock),
        on=day,
        now=make.at(make.days_ago(entered if entered is not None else ago), clock),
    )


def decide(floor, unit, ago=20, **fields):
    result = UnitResult(unit=unit, **fields)
    return decide_unit(person=floor.trainee, result=result, assessor=make.signer(floor.assessor), when=when(ago))


def moderate(floor, seq, by, opinion, ago=5):
    return moderate_unit(person=floor.trainee, decision=seq, opinion=opinion, by=make.signer(by), when=when(ago))


def report(floor, seq, by, ago=10):
    return report_unit(person=floor.trainee, decision=seq, by=make.signer(by), when=when(ago))


def written(seq):
    return read_entry(LedgerEntry.objects.get(seq=seq))


def refused(act):
    with pytest.raises(RefusedError) as caught:
        act()
    return {each.code for each in caught.value.refusals}


def standing_of(floor, ago=0):
    held = standings_at(people=[floor.trainee.pk], moment=make.at(make.days_ago(ago), "23:00"), tasks=["PK-01"])
    return held[0].period.standing.value


def test_a_decision_names_what_it_rests_on(floor, unit):
    signed = make.hold(floor.trainee, floor.task)

    decided = decide(floor, unit)

    entry = written(decided.seq)
    assert entry["evidence"] == (signed.seq, signed.seq + 1)
    assert (entry["credits"], entry["actor_role"]) == (5, "assess")
    assert entry["actor_right"] == floor.assessor.authorities.get().entry_seq


def test_credit_from_elsewhere_names_nothing_and_gives_no_standing(floor, unit, pathway):
    decided = decide(floor, unit, elsewhere=True)

    assert written(decided.seq)["elsewhere"] is True
    assert written(decided.seq).get("evidence") in {None, ()}
    assert pathways_of([floor.trainee], on=make.today(), only=pathway)[0].result.total == 5
    assert not standings_at(people=[floor.trainee.pk], moment=make.at(make.today()))


def test_a_decision_without_its_outcome_or_by_no_assessor_writes_nothing(floor, unit, coordinator):
    before = LedgerEntry.objects.count()
    result = UnitResult(unit=unit)

    assert refused(lambda: decide(floor, unit)) == {"outcome_not_met"}
    by_office = lambda: decide_unit(  # noqa: E731 - what is refused
        person=floor.trainee, result=result, assessor=make.signer(coordinator), when=when(1)
    )
    assert refused(by_office) == {"outcome_not_met", "no_unit_authority"}
    assert LedgerEntry.objects.count() == before


def test_a_version_is_closed_the_day_after_its_last(floor):
    make.hold(floor.trainee, floor.task)
    unit = make_unit(floor, "U7", last_date_for_assessment=make.days_ago(10))

    assert refused(lambda: decide(floor, unit, ago=9)) == {"version_closed"}
    assert decide(floor, unit, ago=10)


def test_a_disagreement_after_the_report_puts_the_sign_off_under_review_at_once(floor, unit, pathway, coordinator):
    make.hold(floor.trainee, floor.task)
    decided = decide(floor, unit)
    report(floor, decided.seq, coordinator)

    moderated = moderate(floor, decided.seq, coordinator, DISAGREES)

    result = pathways_of([floor.trainee], on=make.today(), only=pathway)[0].result
    assert (result.total, result.disputed, result.awarded_on) == (5, ("U101",), None)
    assert result.held_since == make.days_ago(20)
    review = LedgerIndex.objects.get(kind=EntryKind.REVIEW)
    assert review.pk == moderated.seq + 1
    assert written(review.pk)["cause"] == "unit_disputed"
    assert [standing_of(floor, ago) for ago in (6, 5)] == ["in_force", "under_review"]


def test_before_the_report_it_counts_no_more_and_is_not_reported(floor, unit, pathway, coordinator):
    make.hold(floor.trainee, floor.task)
    decided = decide(floor, unit)

    moderate(floor, decided.seq, coordinator, DISAGREES)

    assert pathways_of([floor.trainee], on=make.today(), only=pathway)[0].result.total == 0
    assert refused(lambda: report(floor, decided.seq, coordinator, ago=4)) == {"moderator_disagrees"}


def test_a_sign_off_under_review_is_not_put_there_again(floor, unit, coordinator):
    make.hold(floor.trainee, floor.task)
    decided = decide(floor, unit)
    moderate(floor, decided.seq, coordinator, DISAGREES)

    moderate(floor, decided.seq, coordinator, DISAGREES, ago=4)

    assert LedgerIndex.objects.filter(kind=EntryKind.REVIEW).count() == 1


def test_agreement_changes_nothing_on_the_floor(floor, unit, auditor):
    make.hold(floor.trainee, floor.task)
    decided = decide(floor, unit)

    moderate(floor, decided.seq, auditor, AGREES)

    assert not LedgerIndex.objects.filter(kind=EntryKind.REVIEW).exists()
    assert standing_of(floor) == "in_force"


def test_who_may_not_report_or_moderate_writes_nothing(floor, unit, coordinator, auditor):
    make.hold(floor.trainee, floor.task)
    decided = decide(floor, unit).seq
    before = LedgerEntry.objects.count()

    assert refused(lambda: report(floor, decided, auditor)) == {"not_coordinator"}
    assert refused(lambda: moderate(floor, decided, floor.assessor, AGREES)) >= {"not_moderator", "decided_it"}
    assert refused(lambda: moderate(floor, decided, coordinator, AGREES)) == {"moderator_unnamed"}
    assert refused(lambda: report(floor, decided + 100, coordinator)) == {"unknown_decision"}
    assert LedgerEntry.objects.count() == before


def test_what_the_moderator_said_and_is_called_can_be_erased(floor, unit, coordinator):
    make.hold(floor.trainee, floor.task)
    moderated = moderate(floor, decide(floor, unit).seq, coordinator, DISAGREES)

    entry = written(moderated.seq)

    body = bytes(LedgerEntry.objects.get(seq=moderated.seq).body).decode()
    assert "Rune Holm" not in body
    assert "seams" not in body
    assert opened([entry["moderator"], entry["note"]]) == {
        entry["moderator"]: "Rune Holm",
        entry["note"]: "the seams were not measured",
    }
    assert verify_ledger(with_values=True).count == LedgerEntry.objects.count()


def test_moving_to_a_newer_version_points_at_the_enrolment_before(floor, pathway, coordinator):
    newer = Qualification.objects.create(
        plant=floor.plant, code="Q", version=2, title="Q", min_total_credits=9, rules=[]
    )
    first = enrol(person=floor.trainee, qualification=pathway, by=make.signer(coordinator), when=when(50))

    second = enrol(person=floor.trainee, qualification=newer, by=make.signer(coordinator), when=when(20))

    assert written(second.entry_seq)["of"] == first.entry_seq
    followed = {ago: pathways_of([floor.trainee], on=make.days_ago(ago)) for ago in (21, 20)}
    assert [[each.qualification.version for each in found] for found in followed.values()] == [[1], [2]]
    both = pathways_of([floor.trainee], on=make.today(), with_earlier=True)
    assert [(each.qualification.version, each.moved_to and each.moved_to.pk) for each in both] == [
        (1, second.pk),
        (2, None),
    ]
    then = pathways_of([floor.trainee], on=make.today(), known=make.at(make.days_ago(30)))
    assert [each.qualification.version for each in then] == [1]


@pytest.mark.parametrize(
    ("last", "ago", "codes"), [(20, 20, None), (20, 19, {"enrolment_closed"})], ids=["last day", "the day after"]
)
def test_a_pathway_can_be_begun_to_its_last_day(floor, pathway, coordinator, last, ago, codes):
    pathway.last_date_to_enrol = make.days_ago(last)
    pathway.save(update_fields=["last_date_to_enrol"])
    act = lambda: enrol(  # noqa: E731 - what may be refused
        person=floor.trainee, qualification=pathway, by=make.signer(coordinator), when=when(ago)
    )

    if codes:
        assert refused(act) == codes
        assert not Enrolment.objects.exists()
    else:
        assert act().enrolled_on == make.days_ago(ago)


def test_an_enrolment_is_made_once_and_by_a_coordinator(floor, pathway, coordinator, auditor):
    enrol(person=floor.trainee, qualification=pathway, by=make.signer(coordinator), when=when(3))

    again = lambda by: enrol(person=floor.trainee, qualification=pathway, by=make.signer(by), when=when(2))  # noqa: E731

    assert refused(lambda: again(coordinator)) == {"already_enrolled"}
    assert refused(lambda: again(auditor)) == {"already_enrolled", "not_coordinator"}


@pytest.mark.parametrize("size", [1, 8])
def test_progress_of_many_costs_the_same_queries(floor, unit, pathway, coordinator, size, django_assert_num_queries):
    people = [floor.trainee, *(make.make_person(floor.plant) for _ in range(size - 1))]
    for person in people:
        make.hold(person, floor.task)
        enrol(person=person, qualification=pathway, by=make.signer(coordinator), when=when(25))
        decide_unit(person=person, result=UnitResult(unit=unit), assessor=make.signer(floor.assessor), when=when(20))

    pathways_of(people, on=make.today())
    with django_assert_num_queries(5):
        found = pathways_of(people, on=make.today())

    assert [each.result.total for each in found] == [5] * size
