"""The last valid day and what comes after it, told period by period (R3.1, R3.3, R3.4).

Worked by hand: the due window opens 60 days before the last valid day; 2026-03-10 less 60 days is 2026-01-09.
"""

from dataclasses import replace

import pytest

from competencies.standing.facts import SITE, Recognition, Withdrawal
from competencies.standing.framework import Policy
from tests.competencies.standing.plant import (
    ANA,
    DARA,
    ELI,
    FAY,
    GUS,
    NO_RECENCY,
    Book,
    at,
    d,
    frame,
    tale,
    task,
    terms,
)


def told_of(book, first, last):
    return tale(book.rule(ANA).timeline("T-01", SITE), first, last)


def last_valid(book, day):
    return str(book.period(ANA, "T-01", day).last_valid_on)


def test_r3_1_r3_3_r3_4_due_in_grace_lapsed():
    book = Book(frame(task("T-01", validity_months=12, runs=4)))
    book.sign_off(ANA, "T-01", "2025-03-10")

    assert told_of(book, "2025-03-10", "2029-01-01") == [
        "2025-03-10 in_force* |  |  | 1 | 2025-03-10 12:00",
        "2026-01-09 renewal_due* | R3.1 renewal_due last_valid=2026-03-10 |  | 1",
        "2026-03-11 in_grace* | R3.3 in_grace last_valid=2026-03-10 |  | 1",
        "2026-04-10 lapsed | R3.4 lapsed last_valid=2026-03-10 | run, assessment | 1",
        "2026-09-11 lapsed | R3.4 lapsed last_valid=2026-03-10 | run x2, assessment | 1",
        "2028-03-11 lapsed | R3.4 lapsed last_valid=2026-03-10 | run x4, assessment | 1",
    ]


def test_r3_3_a_critical_task_lapses_at_once_and_r3_4_each_run_made_since_is_taken_off():
    book = Book(frame(task("T-01", "food", validity_months=12, runs=5)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.run(ANA, "T-01", "2026-03-10")
    book.run(ANA, "T-01", "2026-10-01")
    book.run(ANA, "T-01", "2026-10-02")
    book.run(ANA, "T-01", "2026-10-03")
    book.run(ANA, "T-01", "2026-10-04")
    book.sign_off(ANA, "T-01", "2026-10-20 15:00")
    lapsed = "lapsed | R3.4 lapsed last_valid=2026-03-10 |"

    assert told_of(book, "2026-03-11", "2026-10-20") == [
        f"2026-03-11 {lapsed} run, assessment, second_signature | 1 2",
        f"2026-09-11 {lapsed} run x3, assessment, second_signature | 1 2",
        f"2026-10-01 {lapsed} run x2, assessment, second_signature | 1 2",
        f"2026-10-02 {lapsed} run, assessment, second_signature | 1 2",
        f"2026-10-03 {lapsed} assessment, second_signature | 1 2",
        "2026-10-20 in_force* |  |  | 8 9 | 2026-10-20 15:00",
    ]


def test_r3_4_a_run_on_the_first_day_of_the_lapse_is_taken_off():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.run(ANA, "T-01", "2026-03-11")

    assert told_of(book, "2026-03-11", "2026-03-11") == [
        "2026-03-11 lapsed | R3.4 lapsed last_valid=2026-03-10 | assessment, second_signature | 1 2",
    ]


def test_r3_4_half_of_an_odd_number_is_rounded_up_and_a_task_without_runs_asks_none():
    books = {runs: Book(frame(task("T-01", validity_months=12, runs=runs))) for runs in (0, 1, 5)}
    for book in books.values():
        book.sign_off(ANA, "T-01", "2025-03-10")

    back = {runs: told_of(book, "2026-04-10", "2028-03-11") for runs, book in books.items()}

    assert [line.split(" | ")[2] for line in back[0]] == ["assessment"]
    assert [line.split(" | ")[2] for line in back[1]] == ["run, assessment"]
    assert [line.split(" | ")[2] for line in back[5]] == [
        "run, assessment",
        "run x3, assessment",
        "run x5, assessment",
    ]


def test_r3_1_a_renewal_on_the_last_day_of_grace_leaves_no_gap():
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "T-01", "2026-04-09")

    assert told_of(book, "2026-03-11", "2026-04-10") == [
        "2026-03-11 in_grace* | R3.3 in_grace last_valid=2026-03-10 |  | 1",
        "2026-04-09 in_force* |  |  | 2",
    ]


def test_r2_6_entered_so_late_that_its_validity_is_over_it_is_lapsed_from_its_effect():
    book = Book(frame(task("T-01", "food", validity_months=1)))
    place = book.assess(ANA, "T-01", "2025-03-10", recorded="2025-05-20")
    book.sign(place, "2025-03-10", recorded="2025-05-20")

    assert told_of(book, "2025-05-19", "2025-05-20")[-1] == (
        "2025-05-20 lapsed | R3.4 lapsed last_valid=2025-04-10 | run, assessment, second_signature | 1 2"
    )


@pytest.mark.parametrize(
    ("renewed", "expected"),
    [
        ("2026-01-08", "2027-01-08"),
        ("2026-01-09", "2027-03-10"),
        ("2026-03-10", "2027-03-10"),
        ("2026-03-11", "2027-03-10"),
        ("2026-04-09", "2027-03-10"),
        ("2026-04-10", "2027-04-10"),
    ],
    ids=["a day before the window", "first day", "last valid day", "in grace", "last day of grace", "lapsed"],
)
def test_r3_1_window_and_anchor(renewed, expected):
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "T-01", renewed)

    assert last_valid(book, renewed) == expected


def test_r3_1_the_anchor_carries_through_the_chain_and_is_clipped_once():
    book = Book(frame(task("T-01", validity_months=1)))
    found = []
    for day in ("2025-01-31", "2025-02-20", "2025-03-20", "2025-04-20"):
        book.sign_off(ANA, "T-01", day)
        found.append(last_valid(book, day))

    assert found == ["2025-02-28", "2025-03-31", "2025-04-30", "2025-05-31"]


def test_r3_1_a_slow_signature_on_a_renewal_keeps_the_chain_of_the_assessment_day():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    place = book.assess(ANA, "T-01", "2026-03-05")
    book.sign(place, "2026-03-15 09:00", by=FAY)

    assert told_of(book, "2026-03-10", "2026-03-15")[-2:] == [
        "2026-03-11 lapsed | R3.4 lapsed last_valid=2026-03-10; R2.4 awaiting_signature | second_signature | 1 2",
        "2026-03-15 in_force* |  |  | 3 4 | 2026-03-15 09:00",
    ]
    assert last_valid(book, "2026-03-15") == "2027-03-10"


def test_r6_2_after_a_withdrawal_a_new_chain_begins_though_the_old_one_had_not_ended():
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.on(Withdrawal, ANA, "T-01", "2026-02-01", by=GUS)
    book.sign_off(ANA, "T-01", "2026-02-10")

    assert last_valid(book, "2026-02-10") == "2027-02-10"


def test_r6_2_a_withdrawal_before_the_first_of_a_chain_or_after_its_second_breaks_nothing():
    book = Book(frame(task("T-01", validity_months=12)))
    book.on(Withdrawal, ANA, "T-01", "2025-03-01", by=GUS)
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "T-01", "2026-03-01")
    book.on(Withdrawal, ANA, "T-01", "2026-03-20", by=GUS)

    assert last_valid(book, "2026-03-02") == "2027-03-10"


def test_no_validity_means_no_last_valid_day_and_no_chain():
    book = Book(frame(task("T-01")))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "T-01", "2035-03-10")

    assert told_of(book, "2025-03-10", "2045-01-01") == [
        "2025-03-10 in_force* |  |  | 1 | 2025-03-10 12:00",
        "2035-03-10 in_force* |  |  | 2",
    ]
    assert last_valid(book, "2040-01-01") == "None"


@pytest.mark.parametrize(
    ("ends", "expected"),
    [("2027-10-10", "2027-10-10"), ("2029-03-12", "2029-03-12"), ("2031-01-01", "2029-03-12"), (None, "2029-03-12")],
    ids=["cut", "the same day", "later", "no end told"],
)
def test_r11_the_earlier_of_the_normal_day_and_the_end_of_the_certificate(ends, expected):
    book = Book(frame(task("T-01", validity_months=36)))
    ends_on = d(ends) if ends else None
    book.on(Recognition, ANA, "T-01", "2026-03-10", by=DARA, evidence_on=d("2025-01-01"), evidence_ends_on=ends_on)
    book.sign_off(ANA, "T-01", "2026-03-12")

    assert last_valid(book, "2026-03-12") == expected


def test_r11_a_certificate_cuts_only_the_sign_off_that_rests_on_it():
    book = Book(frame(task("T-01", validity_months=36)))
    certificate = {"by": DARA, "evidence_on": d("2025-01-01"), "evidence_ends_on": d("2027-10-10")}
    book.on(Recognition, ANA, "T-01", "2026-03-10", **certificate)
    book.sign_off(ANA, "T-01", "2026-03-12")
    book.sign_off(ANA, "T-01", "2026-06-01")
    book.on(Recognition, ANA, "T-01", "2026-07-10", **{**certificate, "evidence_ends_on": d("2026-12-31")})

    assert last_valid(book, "2026-08-01") == "2029-06-01"


def test_r11_without_a_validity_the_certificate_alone_gives_the_last_valid_day():
    book = Book(frame(task("T-01")))
    book.on(
        Recognition, ANA, "T-01", "2026-03-10", by=DARA, evidence_on=d("2025-01-01"), evidence_ends_on=d("2027-10-10")
    )
    book.sign_off(ANA, "T-01", "2026-03-12")

    assert last_valid(book, "2026-03-12") == "2027-10-10"


def test_settings_of_the_day_of_the_last_valid_day_are_used_and_a_chain_of_two_settings_adds_up():
    wider = replace(NO_RECENCY, effective_on=d("2026-01-01"), due_window_days=90)
    book = Book(frame(task("T-01", validity_months=12), policy=(NO_RECENCY, wider)))
    book.sign_off(ANA, "T-01", "2025-03-10")

    assert told_of(book, "2025-12-09", "2025-12-10")[-1] == (
        "2025-12-10 renewal_due* | R3.1 renewal_due last_valid=2026-03-10 |  | 1"
    )


# -- signatures (R2.4 to R2.6) ---------------------------------------------------------------------------------------


def test_r2_4_void_after_day_14_until_the_next_attempt():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    place = book.assess(ANA, "T-01", "2025-03-10")
    book.sign(place, "2025-03-25", by=FAY)
    book.sign_off(ANA, "T-01", "2025-04-01")
    asked = "run, assessment, second_signature"

    assert told_of(book, "2025-03-09", "2025-04-01") == [
        f"always not_started | R2.1 not_started | {asked}",
        "2025-03-10 awaiting_signature | R2.4 awaiting_signature | second_signature",
        f"2025-03-25 learning | R2.1 not_signed_off; R2.4 void assessed=2025-03-10 | {asked}",
        "2025-04-01 in_force* |  |  | 3 4 | 2025-04-01 12:00",
    ]


def test_r2_4_void_for_a_holder_and_never_tried_again():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.assess(ANA, "T-01", "2025-06-10")

    assert told_of(book, "2025-06-10", "2025-12-01") == [
        "2025-06-10 in_force* | R2.4 awaiting_signature |  | 1 2",
        "2025-06-25 in_force* | R2.4 void assessed=2025-06-10 |  | 1 2",
    ]


@pytest.mark.parametrize(
    ("signed", "in_force"),
    [("2025-03-09", False), ("2025-03-10", True), ("2025-03-24 23:59", True), ("2025-03-25 00:00", False)],
    ids=["before the assessment", "the same day", "day 14", "day 15"],
)
def test_r2_4_within_14_days_of_the_assessment(signed, in_force):
    book = Book(frame(task("T-01", "food", validity_months=12)))
    place = book.assess(ANA, "T-01", "2025-03-10")
    book.sign(place, signed, by=FAY)

    assert (book.standing(ANA, "T-01", "2025-03-26") == "in_force") is in_force


def test_r2_4_a_signature_more_than_needed_delays_nothing_and_one_of_another_role_is_none():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    place = book.assess(ANA, "T-01", "2025-03-10")
    book.sign(place, "2025-03-11", by=GUS, roles="safety")
    book.sign(place, "2025-03-12 09:00", by=FAY, roles="food")
    book.sign(place, "2025-03-14", by=ELI, roles="food")

    assert told_of(book, "2025-03-12", "2025-03-20") == ["2025-03-12 in_force* |  |  | 1 3 | 2025-03-12 09:00"]


def test_r2_5_of_two_assessments_the_later_governs_though_it_was_signed_first():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    first = book.assess(ANA, "T-01", "2025-03-10")
    second = book.assess(ANA, "T-01", "2025-03-12")
    book.sign(second, "2025-03-13", by=FAY)
    book.sign(first, "2025-03-20", by=FAY)

    assert last_valid(book, "2025-03-21") == "2026-03-12"
    assert told_of(book, "2025-03-13", "2025-03-25") == [
        "2025-03-13 in_force* | R2.4 awaiting_signature |  | 2 3 | 2025-03-13 12:00",
        "2025-03-20 in_force* |  |  | 2 3",
    ]


def test_r2_6_eight_days_late_it_acts_from_the_day_it_was_written_down():
    book = Book(frame(task("T-01", validity_months=12)))
    book.assess(ANA, "T-01", "2025-03-10", recorded="2025-03-18 15:00")

    assert told_of(book, "2025-03-18", "2025-03-18") == ["2025-03-18 in_force* |  |  | 1 | 2025-03-18 15:00"]


def test_what_holds_from_a_sign_off_begins_with_its_effect_and_ends_with_its_grace():
    book = Book(frame(task("T-01", validity_months=12), policy=Policy(recency_days=None)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    (signoff,) = book.rule(ANA).holding("T-01", SITE).governing

    held = [signoff.holds_at(at(moment)) for moment in ("2025-03-09 23:59", "2025-03-10 00:00", "2026-04-09 23:59")]

    assert held == [False, True, True]
    assert not signoff.holds_at(at("2026-04-10 00:00"))


def test_r4_11_that_a_decision_reaches_a_sign_off_is_told_until_the_next_decision_or_sign_off():
    def decided(effective, held_on, months):
        return terms(effective_on=d(effective), applies_to_held_on=d(held_on), validity_months=months)

    later = decided("2025-06-01", "2025-07-01", 24), decided("2025-08-01", "2025-09-01", 30)
    issues = (terms(validity_months=36), *later)
    book = Book(frame(replace(task("T-01"), terms=issues)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "T-01", "2025-10-10")

    assert told_of(book, "2025-06-30", "2025-12-01") == [
        "2025-03-10 in_force* |  |  | 1 | 2025-03-10 12:00",
        "2025-07-01 in_force* | R4.11 terms_applied effective=2025-06-01 on=2025-07-01 |  | 1",
        "2025-09-01 in_force* | R4.11 terms_applied effective=2025-08-01 on=2025-09-01 |  | 1",
        "2025-10-10 in_force* |  |  | 2",
    ]
    assert [last_valid(book, day) for day in ("2025-06-30", "2025-07-01", "2025-09-01", "2025-10-10")] == [
        "2028-03-10",
        "2027-03-10",
        "2027-09-10",
        "2028-04-10",
    ]
