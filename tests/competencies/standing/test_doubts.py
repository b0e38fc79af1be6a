"""What an annulment leaves in doubt (R6.4): from which day, whose sign-offs, and which are left. Worked by hand."""

import pytest

from competencies.standing.doubts import Annulled, first_unentitled_day, open_review
from competencies.standing.entitlement import AuthorityGrant
from competencies.standing.facts import SITE, Annulment, Correction, Reverification, Review
from competencies.vocabulary import AuthorityKind, DoubtCause
from tests.competencies.standing.plant import (
    ANA,
    BEN,
    CHEN,
    DARA,
    ELI,
    FAY,
    GUS,
    HANA,
    IVO,
    NOOR,
    Book,
    at,
    d,
    frame,
    judged,
    revision,
    task,
)

T = "T-01"


def grant(kind, area="T", start="2020-01-01", end=None):
    until = d(end) if end else None
    return AuthorityGrant(kind=AuthorityKind(kind), area=area, from_on=d(start), until_on=until)


ASSESSES = (grant("assess"),)


def book_of(critical="none", **asked):
    """Return a book in which Dara, Eli and Fay hold the task."""
    asked = {"runs": 0, "validity_months": 24, **asked}
    others = [task(code, runs=0, validity_months=24) for code in ("T-02", "U-01")]
    book = Book(frame(task(T, critical, **asked), *others))
    for person in (DARA, ELI, FAY):
        book.sign_off(person, T, "2025-01-06 08:00", by=HANA)
    return book


# --- the first day in doubt


@pytest.mark.parametrize(
    ("grants", "expected"),
    [
        pytest.param([grant("assess")], "2025-03-03", id="entitled by authority: the day of the assessment"),
        pytest.param([grant("assess", end="2025-03-03")], "2025-03-03", id="the last day still entitles"),
        pytest.param([grant("assess", end="2025-03-02")], "2025-03-03", id="ended the day before"),
        pytest.param([grant("assess", end="2025-01-31")], "2025-02-01", id="the day after the last of it"),
        pytest.param(
            [grant("assess", end="2024-01-31"), grant("assess", end="2025-01-31")],
            "2025-02-01",
            id="the newest of two",
        ),
        pytest.param(
            [grant("assess", area=None, end="2025-01-31")], "2025-02-01", id="an authority for the whole plant"
        ),
        pytest.param([grant("assess", area="U")], "2025-01-20", id="only for another area: never for this one"),
        pytest.param([grant("assess", area="U", end="2025-01-31")], "2025-01-20", id="ended, for another area"),
        pytest.param([grant("train")], "2025-01-20", id="only another authority"),
        pytest.param([grant("train", end="2025-01-31")], "2025-01-20", id="another authority that ended"),
        pytest.param([grant("assess", start="2025-03-04")], "2025-01-20", id="not yet"),
        pytest.param([], "2025-01-20", id="never: the first of the sign-offs judged"),
    ],
)
def test_the_first_day_in_doubt(grants, expected):
    book = book_of()
    first = book.assess(BEN, T, "2025-01-20", by=DARA)
    seq = book.assess(ANA, T, "2025-03-03", by=DARA)
    later = book.assess(CHEN, T, "2025-04-01", by=DARA)
    facts = {fact.seq: fact for fact in book.facts}

    found = first_unentitled_day(facts[seq], "T", grants, [facts[first], facts[seq], facts[later]])

    assert found == d(expected)


def test_the_first_day_in_doubt_is_the_own_where_nothing_else_was_judged():
    book = book_of()
    book.assess(ANA, T, "2025-03-03", by=DARA)

    assert first_unentitled_day(book.facts[-1], "T", []) == d("2025-03-03")


# --- what goes under review


def doubts(book, seq, since, until="2025-05-20 09:00", grants=(), people=range(1, 11)):
    target = next(fact for fact in book.facts if fact.seq == seq)
    facts = {person: [fact for fact in book.facts if fact.person == person] for person in people}
    found = Annulled(target, facts, grants, book.plant).doubts(d(since), at(until))
    return {doubt.assessment.seq: doubt.cause for doubt in found}


def test_r6_4_the_others_of_the_assessor_from_the_first_day_in_doubt():
    book = book_of()
    before = book.assess(BEN, T, "2025-02-28", by=DARA)
    first = book.assess(CHEN, T, "2025-03-01", by=DARA)
    annulled = book.assess(ANA, T, "2025-03-03", by=DARA)
    same_area = book.assess(IVO, "T-02", "2025-03-04", by=DARA)
    last = book.assess(FAY, T, "2025-05-20 09:00", by=DARA)
    after = book.assess(NOOR, T, "2025-05-20 09:01", by=DARA)
    failed = book.assess(GUS, T, "2025-03-05", by=DARA, outcome="not_yet_competent", judged=judged(not_met=(1,)))
    by_another = book.assess(HANA, T, "2025-03-05", by=ELI)

    found = doubts(book, annulled, "2025-03-01", grants=ASSESSES)

    assert found == dict.fromkeys((first, same_area, last), DoubtCause.SAME_ASSESSOR)
    assert not {before, annulled, after, failed, by_another} & set(found)


@pytest.mark.parametrize(
    ("grants", "is_in_doubt"),
    [
        pytest.param((grant("assess"), grant("assess", "U")), False, id="entitled in the other area"),
        pytest.param((grant("assess"), grant("assess", "U", end="2025-03-04")), False, id="on its last day"),
        pytest.param((grant("assess"), grant("assess", "U", end="2025-03-03")), True, id="not any more in the other"),
        pytest.param((grant("assess"),), True, id="never in the other"),
    ],
)
def test_r6_4_another_area_is_in_doubt_where_the_assessor_had_no_authority_there(grants, is_in_doubt):
    book = book_of()
    annulled = book.assess(ANA, T, "2025-03-03", by=DARA)
    other = book.assess(IVO, "U-01", "2025-03-04", by=DARA)

    assert (other in doubts(book, annulled, "2025-03-03", grants=grants)) is is_in_doubt


def test_r6_4_what_is_doubted_or_looked_at_or_struck_already_is_left():
    book = book_of()
    annulled = book.assess(ANA, T, "2025-03-03", by=DARA)
    under_review, looked_at, corrected, gone, unsigned = (
        book.assess(person, T, "2025-03-04", by=DARA) for person in (BEN, CHEN, IVO, NOOR, GUS)
    )
    book.of(Review, under_review, "2025-04-01", by=HANA)
    book.of(Review, looked_at, "2025-04-01", by=HANA)
    book.of(Reverification, looked_at, "2025-04-02", by=ELI)
    book.of(Correction, corrected, "2025-04-01", by=HANA)
    book.of(Annulment, gone, "2025-04-01", by=HANA)

    assert doubts(book, annulled, "2025-03-03") == {unsigned: DoubtCause.SAME_ASSESSOR}


def test_r6_4_what_was_looked_at_again_is_left_though_its_review_was_entered_in_error():
    book = book_of()
    annulled = book.assess(ANA, T, "2025-03-03", by=DARA)
    looked_at = book.assess(BEN, T, "2025-03-04", by=DARA)
    review = book.of(Review, looked_at, "2025-04-01", by=HANA)
    book.of(Reverification, looked_at, "2025-04-02", by=ELI)
    book.of(Correction, review, "2025-04-03", by=HANA)

    assert doubts(book, annulled, "2025-03-03") == {}


def test_r6_4_the_first_in_doubt_is_sought_among_what_the_assessor_signed_off_in_the_area():
    book = book_of()
    first = book.assess(BEN, T, "2025-01-20", by=DARA)
    annulled = book.assess(ANA, T, "2025-03-03", by=DARA)
    second_task = book.assess(CHEN, "T-02", "2025-03-04", by=DARA)
    book.assess(CHEN, T, "2025-01-10", by=ELI)
    book.assess(IVO, "U-01", "2025-01-10", by=DARA)
    book.assess(NOOR, T, "2025-01-10", by=DARA, outcome="not_yet_competent", judged=judged(not_met=(1,)))
    facts = {person: [fact for fact in book.facts if fact.person == person] for person in range(1, 11)}
    target = next(fact for fact in book.facts if fact.seq == annulled)

    found = Annulled(target, facts, (), book.plant).judged_by_assessor()

    assert sorted(each.seq for each in found) == [first, annulled, second_task]


def test_r6_4_a_critical_one_that_still_waits_for_its_signature_is_doubted_too():
    book = book_of("food")
    annulled = book.sign_off(ANA, T, "2025-03-03", by=DARA)
    waiting = book.assess(BEN, T, "2025-05-19", by=DARA)

    assert doubts(book, annulled, "2025-03-03") == {waiting: DoubtCause.SAME_ASSESSOR}


def taught(**asked):
    """Ana was signed off by Dara on 3 March after a run; she teaches and judges from then on."""
    book = book_of(runs=1, **asked)
    book.run(ANA, T, "2025-03-02", by=ELI)
    return book, book.assess(ANA, T, "2025-03-03", by=DARA)


def test_r6_4_what_the_holder_judged_under_it_and_what_rests_on_runs_watched_under_it():
    book, annulled = taught()
    book.run(BEN, T, "2025-03-04", by=ELI)
    judged_by_ana = book.assess(BEN, T, "2025-03-05", by=ANA)
    book.run(CHEN, T, "2025-03-04", by=ANA)
    watched_by_ana = book.assess(CHEN, T, "2025-03-05", by=ELI)
    book.run(IVO, T, "2025-03-04", by=ELI)
    neither = book.assess(IVO, T, "2025-03-05", by=ELI)
    book.run(NOOR, T, "2025-03-06", by=BEN)
    second_level = book.assess(NOOR, T, "2025-03-07", by=BEN)

    found = doubts(book, annulled, "2025-03-03")

    assert found == {judged_by_ana: DoubtCause.JUDGED_UNDER_IT, watched_by_ana: DoubtCause.WATCHED_UNDER_IT}
    assert not {neither, second_level} & set(found)


def test_r6_4_a_run_that_did_not_count_puts_nothing_in_doubt():
    book, annulled = taught()
    book.run(CHEN, T, "2025-03-04", by=ANA, stopped=True)
    book.run(CHEN, T, "2025-03-04 11:00", by=ELI)
    book.assess(CHEN, T, "2025-03-05", by=ELI)

    assert doubts(book, annulled, "2025-03-03") == {}


def test_r6_4_what_the_holder_judged_by_another_sign_off_is_left():
    book, annulled = taught()
    book.assess(ANA, T, "2025-04-01", by=ELI)
    book.run(BEN, T, "2025-04-02", by=ELI)
    book.assess(BEN, T, "2025-04-03", by=ANA)

    assert doubts(book, annulled, "2025-03-03") == {}


def test_r6_4_what_the_holder_judged_on_another_task_is_left():
    book, annulled = taught()
    book.assess(ANA, "T-02", "2025-03-03", by=ELI)
    book.assess(BEN, "T-02", "2025-03-05", by=ANA)

    assert doubts(book, annulled, "2025-03-03") == {}


REVISED = [revision(1, "2001-01-01"), revision(2, "2025-04-01", approved_on=d("2025-03-15"), touches=(2,))]


def test_r6_4_an_assessment_on_a_coming_revision_rests_on_the_runs_made_on_it():
    # The newest run was made on the revision in force: it does not say what the assessment was.
    book, annulled = taught(revisions=REVISED)
    book.run(CHEN, T, "2025-03-20", by=ANA, revision=2)
    book.run(CHEN, T, "2025-03-21", by=ELI)
    on_the_coming = book.assess(CHEN, T, "2025-03-22", by=ELI, revision=2)

    assert doubts(book, annulled, "2025-03-03") == {on_the_coming: DoubtCause.WATCHED_UNDER_IT}


def test_r6_4_an_assessment_on_the_revision_in_force_rests_on_no_run_on_a_coming_one():
    book, annulled = taught(revisions=REVISED)
    book.run(CHEN, T, "2025-03-20", by=ELI)
    book.run(CHEN, T, "2025-03-21", by=ANA, revision=2)
    book.assess(CHEN, T, "2025-03-22", by=ELI, revision=1)

    assert doubts(book, annulled, "2025-03-03") == {}


def test_r6_4_a_delta_in_the_due_window_rests_on_the_run_it_was_shown_by():
    # Valid one month, Chen could have renewed on 2025-04-05, and a renewal rests on nothing before the sign-off.
    book, annulled = taught(revisions=REVISED, validity_months=1)
    book.run(CHEN, T, "2025-03-18", by=ELI)
    book.run(CHEN, T, "2025-03-20", by=ANA, revision=2)
    book.assess(CHEN, T, "2025-03-21", by=ELI)
    delta = book.assess(CHEN, T, "2025-04-05", by=ELI, revision=2, delta=True)

    assert doubts(book, annulled, "2025-03-03") == {delta: DoubtCause.WATCHED_UNDER_IT}


# --- the review that a sign-off is under


def test_r6_4_annulled_in_turn_it_is_under_review_no_more():
    book = book_of()
    seq = book.assess(ANA, T, "2025-03-03", by=DARA)
    other = book.assess(BEN, T, "2025-03-03", by=DARA)
    for each in (seq, other):
        book.of(Review, each, "2025-05-19", by=HANA)
    book.of(Annulment, seq, "2025-05-20", by=HANA)

    def reviewed(person):
        held = book.rule(person).holding(T, SITE)
        return open_review(held, held.attempts[0].assessment)

    assert reviewed(ANA) is None
    assert reviewed(BEN).of == other
