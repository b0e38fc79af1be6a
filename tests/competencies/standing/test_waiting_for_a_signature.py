"""The way back of a holder whose assessment waits for its second signature (R2.4, R2.5), worked by hand.

K is critical, 12 months, last valid day 2025-06-30, no grace; day 14 after an assessment of 06-25 is 07-09.
"""

import pytest

from competencies.standing.facts import Withdrawal
from tests.competencies.standing.plant import ANA, GUS, Book, frame, judged, revision, task

TWO = [revision(1, "2001-01-01"), revision(2, "2025-06-20", touches=(2,))]


def holder(revisions=None):
    book = Book(frame(task("K-01", "food", validity_months=12, runs=4, revisions=revisions)))
    book.sign_off(ANA, "K-01", "2024-06-30")
    return book


def way_back(book, day):
    return [step.action for step in book.period(ANA, "K-01", day).way_back]


FROM_NEW = ["run", "assessment", "second_signature"]


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        pytest.param("2025-06-26", [], id="still valid: nothing stands in the way"),
        pytest.param("2025-07-01", ["second_signature"], id="lapsed while it waits"),
        pytest.param("2025-07-09", ["second_signature"], id="day 14"),
        pytest.param("2025-07-10", FROM_NEW, id="void"),
    ],
)
def test_r2_5_a_renewal_that_waits_wants_its_signature_only(day, expected):
    book = holder()
    book.assess(ANA, "K-01", "2025-06-25")

    assert way_back(book, day) == expected


def test_r6_2_what_was_withdrawn_since_is_not_mended_by_an_earlier_assessment():
    book = holder()
    book.assess(ANA, "K-01", "2025-06-25")
    book.on(Withdrawal, ANA, "K-01", "2025-06-26 10:00", by=GUS)

    assert way_back(book, "2025-07-01") == ["assessment", "second_signature"]


def test_r5_3_nor_what_was_not_yet_competent_since():
    book = holder()
    book.assess(ANA, "K-01", "2025-06-25")
    book.assess(ANA, "K-01", "2025-06-27", outcome="not_yet_competent", judged=judged(not_met=(1,)))

    assert way_back(book, "2025-06-28") == FROM_NEW


@pytest.mark.parametrize(
    ("number", "is_delta", "day", "expected"),
    [
        pytest.param(2, True, "2025-06-26", ["second_signature"], id="the changes wait"),
        pytest.param(2, False, "2025-06-26", ["second_signature"], id="a renewal on the new revision does for them"),
        pytest.param(
            1,
            False,
            "2025-06-26",
            ["second_signature", "run", "delta", "second_signature"],
            id="one on the old does not",
        ),
        pytest.param(
            2, True, "2025-07-01", ["second_signature", "run", "assessment", "second_signature"], id="lapsed besides"
        ),
    ],
)
def test_r4_4_changes_shown_that_wait_want_their_signature_only(number, is_delta, day, expected):
    book = holder(TWO)
    book.run(ANA, "K-01", "2025-06-24", revision=number)
    book.assess(ANA, "K-01", "2025-06-25", revision=number, delta=is_delta)

    assert way_back(book, day) == expected
