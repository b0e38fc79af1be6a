"""What a decision on a unit rests on, and what a moderator is told has become of it since (R8.1, R8.8)."""

import pytest

from competencies.standing.credits import Unit
from competencies.standing.facts import (
    Annulment,
    Check,
    Correction,
    Moderation,
    Reverification,
    Review,
    Scope,
    UnitDecision,
    Withdrawal,
)
from competencies.standing.unit_evidence import (
    end_of,
    evidence_of,
    flags,
    is_under_review,
    outcome_evidence,
    outcome_gaps,
    outcomes_met,
    sign_offs_behind,
)
from competencies.standing.unit_records import unit_records
from tests.competencies.standing.plant import ANA, DARA, ELI, GUS, HANA, SITE, Book, at, d, frame, spoken, task

L1, L2 = Scope("L1"), Scope("L2")
UNIT = Unit(code="U1", version=1, level=3, credits=5, group="K", outcomes={1: ("PK-01",), 2: ("BH-02", "calc:C01")})
DECIDED = "2025-03-03 10:00"


def learned():
    """Ana holds both tasks since February and has passed the sum: places 1 (PK-01), 2 (BH-02) and 3 (the sum)."""
    plant = frame(task("PK-01", validity_months=24), task("BH-02", validity_months=24), task("PK-03"))
    book = Book(plant)
    book.sign_off(ANA, "PK-01", "2025-02-04", by=DARA)
    book.sign_off(ANA, "BH-02", "2025-02-05", by=ELI)
    book.write(Check, ANA, "2025-02-03", calculation="C01", passed=True, by=ELI)
    return book


def decide(book, when=DECIDED, **fields):
    book.write(UnitDecision, ANA, when, unit="U1", version=1, by=ELI, **fields)
    return book.rule(ANA).unit_decisions[-1]


def told(book, when, *, unit=UNIT):
    """Return what a moderator is told at a moment, in order."""
    rule = book.rule(ANA)
    (record,) = unit_records(rule.of_units, d("2025-12-31"))
    return spoken(flags(record, unit, rule, at(when)))


def withdrawn(when):
    """Return what withdraws the sign-off on PK-01 at a moment."""
    return lambda book: book.on(Withdrawal, ANA, "PK-01", when, by=GUS)


# What it rests on


@pytest.mark.parametrize(
    ("change", "moment", "missing"),
    [
        (lambda book: None, None, {1: (), 2: ()}),
        (lambda book: book.of(Annulment, 2, "2025-02-10"), None, {1: (), 2: ("BH-02",)}),
        (lambda book: book.of(Correction, 3, "2025-02-10"), None, {1: (), 2: ("calc:C01",)}),
        (
            lambda book: [book.of(Annulment, 2, "2025-02-10"), book.of(Correction, 3, "2025-02-10")],
            None,
            {1: (), 2: ("BH-02", "calc:C01")},
        ),
        # A withdrawal at 15:00 of the day that is asked for.
        (withdrawn("2025-03-03 15:00"), None, {1: ("PK-01",), 2: ()}),
        (withdrawn("2025-03-03 15:00"), "2025-03-03 15:00", {1: ("PK-01",), 2: ()}),
        (withdrawn("2025-03-03 15:00"), "2025-03-03 14:59", {1: (), 2: ()}),
        # Written down days later, it is taken at the end of its own day.
        (withdrawn("2025-03-04"), "2025-03-09", {1: (), 2: ()}),
    ],
    ids=[
        *("all stand", "annulled", "sum corrected", "both", "withdrawn that day", "by that minute", "after it"),
        "the day after",
    ],
)
def test_each_outcome_names_what_is_missing_at_the_moment_of_the_decision(change, moment, missing):
    book = learned()
    change(book)
    asked = (UNIT, book.rule(ANA), d("2025-03-03"))
    when = moment and at(moment)

    assert outcome_gaps(*asked, at=when) == missing
    assert outcomes_met(*asked, at=when) == {number: not codes for number, codes in missing.items()}


def test_a_sum_that_was_never_tried_and_one_that_was_missed_are_missing():
    unit = Unit(code="U9", version=1, level=3, credits=1, group="K", outcomes={1: ("calc:C01",), 2: ("calc:C02",)})
    book = Book(frame(task("PK-01")))
    book.write(Check, ANA, "2025-02-03", calculation="C01", passed=False, by=ELI)

    assert outcome_gaps(unit, book.rule(ANA), d("2025-03-03")) == {1: ("calc:C01",), 2: ("calc:C02",)}


def test_the_newest_sign_off_stands_for_a_task_wherever_it_was_given():
    unit = Unit(code="U9", version=1, level=3, credits=1, group="K", outcomes={1: ("PK-01",)})
    book = Book(frame(task("PK-01", scope="line", held_at=(L1, L2), validity_months=12)))
    older = book.sign_off(ANA, "PK-01", "2024-05-06", by=DARA, scope=L2)
    newest = book.sign_off(ANA, "PK-01", "2025-02-10", by=DARA, scope=L1)
    middle = book.sign_off(ANA, "PK-01", "2025-02-03", by=DARA, scope=L2)

    found = [
        outcome_evidence(unit, book.rule(ANA), d(day))[1]["PK-01"]
        for day in ("2025-02-02", "2025-02-09", "2025-02-10")
    ]

    assert found == [(older,), (middle,), (newest,)]  # fmt: skip


def test_a_gain_acts_on_its_date_from_the_first_minute():
    unit = Unit(code="U9", version=1, level=3, credits=1, group="K", outcomes={1: ("PK-01",)})
    book = Book(frame(task("PK-01")))
    book.sign_off(ANA, "PK-01", "2025-03-03 11:00", by=DARA)

    stands = [
        outcomes_met(unit, book.rule(ANA), d(when[:10]), at=at(when))[1]
        for when in ("2025-03-02 23:59", "2025-03-03 00:00")
    ]

    assert stands == [False, True]


@pytest.mark.parametrize(
    ("fields", "rests_on"),
    [
        ({}, (1, 2, 3)),
        ({"evidence": (2,)}, (2,)),
        ({"elsewhere": True}, ()),
        ({"elsewhere": True, "evidence": (2,)}, ()),
    ],
    ids=["what stood", "what it names", "elsewhere", "elsewhere whatever it names"],
)
def test_a_decision_rests_on_what_it_names_or_else_on_what_stood_for_it(fields, rests_on):
    book = learned()
    decision = decide(book, **fields)

    assert evidence_of(UNIT, book.rule(ANA), decision) == rests_on


def test_what_stood_for_a_decision_is_asked_at_its_minute():
    book = learned()
    decision = decide(book)
    book.on(Withdrawal, ANA, "PK-01", "2025-03-03 15:00", by=GUS)

    assert evidence_of(UNIT, book.rule(ANA), decision) == (1, 2, 3)


def test_the_sign_offs_behind_a_decision_are_told_as_they_were_given():
    book = learned()
    book.sign_off(ANA, "PK-03", "2025-02-03", by=DARA)
    missed = book.assess(ANA, "PK-01", "2025-02-02", by=DARA, outcome="not_yet_competent")
    of_what_stood = decide(book)
    behind = [each.seq for each in sign_offs_behind(UNIT, book.rule(ANA), of_what_stood)]
    named = decide(book, evidence=(1, 3, 4, missed))

    # The sum is no sign-off, PK-03 no task of the unit, and a judgement of not yet competent nothing to rest on.
    assert behind == [1, 2]
    assert [each.seq for each in sign_offs_behind(UNIT, book.rule(ANA), named)] == [1]


@pytest.mark.parametrize(
    ("reviews", "looked", "when", "is_under_review_then"),
    [
        ([], [], "2025-04-01", False),
        (["2025-04-01 09:00"], [], "2025-04-01 08:59", False),
        (["2025-04-01 09:00"], [], "2025-04-01 09:00", True),
        (["2025-04-01 09:00"], ["2025-04-03 09:00"], "2025-04-03 08:59", True),
        (["2025-04-01 09:00"], ["2025-04-03 09:00"], "2025-04-03 09:00", False),
        (["2025-04-01 09:00", "2025-04-05 09:00"], ["2025-04-03 09:00"], "2025-04-04", False),
        (["2025-04-01 09:00", "2025-04-05 09:00"], ["2025-04-03 09:00"], "2025-04-05 09:00", True),
    ],
    ids=["never", "before", "from its minute", "until looked at", "looked at", "looked at once", "again"],
)
def test_a_sign_off_is_under_review_from_its_minute_until_it_is_looked_at_again(
    reviews, looked, when, is_under_review_then
):
    book = learned()
    for kind, moments in ((Review, reviews), (Reverification, looked)):
        for moment in moments:
            book.of(kind, 1, moment, by=GUS)
    case = book.rule(ANA).holding("PK-01", SITE).case

    assert is_under_review(case, 1, at(when)) is is_under_review_then
    assert not is_under_review(book.rule(ANA).holding("BH-02", SITE).case, 2, at(when))


# What a moderator is told


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            lambda book: book.on(Withdrawal, ANA, "PK-01", "2025-05-05", by=GUS),
            "R8.8 unit_withdrawn on=2025-05-05 task=PK-01",
        ),
        (lambda book: book.of(Annulment, 1, "2025-05-05"), "R8.8 unit_annulled on=2025-05-05 task=PK-01"),
        (lambda book: book.of(Review, 2, "2025-05-05"), "R8.8 unit_under_review on=2025-05-05 task=BH-02"),
        (lambda book: book.of(Correction, 3, "2025-05-05"), "R8.8 unit_corrected entry=3"),
        (lambda book: book.of(Correction, 1, "2025-05-05"), "R8.8 unit_corrected entry=1"),
    ],
    ids=["withdrawn", "annulled", "under review", "sum corrected", "sign-off corrected"],
)
def test_what_becomes_of_the_evidence_is_told_from_its_minute_until_a_moderator_looks(change, said):
    book = learned()
    decision = decide(book, evidence=(1, 2, 3))
    change(book)

    assert told(book, "2025-05-05 11:59") == ""
    assert told(book, "2025-05-05 12:00") == said

    book.write(Moderation, ANA, "2025-05-05 11:59", of=decision.seq, agrees=True, by=HANA)
    assert told(book, "2025-12-31") == said

    book.write(Moderation, ANA, "2025-05-05 12:00", of=decision.seq, agrees=True, by=HANA)
    assert told(book, "2025-12-31") == ""


def test_a_decision_stays_whatever_becomes_of_its_evidence():
    book = learned()
    decide(book, evidence=(1, 2, 3))
    book.of(Annulment, 1, "2025-05-05")

    (record,) = unit_records(book.rule(ANA).of_units, d("2025-12-31"))

    assert record.is_counted


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda book: book.on(Withdrawal, ANA, "PK-03", "2025-05-05", by=GUS), ""),
        (lambda book: book.on(Withdrawal, ANA, "PK-01", "2025-05-05", scope=L1, by=GUS), ""),
        (lambda book: book.of(Annulment, book.sign_off(ANA, "PK-01", "2025-04-01"), "2025-05-05"), ""),
        (lambda book: book.of(Review, book.sign_off(ANA, "PK-01", "2025-04-01"), "2025-05-05"), ""),
        (lambda book: book.of(Correction, book.sign_off(ANA, "PK-01", "2025-04-01"), "2025-05-05"), ""),
        # What had happened before the sign-off was known to whoever gave it.
        (lambda book: book.on(Withdrawal, ANA, "PK-01", "2025-02-03", by=GUS), ""),
        # Written down after the decision and dated before it: the sign-off was withdrawn all the same.
        (
            lambda book: book.on(Withdrawal, ANA, "PK-01", "2025-02-28", recorded="2025-03-10", by=GUS),
            "R8.8 unit_withdrawn on=2025-02-28 task=PK-01",
        ),
        # Under review when it was decided, which the assessor knew.
        (lambda book: book.of(Review, 1, DECIDED), ""),
        (lambda book: book.of(Review, 1, "2025-03-03 10:01"), "R8.8 unit_under_review on=2025-03-03 task=PK-01"),
    ],
    ids=[
        *("another task", "another place", "annulled: another", "under review: another", "corrected: another"),
        *("before the sign-off", "written down later", "under review by then", "a minute later"),
    ],
)
def test_what_the_decision_does_not_rest_on_is_not_told(change, said):
    book = learned()
    decide(book, evidence=(1, 2, 3))
    change(book)

    assert told(book, "2025-12-31") == said


def test_a_sign_off_that_was_looked_at_again_is_told_no_more():
    book = learned()
    decide(book, evidence=(1, 2, 3))
    book.of(Review, 2, "2025-05-05")
    book.of(Reverification, 2, "2025-05-12", by=DARA)

    assert told(book, "2025-05-12 11:59") == "R8.8 unit_under_review on=2025-05-05 task=BH-02"
    assert told(book, "2025-05-12 12:00") == ""


def test_all_is_told_in_the_order_in_which_it_happened_and_each_once():
    book = learned()
    decide(book)
    book.on(Withdrawal, ANA, "PK-01", "2025-04-10 09:00", by=GUS)
    book.on(Withdrawal, ANA, "PK-01", "2025-04-10 15:00", by=HANA)
    book.of(Correction, 3, "2025-04-12")
    book.of(Review, 2, "2025-04-08")
    book.of(Annulment, 2, "2025-04-14")

    # Without named evidence it rests on what stood at its minute, by what is known now: not on the annulled.
    assert told(book, "2025-12-31") == "R8.8 unit_withdrawn on=2025-04-10 task=PK-01"

    book.facts.pop(3)
    decide(book, evidence=(1, 2, 3))
    assert told(book, "2025-12-31").split("; ") == [
        "R8.8 unit_under_review on=2025-04-08 task=BH-02",
        "R8.8 unit_withdrawn on=2025-04-10 task=PK-01",
        "R8.8 unit_corrected entry=3",
        "R8.8 unit_annulled on=2025-04-14 task=BH-02",
    ]


def test_of_credit_from_elsewhere_nothing_is_told():
    book = learned()
    decide(book, elsewhere=True)
    book.on(Withdrawal, ANA, "PK-01", "2025-05-05", by=GUS)
    book.of(Correction, 3, "2025-05-05")

    assert told(book, "2025-12-31") == ""


def test_a_day_ends_at_midnight_of_the_plant():
    rule = learned().rule(ANA)

    assert at("2025-06-02 23:59") < end_of(rule, d("2025-06-02")) < at("2025-06-03 00:00")
