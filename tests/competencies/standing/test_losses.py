"""Losses by decision, told period by period: from which minute, why, what ends them, and what they rest on.

The values are worked by hand from the rules (R3.7, R5.1, R5.3, R6.1, R6.2, R6.4) and the readings of 3.17: gains act
from 00:00 of their day but keep their minute, losses by decision act from their minute.
"""

import pytest

from competencies.standing.facts import (
    SITE,
    Annulment,
    CheckOwed,
    Lifting,
    Reverification,
    Review,
    Suspension,
    Withdrawal,
)
from tests.competencies.standing.plant import ANA, FAY, GUS, Book, d, frame, judged, revision, tale, task

NOT_YET_TOLD = "R5.3 not_yet_competent on=2025-06-02"
NOT_YET = {"outcome": "not_yet_competent", "judged": judged(not_met=(1,))}


def held(critical="none", **asked):
    """Return a book in which Ana holds a task since 2025-03-10 12:00, last valid 2026-03-10."""
    book = Book(frame(task("T-01", critical, validity_months=12, **asked)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    return book


def told_of(book, first, last):
    return tale(book.rule(ANA).timeline("T-01", SITE), first, last)


def test_r6_1_suspended_and_lifted():
    book = held()
    place = book.on(Suspension, ANA, "T-01", "2025-05-05 10:40", by=GUS)
    book.of(Lifting, place, "2025-05-07 15:00")

    assert told_of(book, "2025-03-10", "2025-12-01") == [
        "2025-03-10 in_force* |  |  | 1 | 2025-03-10 12:00",
        "2025-05-05 10:40 suspended | R6.1 suspended | lifting | 1 2",
        "2025-05-07 in_force* |  |  | 1 | 2025-05-07 15:00",
    ]


def test_r6_1_a_suspension_is_lifted_by_its_own_lifting_only():
    book = held("safety")
    first = book.on(Suspension, ANA, "T-01", "2025-05-05 10:40", by=GUS)
    book.of(Lifting, first, "2025-05-07 15:00")
    book.on(Suspension, ANA, "T-01", "2025-06-02 09:00", by=GUS)
    book.of(Lifting, first, "2025-06-03 09:00")

    assert told_of(book, "2025-05-07", "2025-12-01") == [
        "2025-05-07 in_force* |  |  | 1 2 | 2025-05-07 15:00",
        "2025-06-02 09:00 suspended | R6.1 suspended | lifting | 1 2 5",
    ]


def test_r6_1_a_lifting_dated_before_the_suspension_ends_nothing():
    book = held()
    place = book.on(Suspension, ANA, "T-01", "2025-05-05 10:40", by=GUS)
    book.of(Lifting, place, "2025-05-05 10:39")

    assert told_of(book, "2025-05-06", "2025-05-06") == [
        "2025-05-05 10:40 suspended | R6.1 suspended | lifting | 1 2",
    ]


def test_r6_2_withdrawn_and_returned():
    book = held("safety")
    book.on(Withdrawal, ANA, "T-01", "2025-05-05 10:40", by=GUS)
    place = book.assess(ANA, "T-01", "2025-05-08")
    book.sign(place, "2025-05-09 09:00", by=FAY)

    assert told_of(book, "2025-03-10", "2025-05-09") == [
        "2025-03-10 in_force* |  |  | 1 2 | 2025-03-10 12:00",
        "2025-05-05 10:40 withdrawn | R6.2 withdrawn | assessment, second_signature | 1 2 3",
        "2025-05-08 withdrawn | R6.2 withdrawn; R2.4 awaiting_signature | second_signature | 1 2 3",
        "2025-05-09 in_force* |  |  | 4 5 | 2025-05-09 09:00",
    ]


@pytest.mark.parametrize(
    ("critical", "during"),
    [
        (
            "safety",
            "2025-05-05 10:40 suspended | R3.7 check_owed cause=near_miss | assessment, second_signature | 1 2 3",
        ),
        ("none", "2025-05-05 10:40 in_force* | R3.7 check_owed cause=near_miss |  | 1 2"),
    ],
)
def test_r3_7_a_check_owed_until_it_is_passed(critical, during):
    book = held(critical)
    book.on(CheckOwed, ANA, "T-01", "2025-05-05 10:40", cause="near_miss")
    book.assess(ANA, "T-01", "2025-05-06", **NOT_YET)
    book.sign_off(ANA, "T-01", "2025-05-07 15:00")

    found = told_of(book, "2025-05-05", "2025-05-07")

    assert found[1] == during
    assert [line.partition(" |")[0] for line in found[3:]] == ["2025-05-07 in_force*"]


def test_r3_7_a_check_that_only_flags_is_no_step_of_the_way_back():
    book = held()
    book.on(CheckOwed, ANA, "T-01", "2025-05-05 10:40", cause="near_miss")
    book.on(Suspension, ANA, "T-01", "2025-05-06 09:00", by=GUS)

    assert told_of(book, "2025-05-06", "2025-05-06")[-1] == (
        "2025-05-06 09:00 suspended | R6.1 suspended; R3.7 check_owed cause=near_miss | lifting | 1 2 3"
    )


def test_r3_7_a_pass_before_the_check_was_owed_does_not_end_it():
    book = held()
    book.sign_off(ANA, "T-01", "2025-05-05 10:39")
    book.on(CheckOwed, ANA, "T-01", "2025-05-05 10:40", cause="seen_unsafe")

    assert told_of(book, "2025-06-01", "2025-06-01") == [
        "2025-05-05 10:40 in_force* | R3.7 check_owed cause=seen_unsafe |  | 2 3",
    ]


def test_r5_3_a_holder_of_a_task_that_is_not_critical_runs_on_for_14_days():
    book = held(runs=2)
    book.assess(ANA, "T-01", "2025-06-02", **NOT_YET)
    book.run(ANA, "T-01", "2025-06-20")
    book.sign_off(ANA, "T-01", "2025-06-25")

    assert told_of(book, "2025-06-02", "2025-06-25") == [
        "2025-03-10 in_force* |  |  | 1 | 2025-03-10 12:00",
        "2025-06-02 12:00 in_force* | R5.3 not_yet_competent on=2025-06-02 |  | 1 2",
        "2025-06-17 suspended | R5.3 not_yet_competent on=2025-06-02 | run, assessment | 1 2",
        "2025-06-20 suspended | R5.3 not_yet_competent on=2025-06-02 | assessment | 1 2",
        "2025-06-25 in_force* |  |  | 4 | 2025-06-25 12:00",
    ]


def test_r5_3_a_critical_task_stops_at_the_minute_and_a_run_of_that_minute_is_none_after_it():
    book = held("food")
    book.run(ANA, "T-01", "2025-06-02 12:00")
    book.assess(ANA, "T-01", "2025-06-02 12:00", **NOT_YET)

    assert told_of(book, "2025-06-02", "2025-06-03")[1:] == [
        f"2025-06-02 12:00 suspended | {NOT_YET_TOLD} | run, assessment, second_signature | 1 2 4",
    ]


def test_r5_3_of_two_runs_the_first_is_the_one_that_was_asked_for():
    book = held("food")
    book.assess(ANA, "T-01", "2025-06-02", **NOT_YET)
    book.run(ANA, "T-01", "2025-06-10")
    book.run(ANA, "T-01", "2025-06-05")

    assert told_of(book, "2025-06-03", "2025-12-01") == [
        f"2025-06-02 12:00 suspended | {NOT_YET_TOLD} | run, assessment, second_signature | 1 2 3",
        f"2025-06-05 suspended | {NOT_YET_TOLD} | assessment, second_signature | 1 2 3",
    ]


def test_r5_3_a_pass_without_the_run_is_a_gain_all_the_same():
    book = held()
    book.assess(ANA, "T-01", "2025-06-02", **NOT_YET)
    book.sign_off(ANA, "T-01", "2025-07-01 15:00")

    assert told_of(book, "2025-06-17", "2025-12-01") == [
        f"2025-06-17 suspended | {NOT_YET_TOLD} | run, assessment | 1 2",
        "2025-07-01 in_force* |  |  | 3 | 2025-07-01 15:00",
    ]


def test_r5_3_passed_before_the_14_days_are_over_it_never_stops():
    book = held()
    book.assess(ANA, "T-01", "2025-06-02", **NOT_YET)
    book.sign_off(ANA, "T-01", "2025-06-10")

    assert told_of(book, "2025-06-03", "2025-09-01") == [
        "2025-06-02 12:00 in_force* | R5.3 not_yet_competent on=2025-06-02 |  | 1 2",
        "2025-06-10 in_force* |  |  | 3",
    ]


@pytest.mark.parametrize(
    ("validity", "assessed", "first"),
    [
        (12, "2026-02-24", "2026-03-11 suspended"),
        (12, "2026-02-25", "2026-03-11 suspended"),
        (12, "2026-03-10", "2026-03-11 suspended"),
        (None, "2026-03-10", "2026-03-25 suspended"),
    ],
    ids=["14 days before the last", "13 days before", "on the last valid day", "no last valid day"],
)
def test_r5_3_the_14_days_end_with_the_last_valid_day(validity, assessed, first):
    book = Book(frame(task("T-01", validity_months=validity, grace_days=0)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.assess(ANA, "T-01", assessed, **NOT_YET)
    timeline = book.rule(ANA).timeline("T-01", SITE)

    stops = [line.partition(" |")[0] for line in tale(timeline, assessed, "2026-04-30") if "suspended" in line]

    assert stops == [first]


def test_r5_3_a_delta_not_yet_shown_asks_a_run_and_the_delta_again():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-04-01", approved_on=d("2025-03-15"), touches=(2,))]
    book = held("safety", revisions=issues)
    book.assess(ANA, "T-01", "2025-03-20", revision=2, delta=True, **NOT_YET)
    book.run(ANA, "T-01", "2025-03-21", revision=2)
    book.sign_off(ANA, "T-01", "2025-03-22", revision=2, delta=True)

    assert told_of(book, "2025-03-20", "2025-04-10") == [
        "2025-03-10 in_force* |  |  | 1 2 | 2025-03-10 12:00",
        "2025-03-20 12:00 suspended | R5.3 not_yet_competent on=2025-03-20 | run, delta, second_signature | 1 2 3",
        "2025-03-21 suspended | R5.3 not_yet_competent on=2025-03-20 | delta, second_signature | 1 2 3",
        "2025-03-22 in_force* |  |  | 1 2 | 2025-03-22 12:00",
        "2025-04-01 in_force* |  |  | 1 2 5 6",
    ]


def test_r5_1_of_somebody_who_does_not_hold_the_task_it_is_a_remark_until_the_pass():
    book = Book(frame(task("T-01", validity_months=12)))
    book.run(ANA, "T-01", "2025-03-03")
    book.assess(ANA, "T-01", "2025-03-04", **NOT_YET)
    book.run(ANA, "T-01", "2025-03-05")
    book.sign_off(ANA, "T-01", "2025-03-06")

    assert told_of(book, "2025-03-04", "2025-03-06") == [
        "2025-03-04 learning | R2.1 not_signed_off | run, assessment",
        "2025-03-04 12:00 learning | R2.1 not_signed_off; R5.1 not_yet_competent on=2025-03-04 | run, assessment | 2",
        "2025-03-05 ready | R2.1 not_signed_off; R5.1 not_yet_competent on=2025-03-04 | assessment | 2",
        "2025-03-06 in_force* |  |  | 4 | 2025-03-06 12:00",
    ]


def test_r5_1_each_of_several_is_told_and_r5_3_one_after_the_pass_is_a_holders():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    book.assess(ANA, "T-01", "2025-03-04", **NOT_YET)
    book.assess(ANA, "T-01", "2025-03-06", **NOT_YET)
    book.sign_off(ANA, "T-01", "2025-03-08")
    book.assess(ANA, "T-01", "2025-06-02", **NOT_YET)
    back = "run, assessment, second_signature"
    both = "R5.1 not_yet_competent on=2025-03-04; R5.1 not_yet_competent on=2025-03-06"

    assert told_of(book, "2025-03-06", "2025-12-01")[1:] == [
        f"2025-03-06 12:00 learning | R2.1 not_signed_off; {both} | {back} | 1 2",
        "2025-03-08 in_force* |  |  | 3 4 | 2025-03-08 12:00",
        f"2025-06-02 12:00 suspended | {NOT_YET_TOLD} | {back} | 3 4 5",
    ]


@pytest.mark.parametrize(
    ("assessed", "rule"),
    [("2026-04-09", "R5.3"), ("2026-04-10", "R5.1")],
    ids=["last day of grace", "lapsed"],
)
def test_r5_3_is_for_a_sign_off_that_holds(assessed, rule):
    book = held()
    book.assess(ANA, "T-01", assessed, **NOT_YET)

    assert f"{rule} not_yet_competent on={assessed}" in told_of(book, assessed, assessed)[-1]


def test_r5_3_a_check_after_a_withdrawal_is_a_remark_and_a_withdrawal_after_it_changes_nothing():
    before, after = held(), held()
    before.on(Withdrawal, ANA, "T-01", "2025-06-01", by=GUS)
    before.assess(ANA, "T-01", "2025-06-02", **NOT_YET)
    after.assess(ANA, "T-01", "2025-06-02", **NOT_YET)
    after.on(Withdrawal, ANA, "T-01", "2025-06-03", by=GUS)

    assert "R5.1 not_yet_competent on=2025-06-02" in told_of(before, "2025-06-20", "2025-06-20")[0]
    assert "R5.3 not_yet_competent on=2025-06-02" in told_of(after, "2025-06-20", "2025-06-20")[0]


def test_r6_4_an_annulled_sign_off_was_never_in_force_and_stays_in_sight_until_the_next():
    book = Book(frame(task("T-01", validity_months=12)))
    place = book.sign_off(ANA, "T-01", "2025-03-10")
    book.of(Annulment, place, "2025-05-05 09:00")
    book.sign_off(ANA, "T-01", "2025-05-20")

    assert told_of(book, "2025-03-09", "2025-05-20") == [
        "always not_started | R2.1 not_started | run, assessment",
        "2025-03-10 learning | R2.1 not_signed_off; R6.4 annulled assessed=2025-03-10 | run, assessment",
        "2025-05-20 in_force* |  |  | 3 | 2025-05-20 12:00",
    ]


def test_r6_4_a_review_stops_a_task_that_is_not_critical_after_14_days_until_it_is_verified():
    book = held()
    book.of(Review, 1, "2025-05-05 09:00")
    book.of(Reverification, 1, "2025-05-25 11:00")

    assert told_of(book, "2025-05-05", "2025-12-01") == [
        "2025-03-10 in_force* |  |  | 1 | 2025-03-10 12:00",
        "2025-05-05 09:00 in_force* | R6.4 under_review assessed=2025-03-10 |  | 1 2",
        "2025-05-20 under_review | R6.4 under_review assessed=2025-03-10 | reverification | 1 2",
        "2025-05-25 in_force* |  |  | 1 | 2025-05-25 11:00",
    ]


def test_r6_4_a_review_stops_a_critical_task_from_its_minute_and_a_new_sign_off_ends_it():
    book = held("food")
    book.of(Review, 1, "2025-05-05 09:00")
    book.sign_off(ANA, "T-01", "2025-05-25 11:00")

    assert told_of(book, "2025-05-05", "2025-12-01") == [
        "2025-03-10 in_force* |  |  | 1 2 | 2025-03-10 12:00",
        "2025-05-05 09:00 under_review | R6.4 under_review assessed=2025-03-10 | reverification | 1 2 3",
        "2025-05-25 in_force* |  |  | 4 5 | 2025-05-25 11:00",
    ]


def test_r6_4_a_sign_off_that_was_followed_by_another_before_the_review_is_not_stopped():
    book = held("food")
    book.sign_off(ANA, "T-01", "2025-05-01")
    book.of(Review, 1, "2025-05-05 09:00")

    assert told_of(book, "2025-05-05", "2025-05-31") == ["2025-05-01 in_force* |  |  | 3 4"]


def test_r6_4_a_review_begins_with_the_effect_of_what_it_reviews():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    place = book.assess(ANA, "T-01", "2025-05-01")
    book.sign(place, "2025-05-12")
    book.of(Review, place, "2025-05-05 09:00")

    assert told_of(book, "2025-05-05", "2025-05-31") == [
        "2025-05-01 awaiting_signature | R2.4 awaiting_signature | second_signature",
        "2025-05-12 under_review | R6.4 under_review assessed=2025-05-01 | reverification | 1 2 3",
    ]


def test_r6_4_what_was_never_signed_cannot_be_under_review():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    place = book.assess(ANA, "T-01", "2025-05-01")
    book.of(Review, place, "2025-05-05 09:00")

    assert not any("under_review" in line for line in told_of(book, "2025-05-01", "2025-12-01"))
