"""Terms by a dated decision (R4.11) and a changed class of a revision (R4.8), day by day, worked by hand."""

from datetime import UTC, datetime

import pytest

from competencies.standing import facts as kinds
from competencies.standing.framework import Policy
from competencies.standing.purpose import PurposeKind
from tests.competencies.standing.plant import ANA, CHEN, SITE, Book, at, codes, d, frame, revision, tale, task, terms

NO_RECENCY = Policy(recency_days=None)


def plant(*later, **asked):
    """Return a plant with one task, valid 24 months with 30 days of grace, and later terms of it."""
    base = task("T-1", **{"validity_months": 24, "runs": 4, **asked})
    given = tuple(terms(**{"validity_months": 24, "runs": 4, **each}) for each in later)
    object.__setattr__(base, "terms", (*base.terms, *given))
    return frame(base)


def decided(effective, held, **asked):
    return {"effective_on": d(effective), "applies_to_held_on": d(held), **asked}


def last_valid(book, when, person=ANA):
    return str(book.period(person, "T-1", when).last_valid_on)


# Assessed 2024-10-15: 24 months end on 2026-10-15; 12 on 2025-10-15; 36 on 2027-10-15; 6 on 2025-04-15.
@pytest.mark.parametrize(
    ("later", "answers"),
    [
        ([], {"2025-08-31": "2026-10-15", "2026-01-01": "2026-10-15"}),
        ([{"effective_on": d("2025-07-01"), "validity_months": 12}], {"2026-01-01": "2026-10-15"}),
        (
            [decided("2025-07-01", "2025-09-01", validity_months=12)],
            {"2025-08-31": "2026-10-15", "2025-09-01": "2025-10-15", "2025-12-01": "2025-10-15"},
        ),
        (
            [decided("2025-07-01", "2025-07-01", validity_months=36)],
            {"2025-06-30": "2026-10-15", "2025-07-01": "2027-10-15"},
        ),
        ([decided("2025-07-01", "2025-09-01", validity_months=None)], {"2025-09-01": "None", "2099-01-01": "None"}),
        (
            # Two decisions, one after the other.
            [
                decided("2025-03-01", "2025-04-01", validity_months=36),
                decided("2025-05-01", "2025-06-01", validity_months=12),
            ],
            {"2025-03-31": "2026-10-15", "2025-04-01": "2027-10-15", "2025-06-01": "2025-10-15"},
        ),
        (
            # The newer terms reach them first: the older decision, later by its day, does not take them back.
            [
                decided("2025-03-01", "2025-09-01", validity_months=36),
                decided("2025-05-01", "2025-06-01", validity_months=12),
            ],
            {"2025-06-01": "2025-10-15", "2025-09-01": "2025-10-15"},
        ),
    ],
    ids=["none", "no decision", "shorter", "longer", "no end", "two", "older later"],
)
def test_the_last_valid_day_as_reckoned_on_a_day(later, answers):
    book = Book(plant(*later))
    book.sign_off(ANA, "T-1", "2024-10-15")

    assert {day: last_valid(book, day) for day in answers} == answers


def test_what_passed_already_is_lost_at_midnight_of_the_day_and_the_lapse_counts_from_there():
    # Assessed 2023-06-05; 6 months would have ended on 2023-12-05, grace on 2024-01-04. Decided for 2025-03-03.
    # R3.4 from 2025-03-02: through 2025-09-02 one run, then half of four.
    book = Book(plant(decided("2025-03-01", "2025-03-03", validity_months=6)))
    book.sign_off(ANA, "T-1", "2023-06-05")

    assert book.standing(ANA, "T-1", "2025-03-02 23:59") == "in_force"
    assert book.standing(ANA, "T-1", "2025-03-03 00:00") == "lapsed"
    runs = {day: book.rule(ANA).purpose("T-1", SITE, d(day)).runs for day in ("2025-09-02", "2025-09-03")}
    assert runs == {"2025-09-02": 1, "2025-09-03": 2}
    lapsed = "lapsed | R3.4 lapsed last_valid=2023-12-05; R4.11 terms_applied effective=2025-03-01 on=2025-03-03"
    assert tale(book.rule(ANA).timeline("T-1", SITE), "2025-03-03", "2027-03-03") == [
        f"2025-03-03 {lapsed} | run, assessment | 1",
        f"2025-09-03 {lapsed} | run x2, assessment | 1",
        f"2027-03-03 {lapsed} | run x4, assessment | 1",
    ]


def test_what_has_ended_does_not_come_back():
    # Assessed 2023-01-10: ended 2025-01-10, grace 2025-02-09. On that day it is carried on; on the day after not.
    for day, expected in (("2025-02-09", "in_force"), ("2025-02-10", "lapsed")):
        book = Book(plant(decided("2025-01-20", day, validity_months=48)))
        book.sign_off(ANA, "T-1", "2023-01-10")
        assert book.standing(ANA, "T-1", "2025-03-01") == expected


def test_a_renewal_adds_to_what_was_reckoned_on_its_day():
    # Anchor 2024-10-15. From 2025-09-01 reckoned with 12 months: 2025-10-15. Renewed 2025-09-20, in the window.
    book = Book(plant(decided("2025-07-01", "2025-09-01", validity_months=12)))
    book.sign_off(ANA, "T-1", "2024-10-15")
    book.sign_off(ANA, "T-1", "2025-09-20")

    assert last_valid(book, "2025-09-20") == "2026-10-15"


def test_a_decision_after_the_renewal_changes_only_its_own_part():
    # Anchor 2023-10-15 + 24 + 24 = 2027-10-15. A decision of 12 months from 2026-01-01: 2023-10-15 + 24 + 12.
    book = Book(plant(decided("2025-12-01", "2026-01-01", validity_months=12)))
    book.sign_off(ANA, "T-1", "2023-10-15")
    book.sign_off(ANA, "T-1", "2025-09-20")

    assert (last_valid(book, "2025-12-31"), last_valid(book, "2026-01-01")) == ("2027-10-15", "2026-10-15")


def test_an_outside_certificate_still_cuts():
    book = Book(plant(decided("2025-07-01", "2025-07-01", validity_months=60)))
    ends_on = d("2026-01-31")
    book.on(kinds.Recognition, ANA, "T-1", "2024-10-01", evidence_on=d("2024-09-01"), evidence_ends_on=ends_on)
    book.sign_off(ANA, "T-1", "2024-10-15")

    assert (last_valid(book, "2025-06-30"), last_valid(book, "2025-07-01")) == ("2026-01-31", "2026-01-31")


def test_before_the_decision_was_written_down_the_answer_is_the_old_one():
    recorded_at = datetime(2025, 6, 2, 9, tzinfo=UTC)
    book = Book(plant(decided("2025-07-01", "2025-09-01", validity_months=6, recorded_at=recorded_at)))
    book.sign_off(ANA, "T-1", "2024-10-15")

    assert book.standing(ANA, "T-1", "2025-09-01", known="2025-06-01") == "in_force"
    assert book.standing(ANA, "T-1", "2025-09-01", known="2025-06-03") == "lapsed"


def test_new_grace_holds_from_the_day_too():
    # 12 months end on 2025-10-15; no grace from the decision on.
    book = Book(plant(decided("2025-07-01", "2025-09-01", validity_months=12, grace_days=0)))
    book.sign_off(ANA, "T-1", "2024-10-15")

    assert [book.standing(ANA, "T-1", day) for day in ("2025-10-15", "2025-10-16")] == ["renewal_due", "lapsed"]


def reclassified(critical):
    made = at("2025-06-23 14:00")
    revisions = [revision(1, "2001-01-01"), revision(2, "2025-06-02", touches=(3,), reclassified_at=made)]
    return Book(frame(task("T-1", critical, validity_months=24, runs=4, revisions=revisions), policy=NO_RECENCY))


def test_reading_was_enough_until_the_class_changed():
    book = reclassified("food")
    book.sign_off(ANA, "T-1", "2024-09-02")
    book.sign_off(CHEN, "T-1", "2024-09-02")
    book.on(kinds.Acknowledgement, ANA, "T-1", "2025-06-04", by=ANA, revision=2)

    rule = book.rule(ANA)
    assert [book.standing(ANA, "T-1", day) for day in ("2025-06-22 23:59", "2025-06-23 00:00")] == [
        "in_force",
        "out_of_revision",
    ]
    assert "reclassified" in codes(book.period(ANA, "T-1", "2025-06-22").reasons)
    assert "reclassified" in codes(book.period(CHEN, "T-1", "2025-06-22").reasons)
    assert rule.purpose("T-1", SITE, d("2025-06-22")).kind is PurposeKind.RENEWAL
    assert rule.purpose("T-1", SITE, d("2025-06-23")).kind is PurposeKind.DELTA
    teaching = [rule.knows_revision("T-1", SITE, 2, at(day)) for day in ("2025-06-22", "2025-06-23")]
    assert teaching == [True, False]


def test_the_runs_of_a_trainee_count_in_full_until_the_class_changed():
    # Four runs on revision 1. On 22 June it is a minor one: all carry. From 23 June on half of four do.
    book = reclassified("none")
    for day in ("2025-05-26", "2025-05-27", "2025-05-28", "2025-05-29"):
        book.run(ANA, "T-1", day)

    counted = {day: len(book.rule(ANA).progress("T-1", SITE, at(day)).counted) for day in ("2025-06-22", "2025-06-23")}

    assert counted == {"2025-06-22": 4, "2025-06-23": 2}
    assert [book.standing(ANA, "T-1", day) for day in ("2025-06-22", "2025-06-23")] == ["ready", "learning"]


def test_recency_that_is_switched_on_later_counts_from_the_next_performance():
    on = Policy(effective_on=d("2025-09-01"))
    book = Book(frame(task("T-1", "food", validity_months=36), policy=(NO_RECENCY, on)))
    book.sign_off(ANA, "T-1", "2024-11-04")
    book.on(kinds.Performance, ANA, "T-1", "2025-09-08")

    assert [book.standing(ANA, "T-1", day) for day in ("2025-09-07", "2025-12-07", "2025-12-08")] == [
        "in_force",
        "in_force",
        "stale",
    ]
