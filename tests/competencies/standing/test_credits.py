"""Credits and the award (R8; stories 23 to 25)."""

import pytest

from competencies.standing.credits import Qualification, Unit, pathway_result
from competencies.standing.entitlement import AuthorityGrant
from competencies.standing.facts import Annulment, Check, Employment, UnitDecision, Withdrawal
from competencies.standing.unit_evidence import outcome_gaps, outcomes_met
from competencies.standing.unit_refusals import refuse_unit_decision
from competencies.vocabulary import AuthorityKind
from tests.competencies.standing.plant import ANA, ELI, GUS, NOOR, Book, at, codes, d, frame, task


def unit(code, level, credits, group, outcomes=None, version=1, **fields):  # noqa: A002 (the field's word)
    return Unit(
        code=code, version=version, level=level, credits=credits, group=group, outcomes=outcomes or {}, **fields
    )


UNITS = (
    unit("U101", 2, 4, "core"),
    unit("U102", 3, 5, "core"),
    unit("U103", 3, 6, "core"),
    unit("U104", 3, 5, "core"),
    unit("U105", 2, 4, "core"),
    unit("U106", 2, 3, "core"),
    unit("U202", 3, 9, "P"),
    unit("U203", 3, 7, "P"),
    unit("U204", 3, 8, "P"),
    unit("U302", 3, 8, "K"),
    unit("U304", 3, 4, "K", {1: ("PK-07",)}, last_assessment_on=d("2025-12-31")),
    unit("U304", 3, 5, "K", {1: ("PK-07",), 2: ("PK-11",)}, version=2),
    unit("U305", 2, 4, "K", {1: ("LC-01", "LC-02"), 2: ("LC-03", "LC-04")}),
    unit("U306", 2, 4, "K"),
    unit("U401", 3, 5, "W"),
    unit("U402", 3, 6, "W"),
    unit("U403", 3, 4, "W", adults_only=True),
    unit("U405", 4, 4, "W"),
)
QUALIFICATION = Qualification(
    code="Q-DRINKS-3",
    total=72,
    minimum={"P": 16, "K": 12},
    maximum={"W": 15},
    level=3,
    level_credits=45,
    exclusions=(frozenset({("U304", 1), ("U304", 2)}),),
)
ASSESSOR = (AuthorityGrant(kind=AuthorityKind.ASSESS, from_on=d("2000-01-01")),)
CORE = ("U101", "U102", "U103", "U104", "U105", "U106")


def decisions(*codes_, start="2025-01-01", versions=None):
    book = Book(frame())
    day = d(start)
    for number, code in enumerate(codes_):
        when = day.replace(day=number + 1).isoformat()
        version = (versions or {}).get(code, 1)
        book.write(UnitDecision, ANA, when, unit=code, version=version, by=ELI)
    return book.facts


def refused_for(book, person, *, grants=ASSESSOR, now="2030-01-01"):
    """Return why the last fact, a decision, would have been refused."""
    known = book.rule(person)
    return refuse_unit_decision(book.facts[-1], units=UNITS, rule=known, grants=grants, now=at(now))


def reached(result):
    return {each.rule: each.reached for each in result.distances}


def test_story_23_award_on_the_last_decision():
    made = decisions(*CORE, "U202", "U203", "U204", "U302", "U305", "U306", "U402")

    result = pathway_result(made, QUALIFICATION, UNITS, d("2025-12-31"))

    assert reached(result) == {"core": 27, "P": 24, "K": 16, "level": 54, "total": 73}
    assert result.awarded_on == d("2025-01-13")
    assert result.core_missing == ()


def test_story_23_a_unit_in_part_gives_nothing():
    made = decisions(*CORE, "U202", "U203", "U204", "U302", "U306", "U402")

    result = pathway_result(made, QUALIFICATION, UNITS, d("2025-12-31"))

    assert (result.total, reached(result)["K"], result.awarded_on) == (69, 12, None)
    assert {each.rule: each.missing for each in result.distances if each.missing} == {"total": 3}


def test_story_23_the_gap_names_the_task():
    book = Book(frame(*(task(code, validity_months=12) for code in ("LC-01", "LC-02", "LC-03", "LC-04"))))
    for code in ("LC-01", "LC-02", "LC-03"):
        book.sign_off(ANA, code, "2025-02-01")
    labels = next(each for each in UNITS if each.code == "U305")

    assert outcome_gaps(labels, book.rule(ANA), d("2025-06-01")) == {1: (), 2: ("LC-04",)}


def test_story_24_cap_of_a_group():
    made = decisions(*CORE, "U202", "U203", "U302", "U305", "U401", "U402", "U403", "U405")

    result = pathway_result(made, QUALIFICATION, UNITS, d("2025-12-31"))

    assert (result.total, result.awarded_on) == (70, None)
    assert sum(result.counted[code] for code in ("U401", "U402", "U403", "U405")) == 15
    assert sum(result.surplus.values()) == 4


def pasteurise(*signed):
    book = Book(frame(task("PK-07", validity_months=12), task("PK-11", validity_months=12)))
    for code in signed:
        book.sign_off(NOOR, code, "2025-11-01")
    return book


@pytest.mark.parametrize(
    ("day", "recorded", "version", "signed", "refused"),
    [
        ("2025-12-31", "2026-01-09", 1, ("PK-07",), set()),
        ("2026-01-02", "2026-01-02", 1, ("PK-07",), {"version_closed"}),
        ("2026-01-02", "2026-01-02", 2, ("PK-07",), {"outcome_not_met"}),
        ("2026-01-02", "2026-01-02", 2, ("PK-07", "PK-11"), set()),
        ("2026-01-02", "2026-01-02", 3, ("PK-07",), {"unknown_version"}),
    ],
)
def test_story_25_the_decision_date_picks_the_version(day, recorded, version, signed, refused):
    book = pasteurise(*signed)
    book.write(UnitDecision, NOOR, day, recorded=recorded, unit="U304", version=version, by=ELI)

    found = refused_for(book, NOOR)

    assert codes(found) == refused


def test_story_25_two_versions_count_once_the_better():
    book = pasteurise()
    book.write(UnitDecision, ANA, "2025-12-31", recorded="2026-01-09", unit="U304", version=1, by=ELI)
    before = pathway_result(book.facts, QUALIFICATION, UNITS, d("2026-02-01")).total
    book.write(UnitDecision, ANA, "2026-03-10", unit="U304", version=2, by=ELI)
    after = pathway_result(book.facts, QUALIFICATION, UNITS, d("2026-03-31")).total

    assert (before, after) == (4, 5)


@pytest.mark.parametrize(
    ("day", "met"),
    [("2025-01-31", False), ("2025-02-01", True), ("2028-02-01", True), ("2028-03-03", True), ("2028-03-04", False)],
    ids=["before", "its day", "lapsed, inside 24 months", "last day of the window", "the day after"],
)
def test_r8_1_a_sign_off_serves_for_24_months_after_it_was_last_effective(day, met):
    book = Book(frame(task("LC-01", validity_months=12)))
    book.sign_off(ANA, "LC-01", "2025-02-01")
    labels = unit("U1", 2, 4, "K", {1: ("LC-01",)})

    assert outcomes_met(labels, book.rule(ANA), d(day)) == {1: met}


@pytest.mark.parametrize(("kind", "met_before", "met_after"), [("annulled", False, False), ("withdrawn", True, False)])
def test_r8_1_annulled_or_withdrawn_sign_offs_do_not_serve(kind, met_before, met_after):
    book = Book(frame(task("LC-01", validity_months=12)))
    place = book.sign_off(ANA, "LC-01", "2025-02-01")
    if kind == "annulled":
        book.of(Annulment, place, "2025-06-01")
    else:
        book.on(Withdrawal, ANA, "LC-01", "2025-06-01", by=GUS)
    labels = unit("U1", 2, 4, "K", {1: ("LC-01",)})
    rule = book.rule(ANA)

    assert [outcomes_met(labels, rule, d(day))[1] for day in ("2025-05-31", "2025-06-02")] == [met_before, met_after]


@pytest.mark.parametrize(("day", "met"), [("2025-03-01", True), ("2027-03-01", True), ("2027-03-02", False)])
def test_r8_1_calculations_use_the_24_months_of_the_unit(day, met):
    book = Book(frame())
    book.write(Check, ANA, "2025-03-01", calculation="C01", passed=True, by=ELI)
    sums = unit("U105", 2, 4, "core", {1: ("calc:C01",)})

    assert outcomes_met(sums, book.rule(ANA), d(day)) == {1: met}


def test_r8_7_credit_from_elsewhere_counts_without_outcomes_and_gives_no_standing():
    book = pasteurise()
    book.write(UnitDecision, NOOR, "2026-02-01", unit="U304", version=2, by=ELI, elsewhere=True)

    assert refused_for(book, NOOR) == ()
    assert pathway_result(book.facts, QUALIFICATION, UNITS, d("2026-02-01")).total == 5
    assert book.standing(NOOR, "PK-07", "2026-02-02") == "not_started"


@pytest.mark.parametrize(("day", "refused"), [("2026-06-14", {"age"}), ("2026-06-15", set())])
def test_r8_age_limit_of_a_unit_is_judged_on_the_decision_date(day, refused):
    book = Book(frame())
    book.write(Employment, ANA, "2026-01-01", restricted_until=d("2026-06-15"))
    book.write(UnitDecision, ANA, day, unit="U403", version=1, by=ELI)

    assert codes(refused_for(book, ANA)) == refused


def test_r8_6_no_award_after_the_last_date_to_achieve():
    made = decisions(*CORE, "U202", "U203", "U204", "U302", "U305", "U306", "U402")
    closed = Qualification(
        code="Q", total=72, minimum={"P": 16, "K": 12}, maximum={"W": 15}, last_achievement_on=d("2025-01-12")
    )

    assert pathway_result(made, closed, UNITS, d("2025-12-31")).awarded_on is None
