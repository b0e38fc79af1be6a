"""How far somebody counts on a shift (R6.5, R9.1, R9.7, R10.3): until when, why not to the end, and the way back.

Shifts of the plant: day 06-14, late 14-22, night 22-06. A loss by decision splits a shift at its minute; a loss by the
calendar comes at midnight and takes the whole shift.
"""

import pytest

from competencies.standing.cover import judge_shift
from competencies.standing.facts import SITE, Employment, Lifting, Suspension, Withdrawal
from tests.competencies.standing.plant import ANA, GUS, SHIFTS, Book, d, frame, spoken, task, wall


def held(critical="none", **asked):
    book = Book(frame(task("T-01", critical, validity_months=12, **asked)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    return book


def judge(book, shift, day):
    """Return in a line until when somebody counts, why not to the end, and the way back."""
    found = judge_shift(book.rule(ANA).timeline("T-01", SITE), SHIFTS[shift], d(day), book.plant)
    steps = ", ".join(step.action for step in found.way_back)
    return f"{'all' if found.counts else 'not'} until {wall(found.until)} | {spoken(found.reasons)} | {steps}"


def test_r9_1_who_counts_throughout_counts_until_the_end():
    book = held()

    assert judge(book, "day", "2025-05-05") == "all until 2025-05-05 14:00 |  | "
    assert judge(book, "night", "2025-05-05") == "all until 2025-05-06 06:00 |  | "


def test_r9_1_who_never_counted_counts_until_the_start():
    assert judge(held(), "day", "2025-03-09") == ("not until 2025-03-09 06:00 | R2.1 not_started | run, assessment")


@pytest.mark.parametrize("day", ["2025-05-05", "2026-04-20"], ids=["counts", "lapsed"])
def test_a_verdict_shows_the_last_valid_day(day):
    book = held()

    found = judge_shift(book.rule(ANA).timeline("T-01", SITE), SHIFTS["day"], d(day), book.plant)

    assert found.last_valid_on == d("2026-03-10")


@pytest.mark.parametrize(
    ("when", "shift", "until"),
    [
        ("2025-05-05 10:40", "day", "2025-05-05 10:40"),
        ("2025-05-05 06:00", "day", "2025-05-05 06:00"),
        ("2025-05-05 06:01", "day", "2025-05-05 06:01"),
        ("2025-05-05 13:59", "day", "2025-05-05 13:59"),
        ("2025-05-06 02:00", "night", "2025-05-06 02:00"),
        ("2025-05-05 21:00", "night", "2025-05-05 22:00"),
    ],
)
def test_r6_5_a_loss_by_decision_splits_the_shift_at_its_minute(when, shift, until):
    book = held()
    book.on(Suspension, ANA, "T-01", when, by=GUS)

    assert judge(book, shift, "2025-05-05") == f"not until {until} | R6.1 suspended | lifting"


def test_r6_5_of_two_losses_in_a_shift_the_first_splits_it():
    book = held()
    place = book.on(Suspension, ANA, "T-01", "2025-05-05 08:00", by=GUS)
    book.of(Lifting, place, "2025-05-05 09:00")
    book.on(Withdrawal, ANA, "T-01", "2025-05-05 10:00", by=GUS)

    assert judge(book, "day", "2025-05-05") == (
        "not until 2025-05-05 08:00 | R6.1 suspended; R9.1 gained_later at=2025-05-05T08:00:00+00:00; R6.2 withdrawn"
        " | lifting"
    )


def test_r6_5_a_remark_in_the_shift_splits_nothing():
    book = held()
    book.assess(ANA, "T-01", "2025-05-05 08:00", outcome="not_yet_competent")
    book.on(Suspension, ANA, "T-01", "2025-05-05 10:00", by=GUS)

    assert judge(book, "day", "2025-05-05").startswith("not until 2025-05-05 10:00 | R6.1 suspended; R5.3 not_yet")


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2026-03-09", "all until 2026-03-10 06:00 |  | "),
        (
            "2026-03-10",
            "not until 2026-03-10 22:00 | R3.4 lapsed last_valid=2026-03-10 | run, assessment, second_signature",
        ),
    ],
    ids=["ends on the last valid day", "starts on it"],
)
def test_r9_1_a_lapse_at_midnight_takes_the_whole_night(day, expected):
    found = judge(held("food"), "night", day)

    assert found.replace("R3.1 renewal_due last_valid=2026-03-10; ", "") == expected


@pytest.mark.parametrize(
    ("signed", "until"),
    [
        ("2025-05-20 05:59", "all until 2025-05-20 14:00"),
        ("2025-05-20 06:00", "all until 2025-05-20 14:00"),
        ("2025-05-20 06:01", "not until 2025-05-20 06:00"),
    ],
    ids=["before it begins", "as it begins", "after it began"],
)
def test_r9_1_a_gain_after_the_shift_began_does_not_help_it(signed, until):
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", signed)

    assert judge(book, "day", "2025-05-20").partition(" |")[0] == until


def test_r9_1_lost_after_a_gain_that_came_in_time_it_splits_and_after_one_too_late_it_does_not():
    early, late = (Book(frame(task("T-01", validity_months=12))) for _ in range(2))
    early.sign_off(ANA, "T-01", "2025-05-20 06:00")
    late.sign_off(ANA, "T-01", "2025-05-20 07:00")
    for book in (early, late):
        book.on(Suspension, ANA, "T-01", "2025-05-20 10:00", by=GUS)

    assert judge(early, "day", "2025-05-20").startswith("not until 2025-05-20 10:00 | R6.1")
    assert judge(late, "day", "2025-05-20").startswith("not until 2025-05-20 06:00 | R9.1 gained_later")


def test_r10_3_a_night_is_barred_from_its_start_whatever_else_happens_in_it():
    book = held()
    book.write(Employment, ANA, "2025-01-01", restricted_until=d("2025-06-15"))
    book.on(Suspension, ANA, "T-01", "2025-05-06 02:00", by=GUS)

    assert judge(book, "night", "2025-05-05") == (
        "not until 2025-05-05 22:00 | R6.1 suspended; R10.3 night until=2025-06-15 | lifting"
    )


def test_r9_7_a_leaver_does_not_cover_the_night_that_starts_on_the_last_day():
    book = held()
    book.write(Employment, ANA, "2025-01-01", last_day=d("2025-05-05"))

    assert judge(book, "late", "2025-05-05") == "all until 2025-05-05 22:00 |  | "
    assert judge(book, "night", "2025-05-05") == "not until 2025-05-05 22:00 | R9.7 left last_day=2025-05-05 | "
