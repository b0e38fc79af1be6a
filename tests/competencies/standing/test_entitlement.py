"""Who may write what (R1.1, R2.2, R2.7, R5.2, R6, R9.7), on the days and in the cases on which it turns."""

import pytest

from competencies.standing.facts import (
    SITE,
    Annulment,
    Appeal,
    Assessment,
    AttemptsReviewed,
    CheckOwed,
    Conflict,
    Employment,
    Lifting,
    Recognition,
    Run,
    Suspension,
    Withdrawal,
)
from competencies.standing.refusals import refuse_assessment, refuse_recognition, refuse_run
from competencies.standing.stop_refusals import refuse_check_owed, refuse_lifting, refuse_suspension
from competencies.vocabulary import ConflictCause, Outcome
from tests.competencies.standing.plant import (
    ANA,
    DARA,
    ELI,
    GUS,
    HANA,
    NOOR,
    Book,
    at,
    d,
    frame,
    grant,
    judged,
    revision,
    task,
    told,
)

LATER = at("2027-12-31")
ALL_MET = judged(met=(1, 2, 3, 4))


ASSESSES = (grant("assess"),)


def entry(kind, person, when, *, on=None, **fields):
    """Return an entry as it would be written."""
    fields = {"task": "T-01", "scope": SITE, **fields}
    return kind(seq=0, person=person, happened_at=at(when), recorded_at=at(when), on=d(on or when[:10]), **fields)


def taught(critical="none", **asked):
    """Return a book in which Dara and Noor hold a task since 2025-01-10, last valid 2026-01-10, and Ana made a run."""
    issues = asked.pop("revisions", None) or [revision(1, "2024-01-01")]
    book = Book(frame(task("T-01", critical, revisions=issues, validity_months=12, **asked)))
    for person in (DARA, NOOR):
        book.sign_off(person, "T-01", "2025-01-10")
    book.run(ANA, "T-01", "2025-03-03", by=NOOR)
    return book


def refused(book, person=ANA, when="2025-03-10", *, grants=ASSESSES, **fields):
    fields = {"by": DARA, "revision": 1, "outcome": Outcome.COMPETENT, "judged": ALL_MET, **fields}
    assessment = entry(Assessment, person, when, **fields)
    rules = {"trainee": book.rule(person), "assessor": book.rule(assessment.by)}
    return told(refuse_assessment(assessment, grants=grants, now=LATER, **rules))


def refused_run(book, when, *, by=NOOR, **fields):
    values = {"by": by, "shift": "day", "revision": 1, "confirmed_at": at(when), **fields}
    run = entry(Run, ANA, when, **values)
    return told(refuse_run(run, trainee=book.rule(ANA), supervisor=book.rule(by), now=LATER))


# -- days ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("when", "expected"),
    [("2025-03-05", set()), ("2025-03-06", {"R9.7 left last_day=2025-03-05"})],
    ids=["last day", "the day after"],
)
def test_r9_7_nobody_is_trained_after_the_last_day(when, expected):
    book = taught()
    book.write(Employment, ANA, "2025-03-01", last_day=d("2025-03-05"))

    assert refused_run(book, when) == expected


@pytest.mark.parametrize(
    ("when", "on", "expected"),
    [
        ("2026-01-10 23:00", "2026-01-10", set()),
        ("2026-01-11 02:00", "2026-01-10", set()),
        ("2026-01-11 02:00", "2026-01-11", {"R1.1 not_in_force standing=lapsed"}),
    ],
    ids=["that evening", "that night", "the next shift"],
)
def test_r1_1_who_watches_is_judged_on_the_date_on_which_the_shift_starts(when, on, expected):
    shift = "night" if on == "2026-01-10" else "day"

    assert refused_run(taught("food"), when, on=on, shift=shift) == expected


def test_r1_1_a_moment_of_the_day_before_the_loss_of_the_day_is_judged_at_its_minute():
    book = taught()
    book.on(Suspension, NOOR, "T-01", "2025-03-05 10:40", by=GUS)

    assert refused_run(book, "2025-03-05 10:39") == set()
    assert refused_run(book, "2025-03-05 10:40") == {"R1.1 not_in_force standing=suspended"}


@pytest.mark.parametrize(
    ("start", "end", "serves"),
    [("2025-03-10", None, True), ("2025-03-11", None, False), ("2025-01-01", "2025-03-10", True)],
)
def test_r2_2_an_authority_holds_on_its_first_and_on_its_last_day(start, end, serves):
    assert (refused(taught(), grants=(grant("assess", "T", start, end),)) == set()) is serves


# -- conflicts of interest (R2.2) ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("declared_by", "other", "first", "last", "bars"),
    [
        (ANA, DARA, "2025-03-10", None, True),
        (DARA, ANA, "2025-03-10", None, True),
        (ANA, DARA, "2025-03-11", None, False),
        (ANA, DARA, "2025-01-01", "2025-03-10", True),
        (ANA, DARA, "2025-01-01", "2025-03-09", False),
        (ANA, NOOR, "2025-01-01", None, False),
        (DARA, NOOR, "2025-01-01", None, False),
    ],
    ids=["of the trainee", "of the assessor", "from tomorrow", "last day", "over", "with another", "of another"],
)
def test_r2_2_who_has_a_conflict_of_interest_does_not_assess(declared_by, other, first, last, bars):
    book = taught()
    days = {"valid_from": d(first), "valid_until": d(last) if last else None}
    book.write(Conflict, declared_by, "2025-02-01", other=other, cause=ConflictCause("family"), **days)

    assert refused(book) == ({"R2.2 conflict"} if bars else set())


@pytest.mark.parametrize(("first", "second"), [(ANA, DARA), (DARA, ANA), (ANA, ANA)])
def test_r2_2_of_several_declarations_of_a_cause_the_newest_holds(first, second):
    book = taught()
    days = {"valid_from": d("2025-01-01"), "cause": ConflictCause("family")}
    book.write(Conflict, first, "2025-02-01", other=DARA if first == ANA else ANA, **days)
    over = {**days, "valid_until": d("2025-02-28")}
    book.write(Conflict, second, "2025-03-01", other=DARA if second == ANA else ANA, **over)

    assert refused(book) == set()


def test_r2_2_one_cause_says_nothing_about_another():
    book = taught()
    book.write(Conflict, ANA, "2025-02-01", other=DARA, cause=ConflictCause("family"), valid_from=d("2025-01-01"))
    book.write(
        Conflict,
        ANA,
        "2025-03-01",
        other=DARA,
        cause=ConflictCause("household"),
        valid_from=d("2025-01-01"),
        valid_until=d("2025-02-28"),
    )

    assert refused(book) == {"R2.2 conflict"}


# -- attempts (R2.7, R5.2, R6.2) -------------------------------------------------------------------------------------


def tried(book, *judges):
    """Write attempts that were not yet competent, each on its day and with a run after it; return their places."""
    places = []
    for number, by in enumerate(judges):
        when = f"2025-03-{4 + 2 * number:02}"
        places.append(book.assess(ANA, "T-01", when, by=by, outcome="not_yet_competent", judged=judged(not_met=(1,))))
        book.run(ANA, "T-01", f"2025-03-{5 + 2 * number:02}", by=NOOR)
    return places


@pytest.mark.parametrize(("by", "expected"), [(DARA, {"R2.7 appeal_to_another"}), (NOOR, set())])
def test_r2_7_an_appeal_is_judged_by_another(by, expected):
    book = taught()
    (place,) = tried(book, DARA)
    book.of(Appeal, place, "2025-03-06", by=ANA)

    assert refused(book, by=by) == expected


def test_r2_7_an_appeal_is_decided_by_the_next_attempt_and_bars_nobody_after_it():
    book = taught()
    first, _ = tried(book, DARA, NOOR)
    book.of(Appeal, first, "2025-03-05 15:00", by=ANA)

    assert refused(book) == set()


def test_r2_7_an_appeal_on_an_attempt_made_later_is_none_on_an_earlier_one():
    book = taught()
    (place,) = tried(book, DARA)
    book.of(Appeal, place, "2025-03-06", by=ANA)

    assert "R2.7 appeal_to_another" not in refused(book, when="2025-03-03 15:00")


@pytest.mark.parametrize(
    ("reviewed", "expected"),
    [
        ("2025-03-07", {"R5.2 review_first attempts=3"}),
        ("2025-03-08 11:59", {"R5.2 review_first attempts=3"}),
        ("2025-03-08 12:01", set()),
    ],
    ids=["after the second", "just before the third", "after the third"],
)
def test_r5_2_the_review_before_a_fourth_attempt_is_of_all_three(reviewed, expected):
    book = taught()
    tried(book, DARA, NOOR, DARA)
    book.on(AttemptsReviewed, ANA, "T-01", reviewed, by=HANA)

    assert refused(book, by=NOOR) == expected


@pytest.mark.parametrize(
    ("between", "barred"), [(None, True), ("signed", False), ("annulled", True)], ids=["none", "a pass", "annulled"]
)
def test_r5_2_a_pass_between_breaks_the_row_and_an_annulled_one_does_not(between, barred):
    book = taught()
    tried(book, DARA)
    if between:
        place = book.assess(ANA, "T-01", "2025-03-05 15:00", by=NOOR)
        if between == "annulled":
            book.of(Annulment, place, "2025-03-20")
    book.assess(ANA, "T-01", "2025-03-06", by=DARA, outcome="not_yet_competent", judged=judged(not_met=(1,)))
    book.run(ANA, "T-01", "2025-03-07", by=NOOR)

    assert ("R5.2 same_assessor" in refused(book, when="2025-03-21")) is barred


def test_r5_2_an_assessment_that_waits_for_its_signature_does_not_break_the_row():
    book = taught("food", runs=2)
    book.run(ANA, "T-01", "2025-03-03 15:00", by=DARA)
    tried(book, DARA)
    book.assess(ANA, "T-01", "2025-03-05 15:00", by=NOOR)
    book.assess(ANA, "T-01", "2025-03-06", by=DARA, outcome="not_yet_competent", judged=judged(not_met=(1,)))

    assert "R5.2 same_assessor" in refused(book)


@pytest.mark.parametrize(("by", "expected"), [(DARA, {"R6.2 withdrew_it"}), (NOOR, set())])
def test_r6_2_who_withdrew_it_does_not_assess_the_return(by, expected):
    book = taught()
    book.sign_off(ANA, "T-01", "2025-03-04", by=NOOR)
    book.on(Withdrawal, ANA, "T-01", "2025-03-06", by=DARA)

    assert refused(book, by=by) == expected
    book.sign_off(ANA, "T-01", "2025-03-08", by=NOOR)
    assert refused(book, when="2025-12-20", by=DARA) == set()


# -- what is judged (R2.2, R2.3, R4.4) -------------------------------------------------------------------------------


def test_r4_4_a_full_assessment_while_a_delta_is_open_asks_all_and_a_delta_what_was_touched():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-03-01", touches=(2,))]
    book = taught(revisions=issues)
    book.sign_off(ELI, "T-01", "2025-03-02", revision=2)
    fields = {"person": NOOR, "by": ELI, "revision": 2, "judged": judged(met=(2,))}

    assert refused(book, **fields) == {f"R2.3 criterion_not_judged criterion={number}" for number in (1, 3, 4)}
    assert refused(book, delta=True, **fields) == {
        "R2.1 too_few_runs counted=0 needed=1",
        "R1.3 too_few_shifts counted=0 needed=1",
    }


def test_r4_7_what_is_judged_is_the_revision_of_the_assessment():
    issues = [
        revision(1, "2024-01-01"),
        revision(2, "2025-04-01", "minor", approved_on=d("2025-03-01"), criteria=(1, 2, 3, 4, 5)),
    ]
    book = taught(revisions=issues)

    assert refused(book) == set()
    assert refused(book, revision=2) == {"R2.3 criterion_not_judged criterion=5"}


@pytest.mark.parametrize("critical", ["none", "food"])
def test_r2_2_a_renewal_asks_no_runs_and_so_no_half_of_them(critical):
    book = taught(critical)
    book.sign_off(ANA, "T-01", "2025-03-04", by=DARA)
    book.run(ANA, "T-01", "2025-12-20", by=NOOR)

    assert refused(book, when="2026-01-08", by=NOOR) == set()


# -- who may (R3.7, R6, R11) -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("by", "grants", "expected"),
    [
        (GUS, (grant("supervise", "T"),), set()),
        (GUS, (grant("supervise", "PK"),), {"no_authority area=T"}),
        (GUS, (grant("train"),), {"no_authority area=T"}),
        (NOOR, (grant("coordinate"),), {"own"}),
    ],
    ids=["for the area", "for another", "another kind", "own"],
)
def test_r6_who_stops_lifts_or_asks_for_a_check(by, grants, expected):
    book = taught()
    place = book.on(Suspension, NOOR, "T-01", "2025-03-01", by=GUS)
    may = {"holder": book.rule(NOOR), "grants": grants, "now": LATER}
    when = "2025-03-10"

    lifting = refuse_lifting(entry(Lifting, NOOR, when, by=by, of=place), **may)
    stopping = refuse_suspension(entry(Suspension, NOOR, when, by=by), **may, reason="seen unsafe")
    owed = refuse_check_owed(entry(CheckOwed, NOOR, when, by=by, cause="near_miss"), **may)

    assert told(lifting) == {f"R6.1 {each}" for each in expected}
    assert told(stopping) == {f"R6.1 {each}" for each in expected}
    assert told(owed) == {f"R3.7 {each}" for each in expected}


def test_r3_7_a_check_is_owed_by_who_holds_the_task_and_not_in_the_future():
    owed = entry(CheckOwed, ANA, "2028-01-01", by=GUS, cause="near_miss")

    found = refuse_check_owed(owed, holder=taught().rule(ANA), grants=(grant("supervise"),), now=LATER)

    assert told(found) == {"R2.6 future", "R3.7 not_held"}


def test_r11_recognition_is_for_an_assessor_of_the_area():
    book = taught()
    claim = entry(Recognition, ANA, "2025-03-10", by=DARA, evidence_on=d("2024-09-01"))

    found = {
        area: told(refuse_recognition(claim, trainee=book.rule(ANA), grants=(grant("assess", area),), now=LATER))
        for area in ("T", "PK")
    }

    assert found == {"T": set(), "PK": {"R11 no_authority area=T"}}
