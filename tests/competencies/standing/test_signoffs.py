"""Sign-offs in their chain: anchor, certificates from elsewhere, decided terms, and what is fresh. Worked by hand.

R3.1 and 3.17: inside the window the last valid day is the anchor plus the validities given since; R11: where a
certificate cut it short, the cut day becomes the anchor; R4.11: a decision works it out from the same anchor.
"""

from dataclasses import replace

import pytest

from competencies.standing.facts import SITE, Recognition, Withdrawal
from tests.competencies.standing.plant import ANA, DARA, GUS, Book, d, frame, revision, tale, task, terms

FIRST, COMING = revision(1, "2024-01-01"), revision(2, "2025-04-01", approved_on=d("2025-03-15"))


def under(*issues, **asked):
    """Return a book on one task of four runs, by several issues of its terms."""
    given = tuple(terms(**{"runs": 4, **each}) for each in issues)
    return Book(frame(replace(task("T-01", **asked), terms=given)))


def decided(effective, held, months):
    return {"effective_on": d(effective), "applies_to_held_on": d(held), "validity_months": months}


def last_valid(book, *days):
    return [str(book.period(ANA, "T-01", day).last_valid_on) for day in days]


def told_of(book, first, last):
    return tale(book.rule(ANA).timeline("T-01", SITE), first, last)


# -- terms (R4.11) ---------------------------------------------------------------------------------------------------


def test_r4_11_a_sign_off_keeps_the_terms_of_the_day_of_its_assessment():
    book = under({"validity_months": 24}, {"effective_on": d("2025-04-01"), "validity_months": 12})
    book.sign_off(ANA, "T-01", "2025-03-31")
    book.sign_off(ANA, "T-01", "2025-04-01")

    signoffs = book.rule(ANA).holding("T-01", SITE).signoffs

    assert [each.terms.validity_months for each in signoffs] == [24, 12]


# Assessed 2023-08-15: 24 months end on 2025-08-15, 28 on 2025-12-15, 30 on 2026-02-15, 36 on 2026-08-15.
OWN, OLDER, NEWER = (
    {"validity_months": 24},
    decided("2025-03-01", "2025-09-01", 36),
    decided("2025-05-01", "2025-06-01", 30),
)


def test_r4_11_older_terms_whose_day_comes_later_change_nothing_and_tell_nothing():
    # 60 days before 2026-02-15 is 2025-12-17.
    book = under(OWN, OLDER, NEWER)
    book.sign_off(ANA, "T-01", "2023-08-15")
    applied = "R4.11 terms_applied effective=2025-05-01 on=2025-06-01"

    assert told_of(book, "2025-05-31", "2025-12-31") == [
        "2023-08-15 in_force* |  |  | 1 | 2023-08-15 12:00",
        f"2025-06-01 in_force* | {applied} |  | 1",
        f"2025-12-17 renewal_due* | R3.1 renewal_due last_valid=2026-02-15; {applied} |  | 1",
    ]


def test_r4_11_after_older_terms_that_came_too_late_still_newer_ones_apply():
    book = under(OWN, OLDER, NEWER, decided("2025-08-01", "2025-10-01", 28))
    book.sign_off(ANA, "T-01", "2023-08-15")

    assert last_valid(book, "2025-09-01", "2025-09-30", "2025-10-01") == ["2026-02-15", "2026-02-15", "2025-12-15"]


def test_r4_11_of_two_decisions_that_act_on_one_day_the_newer_terms_hold():
    book = under(OWN, decided("2025-03-01", "2025-06-01", 36), NEWER)
    book.sign_off(ANA, "T-01", "2023-08-15")

    assert last_valid(book, "2025-05-31", "2025-06-01") == ["2025-08-15", "2026-02-15"]
    assert told_of(book, "2025-06-01", "2025-12-01") == [
        "2025-06-01 in_force* | R4.11 terms_applied effective=2025-05-01 on=2025-06-01 |  | 1",
    ]


def test_r4_11_of_two_issues_of_one_day_the_second_takes_the_place_of_the_first():
    book = under(OWN, NEWER, decided("2025-05-01", "2025-07-01", 36))
    book.sign_off(ANA, "T-01", "2023-08-15")

    assert last_valid(book, "2025-06-30", "2025-07-01") == ["2026-02-15", "2026-08-15"]


def test_r3_4_a_decision_before_the_effect_took_nothing_away_and_the_lapse_counts_from_the_last_valid_day():
    # Entered more than seven days late it takes effect on 2025-09-05, four days after the decision: by 6 months its
    # last valid day was 2025-07-10. One run through 2026-01-10, then half of four.
    book = under(OWN, decided("2025-08-01", "2025-09-01", 6))
    book.sign_off(ANA, "T-01", "2025-01-10", recorded="2025-09-05")
    rule = book.rule(ANA)

    assert book.standing(ANA, "T-01", "2025-09-05") == "lapsed"
    assert [rule.purpose("T-01", SITE, d(day)).runs for day in ("2026-01-10", "2026-01-11")] == [1, 2]


@pytest.mark.parametrize(
    ("renewed", "expected"),
    [("2026-01-08", "2028-01-08"), ("2026-03-01", "2028-03-10")],
    ids=["before the window: its own day", "in the window: the chain's first day and both validities"],
)
def test_r4_11_terms_decided_for_a_renewal_without_an_end_count_from_its_anchor(renewed, expected):
    # The first, 12 months from 2025-03-10, is due from 2026-01-09; terms without an end hold from 2026-01-01.
    endless = {"effective_on": d("2026-01-01"), "validity_months": None}
    book = under({"validity_months": 12}, endless, decided("2026-06-01", "2026-07-01", 24))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "T-01", renewed)

    assert last_valid(book, "2026-06-30", "2026-07-01") == ["None", expected]


# -- certificates from elsewhere (R11) -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("recognised", "ends", "first", "renewed", "second"),
    [
        pytest.param("2026-03-10", "2027-10-10", "2027-10-10", "2027-09-01", "2030-10-10", id="cut: the new anchor"),
        pytest.param("2026-03-10", "2031-01-01", "2029-03-12", "2029-03-01", "2032-03-12", id="ends later: no cut"),
        pytest.param("2026-03-12 08:00", "2027-10-10", "2027-10-10", "2027-09-01", "2030-10-10", id="the same day"),
        pytest.param("2026-03-10", "2027-10-10", "2027-10-10", "2027-08-01", "2030-08-01", id="before the window"),
    ],
)
def test_r11_a_certificate_that_cuts_a_sign_off_short_is_its_anchor(recognised, ends, first, renewed, second):
    # 36 months; 60 days before 2027-10-10 is 2027-08-11.
    book = Book(frame(task("T-01", validity_months=36)))
    evidence = {"by": DARA, "evidence_on": d("2025-01-01"), "evidence_ends_on": d(ends)}
    book.on(Recognition, ANA, "T-01", recognised, **evidence)
    book.sign_off(ANA, "T-01", "2026-03-12")
    book.sign_off(ANA, "T-01", renewed)

    assert last_valid(book, "2026-03-12", renewed) == [first, second]


# -- after one without an end, and what is fresh (R3.1, R4.7, R6.2) --------------------------------------------------


def test_r3_1_after_a_sign_off_without_an_end_the_next_counts_from_its_own_day():
    book = under({"validity_months": None}, {"effective_on": d("2025-06-01"), "validity_months": 12})
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "T-01", "2025-07-01")

    assert last_valid(book, "2025-06-30", "2025-07-01") == ["None", "2026-07-01"]


WAITS = ["2025-03-20 awaiting_revision", "2025-04-01 in_force*"]
GOES_ON = ["2025-03-20 in_force*", "2025-04-01 in_force*"]


@pytest.mark.parametrize(
    ("validity", "held_since", "withdrawn", "expected"),
    [
        pytest.param(None, "2025-01-10", None, GOES_ON, id="holds without an end"),
        pytest.param(12, "2025-01-10", None, GOES_ON, id="holds"),
        pytest.param(12, "2024-03-20", None, GOES_ON, id="on the last valid day"),
        pytest.param(12, "2024-03-19", None, WAITS, id="lapsed"),
        pytest.param(12, "2025-01-10", "2025-03-16", WAITS, id="withdrawn"),
        pytest.param(12, "2025-01-10", "2025-01-09", GOES_ON, id="withdrawn before"),
    ],
)
def test_r4_7_on_a_coming_revision_only_who_holds_nothing_older_waits_for_its_day(
    validity, held_since, withdrawn, expected
):
    book = Book(frame(task("T-01", "food", validity_months=validity, revisions=[FIRST, COMING])))
    book.sign_off(ANA, "T-01", held_since)
    if withdrawn:
        book.on(Withdrawal, ANA, "T-01", withdrawn, by=GUS)
    book.sign_off(ANA, "T-01", "2025-03-20", revision=2)

    assert [line.partition(" |")[0] for line in told_of(book, "2025-03-20", "2025-12-01")] == expected
