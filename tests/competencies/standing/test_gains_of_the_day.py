"""A loss at midnight and a gain of the same day (3.17): the day is in force, and no shift begun before is helped.

Losses by the calendar act at 00:00. A gain acts on its date for standing, and never helps a shift already begun. In
each case the standing would be lost at 00:00 of a day, and is gained that day at 15:00 or the day before at 15:00.
Shifts of the plant: day 06-14, late 14-22, night 22-06.
"""

import pytest

from competencies.standing.calendar import days_after
from competencies.standing.cover import covers_shift
from competencies.standing.facts import (
    SITE,
    Absence,
    Acknowledgement,
    InitialTrainer,
    Reverification,
    Review,
    Scope,
    Withdrawal,
)
from competencies.standing.framework import Policy
from tests.competencies.standing.plant import (
    ANA,
    GUS,
    HANA,
    SHIFTS,
    Book,
    d,
    frame,
    judged,
    revision,
    spoken,
    tale,
    task,
    terms,
)

F1, F2, L1 = Scope("L1", "F1"), Scope("L1", "F2"), Scope("L1")


def lapse(day):
    """Return a book whose sign-off of a critical task ends on 2025-05-15; renewed on a day."""
    book = Book(frame(task("T-01", "food", validity_months=12)))
    book.sign_off(ANA, "T-01", "2024-05-15")
    book.sign_off(ANA, "T-01", f"{day} 15:00")
    return book


def end_of_grace(day):
    """Valid until 2025-04-15, and 30 days of grace: until 2025-05-15."""
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", "2024-04-15")
    book.sign_off(ANA, "T-01", f"{day} 15:00")
    return book


def major(day):
    """A major revision of a critical task is effective on 2025-05-16; the changes are shown on a day."""
    issues = [revision(1, "2001-01-01"), revision(2, "2025-05-16", approved_on=d("2025-05-01"), touches=(2,))]
    book = Book(frame(task("T-01", "food", revisions=issues)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.run(ANA, "T-01", "2025-05-10", revision=2)
    book.sign_off(ANA, "T-01", f"{day} 15:00", revision=2, delta=True)
    return book


def minor(day):
    """A minor revision of 2025-04-15 is to be read by 2025-05-15, day 30."""
    issues = [revision(1, "2001-01-01"), revision(2, "2025-04-15", "minor")]
    book = Book(frame(task("T-01", "food", revisions=issues)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.on(Acknowledgement, ANA, "T-01", f"{day} 15:00", by=ANA, revision=2)
    return book


def stale(day):
    """Last done on 2025-02-14: day 90 is 2025-05-15."""
    book = Book(frame(task("T-01", "food"), policy=Policy()))
    book.sign_off(ANA, "T-01", "2025-02-14")
    book.run(ANA, "T-01", f"{day} 15:00")
    return book


def not_yet(day):
    """Not yet competent on 2025-05-01: a task that is not critical runs on to day 14, 2025-05-15."""
    book = Book(frame(task("T-01")))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.assess(ANA, "T-01", "2025-05-01", outcome="not_yet_competent", judged=judged(not_met=(1,)))
    book.run(ANA, "T-01", "2025-05-02")
    book.sign_off(ANA, "T-01", f"{day} 15:00")
    return book


def under_review(day):
    """Under review since 2025-05-01: a task that is not critical counts through day 14, 2025-05-15."""
    book = Book(frame(task("T-01")))
    place = book.sign_off(ANA, "T-01", "2025-01-10")
    book.of(Review, place, "2025-05-01 10:00")
    book.of(Reverification, place, f"{day} 15:00")
    return book


def blocked(day):
    """A prerequisite ends on 2025-05-15; renewed on a day."""
    needing = task("T-01", prerequisites=("R-01",))
    book = Book(frame(task("S-01", "food", validity_months=12), task("R-01", prerequisites=("S-01",)), needing))
    book.sign_off(ANA, "S-01", "2024-05-15")
    book.sign_off(ANA, "R-01", "2024-05-16")
    book.sign_off(ANA, "T-01", "2024-05-16")
    book.sign_off(ANA, "S-01", f"{day} 15:00")
    return book


def counted(book, scope=SITE, day="2025-05-16"):
    """Return on which shifts somebody counts: late and night of the day before, then day, late and night of a day."""
    timeline = book.rule(ANA).timeline("T-01", scope)
    before = days_after(d(day), -1)
    shifts = [("late", before), ("night", before), ("day", d(day)), ("late", d(day)), ("night", d(day))]
    return [covers_shift(timeline, SHIFTS[shift], on, book.plant)[0] for shift, on in shifts]


CASES = [lapse, end_of_grace, major, minor, stale, not_yet, under_review, blocked]


@pytest.mark.parametrize("told", CASES)
def test_a_gain_of_the_day_of_the_loss_helps_only_the_shifts_that_begin_after_it(told):
    assert counted(told("2025-05-16")) == [True, False, False, False, True]
    assert told("2025-05-16").period(ANA, "T-01", "2025-05-16 00:00").standing.is_in_force


@pytest.mark.parametrize("told", CASES)
def test_a_gain_of_the_day_before_leaves_no_shift_out(told):
    assert counted(told("2025-05-15")) == [True, True, True, True, True]


def test_it_is_told_as_a_gain_that_came_after_the_shift_began():
    book = lapse("2025-05-16")
    _, reasons = covers_shift(book.rule(ANA).timeline("T-01", SITE), SHIFTS["day"], d("2025-05-16"), book.plant)

    assert spoken(reasons) == "R9.1 gained_later at=2025-05-16T14:00:00+00:00"
    assert tale(book.rule(ANA).timeline("T-01", SITE), "2025-05-15", "2025-05-16") == [
        "2025-03-16 renewal_due* | R3.1 renewal_due last_valid=2025-05-15 |  | 1 2",
        "2025-05-16 in_force* |  |  | 3 4 | 2025-05-16 15:00",
    ]


def test_r3_6_back_on_day_90_and_observed_the_same_day():
    # Last worked on 2025-02-14; 90 whole days away end on 2025-05-15, and the 16th is the first stale day.
    book = Book(frame(task("T-01", "food")))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.write(Absence, ANA, "2025-02-14", back_on=d("2025-05-16"))
    book.run(ANA, "T-01", "2025-05-16 15:00")

    assert counted(book)[2:] == [False, False, True]


@pytest.mark.parametrize(
    ("renewed", "expected"),
    [(F1, [True, False, False, False, True]), (F2, [True, True, True, True, True])],
    ids=["the only one", "while another is held"],
)
def test_r12_of_several_machines_any_one_helps_without_a_break(renewed, expected):
    plant = frame(
        task("S-01", "food", "machine", validity_months=12), task("T-01", "none", "line", prerequisites=("S-01",))
    )
    book = Book(plant)
    book.sign_off(ANA, "S-01", "2024-05-15", scope=F1)
    if renewed == F2:
        book.sign_off(ANA, "S-01", "2024-09-01", scope=F2)
    book.sign_off(ANA, "T-01", "2024-05-16", scope=L1)
    book.sign_off(ANA, "S-01", "2025-05-16 15:00", scope=F1)

    assert counted(book, L1) == expected


def test_r12_one_machine_lost_at_midnight_and_another_gained_that_day():
    plant = frame(
        task("S-01", "food", "machine", validity_months=12), task("T-01", "none", "line", prerequisites=("S-01",))
    )
    book = Book(plant)
    book.sign_off(ANA, "S-01", "2024-05-15", scope=F1)
    book.sign_off(ANA, "T-01", "2024-05-16", scope=L1)
    book.sign_off(ANA, "S-01", "2025-05-16 15:00", scope=F2)

    assert counted(book, L1) == [True, False, False, False, True]


@pytest.mark.parametrize(
    ("since", "expected"),
    [("2025-05-16", [False, False, True]), ("2025-05-17", [True, True, True])],
    ids=["asked from the day", "asked from the next"],
)
def test_r6_3_a_prerequisite_is_asked_from_the_day_of_the_decision(since, expected):
    needing = task("T-01")
    asked = terms(effective_on=d("2025-05-01"), applies_to_held_on=d(since), prerequisites=("S-01",))
    object.__setattr__(needing, "terms", (*needing.terms, asked))
    book = Book(frame(task("S-01"), needing))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.sign_off(ANA, "S-01", "2025-05-16 15:00")

    assert counted(book)[2:] == expected


def test_r6_3_a_prerequisite_that_is_asked_no_more_is_not_waited_for():
    # S-01 ended on 2025-05-15; T-01 asks it until 2025-05-15 only.
    needing = task("T-01", prerequisites=("S-01",))
    later = terms(effective_on=d("2025-05-01"), applies_to_held_on=d("2025-05-16"))
    object.__setattr__(needing, "terms", (*needing.terms, later))
    book = Book(frame(task("S-01", "food", validity_months=12), needing))
    book.sign_off(ANA, "S-01", "2024-05-15")
    book.sign_off(ANA, "T-01", "2024-05-16")
    book.sign_off(ANA, "S-01", "2025-05-16 15:00")

    assert counted(book) == [True, True, True, True, True]


def test_r6_3_nor_is_one_that_comes_back_long_after():
    # S-01 ended on 2025-05-15 and comes back on the 30th; T-01 asks it until 2025-05-19 only.
    needing = task("T-01", prerequisites=("S-01",))
    later = terms(effective_on=d("2025-05-01"), applies_to_held_on=d("2025-05-20"))
    object.__setattr__(needing, "terms", (*needing.terms, later))
    book = Book(frame(task("S-01", "food", validity_months=12), needing))
    book.sign_off(ANA, "S-01", "2024-05-15")
    book.sign_off(ANA, "T-01", "2024-05-16")
    book.sign_off(ANA, "S-01", "2025-05-30 15:00")

    assert counted(book, day="2025-05-20") == [False, False, True, True, True]


@pytest.mark.parametrize(
    "before",
    [
        pytest.param(lambda _: None, id="no entry yet"),
        pytest.param(lambda book: book.run(ANA, "T-01", "2025-05-16 08:00"), id="first run that day"),
        pytest.param(lambda book: book.run(ANA, "T-01", "2025-05-14 08:00", stopped=True), id="learning"),
        pytest.param(lambda book: book.run(ANA, "T-01", "2025-05-14 08:00"), id="ready"),
    ],
)
def test_r4_10_a_first_trainer_helps_no_shift_begun_before_the_naming(before):
    book = Book(frame(task("T-01")))
    before(book)
    book.on(InitialTrainer, ANA, "T-01", "2025-05-16 15:00", by=HANA)

    assert counted(book) == [False, False, False, False, True]


def test_r4_10_named_on_the_day_on_which_a_signature_became_void():
    # Assessed 2025-05-01: the signature may come through day 14, 2025-05-15.
    book = Book(frame(task("T-01", "food")))
    book.assess(ANA, "T-01", "2025-05-01")
    book.on(InitialTrainer, ANA, "T-01", "2025-05-16 15:00", by=HANA)

    assert counted(book) == [False, False, False, False, True]


def test_r6_5_a_loss_by_decision_is_felt_from_its_minute_only():
    book = Book(frame(task("T-01")))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.on(Withdrawal, ANA, "T-01", "2025-05-16 14:00", by=GUS)
    book.sign_off(ANA, "T-01", "2025-05-16 15:00")

    assert counted(book) == [True, True, True, False, True]
