"""The young-worker bar and employment (R9.7, R10) period by period, and cover of a shift (R9.1, R10.1, R10.3)."""

from dataclasses import replace

import pytest

from competencies.standing.age import is_young, young_worker_class
from competencies.standing.cover import covers_shift, is_night
from competencies.standing.facts import SITE, Employment, InitialTrainer
from competencies.standing.framework import Shift
from competencies.vocabulary import YoungWorker
from tests.competencies.standing.plant import (
    BEN,
    HANA,
    SHIFTS,
    Book,
    at,
    d,
    frame,
    spoken,
    tale,
    task,
    terms,
)

CLOSED, TRAINING, OPEN = YoungWorker.CLOSED, YoungWorker.TRAINING_ONLY, YoungWorker.OPEN
AGE = "R10 age bar={} until=2026-06-15"


def young(*tasks, until="2026-06-15", **fields):
    """Return a book in which Ben is under the bar until a day; it lifts at 00:00 of that day."""
    book = Book(frame(*tasks))
    book.write(Employment, BEN, "2025-01-01", restricted_until=d(until) if until else None, **fields)
    return book


def told_of(book, first, last, code="T-01"):
    return tale(book.rule(BEN).timeline(code, SITE), first, last)


def test_r10_a_closed_task_is_shut_until_the_day_the_bar_lifts():
    book = young(task("T-01", young_worker=CLOSED))

    assert told_of(book, "2025-01-01", "2026-06-15") == [
        f"always restricted | {AGE.format('closed')}; R2.1 not_started | run, assessment",
        "2026-06-15 not_started | R2.1 not_started | run, assessment",
    ]


def test_r10_who_holds_a_closed_task_holds_it_and_does_not_count():
    book = young(task("T-01", young_worker=CLOSED))
    book.sign_off(BEN, "T-01", "2026-06-01")

    assert told_of(book, "2026-05-31", "2026-07-01") == [
        f"always restricted | {AGE.format('closed')}; R2.1 not_started | run, assessment",
        f"2026-06-01 in_force | {AGE.format('closed')} |  | 2 | 2026-06-01 12:00",
        "2026-06-15 in_force* |  |  | 2",
    ]


def test_r10_at_a_training_only_task_one_learns_and_does_not_count():
    book = young(task("T-01", young_worker=TRAINING))
    book.run(BEN, "T-01", "2026-06-01")
    book.sign_off(BEN, "T-01", "2026-06-02")

    assert told_of(book, "2026-06-01", "2026-06-15") == [
        f"2026-06-01 ready | R2.1 not_signed_off; {AGE.format('training_only')} | assessment",
        f"2026-06-02 in_force | {AGE.format('training_only')} |  | 3 | 2026-06-02 12:00",
        "2026-06-15 in_force* |  |  | 3",
    ]


def test_r10_who_is_named_a_first_trainer_of_a_closed_task_is_restricted_and_has_gained_nothing():
    # Named on 2026-06-01: day 90 is 2026-08-30.
    book = young(task("T-01", young_worker=CLOSED))
    book.on(InitialTrainer, BEN, "T-01", "2026-06-01 15:00", by=HANA)
    named = "R4.10 initial_trainer until=2026-08-30"

    assert told_of(book, "2026-06-01", "2026-08-30") == [
        f"2026-06-01 restricted | {AGE.format('closed')}; {named} |  | 2",
        f"2026-06-15 in_force* | {named} |  | 2",
    ]


@pytest.mark.parametrize("until", [None, "2026-06-15"])
def test_r10_an_open_task_is_open(until):
    book = young(task("T-01"), until=until)

    assert told_of(book, "2025-01-01", "2027-01-01") == ["always not_started | R2.1 not_started | run, assessment"]


def test_r10_a_task_shut_or_opened_by_new_terms_is_so_from_their_day():
    issues = (
        terms(),
        terms(effective_on=d("2026-02-01"), young_worker=CLOSED),
        terms(effective_on=d("2026-04-01"), young_worker=TRAINING),
        terms(effective_on=d("2026-08-01"), young_worker=CLOSED),
    )
    book = young(replace(task("T-01"), terms=issues))
    asked = "run, assessment"

    assert told_of(book, "2025-01-01", "2027-01-01") == [
        f"always not_started | R2.1 not_started | {asked}",
        f"2026-02-01 restricted | {AGE.format('closed')}; R2.1 not_started | {asked}",
        f"2026-04-01 not_started | R2.1 not_started; {AGE.format('training_only')} | {asked}",
        f"2026-06-15 not_started | R2.1 not_started | {asked}",
    ]


def test_r10_3_a_prerequisite_shut_by_new_terms_shuts_from_their_day_if_only_for_a_day():
    issues = (
        terms(),
        terms(effective_on=d("2026-02-01"), young_worker=CLOSED),
        terms(effective_on=d("2026-02-02"), young_worker=TRAINING),
    )
    book = young(replace(task("A-01"), terms=issues), task("T-01", prerequisites=("A-01", "X-99")))
    asked = "run, assessment"

    assert told_of(book, "2025-01-01", "2026-06-14") == [
        f"always not_started | R2.1 not_started | {asked}",
        f"2026-02-01 restricted | {AGE.format('closed')}; R2.1 not_started | {asked}",
        f"2026-02-02 not_started | R2.1 not_started; {AGE.format('training_only')} | {asked}",
    ]


def test_r10_3_the_strictest_along_the_prerequisites_shuts():
    plant = frame(
        task("A-01", young_worker=CLOSED),
        task("B-01", young_worker=TRAINING, prerequisites=("A-01",)),
        task("C-01", prerequisites=("B-01",)),
        task("D-01", young_worker=TRAINING),
        task("E-01", prerequisites=("D-01", "X-99")),
    )

    found = {code: young_worker_class(plant, code, d("2026-01-01")).value for code in plant.tasks}

    assert found == {
        "A-01": "closed",
        "B-01": "closed",
        "C-01": "closed",
        "D-01": "training_only",
        "E-01": "training_only",
    }


def test_r10_3_a_prerequisite_that_is_shut_shuts_what_needs_it():
    book = young(task("A-01", young_worker=CLOSED), task("T-01", prerequisites=("A-01",)))

    assert told_of(book, "2025-01-01", "2025-01-01") == [
        f"always restricted | {AGE.format('closed')}; R2.1 not_started | run, assessment",
    ]


@pytest.mark.parametrize(
    ("until", "day", "young_then"),
    [
        ("2026-06-15", "2026-06-14", True),
        ("2026-06-15", "2026-06-15", False),
        (None, "2026-06-14", False),
        # Born on 29 February, of age on 1 March (R10.1).
        ("2026-03-01", "2026-02-28", True),
        ("2026-03-01", "2026-03-01", False),
    ],
)
def test_r10_1_the_day_the_bar_lifts_is_free(until, day, young_then):
    book = young(task("T-01"), until=until)

    assert is_young(book.rule(BEN).employment, d(day)) is young_then
    assert is_young(None, d(day)) is False


def test_r9_7_before_the_first_day_and_after_the_last_one_does_not_count():
    book = young(task("T-01"), until=None, started_on=d("2025-03-20"), last_day=d("2025-06-30"))
    book.sign_off(BEN, "T-01", "2025-03-10")

    assert told_of(book, "2025-03-10", "2025-12-01") == [
        "2025-03-10 in_force | R9.7 not_started_work starts=2025-03-20 |  | 2 | 2025-03-10 12:00",
        "2025-03-20 in_force* |  |  | 2",
        "2025-07-01 in_force | R9.7 left last_day=2025-06-30 |  | 2",
    ]


def test_r9_7_of_two_notices_the_newest_written_down_holds():
    book = young(task("T-01"), until=None, last_day=d("2025-06-30"))
    book.write(Employment, BEN, "2024-01-01", recorded="2025-02-01", last_day=d("2025-08-31"))
    book.sign_off(BEN, "T-01", "2025-03-10")

    assert told_of(book, "2025-07-01", "2025-12-01")[-1] == (
        "2025-09-01 in_force | R9.7 left last_day=2025-08-31 |  | 3"
    )


# -- cover of a shift ------------------------------------------------------------------------------------------------


def covered(book, shift, day):
    timeline = book.rule(BEN).timeline("T-01", SITE)
    counts, reasons = covers_shift(timeline, SHIFTS[shift], d(day), book.plant)
    return counts, spoken(reasons)


@pytest.mark.parametrize(
    ("shift", "day", "expected"),
    [
        ("day", "2026-06-14", (True, "")),
        ("night", "2026-06-14", (False, "R10.3 night until=2026-06-15")),
        ("night", "2026-06-15", (True, "")),
        ("late", "2026-06-14", (True, "")),
    ],
)
def test_r10_3_no_nights_before_the_day_on_which_the_bar_lifts(shift, day, expected):
    book = young(task("T-01"))
    book.sign_off(BEN, "T-01", "2026-06-01")

    assert covered(book, shift, day) == expected


def test_r9_1_every_reason_of_a_shift_is_told_once():
    book = young(task("T-01", "food", young_worker=TRAINING, validity_months=12))
    book.sign_off(BEN, "T-01", "2025-06-13")

    assert covered(book, "night", "2026-06-13") == (
        False,
        "; ".join(
            (
                "R3.1 renewal_due last_valid=2026-06-13",
                AGE.format("training_only"),
                "R3.4 lapsed last_valid=2026-06-13",
                "R10.3 night until=2026-06-15",
            )
        ),
    )


@pytest.mark.parametrize(
    ("shift", "expected"),
    [
        ("day", (False, "R9.1 gained_later at=2026-07-01T09:00:00+00:00")),
        ("late", (True, "")),
    ],
)
def test_r9_1_a_gain_made_after_the_shift_began_does_not_help_it(shift, expected):
    book = young(task("T-01"), until=None)
    book.sign_off(BEN, "T-01", "2026-07-01 10:00")

    assert covered(book, shift, "2026-07-01") == expected


def test_r9_1_a_gain_at_the_minute_at_which_the_shift_begins_helps_it():
    book = young(task("T-01"), until=None)
    book.sign_off(BEN, "T-01", "2026-07-01 06:00")

    assert covered(book, "day", "2026-07-01") == (True, "")
    assert book.period(BEN, "T-01", "2026-07-01").gained_at == at("2026-07-01 06:00")


@pytest.mark.parametrize(
    ("starts", "ends", "night"),
    [(1320, 1, True), (1320, 0, False), (360, 360, True), (0, 0, False), (1320, 360, True), (360, 840, False)],
    ids=["a minute past midnight", "to midnight", "round the clock", "from midnight", "night", "day"],
)
def test_a_night_has_minutes_on_two_dates(starts, ends, night):
    assert is_night(Shift(name="any", starts=starts, ends=ends)) is night
