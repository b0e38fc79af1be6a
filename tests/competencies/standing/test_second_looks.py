"""What may not be written after a sign-off: each refusal beside what is taken. What is in doubt: `test_doubts`."""

import pytest

from competencies.standing.doubts import open_review
from competencies.standing.entitlement import AuthorityGrant, in_conflict
from competencies.standing.facts import (
    SITE,
    Annulment,
    Appeal,
    AttemptsReviewed,
    CheckOwed,
    Conflict,
    Correction,
    OutcomeSeen,
    Reverification,
    Review,
)
from competencies.standing.refusals import refuse_assessment
from competencies.standing.second_looks import (
    refuse_annulment,
    refuse_appeal,
    refuse_attempts_review,
    refuse_conflict,
    refuse_outcome_seen,
    refuse_reverification,
    refuse_review,
)
from competencies.standing.stop_refusals import refuse_check_owed
from competencies.vocabulary import AuthorityKind, ConflictCause
from tests.competencies.standing.plant import (
    ANA,
    BEN,
    DARA,
    ELI,
    FAY,
    GUS,
    HANA,
    NOOR,
    Book,
    at,
    codes,
    d,
    frame,
    judged,
    revision,
    task,
)

NOW = "2025-12-31"
T = "T-01"


def grant(kind, area="T", start="2020-01-01", end=None, seq=0):
    until = d(end) if end else None
    return AuthorityGrant(kind=AuthorityKind(kind), area=area, from_on=d(start), until_on=until, seq=seq)


COORDINATES, ASSESSES = (grant("coordinate"),), (grant("assess"),)


def plant_of(critical="none", runs=0):
    others = [task(code, runs=0, validity_months=24) for code in ("T-02", "U-01")]
    return frame(task(T, critical, runs=runs, validity_months=24), *others)


def book_of(critical="none", runs=0):
    """Dara, Eli and Fay hold the task; Ana was signed off by Dara on 3 March."""
    book = Book(plant_of(critical, runs))
    for person in (DARA, ELI, FAY):
        book.sign_off(person, T, "2025-01-06 08:00", by=HANA)
    return book


def written(kind, book, person, of, *, by, when="2025-05-20 09:00", **fields):
    """Return the fact as it would be written."""
    count = len(book.facts)
    place = {"of": of} if of is not None else {}
    book.on(kind, person, fields.pop("code", T), when, by=by, **place, **fields)
    return book.facts.pop(count)


# --- refusals


def refused_annulment(book, seq, *, by=HANA, grants=COORDINATES, reason="was not entitled", person=ANA, **fields):
    entry = written(Annulment, book, person, seq, by=by, **fields)
    return codes(refuse_annulment(entry, holder=book.rule(person), grants=grants, now=at(NOW), reason=reason))


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, set()),
        ({"grants": (grant("assess"),)}, {"no_authority"}),
        ({"grants": (grant("coordinate", "U"),)}, {"no_authority"}),
        ({"reason": "  "}, {"no_reason"}),
        ({"by": DARA}, {"own_signoff"}),
        ({"by": ANA}, {"own_signoff"}),
        ({"when": "2026-01-01 09:00"}, {"future"}),
        ({"unentitled_from": d("2025-03-03")}, set()),
        ({"unentitled_from": d("2025-03-04")}, {"unentitled_later"}),
    ],
)
def test_r6_4_who_annuls(changes, expected):
    book = book_of()
    seq = book.assess(ANA, T, "2025-03-03", by=DARA)

    assert refused_annulment(book, seq, **changes) == expected


def test_r6_4_only_a_sign_off_is_annulled_and_once():
    book = book_of()
    failed = book.assess(ANA, T, "2025-03-03", by=DARA, outcome="not_yet_competent", judged=judged(not_met=(1,)))
    signed = book.assess(ANA, T, "2025-03-05", by=DARA)

    assert refused_annulment(book, failed) == {"not_a_signoff"}
    assert refused_annulment(book, 999) == {"not_a_signoff"}
    assert refused_annulment(book, signed) == set()
    book.of(Annulment, signed, "2025-04-01", by=HANA)
    assert refused_annulment(book, signed) == {"already_annulled"}


@pytest.mark.parametrize(
    ("by", "grants", "expected"),
    [
        (HANA, COORDINATES, set()),
        (DARA, COORDINATES, set()),
        (ANA, COORDINATES, {"own"}),
        (HANA, ASSESSES, {"no_authority"}),
    ],
)
def test_r6_4_who_puts_under_review(by, grants, expected):
    book = book_of()
    seq = book.assess(ANA, T, "2025-03-03", by=DARA)
    entry = written(Review, book, ANA, seq, by=by)

    assert codes(refuse_review(entry, holder=book.rule(ANA), grants=grants, now=at(NOW))) == expected


def doubted():
    book = book_of()
    seq = book.assess(ANA, T, "2025-03-03", by=DARA)
    book.of(Review, seq, "2025-05-19", by=HANA)
    return book, seq


@pytest.mark.parametrize(
    ("by", "grants", "expected"),
    [
        (ELI, ASSESSES, set()),
        (DARA, ASSESSES, {"assessed_it"}),
        (ANA, ASSESSES, {"own"}),
        (ELI, (grant("assess", "U"),), {"no_authority"}),
        (ELI, (grant("assess", end="2025-05-19"),), {"no_authority"}),
        (NOOR, ASSESSES, {"not_in_force"}),
        (FAY, ASSESSES, {"conflict"}),
    ],
)
def test_r6_4_who_says_that_it_stands(by, grants, expected):
    book, seq = doubted()
    book.write(Conflict, FAY, "2025-04-01", by=FAY, other=ANA, cause=ConflictCause.FAMILY, valid_from=d("2025-04-01"))
    entry = written(Reverification, book, ANA, seq, by=by)
    found = refuse_reverification(entry, holder=book.rule(ANA), assessor=book.rule(by), grants=grants, now=at(NOW))

    assert codes(found) == expected


def test_r6_4_who_says_that_it_stands_has_shown_the_revision_it_was_judged_on():
    issues = [revision(1, "2001-01-01"), revision(2, "2025-02-01", touches=(2,))]
    book = Book(frame(task(T, runs=0, validity_months=24, revisions=issues)))
    for person in (DARA, ELI, FAY):
        book.sign_off(person, T, "2025-01-06 08:00", by=HANA)
    book.assess(FAY, T, "2025-02-03", by=HANA, revision=2, delta=True)
    seq = book.assess(ANA, T, "2025-02-10", by=DARA, revision=2)
    older = book.assess(BEN, T, "2025-02-10", by=DARA)
    for each in (seq, older):
        book.of(Review, each, "2025-02-19", by=HANA)

    def refused(by, of, person):
        # 30 days after 1 February who has not shown the changes still counts.
        entry = written(Reverification, book, person, of, by=by, when="2025-02-20 09:00")
        rules = {"holder": book.rule(person), "assessor": book.rule(by)}
        return told(refuse_reverification(entry, **rules, grants=ASSESSES, now=at(NOW)))

    assert refused(FAY, seq, ANA) == set()
    assert refused(ELI, seq, ANA) == {("R4.4", "delta_missing", (("revision", "2"),))}
    assert refused(ELI, older, BEN) == set()


def test_r6_4_only_what_is_under_review_is_looked_at_again():
    book, seq = doubted()
    held = book.rule(ANA).holding(T, SITE)
    assessment = held.attempts[0].assessment
    assert open_review(held, assessment).of == seq

    book.of(Reverification, seq, "2025-05-20", by=ELI)
    entry = written(Reverification, book, ANA, seq, by=ELI, when="2025-05-21 09:00")
    rules = {"holder": book.rule(ANA), "assessor": book.rule(ELI)}
    assert codes(refuse_reverification(entry, **rules, grants=ASSESSES, now=at(NOW))) == {"not_under_review"}
    assert open_review(book.rule(ANA).holding(T, SITE), assessment) is None

    book.of(Review, seq, "2025-05-22", by=HANA)
    assert open_review(book.rule(ANA).holding(T, SITE), assessment) is not None


@pytest.mark.parametrize(
    ("failures", "by", "grants", "expected"),
    [
        (3, HANA, COORDINATES, set()),
        (2, HANA, COORDINATES, {"no_review_due"}),
        (3, HANA, ASSESSES, {"no_authority"}),
        (3, ANA, COORDINATES, {"own"}),
    ],
)
def test_r5_2_the_review_before_a_fourth_attempt(failures, by, grants, expected):
    book = book_of()
    for day in range(failures):
        book.assess(ANA, T, f"2025-03-0{day + 1}", by=DARA, outcome="not_yet_competent", judged=judged(not_met=(1,)))
    entry = written(AttemptsReviewed, book, ANA, None, by=by)

    assert codes(refuse_attempts_review(entry, trainee=book.rule(ANA), grants=grants, now=at(NOW))) == expected


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        ("supervise", set()),
        ("coordinate", set()),
        ("assess", set()),
        ("sign_food", set()),
        ("train", {"no_authority"}),
    ],
)
def test_r3_7_who_asks_for_an_extra_check(kind, expected):
    book = book_of()
    entry = written(CheckOwed, book, ELI, None, by=GUS, cause="near_miss")

    found = refuse_check_owed(entry, holder=book.rule(ELI), grants=(grant(kind),), now=at(NOW))

    assert codes(found) == expected


def test_r3_7_of_a_holder_and_not_of_oneself():
    book = book_of()
    own = written(CheckOwed, book, ELI, None, by=ELI)
    of_a_learner = written(CheckOwed, book, ANA, None, by=GUS)

    assert codes(refuse_check_owed(own, holder=book.rule(ELI), grants=ASSESSES, now=at(NOW))) == {"own"}
    assert codes(refuse_check_owed(of_a_learner, holder=book.rule(ANA), grants=ASSESSES, now=at(NOW))) == {"not_held"}


def failed_once():
    book = book_of()
    return book, book.assess(ANA, T, "2025-03-03", by=DARA, outcome="not_yet_competent", judged=judged(not_met=(1,)))


def refused_appeal(book, seq, by=ANA, when="2025-03-04"):
    return codes(refuse_appeal(written(Appeal, book, ANA, seq, by=by, when=when), trainee=book.rule(ANA), now=at(NOW)))


def test_r2_7_who_appeals_against_what():
    book, failed = failed_once()

    assert refused_appeal(book, failed) == set()
    assert refused_appeal(book, failed, by=BEN) == {"not_the_trainee"}
    assert refused_appeal(book, 999) == {"nothing_to_appeal"}
    book.of(Appeal, failed, "2025-03-04", by=ANA)
    assert refused_appeal(book, failed, when="2025-03-05") == {"already_appealed"}


def test_r2_7_not_after_the_next_decision_and_not_against_competent():
    book, failed = failed_once()
    signed = book.assess(ANA, T, "2025-03-05", by=ELI)

    assert refused_appeal(book, failed, when="2025-03-06") == {"decided_since"}
    assert refused_appeal(book, signed, when="2025-03-06") == {"nothing_to_appeal"}


def test_r2_7_an_appeal_is_a_remark_until_the_next_decision_and_that_is_anothers():
    book, failed = failed_once()
    assert codes(book.period(ANA, T, "2025-03-04").reasons) & {"appealed"} == set()
    book.of(Appeal, failed, "2025-03-04 09:00", by=ANA)

    assert "appealed" in codes(book.period(ANA, T, "2025-03-04 09:00").reasons)
    assert book.period(ANA, T, "2025-03-04 09:00").standing == book.period(ANA, T, "2025-03-04 08:59").standing
    assert "appeal_to_another" in refused_assessment(book, DARA)
    assert "appeal_to_another" not in refused_assessment(book, ELI)

    book.assess(ANA, T, "2025-03-06 11:00", by=ELI)
    assert "appealed" in codes(book.period(ANA, T, "2025-03-06 10:59").reasons)
    assert "appealed" not in codes(book.period(ANA, T, "2025-03-06 11:00").reasons)
    assert "appeal_to_another" not in refused_assessment(book, DARA)


def refused_assessment(book, by, when="2025-03-10"):
    seq = book.assess(ANA, T, when, by=by, judged=judged(met=(1, 2, 3, 4)))
    hoped = next(fact for fact in book.facts if fact.seq == seq)
    book.facts.remove(hoped)
    return codes(
        refuse_assessment(hoped, trainee=book.rule(ANA), assessor=book.rule(by), grants=ASSESSES, now=at(NOW))
    )


def test_r2_7_an_outcome_is_seen_once_by_the_one_assessed():
    book, failed = failed_once()

    def refused(by=ANA, of=failed):
        entry = written(OutcomeSeen, book, ANA, of, by=by, when="2025-03-04")
        return codes(refuse_outcome_seen(entry, trainee=book.rule(ANA), now=at(NOW)))

    assert refused() == set()
    assert refused(by=DARA) == {"not_the_trainee"}
    assert refused(of=999) == {"unknown_entry"}
    book.of(OutcomeSeen, failed, "2025-03-04", by=ANA)
    assert refused() == {"already_seen"}
    assert book.period(ANA, T, "2025-03-05") == book.period(ANA, T, "2025-03-03")


# --- conflicts of interest


def declare(book, person, other, *, when="2025-02-01", cause="family", start="2025-03-01", end=None, by=None):
    book.write(
        Conflict,
        person,
        when,
        by=by or person,
        other=other,
        cause=ConflictCause(cause),
        valid_from=d(start),
        valid_until=d(end) if end else None,
    )
    return book.facts[-1]


@pytest.mark.parametrize(("declarer", "other"), [(ANA, DARA), (DARA, ANA)])
def test_r2_2_a_conflict_bars_both_ways_from_its_day(declarer, other):
    book = book_of()
    declare(book, declarer, other)

    def bars(on, one=ANA, two=DARA):
        return in_conflict(book.rule(one), book.rule(two), d(on))

    assert not bars("2025-02-28")
    assert bars("2025-03-01")
    assert bars("2025-03-01", DARA, ANA)
    assert not bars("2025-03-01", BEN, DARA)
    assert "conflict" in refused_assessment(book, DARA)
    assert "conflict" not in refused_assessment(book, ELI)


def test_r2_2_the_newest_of_a_cause_holds_and_each_cause_bars_by_itself():
    book = book_of()
    declare(book, ANA, DARA)
    declare(book, DARA, ANA, when="2025-04-01", end="2025-04-30", by=HANA)
    assert in_conflict(book.rule(ANA), book.rule(DARA), d("2025-04-30"))
    assert not in_conflict(book.rule(ANA), book.rule(DARA), d("2025-05-01"))

    household = declare(book, ANA, DARA, when="2025-05-01", cause="household")
    assert in_conflict(book.rule(ANA), book.rule(DARA), d("2025-05-01"))
    book.write(Correction, ANA, "2025-05-02", by=HANA, of=household.seq)
    assert not in_conflict(book.rule(ANA), book.rule(DARA), d("2025-05-01"))


@pytest.mark.parametrize(
    ("by", "grants", "changes", "expected"),
    [
        (ANA, (), {}, set()),
        (DARA, (), {}, set()),
        (HANA, COORDINATES, {}, set()),
        (BEN, ASSESSES, {}, {"not_between_them"}),
        (HANA, COORDINATES, {"end": "2025-04-30"}, set()),
        (HANA, COORDINATES, {"end": "2025-03-01"}, set()),
        (HANA, COORDINATES, {"end": "2025-02-28"}, {"ends_before_it_begins"}),
        (ANA, (), {"end": "2025-04-30"}, {"conflict_end"}),
        (DARA, COORDINATES, {"end": "2025-04-30"}, {"conflict_end"}),
        (ANA, (), {"other": ANA}, {"conflict_with_oneself"}),
        (ANA, (), {"when": "2026-01-01"}, {"future"}),
    ],
)
def test_r2_2_who_declares_a_conflict(by, grants, changes, expected):
    book = book_of()
    entry = declare(book, ANA, **{"other": DARA, "by": by, **changes})

    assert codes(refuse_conflict(entry, grants=grants, now=at(NOW))) == expected


# --- what a refusal says


def told(refusals):
    return {(each.rule, each.code, each.params) for each in refusals}


LATE = "2026-01-02 09:00"
AREA = (("area", "T"),)


def test_each_refusal_names_its_rule_and_what_its_sentence_needs():
    book, _failed = failed_once()
    signed = book.assess(BEN, T, "2025-03-05", by=ELI)
    ana, ben, eli, noor = (book.rule(person) for person in (ANA, BEN, ELI, NOOR))
    conflict_of = {"other": ELI, "cause": ConflictCause.GAIN, "valid_from": d("2025-01-01")}
    entries = {
        "annulment": written(Annulment, book, BEN, signed, by=ELI, when=LATE, unentitled_from=d("2025-03-06")),
        "review": written(Review, book, BEN, 999, by=BEN, when=LATE),
        "verified": written(Reverification, book, BEN, signed, by=BEN, when=LATE),
        "attempts": written(AttemptsReviewed, book, ANA, None, by=ANA, when=LATE),
        "seen": written(OutcomeSeen, book, ANA, 999, by=BEN, when=LATE),
        "appeal": written(Appeal, book, BEN, signed, by=ANA, when=LATE),
        "owed": written(CheckOwed, book, ANA, None, by=ANA, when=LATE),
    }
    future = ("R2.6", "future", ())

    assert told(refuse_annulment(entries["annulment"], holder=ben, grants=(), now=at(NOW), reason="")) == {
        future,
        ("R6.4", "no_reason", ()),
        ("R6.4", "no_authority", AREA),
        ("R6.4", "own_signoff", ()),
        ("R6.4", "unentitled_later", (("assessed", "2025-03-05"),)),
    }
    assert told(refuse_review(entries["review"], holder=ben, grants=(), now=at(NOW))) == {
        future,
        ("R6.4", "own", ()),
        ("R6.4", "no_authority", AREA),
        ("R6.4", "not_a_signoff", ()),
    }
    rules = {"holder": ben, "assessor": eli}
    assert told(refuse_reverification(entries["verified"], **rules, grants=(), now=at(NOW))) == {
        future,
        ("R6.4", "own", ()),
        ("R6.4", "no_authority", AREA),
        ("R6.4", "not_under_review", ()),
    }
    assert told(refuse_attempts_review(entries["attempts"], trainee=ana, grants=(), now=at(NOW))) == {
        future,
        ("R5.2", "own", ()),
        ("R5.2", "no_authority", AREA),
        ("R5.2", "no_review_due", (("attempts", "3"),)),
    }
    assert told(refuse_outcome_seen(entries["seen"], trainee=ana, now=at(NOW))) == {
        future,
        ("R2.7", "not_the_trainee", ()),
        ("R2.7", "unknown_entry", ()),
    }
    assert told(refuse_appeal(entries["appeal"], trainee=ben, now=at(NOW))) == {
        future,
        ("R2.7", "not_the_trainee", ()),
        ("R2.7", "nothing_to_appeal", ()),
    }
    assert told(refuse_check_owed(entries["owed"], holder=ana, grants=(), now=at(NOW))) == {
        future,
        ("R3.7", "own", ()),
        ("R3.7", "no_authority", AREA),
        ("R3.7", "not_held", ()),
    }

    book.of(Review, signed, "2025-04-01", by=HANA)
    book.write(Conflict, BEN, "2025-04-01", by=BEN, **{**conflict_of, "other": NOOR})
    by_noor = written(Reverification, book, BEN, signed, by=NOOR)
    found = refuse_reverification(by_noor, holder=book.rule(BEN), assessor=noor, grants=ASSESSES, now=at(NOW))
    assert told(found) == {
        ("R6.4", "not_in_force", (("standing", "not_started"),)),
        ("R2.2", "conflict", ()),
    }
    by_the_first = written(Reverification, book, BEN, signed, by=ELI)
    found = refuse_reverification(by_the_first, holder=book.rule(BEN), assessor=eli, grants=ASSESSES, now=at(NOW))
    assert told(found) == {("R6.4", "assessed_it", ())}


def test_the_refusals_that_end_a_matter_name_their_rule():
    book, failed = failed_once()
    signed = book.assess(BEN, T, "2025-03-05", by=ELI)
    book.of(Annulment, signed, "2025-04-01", by=HANA)
    again = written(Annulment, book, BEN, signed, by=HANA)
    found = refuse_annulment(again, holder=book.rule(BEN), grants=COORDINATES, now=at(NOW), reason="so")
    assert told(found) == {("R6.4", "already_annulled", ())}
    never = written(Annulment, book, ANA, failed, by=HANA)
    found = refuse_annulment(never, holder=book.rule(ANA), grants=COORDINATES, now=at(NOW), reason="so")
    assert told(found) == {("R6.4", "not_a_signoff", ())}

    book.of(Appeal, failed, "2025-03-04", by=ANA)
    book.of(OutcomeSeen, failed, "2025-03-04", by=ANA)
    book.assess(ANA, T, "2025-03-06", by=ELI)
    appeal = written(Appeal, book, ANA, failed, by=ANA, when="2025-03-07")
    assert told(refuse_appeal(appeal, trainee=book.rule(ANA), now=at(NOW))) == {
        ("R2.7", "already_appealed", ()),
        ("R2.7", "decided_since", ()),
    }
    seen = written(OutcomeSeen, book, ANA, failed, by=ANA, when="2025-03-07")
    assert told(refuse_outcome_seen(seen, trainee=book.rule(ANA), now=at(NOW))) == {("R2.7", "already_seen", ())}

    conflict = declare(book, ANA, ANA, by=BEN, end="2025-02-01", when="2026-01-02")
    assert told(refuse_conflict(conflict, grants=(), now=at(NOW))) == {
        ("R2.6", "future", ()),
        ("R2.2", "conflict_with_oneself", ()),
        ("R2.2", "not_between_them", ()),
        ("R2.2", "conflict_end", ()),
        ("R2.2", "ends_before_it_begins", ()),
    }


def test_an_appeal_says_which_assessment_and_which_entry():
    book, failed = failed_once()
    appeal = book.of(Appeal, failed, "2025-03-04 09:00", by=ANA)

    period = book.period(ANA, T, "2025-03-04 09:00")

    [reason] = [each for each in period.reasons if each.code == "appealed"]
    assert (reason.rule, reason.params) == ("R2.7", (("on", "2025-03-03"),))
    assert appeal in period.rests_on
    assert period.counts is False


def test_r2_7_an_appeal_of_a_holder_stops_nothing():
    # Dara, not yet competent at a check on 2 June, counts through 16 June (R5.3), appeal or not.
    book = book_of()
    failed = book.assess(DARA, T, "2025-06-02", by=ELI, outcome="not_yet_competent", judged=judged(not_met=(1,)))
    book.of(Appeal, failed, "2025-06-03 09:00", by=DARA)

    assert [book.period(DARA, T, day).counts for day in ("2025-06-03 09:00", "2025-06-16 23:59")] == [True, True]
    assert book.period(DARA, T, "2025-06-17 00:00").counts is False


def test_the_review_of_attempts_looks_at_those_made_by_then():
    book = book_of()
    for day in ("2025-03-01", "2025-03-02", "2025-03-03"):
        book.assess(ANA, T, day, by=DARA, outcome="not_yet_competent", judged=judged(not_met=(1,)))

    def refused(when):
        entry = written(AttemptsReviewed, book, ANA, None, by=HANA, when=when)
        return codes(refuse_attempts_review(entry, trainee=book.rule(ANA), grants=COORDINATES, now=at(NOW)))

    assert refused("2025-03-03 11:59") == {"no_review_due"}
    assert refused("2025-03-03 12:00") == set()
