"""What a revision asks of a holder, told period by period (R4), and the readings of 3.17 on coming ones.

Days are worked by hand: within 30 days includes day 30, and what ends with a day ends at its midnight.
"""

from dataclasses import replace

import pytest

from competencies.standing.facts import SITE, Acknowledgement, InitialTrainer
from competencies.standing.framework import Pair
from competencies.standing.revisions import gap_criteria
from tests.competencies.standing.plant import (
    ANA,
    HANA,
    NO_RECENCY,
    Book,
    at,
    d,
    frame,
    revision,
    tale,
    task,
    told,
)

FIRST = revision(1, "2024-01-01")
OUT = "R4.3 out_of_revision effective=2025-04-01 revision=2"
DUE = "R4.2 acknowledgement_due revision=2 until=2025-05-01"
MINOR = revision(2, "2025-04-01", "minor")
MAJOR = revision(2, "2025-04-01", approved_on=d("2025-03-15"), touches=(2,))


def held(critical, *issues, **asked):
    """Return a book in which Ana holds a task on revision 1 since 2025-01-10 12:00, last valid 2028-01-10."""
    book = Book(frame(task("T-01", critical, validity_months=36, revisions=[FIRST, *issues], **asked)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    return book


def told_of(book, first, last):
    return tale(book.rule(ANA).timeline("T-01", SITE), first, last)


def test_r4_2_a_minor_one_on_a_critical_task_until_it_is_read():
    book = held("food", MINOR)
    book.on(Acknowledgement, ANA, "T-01", "2025-05-06 10:00", revision=2, by=ANA)

    assert told_of(book, "2025-01-10", "2025-12-01") == [
        "2025-01-10 in_force* |  |  | 1 2 | 2025-01-10 12:00",
        "2025-04-01 in_force* | R4.2 acknowledgement_due revision=2 until=2025-05-01 |  | 1 2",
        "2025-05-02 out_of_revision | R4.2 not_acknowledged revision=2 until=2025-05-01 | acknowledgement | 1 2",
        "2025-05-06 in_force* |  |  | 1 2 | 2025-05-06 10:00",
    ]


def test_r4_2_a_minor_one_on_another_task_is_flagged_until_it_is_read():
    book = held("none", MINOR)
    book.on(Acknowledgement, ANA, "T-01", "2025-05-06 10:00", revision=2, by=ANA)

    assert told_of(book, "2025-04-01", "2025-12-01") == [
        "2025-04-01 in_force* | R4.2 acknowledgement_due revision=2 until=2025-05-01 |  | 1",
        "2025-05-02 in_force* | R4.2 not_acknowledged revision=2 until=2025-05-01 |  | 1",
        "2025-05-06 in_force* |  |  | 1",
    ]


@pytest.mark.parametrize("critical", ["food", "none"])
def test_r4_2_read_in_time_nothing_stops(critical):
    book = held(critical, MINOR)
    book.on(Acknowledgement, ANA, "T-01", "2025-05-01 22:00", revision=2, by=ANA)

    assert [line.split()[1] for line in told_of(book, "2025-04-01", "2025-12-01")] == ["in_force*", "in_force*"]


def test_r4_5_reading_a_later_one_counts_for_an_earlier_minor_one():
    book = held("food", MINOR, revision(3, "2025-04-10", "minor"))
    book.on(Acknowledgement, ANA, "T-01", "2025-04-12", revision=3, by=ANA)

    assert told_of(book, "2025-04-01", "2025-12-01") == [
        "2025-04-01 in_force* | R4.2 acknowledgement_due revision=2 until=2025-05-01 |  | 1 2",
        f"2025-04-10 in_force* | {DUE}; R4.2 acknowledgement_due revision=3 until=2025-05-10 |  | 1 2",
        "2025-04-12 in_force* |  |  | 1 2",
    ]


def test_r4_2_reading_an_earlier_one_does_not_count_for_a_later():
    book = held("none", MINOR, revision(3, "2025-04-10", "minor"))
    book.on(Acknowledgement, ANA, "T-01", "2025-04-12", revision=2, by=ANA)

    assert told_of(book, "2025-05-11", "2025-05-11") == [
        "2025-05-11 in_force* | R4.2 not_acknowledged revision=3 until=2025-05-10 |  | 1",
    ]


def test_r4_3_a_major_one_stops_a_critical_task_from_its_day_until_the_delta_is_signed():
    book = held("food", MAJOR)
    book.run(ANA, "T-01", "2025-04-03", revision=2)
    place = book.assess(ANA, "T-01", "2025-04-05", revision=2, delta=True)
    book.sign(place, "2025-04-08 09:00")

    assert told_of(book, "2025-03-31", "2025-12-01") == [
        "2025-01-10 in_force* |  |  | 1 2 | 2025-01-10 12:00",
        f"2025-04-01 out_of_revision | {OUT} | run, delta, second_signature | 1 2",
        f"2025-04-03 out_of_revision | {OUT} | delta, second_signature | 1 2",
        f"2025-04-05 out_of_revision | {OUT}; R2.4 awaiting_signature | second_signature | 1 2",
        "2025-04-08 in_force* |  |  | 1 2 4 5 | 2025-04-08 09:00",
    ]


def test_r4_3_a_major_one_on_another_task_leaves_30_days():
    book = held("none", MAJOR)
    book.run(ANA, "T-01", "2025-05-06", revision=1)
    book.run(ANA, "T-01", "2025-05-07", revision=2)

    assert told_of(book, "2025-04-01", "2025-12-01") == [
        "2025-04-01 in_force* | R4.3 delta_due revision=2 until=2025-05-01 |  | 1",
        f"2025-05-02 out_of_revision | {OUT} | run, delta | 1",
        "2025-05-07 out_of_revision | R4.3 out_of_revision effective=2025-04-01 revision=2 | delta | 1",
    ]


def test_r4_3_the_delta_may_be_shown_from_the_day_of_approval():
    book = held("none", MAJOR)
    book.run(ANA, "T-01", "2025-03-20", revision=2)
    book.assess(ANA, "T-01", "2025-03-21", revision=2, delta=True)

    assert told_of(book, "2025-03-01", "2025-12-01") == [
        "2025-01-10 in_force* |  |  | 1 | 2025-01-10 12:00",
        "2025-04-01 in_force* |  |  | 1 3",
    ]


def test_r4_3_the_days_of_transition_are_those_of_the_policy():
    longer = replace(NO_RECENCY, major_transition_days=Pair(other=5, critical=1))
    book = Book(frame(task("T-01", "food", validity_months=36, revisions=[FIRST, MAJOR]), policy=longer))
    book.sign_off(ANA, "T-01", "2025-01-10")

    assert told_of(book, "2025-04-01", "2025-04-03")[:2] == [
        "2025-04-01 in_force* | R4.3 delta_due revision=2 until=2025-04-02 |  | 1 2",
        f"2025-04-03 out_of_revision | {OUT} | run, delta, second_signature | 1 2",
    ]


def test_r4_7_signed_off_first_on_a_coming_revision_one_waits_for_its_day():
    book = Book(frame(task("T-01", "food", validity_months=12, revisions=[FIRST, MAJOR])))
    book.sign_off(ANA, "T-01", "2025-03-20", revision=2)

    assert told_of(book, "2025-03-20", "2025-12-01") == [
        "2025-03-20 awaiting_revision | R4.7 awaiting_revision effective=2025-04-01 revision=2 |  | 1 2",
        "2025-04-01 in_force* |  |  | 1 2",
    ]


def test_r4_7_who_holds_the_old_one_is_not_kept_waiting_by_a_renewal_on_the_coming_one():
    book = held("food", MAJOR)
    book.sign_off(ANA, "T-01", "2025-03-20", revision=2)

    assert [line.split(" |")[0] for line in told_of(book, "2025-03-20", "2025-12-01")] == [
        "2025-03-20 in_force*",
        "2025-04-01 in_force*",
    ]


def test_r4_8_a_change_of_class_works_forward_with_a_remark_on_the_days_before():
    again = replace(MAJOR, reclassified_at=at("2025-04-20 09:00"))
    book = held("none", again)

    assert told_of(book, "2025-04-01", "2025-12-01") == [
        f"2025-04-01 in_force* | {DUE}; R4.8 reclassified on=2025-04-20 revision=2 |  | 1",
        "2025-04-20 in_force* | R4.3 delta_due revision=2 until=2025-05-20 |  | 1",
        f"2025-05-21 out_of_revision | {OUT} | run, delta | 1",
    ]


def test_r4_8_a_class_changed_before_the_day_acts_from_the_day():
    again = replace(MAJOR, reclassified_at=at("2025-03-20 09:00"))
    book = held("food", again)

    assert [line.partition(" |")[0] for line in told_of(book, "2025-03-20", "2025-12-01")] == [
        "2025-01-10 in_force*",
        "2025-04-01 out_of_revision",
    ]


def test_r4_8_who_had_shown_the_changes_before_the_class_was_changed_carries_no_remark_from_then_on():
    again = replace(MAJOR, reclassified_at=at("2025-04-20 09:00"))
    book = held("none", again)
    book.sign_off(ANA, "T-01", "2025-04-10", revision=2)

    assert told_of(book, "2025-04-01", "2025-12-01") == [
        f"2025-04-01 in_force* | {DUE}; R4.8 reclassified on=2025-04-20 revision=2 |  | 1",
        "2025-04-10 in_force* |  |  | 2",
    ]


def test_r4_10_a_first_trainer_named_for_a_task_stands_in_for_90_days():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    book.on(InitialTrainer, ANA, "T-01", "2025-03-10 12:00", by=HANA)

    assert told_of(book, "2025-03-09", "2025-12-01") == [
        "always not_started | R2.1 not_started | run, assessment, second_signature",
        "2025-03-10 in_force* | R4.10 initial_trainer until=2025-06-08 |  | 1 | 2025-03-10 12:00",
        "2025-06-09 not_started | R2.1 not_started | run, assessment, second_signature",
    ]


@pytest.mark.parametrize(
    ("named_for", "during"),
    [
        (2, "in_force* | R4.10 initial_trainer until=2025-06-18 |  | 1 2 3"),
        (3, "in_force* | R4.10 initial_trainer until=2025-06-18 |  | 1 2 3"),
        (None, "in_force* | R4.10 initial_trainer until=2025-06-18 |  | 1 2 3"),
        (
            1,
            f"out_of_revision | {OUT}; R4.10 initial_trainer until=2025-06-18 | run, delta, second_signature | 1 2 3",
        ),
    ],
)
def test_r4_10_a_first_trainer_of_a_revision_is_asked_nothing_by_it_or_by_older_ones(named_for, during):
    book = held("food", MAJOR)
    book.on(InitialTrainer, ANA, "T-01", "2025-03-20", revision=named_for, by=HANA)

    last = told_of(book, "2025-04-01", "2025-04-01")[-1]

    assert last.partition(" ")[2] == during
    assert told_of(book, "2025-06-19", "2025-06-19") == [
        f"2025-06-19 out_of_revision | {OUT} | run, delta, second_signature | 1 2"
    ]


def test_r4_10_named_while_a_revision_had_stopped_them_they_count_from_that_moment_on():
    book = held("food", MAJOR)
    book.on(InitialTrainer, ANA, "T-01", "2025-04-10 12:00", revision=2, by=HANA)

    assert told_of(book, "2025-04-09", "2025-04-11") == [
        f"2025-04-01 out_of_revision | {OUT} | run, delta, second_signature | 1 2",
        "2025-04-10 in_force* | R4.10 initial_trainer until=2025-07-09 |  | 1 2 3 | 2025-04-10 12:00",
    ]


@pytest.mark.parametrize(
    ("above", "up_to", "expected"),
    [(1, 4, (2, 3)), (2, 4, (3,)), (1, 3, (2, 3)), (1, 2, (2, 9)), (3, 4, ()), (1, 8, (2, 3, 9))],
    ids=["all", "from the second", "to the third", "only the second", "nothing touched", "no such revision"],
)
def test_r4_5_the_gap_is_the_union_of_what_was_touched_and_still_exists(above, up_to, expected):
    issues = [
        revision(1, "2024-01-01", touches=(1,), criteria=(1, 2, 3, 9)),
        revision(2, "2025-02-01", touches=(9, 2), criteria=(1, 2, 3, 9)),
        revision(3, "2025-03-01", touches=(3,), criteria=(1, 2, 3)),
        revision(4, "2025-04-01", "minor", criteria=(1, 2, 3)),
    ]

    assert gap_criteria(task("T-01", revisions=issues), above, up_to) == expected


def test_r4_5_several_majors_are_cleared_by_one_delta_on_the_newest():
    book = held("food", MAJOR, revision(3, "2025-05-01", touches=(3,)))
    period = book.period(ANA, "T-01", "2025-05-02")
    book.run(ANA, "T-01", "2025-05-03", revision=3)
    book.sign_off(ANA, "T-01", "2025-05-04", revision=3, delta=True)

    assert told(period.reasons) == {
        OUT,
        "R4.3 out_of_revision effective=2025-05-01 revision=3",
    }
    assert [step.action for step in period.way_back] == ["run", "delta", "second_signature"]
    assert told_of(book, "2025-05-04", "2025-12-01") == ["2025-05-04 in_force* |  |  | 1 2 4 5 | 2025-05-04 12:00"]


def test_r4_4_a_delta_on_an_older_revision_does_not_clear_a_newer():
    book = held("food", MAJOR, revision(3, "2025-05-01", approved_on=d("2025-04-01"), touches=(3,)))
    book.run(ANA, "T-01", "2025-04-03", revision=2)
    book.sign_off(ANA, "T-01", "2025-04-04", revision=2, delta=True)

    assert [line.partition(" | ")[0] for line in told_of(book, "2025-04-01", "2025-12-01")] == [
        "2025-04-01 out_of_revision",
        "2025-04-03 out_of_revision",
        "2025-04-04 in_force*",
        "2025-05-01 out_of_revision",
    ]


def stopped_by_the_second(third, shown, number=3):
    """Return a book in which revision 2 stops Ana from 2025-04-01 until she shows a later one."""
    book = held("food", MAJOR, third)
    book.run(ANA, "T-01", shown, revision=number)
    book.sign_off(ANA, "T-01", shown, revision=number, delta=True)
    return book


@pytest.mark.parametrize(
    ("effective", "line"),
    [
        pytest.param("2025-05-01", "2025-05-10 in_force* |  |  | 1 2 4 5 | 2025-05-10 12:00", id="in force already"),
        pytest.param("2025-05-10", "2025-05-10 in_force* |  |  | 1 2 4 5 | 2025-05-10 12:00", id="on its first day"),
        pytest.param("2025-06-01", "2025-06-01 in_force* |  |  | 1 2 4 5 | 2025-06-01", id="coming: at its midnight"),
    ],
)
def test_r4_7_from_when_a_later_revision_shown_stands_for_one_that_was_missed(effective, line):
    third = revision(3, effective, approved_on=d("2025-04-15"), touches=(3,))
    book = stopped_by_the_second(third, "2025-05-10")

    assert told_of(book, "2025-06-01", "2025-12-01")[-1] == line


def test_r4_5_a_later_revision_of_which_nothing_is_known_here_stands_for_it_from_the_day_it_was_shown():
    # As known then, an issue may have been recorded after an assessment on it.
    book = stopped_by_the_second(revision(3, "2026-01-01", "minor"), "2025-05-10", number=9)

    assert told_of(book, "2025-05-10", "2025-12-01")[-1] == "2025-05-10 in_force* |  |  | 1 2 4 5 | 2025-05-10 12:00"
