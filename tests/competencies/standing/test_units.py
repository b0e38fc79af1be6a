"""Decisions on units: what they rest on, their reports and moderations, awards (R8)."""

import pytest

from competencies.standing.credits import Qualification, Unit, VersionState, pathway_result
from competencies.standing.facts import (
    Check,
    Correction,
    Moderation,
    UnitDecision,
    UnitReported,
    Withdrawal,
)
from competencies.standing.unit_evidence import evidence_of, outcome_evidence, sign_offs_behind
from competencies.standing.unit_records import governing, unit_records
from tests.competencies.standing.plant import ANA, ELI, GUS, HANA, Book, at, d, frame, task

U1 = Unit(code="U1", version=1, level=3, credits=5, group="K", outcomes={1: ("PK-01",), 2: ("PK-02", "calc:C01")})
U2 = Unit(code="U2", version=1, level=3, credits=4, group="K", outcomes={})
QUALIFICATION = Qualification(code="Q", total=9)
LATER = at("2030-01-01")


def learned(critical="none"):
    """Ana holds both tasks since February and has passed the sum; the places of the sign-offs and of the check."""
    book = Book(frame(task("PK-01", critical, validity_months=24), task("PK-02", validity_months=24)))
    book.places = [book.sign_off(ANA, code, "2025-02-03") for code in ("PK-01", "PK-02")]
    book.places.append(book.write(Check, ANA, "2025-02-03", calculation="C01", passed=True, by=ELI))
    return book


def decide(book, unit=U1, when="2025-03-03", **fields):
    return book.write(UnitDecision, ANA, when, unit=unit.code, version=unit.version, by=ELI, **fields)


def record_on(book, day, unit=U1):
    return governing(unit_records(book.rule(ANA).of_units, d(day))).get(unit.key)


# R8.1: the evidence


def test_r8_1_evidence_names_sign_offs_with_their_signatures_and_the_check():
    book = learned("food")
    one, two, check = book.places

    found = outcome_evidence(U1, book.rule(ANA), d("2025-03-03"))

    assert found == {1: {"PK-01": (one, one + 1)}, 2: {"PK-02": (two,), "calc:C01": (check,)}}


def test_r8_1_a_withdrawal_later_on_the_day_does_not_reach_back_to_the_decision():
    book = learned()
    decision = decide(book, when="2025-03-03 10:00")
    book.on(Withdrawal, ANA, "PK-01", "2025-03-03 15:00", by=GUS)
    rule = book.rule(ANA)

    made = next(fact for fact in rule.unit_decisions if fact.seq == decision)

    assert outcome_evidence(U1, rule, made.on, at=made.happened_at)[1]["PK-01"]
    assert not outcome_evidence(U1, rule, made.on)[1]["PK-01"]


def test_r8_1_a_sign_off_whose_second_signature_came_after_the_decision_does_not_serve():
    book = Book(frame(task("PK-01", "food", validity_months=12)))
    book.sign_off(ANA, "PK-01", "2025-03-03", signed="2025-03-07")
    unit = Unit(code="U9", version=1, level=3, credits=1, group="K", outcomes={1: ("PK-01",)})

    served = {
        day: bool(outcome_evidence(unit, book.rule(ANA), d(day))[1]["PK-01"]) for day in ("2025-03-06", "2025-03-07")
    }

    assert served == {"2025-03-06": False, "2025-03-07": True}


def test_r8_7_credit_from_elsewhere_rests_on_nothing_here():
    book = learned()
    decide(book, elsewhere=True)
    rule = book.rule(ANA)

    assert evidence_of(U1, rule, rule.unit_decisions[0]) == ()
    assert sign_offs_behind(U1, rule, rule.unit_decisions[0]) == ()


def test_r8_8_the_sign_offs_behind_a_decision_are_those_it_names():
    book = learned()
    one, two, _ = book.places
    decide(book, evidence=(two,))
    rule = book.rule(ANA)

    assert [each.seq for each in sign_offs_behind(U1, rule, rule.unit_decisions[0])] == [two]
    assert one not in evidence_of(U1, rule, rule.unit_decisions[0])


# R8.4: versions


@pytest.mark.parametrize(
    ("day", "state"),
    [
        ("2025-03-31", VersionState.COMING),
        ("2025-04-01", VersionState.EXPIRING),
        ("2025-12-31", VersionState.EXPIRING),
        ("2026-01-01", VersionState.DISCONTINUED),
    ],
)
def test_r8_4_a_version_is_open_from_its_first_to_its_last_day(day, state):
    unit = Unit(
        code="U1",
        version=1,
        level=3,
        credits=5,
        group="K",
        first_assessment_on=d("2025-04-01"),
        last_assessment_on=d("2025-12-31"),
    )

    assert unit.state_on(d(day)) is state
    assert unit.is_open_on(d(day)) is (state is VersionState.EXPIRING)


def test_r8_4_without_a_last_day_a_version_is_current():
    assert U1.state_on(d("2090-01-01")) is VersionState.CURRENT


def test_r8_5_credits_of_a_group_that_the_qualification_does_not_take_stay_outside():
    book = learned()
    decide(book, U2)
    only_core = Qualification(code="Q", total=9, balance=frozenset({"P"}))

    result = pathway_result(book.rule(ANA).of_units, only_core, [U1, U2], d("2025-04-01"))

    assert (result.total, result.outside) == (0, (U2.key,))


# R8.6: the award


@pytest.mark.parametrize(
    ("enrolled", "left", "awarded"),
    [
        (None, None, "2025-03-04"),
        ("2025-01-10", None, "2025-03-04"),
        ("2025-03-20", None, "2025-03-20"),
        ("2025-01-10", "2025-03-04", None),
        ("2025-01-10", "2025-03-05", "2025-03-04"),
    ],
    ids=["unknown", "before", "only after the units", "left on that day", "left the day after"],
)
def test_r8_6_an_award_lies_between_enrolment_and_moving_on(enrolled, left, awarded):
    book = learned()
    decide(book)
    decide(book, U2, "2025-03-04")

    result = pathway_result(
        book.rule(ANA).of_units,
        QUALIFICATION,
        [U1, U2],
        d("2025-12-31"),
        enrolled_on=enrolled and d(enrolled),
        left_on=left and d(left),
    )

    assert result.awarded_on == (awarded and d(awarded))


# R8.8: reports and moderation

REPORT, AGREE, DISAGREE = "report", "agree", "disagree"


def told(book, decision, *acts):
    """Write down what became of a decision, a day each from 10 March on."""
    for number, act in enumerate(acts):
        when = f"2025-03-{10 + number}"
        if act == REPORT:
            book.write(UnitReported, ANA, when, of=decision, by=HANA)
        else:
            book.write(Moderation, ANA, when, of=decision, agrees=act == AGREE, by=HANA)


@pytest.mark.parametrize(
    ("acts", "counted", "disputed"),
    [
        ([], True, False),
        ([REPORT], True, False),
        ([AGREE], True, False),
        ([DISAGREE], False, False),
        ([REPORT, DISAGREE], True, True),
        ([REPORT, AGREE, DISAGREE], True, True),
        ([DISAGREE, REPORT], False, False),
        ([DISAGREE, AGREE], True, False),
        ([DISAGREE, AGREE, REPORT, DISAGREE], True, True),
        ([DISAGREE, REPORT, DISAGREE], False, False),
        ([REPORT, DISAGREE, AGREE], True, False),
        ([REPORT, DISAGREE, DISAGREE], True, True),
        ([REPORT, DISAGREE, AGREE, DISAGREE], True, True),
    ],
    ids=lambda value: "-".join(value) if isinstance(value, list) else None,
)
def test_r8_8_before_reporting_it_does_not_count_after_it_stays_and_holds_the_award(acts, counted, disputed):
    book = learned()
    told(book, decide(book), *acts)
    decide(book, U2, "2025-03-04")

    result = pathway_result(book.rule(ANA).of_units, QUALIFICATION, [U1, U2], d("2025-12-31"))

    assert (result.total, result.disputed) == (9 if counted else 4, ("U1",) if disputed else ())
    assert result.awarded_on == (d("2025-03-04") if counted and not disputed else None)
    assert result.held_since == (d("2025-03-04") if disputed else None)


def test_r8_8_a_dispute_begins_on_its_day():
    book = learned()
    told(book, decide(book), REPORT, DISAGREE)

    assert [record_on(book, day).is_disputed for day in ("2025-03-10", "2025-03-11")] == [False, True]


def test_r8_8_a_second_decision_that_nobody_disputes_speaks_for_the_unit():
    book = learned()
    told(book, decide(book), DISAGREE)
    second = decide(book, when="2025-04-07")

    assert not record_on(book, "2025-04-06").is_counted
    assert (record_on(book, "2025-04-07").is_counted, record_on(book, "2025-04-07").decision.seq) == (True, second)


def test_r7_a_corrected_decision_falls_away_with_all_that_was_said_of_it():
    book = learned()
    decision = decide(book)
    told(book, decision, REPORT, DISAGREE)
    book.of(Correction, decision, "2025-04-01", by=HANA)

    assert record_on(book, "2025-04-02") is None
