"""Annulling, doubting and looking again, through the ledger."""

import pytest

from competencies.ledger.reading import read_entry
from competencies.models import Authority, Detached, LedgerEntry, LedgerIndex
from competencies.operations.annulments import Ruling, annul, put_under_review, reverify
from competencies.operations.conflicts import Declared, declare_conflict
from competencies.operations.decisions import Verdict, When, assess, sign_second
from competencies.operations.outcomes import appeal, owe_check, review_attempts, see_outcome
from competencies.operations.recording import OnTask, RefusedError
from competencies.operations.rights import end_authority
from competencies.operations.runs import Observed
from competencies.queries.annulments import annulment_preview
from competencies.queries.conflicts import conflicts_of
from competencies.queries.facts import rule_of
from competencies.queries.reviews import review_lines, under_review
from competencies.standing.facts import SITE, Annulment
from competencies.vocabulary import (
    AnnulmentCause,
    AuthorityKind,
    CheckCause,
    ConflictCause,
    Criticality,
    DoubtCause,
    Judgement,
    Outcome,
    Standing,
)
from tests import factories as make

pytestmark = pytest.mark.django_db


def assessed(floor, trainee, *, ago, by=None, outcome=Outcome.COMPETENT, task=None):
    """Record two runs and an assessment by `by` (the floor's assessor) so many days ago; return the fact."""
    task = task or floor.task
    for more in (2, 1):
        make.run(trainee, task, floor.trainer, ago=ago + more)
    day = make.days_ago(ago)
    last = Judgement.MET if outcome is Outcome.COMPETENT else Judgement.NOT_MET
    verdict = Verdict(outcome=outcome, revision=1, observed=Observed(judged={1: Judgement.MET, 2: last}))
    assess(
        on_task=OnTask(person=trainee, task=task),
        assessor=make.signer(by or floor.assessor),
        verdict=verdict,
        when=When(happened_at=make.at(day, "11:00"), on=day, now=make.at(day, "11:05")),
    )
    return rule_of(trainee).holding(task.code, SITE).attempts[-1].assessment


def now(clock="12:00", ago=1):
    day = make.days_ago(ago)
    return When(happened_at=make.at(day, clock), on=day, now=make.at(day, clock))


@pytest.fixture
def coordinator(floor):
    person = make.make_person(floor.plant, "Hana Morrow")
    make.grant(person, AuthorityKind.COORDINATE)
    return make.signer(person)


RULING = Ruling(cause=AnnulmentCause.FALSE_EVIDENCE, reason="the runs never took place")


def period(person, floor, when):
    return rule_of(person).timeline(floor.task.code, SITE).at(when.happened_at)


def test_an_annulment_writes_itself_and_the_reviews_in_one_act(floor, coordinator):
    other, later = make.make_person(floor.plant), make.make_person(floor.plant)
    before = assessed(floor, other, ago=21)
    signoff = assessed(floor, floor.trainee, ago=20)
    doubted = assessed(floor, later, ago=19)

    done = annul(signoff=signoff, holder=floor.trainee, ruling=RULING, by=coordinator, when=now())

    entry = read_entry(LedgerEntry.objects.get(seq=done.annulment.seq))
    assert (entry["of"], entry["cause"], entry["unentitled_from"]) == (
        signoff.seq,
        "false_evidence",
        make.days_ago(20),
    )
    [review] = done.reviews
    written = read_entry(LedgerEntry.objects.get(seq=review.seq))
    assert (written["of"], written["annulment"], written["cause"], written["subject"]) == (
        doubted.seq,
        done.annulment.seq,
        "same_assessor",
        later.pk,
    )
    assert before.seq not in LedgerIndex.objects.filter(kind="review").values_list("of", flat=True)
    assert not period(floor.trainee, floor, now("12:01")).counts
    assert [each.code for each in period(later, floor, now("12:01")).reasons] == ["under_review"]
    assert period(later, floor, now("11:59")).reasons == ()


def test_the_reason_is_kept_where_it_can_be_erased(floor, coordinator):
    signoff = assessed(floor, floor.trainee, ago=20)

    done = annul(signoff=signoff, holder=floor.trainee, ruling=RULING, by=coordinator, when=now())

    assert b"never took place" not in bytes(LedgerEntry.objects.get(seq=done.annulment.seq).body)
    assert Detached.objects.filter(kind="note", value="the runs never took place").exists()


def test_a_refused_annulment_writes_nothing(floor):
    signoff = assessed(floor, floor.trainee, ago=20)
    size = LedgerEntry.objects.count()

    with pytest.raises(RefusedError) as refused:
        annul(
            signoff=signoff,
            holder=floor.trainee,
            ruling=Ruling(cause=AnnulmentCause.NOT_ENTITLED, reason=""),
            by=make.signer(floor.assessor),
            when=now(),
        )

    assert {each.code for each in refused.value.refusals} == {"no_authority", "no_reason", "own_signoff"}
    assert LedgerEntry.objects.count() == size


def test_a_sign_off_taken_over_from_an_older_record_puts_no_other_in_doubt(floor, coordinator):
    other = make.make_person(floor.plant)
    taken_over = make.hold(floor.trainee, floor.task, assessed=20)
    make.hold(other, floor.task, assessed=19)
    fact = rule_of(floor.trainee).holding(floor.task.code, SITE).attempts[-1].assessment
    assert fact.seq == taken_over.seq

    done = annul(signoff=fact, holder=floor.trainee, ruling=RULING, by=coordinator, when=now())

    assert done.reviews == ()


def test_the_first_day_in_doubt_is_read_from_the_authorities_as_known_now(floor, coordinator):
    judge, early = make.make_person(floor.plant), make.make_person(floor.plant)
    make.grant(judge, AuthorityKind.ASSESS, area=floor.area)
    make.hold(judge, floor.task, assessed=60)
    on_the_day = assessed(floor, early, ago=25, by=judge)
    signoff = assessed(floor, floor.trainee, ago=20, by=judge)
    authority = Authority.objects.select_related("person__plant").get(person=judge)
    end_authority(authority=authority, last_day=make.days_ago(26), by=coordinator, now=now("09:00").now)

    ruling = Ruling(cause=AnnulmentCause.NOT_ENTITLED, reason="the authority had ended")
    done = annul(signoff=signoff, holder=floor.trainee, ruling=ruling, by=coordinator, when=now())

    facts = {fact.seq: fact for fact in rule_of(floor.trainee).holding(floor.task.code, SITE).case.all_of(Annulment)}
    assert facts[done.annulment.seq].unentitled_from == make.days_ago(25)
    assert LedgerIndex.objects.get(kind="review").of == on_the_day.seq


def test_a_second_review_changes_nothing_and_a_look_again_ends_it(floor, coordinator):
    floor_two = make.make_person(floor.plant)
    make.grant(floor_two, AuthorityKind.ASSESS)
    make.hold(floor_two, floor.task, assessed=60)
    signoff = assessed(floor, floor.trainee, ago=20)
    given = {"signoff": signoff, "holder": floor.trainee}

    first = put_under_review(**given, by=coordinator, when=now("12:00", 5))
    again = put_under_review(**given, by=coordinator, when=now("12:00", 4))

    assert (again.seq, again.repeated) == (first.seq, True)
    assert LedgerIndex.objects.filter(kind="review").count() == 1
    with pytest.raises(RefusedError, match="assessed_it"):
        reverify(**given, by=make.signer(floor.assessor), when=now("12:00", 3))
    reverify(**given, by=make.signer(floor_two), when=now("12:00", 3), reason="watched a whole shift")
    assert period(floor.trainee, floor, now("12:00", 2)).reasons == ()


@pytest.mark.parametrize("criticality", [Criticality.NONE, Criticality.FOOD])
def test_the_preview_says_what_stops_and_until_when(criticality):
    floor = make.make_floor(criticality=criticality)
    other = make.make_person(floor.plant)
    signoffs = [assessed(floor, person, ago=5) for person in (floor.trainee, other)]
    if criticality is Criticality.FOOD:
        sign_second_time(floor, signoffs, (floor.trainee, other))
    make.roster(other, ago=-1)
    make.roster(other, ago=-2)
    make.roster(other, ago=1)

    found = annulment_preview(signoffs[0], floor.plant, since=None, now=now("12:00", 0).now, on=make.today())

    own, doubted = found.losses
    assert found.since == make.days_ago(5)
    assert (own.person, own.cause, own.stops_now) == (floor.trainee, None, True)
    assert (doubted.person, doubted.cause, doubted.shifts) == (other, DoubtCause.SAME_ASSESSOR, 2)
    expected = (True, None) if criticality is Criticality.FOOD else (False, make.days_ago(-14))
    assert (doubted.stops_now, doubted.until_on) == expected


def sign_second_time(floor, signoffs, trainees):
    """Sign assessments as the second, with the food role."""
    second = make.make_person(floor.plant)
    make.grant(second, AuthorityKind.SIGN_FOOD)
    signer = make.signer(second)
    for signoff, trainee in zip(signoffs, trainees, strict=True):
        sign_second(assessment=signoff, trainee=trainee, task=floor.task, signer=signer, when=now("12:00", 4))


def test_a_preview_costs_the_same_queries_at_any_size(floor, django_assert_max_num_queries):
    signoff = assessed(floor, floor.trainee, ago=30)
    counts = []
    for size in (1, 4):
        for _each in range(size):
            assessed(floor, make.make_person(floor.plant), ago=20)
        annulment_preview(signoff, floor.plant, since=None, now=now().now, on=make.today())
        with django_assert_max_num_queries(40) as captured:
            annulment_preview(signoff, floor.plant, since=None, now=now().now, on=make.today())
        counts.append(len(captured.captured_queries))

    assert counts[0] == counts[1]


def test_the_list_holds_what_is_under_review_and_no_more(floor, coordinator):
    people = [make.make_person(floor.plant) for _each in range(3)]
    signoffs = [assessed(floor, person, ago=20) for person in people]
    for signoff, person in zip(signoffs, people, strict=True):
        put_under_review(signoff=signoff, holder=person, by=coordinator, when=now())
    judge = make.make_person(floor.plant)
    make.grant(judge, AuthorityKind.ASSESS)
    make.hold(judge, floor.task, assessed=60)
    reverify(signoff=signoffs[0], holder=people[0], by=make.signer(judge), when=now("13:00"))
    annul(signoff=signoffs[1], holder=people[1], ruling=RULING, by=coordinator, when=now("14:00"))

    found = review_lines(list(under_review(floor.plant, now=now("15:00").now)), floor.plant)

    [line] = found
    [reviewed] = line.reviewed
    assert (line.row.person, line.until_on) == (people[2], make.days_ago(1 - 14))
    assert (reviewed.assessment.seq, reviewed.assessor, reviewed.review.cause) == (
        signoffs[2].seq,
        floor.assessor,
        "in_question",
    )


# --- what follows an assessment


def test_a_trainee_appeals_and_the_remark_is_kept_apart(floor):
    failed = assessed(floor, floor.trainee, ago=5, outcome=Outcome.NOT_YET_COMPETENT)
    me = make.signer(floor.trainee)

    see_outcome(assessment=failed, trainee=floor.trainee, by=me, when=now("12:00", 4))
    done = appeal(assessment=failed, trainee=floor.trainee, by=me, when=now("12:00", 3), remark="the gauge was off")

    assert b"gauge" not in bytes(LedgerEntry.objects.get(seq=done.seq).body)
    assert Detached.objects.filter(kind="remark", value="the gauge was off").exists()
    assert "appealed" in {each.code for each in period(floor.trainee, floor, now("12:00", 2)).reasons}
    with pytest.raises(RefusedError, match="appeal_to_another"):
        assessed(floor, floor.trainee, ago=0)
    with pytest.raises(RefusedError, match="not_the_trainee"):
        appeal(assessment=failed, trainee=floor.trainee, by=make.signer(floor.trainer), when=now())


def test_the_review_of_three_attempts_lets_a_fourth_be_made(floor, coordinator):
    others = [make.make_person(floor.plant) for _each in range(2)]
    for judge in others:
        make.grant(judge, AuthorityKind.ASSESS)
        make.hold(judge, floor.task, assessed=60)
    for ago, judge in ((30, floor.assessor), (25, others[0]), (20, others[1])):
        assessed(floor, floor.trainee, ago=ago, by=judge, outcome=Outcome.NOT_YET_COMPETENT)
    with pytest.raises(RefusedError, match="review_first"):
        assessed(floor, floor.trainee, ago=10)

    review_attempts(
        on_task=OnTask(person=floor.trainee, task=floor.task),
        by=coordinator,
        when=now("12:00", 9),
        reason="taught anew",
    )

    assert assessed(floor, floor.trainee, ago=5).outcome is Outcome.COMPETENT


def test_an_extra_check_stops_a_critical_task():
    floor = make.make_floor(criticality=Criticality.FOOD)
    supervisor = make.make_person(floor.plant)
    make.grant(supervisor, AuthorityKind.SUPERVISE)
    on_task = OnTask(person=floor.trainer, task=floor.task)

    owe_check(on_task=on_task, cause=CheckCause.ACCIDENT, by=make.signer(supervisor), when=now())

    assert period(floor.trainer, floor, now("12:00")).standing is Standing.SUSPENDED
    assert period(floor.trainer, floor, now("11:59")).counts
    with pytest.raises(RefusedError, match="no_authority"):
        owe_check(on_task=on_task, cause=CheckCause.ACCIDENT, by=make.signer(floor.trainee), when=now())


def test_a_declared_conflict_bars_the_assessor_and_is_shown_to_both(floor):
    declared = Declared(other=floor.assessor, cause=ConflictCause.HOUSEHOLD, from_on=make.days_ago(30))

    declare_conflict(person=floor.trainee, declared=declared, by=make.signer(floor.trainee), when=now("12:00", 30))

    with pytest.raises(RefusedError, match="conflict"):
        assessed(floor, floor.trainee, ago=5)
    for person, other in ((floor.trainee, floor.assessor), (floor.assessor, floor.trainee)):
        [shown] = conflicts_of(person, on=make.today())
        assert (shown.other, shown.cause, shown.until_on) == (other, ConflictCause.HOUSEHOLD, None)
    assert conflicts_of(floor.trainer, on=make.today()) == []
    with pytest.raises(RefusedError, match="not_between_them"):
        declare_conflict(person=floor.trainee, declared=declared, by=make.signer(floor.trainer), when=now())
