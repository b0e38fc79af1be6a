"""R9.7 for somebody who comes back: away in between on both clocks, and what counted before stays as it was.

Worked by hand from the rules: the last working day counts, the next does not;
nothing told later changes an old answer.
"""

import pytest

from competencies.standing.entitlement import barred
from competencies.standing.facts import SITE, Assessment, Employment
from competencies.vocabulary import Outcome
from tests.competencies.standing.plant import ANA, DARA, Book, at, codes, d, frame, task, told


def employed(book, when, started, last=None):
    book.write(Employment, ANA, when, started_on=d(started), last_day=d(last) if last else None)


def returner():
    """Return a book in which Ana works from 2024-06-01 to 2024-12-31 and again from 2025-06-02."""
    book = Book(frame(task("T-01", validity_months=24)))
    employed(book, "2024-06-01", "2024-06-01")
    book.sign_off(ANA, "T-01", "2024-07-01")
    employed(book, "2024-12-15", "2024-06-01", "2024-12-31")
    employed(book, "2025-05-20", "2025-06-02")
    return book


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2024-12-31 23:59", (True, set())),
        ("2025-01-01 00:00", (False, {"R9.7 left last_day=2024-12-31"})),
        ("2025-06-01 23:59", (False, {"R9.7 left last_day=2024-12-31"})),
        ("2025-06-02 00:00", (True, set())),
    ],
)
def test_r9_7_who_comes_back_was_away_in_between(day, expected):
    period = returner().period(ANA, "T-01", day)

    assert (period.counts, told(period.reasons)) == expected


def test_r9_7_as_known_before_the_return_it_is_not_known():
    period = returner().period(ANA, "T-01", "2025-07-01", known="2025-05-01")

    assert (period.counts, codes(period.reasons)) == (False, {"left"})


def test_r9_7_a_notice_taken_back_is_no_return():
    book = Book(frame(task("T-01", validity_months=24)))
    employed(book, "2024-06-01", "2024-06-01")
    book.sign_off(ANA, "T-01", "2024-07-01")
    employed(book, "2024-12-15", "2024-06-01", "2024-12-31")
    employed(book, "2025-01-05", "2024-06-01")

    assert book.period(ANA, "T-01", "2025-01-02").counts
    assert not book.period(ANA, "T-01", "2025-01-02", known="2025-01-04").counts


def test_r9_7_nobody_comes_back_on_the_last_day_known_the_first_day_was_another_one():
    book = Book(frame(task("T-01", validity_months=24)))
    employed(book, "2024-06-01", "2024-06-01", "2024-12-31")
    book.sign_off(ANA, "T-01", "2024-07-01")
    employed(book, "2025-01-10", "2024-12-31", "2025-02-28")

    assert told(book.period(ANA, "T-01", "2024-12-30").reasons) == {"R9.7 not_started_work starts=2024-12-31"}
    assert book.period(ANA, "T-01", "2024-12-31").counts
    assert book.period(ANA, "T-01", "2025-01-15").counts


def test_r9_7_a_second_leaving_leaves_the_first():
    book = returner()
    employed(book, "2025-08-01", "2025-06-02", "2025-08-31")

    assert [
        book.period(ANA, "T-01", day).counts for day in ("2024-12-31", "2025-02-01", "2025-08-31", "2025-09-01")
    ] == [
        True,
        False,
        True,
        False,
    ]


def test_r9_7_a_first_day_moved_does_not_part_the_time():
    book = Book(frame(task("T-01", validity_months=24)))
    employed(book, "2024-05-01", "2024-06-01")
    employed(book, "2024-05-20", "2024-06-10")
    book.sign_off(ANA, "T-01", "2024-07-01")

    assert "not_started_work" in codes(book.period(ANA, "T-01", "2024-06-09").reasons)
    assert "not_started_work" not in codes(book.period(ANA, "T-01", "2024-06-10").reasons)


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2024-12-31", set()),
        ("2025-02-01", {"R9.7 left last_day=2024-12-31"}),
        ("2025-06-02", set()),
    ],
)
def test_r9_7_nothing_is_entered_about_the_time_away(day, expected):
    entry = Assessment(
        seq=1,
        person=ANA,
        happened_at=at(day),
        recorded_at=at(day),
        on=d(day),
        task="T-01",
        scope=SITE,
        by=DARA,
        revision=1,
        outcome=Outcome.COMPETENT,
    )

    assert told(barred(entry, returner().rule(ANA))) == expected
