"""What an assessment would be, and what it asks (R3.2, R3.4, R4.4, R4.7, R5.1, R6.2, R11, R12), worked by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest

from competencies.standing.facts import (
    SITE,
    Acknowledgement,
    InitialTrainer,
    Recognition,
    Scope,
    Withdrawal,
)
from tests.competencies.standing.plant import (
    ANA,
    DARA,
    GUS,
    HANA,
    NO_RECENCY,
    Book,
    at,
    d,
    frame,
    judged,
    revision,
    task,
    terms,
)

F1, F2 = Scope("L1", "F1"), Scope("L1", "F2")
FIRST = revision(1, "2024-01-01", scope_criteria=(3,), critical_criteria=frozenset({1}))
COMING = revision(2, "2025-06-01", approved_on=d("2025-05-01"), touches=(2,), criteria=(1, 2, 3, 4, 5))
ASKED = {"runs": 4, "distinct_shifts": 3, "ranges": {"size": 2}, "calculations": ("C01",), "validity_months": 12}


def book_of(critical="none", scope="site", policy=NO_RECENCY, **asked):
    issues = asked.pop("revisions", [FIRST, COMING])
    plant = frame(
        task("T-01", critical, scope, revisions=issues, prerequisites=("S-01",), **{**ASKED, **asked}),
        task("S-01"),
        policy=policy,
    )
    return Book(plant)


def purpose(book, day, scope=SITE, **given):
    return book.rule(ANA).purpose_at("T-01", scope, at(day), **given)


def told(found):
    """Return kind, rule, revision, criteria, runs, shifts and range of a purpose in a line."""
    numbers = ",".join(map(str, found.criteria))
    asked = f"[{numbers}] {found.runs}/{found.distinct_shifts} {found.ranges}"
    return f"{found.kind} {found.rule} rev {found.revision} {asked}"


FULL = "initial R2.1 rev 1 [1,2,3,4] 4/3 {'size': 2}"


# -- the first (R2.1, R11, R12) --------------------------------------------------------------------------------------


def test_r2_1_the_first_asks_everything_the_terms_ask():
    found = purpose(book_of(), "2025-03-10")

    assert told(found) == FULL
    assert (found.after, found.fresh_runs, found.fresh_after) == (None, 0, None)
    assert (found.calculations, found.prerequisites) == (("C01",), (("S-01", None),))


def test_r4_11_what_is_asked_is_what_the_terms_of_the_day_ask():
    issues = (terms(runs=4), terms(effective_on=d("2025-03-11"), runs=2, distinct_shifts=2))
    book = Book(frame(replace(task("T-01", revisions=[FIRST]), terms=issues)))

    assert told(purpose(book, "2025-03-10 23:59")) == "initial R2.1 rev 1 [1,2,3,4] 4/1 {}"
    assert told(purpose(book, "2025-03-11 00:00")) == "initial R2.1 rev 1 [1,2,3,4] 2/2 {}"


@pytest.mark.parametrize(
    ("runs_needed", "expected"),
    [
        (1, "initial R11 rev 1 [1,2,3,4] 1/1 {'size': 1}"),
        (2, "initial R11 rev 1 [1,2,3,4] 2/2 {'size': 2}"),
        (9, "initial R11 rev 1 [1,2,3,4] 4/3 {'size': 2}"),
        (0, "initial R11 rev 1 [1,2,3,4] 1/1 {'size': 1}"),
    ],
)
def test_r11_recognition_cuts_the_runs_to_one_at_the_least(runs_needed, expected):
    book = book_of()
    book.on(Recognition, ANA, "T-01", "2025-03-10", by=DARA, evidence_on=d("2025-01-01"), runs_needed=runs_needed)

    assert told(purpose(book, "2025-03-10 11:59")) == FULL
    assert told(purpose(book, "2025-03-10 12:00")) == expected


def test_r11_of_two_recognitions_the_newest_cuts():
    book = book_of()
    for day, runs_needed in (("2025-03-10", 1), ("2025-03-12", 3)):
        book.on(Recognition, ANA, "T-01", day, by=DARA, evidence_on=d("2025-01-01"), runs_needed=runs_needed)

    assert purpose(book, "2025-03-11").runs == 1
    assert purpose(book, "2025-03-13").runs == 3


@pytest.mark.parametrize(
    ("runs", "part", "expected"),
    [
        (4, Fraction(1, 3), "conversion R12 rev 1 [3] 2/2 {'size': 2}"),
        (3, Fraction(1, 3), "conversion R12 rev 1 [3] 1/1 {'size': 1}"),
        (1, Fraction(1, 3), "conversion R12 rev 1 [3] 1/1 {'size': 1}"),
        (4, Fraction(1, 2), "conversion R12 rev 1 [3] 2/2 {'size': 2}"),
        (5, Fraction(1, 2), "conversion R12 rev 1 [3] 3/3 {'size': 2}"),
    ],
)
def test_r12_another_machine_asks_a_part_of_the_runs_rounded_up_and_its_own_criteria(runs, part, expected):
    book = book_of(scope="machine", runs=runs, policy=replace(NO_RECENCY, conversion_runs=part))
    book.sign_off(ANA, "T-01", "2025-01-10", scope=F1)

    assert told(purpose(book, "2025-03-10", F2)) == expected


def test_r12_where_no_criterion_is_the_machines_own_all_are_judged_and_a_site_is_never_converted():
    plain = book_of(scope="machine", revisions=[revision(1, "2024-01-01")])
    plain.sign_off(ANA, "T-01", "2025-01-10", scope=F1)

    assert told(purpose(plain, "2025-03-10", F2)) == "conversion R12 rev 1 [1,2,3,4] 2/2 {'size': 2}"
    assert told(purpose(book_of(), "2025-03-10")) == FULL


@pytest.mark.parametrize(
    ("day", "kind"),
    [("2025-01-09", "initial"), ("2025-01-10", "conversion"), ("2026-02-09", "conversion"), ("2026-02-10", "initial")],
    ids=["before", "held", "last day of grace", "lapsed"],
)
def test_r12_only_while_the_other_is_held(day, kind):
    book = book_of(scope="machine")
    book.sign_off(ANA, "T-01", "2025-01-10", scope=F1)

    assert purpose(book, day, F2).kind == kind


# -- of a holder (R3.2, R3.4, R4.4, R6.2) ----------------------------------------------------------------------------


def held(**asked):
    book = book_of(**asked)
    book.sign_off(ANA, "T-01", "2025-03-10")
    return book


def test_r3_2_a_renewal_asks_all_criteria_and_no_runs():
    found = purpose(held(), "2025-05-01")

    assert told(found) == "renewal R3.2 rev 1 [1,2,3,4] 0/0 {}"
    assert found.after == at("2025-03-10")
    assert found.calculations == ("C01",)


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2026-04-09 23:59", "renewal R3.2 rev 1 [1,2,3,4] 0/0 {}"),
        ("2026-04-10 00:00", "return_after_lapse R3.4 rev 1 [1,2,3,4] 1/1 {'size': 1}"),
        ("2026-09-10 23:59", "return_after_lapse R3.4 rev 1 [1,2,3,4] 1/1 {'size': 1}"),
        ("2026-09-11 00:00", "return_after_lapse R3.4 rev 1 [1,2,3,4] 2/2 {'size': 2}"),
        ("2028-03-10 23:59", "return_after_lapse R3.4 rev 1 [1,2,3,4] 2/2 {'size': 2}"),
        ("2028-03-11 00:00", "return_after_lapse R3.4 rev 1 [1,2,3,4] 4/3 {'size': 2}"),
    ],
)
def test_r3_4_a_return_after_a_lapse(day, expected):
    found = purpose(held(revisions=[FIRST]), day)

    assert told(found) == expected
    assert found.after == (at("2026-04-10 00:00") if "lapse" in expected else at("2025-03-10"))


def test_r3_4_what_never_ends_never_lapses():
    assert purpose(held(validity_months=None, revisions=[FIRST]), "2045-01-01").kind == "renewal"


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2025-05-31", "renewal R3.2 rev 1 [1,2,3,4] 0/0 {}"),
        ("2025-06-01", "delta R4.4 rev 2 [2] 1/1 {'size': 1}"),
        ("2026-01-08", "delta R4.4 rev 2 [2] 1/1 {'size': 1}"),
        ("2026-01-09", "renewal R3.2 rev 2 [1,2,3,4,5] 0/0 {}"),
    ],
    ids=["before its day", "its day", "before the due window", "in the window a renewal does both"],
)
def test_r4_4_a_delta_while_a_major_revision_is_open(day, expected):
    assert told(purpose(held(), day)) == expected


def test_r4_4_without_a_last_valid_day_it_is_always_a_delta():
    assert told(purpose(held(validity_months=None), "2045-01-01")) == "delta R4.4 rev 2 [2] 1/1 {'size': 1}"


def test_r4_4_given_as_a_delta_or_in_full_it_is_that():
    book = held()

    assert told(purpose(book, "2025-06-01", is_delta=False)) == "renewal R3.2 rev 2 [1,2,3,4,5] 0/0 {}"
    assert told(purpose(book, "2026-01-09", is_delta=True)) == "delta R4.4 rev 2 [2] 1/1 {'size': 1}"
    assert told(purpose(book, "2025-06-01", revision=1)) == "renewal R3.2 rev 1 [1,2,3,4] 0/0 {}"


def test_r4_4_who_has_shown_it_is_asked_no_more_and_no_older_one():
    book = held()
    book.run(ANA, "T-01", "2025-06-02", revision=2)
    book.assess(ANA, "T-01", "2025-06-03", revision=2, delta=True)

    assert told(purpose(book, "2025-06-02 23:59")) == "delta R4.4 rev 2 [2] 1/1 {'size': 1}"
    assert told(purpose(book, "2025-06-03")) == "renewal R3.2 rev 2 [1,2,3,4,5] 0/0 {}"


LONG = [
    FIRST,
    revision(2, "2025-04-01", "minor", touches=(1,)),
    revision(3, "2025-05-01", touches=(2,)),
    revision(4, "2025-06-01", "minor", touches=(3,)),
    revision(5, "2025-07-01", touches=(4,)),
]


@pytest.mark.parametrize(
    ("read", "criteria"),
    [(None, (1, 2, 3, 4)), (2, (2, 3, 4)), (4, (2, 3, 4)), (5, (2, 3, 4))],
    ids=["none read", "the first minor", "a later minor after a major", "the newest"],
)
def test_r4_5_what_was_read_leaves_the_gap_up_to_the_first_major(read, criteria):
    book = held(revisions=LONG)
    if read:
        book.on(Acknowledgement, ANA, "T-01", "2025-07-02", revision=read, by=ANA)

    assert purpose(book, "2025-07-01").criteria == (1, 2, 3, 4)
    assert purpose(book, "2025-07-02").criteria == criteria


def test_r4_5_a_delta_on_a_revision_between_leaves_what_came_after_it():
    book = held(revisions=LONG)
    book.run(ANA, "T-01", "2025-05-02", revision=3)
    book.assess(ANA, "T-01", "2025-05-03", revision=3, delta=True)

    assert told(purpose(book, "2025-07-02")) == "delta R4.4 rev 5 [3,4] 1/1 {'size': 1}"


def test_r4_4_a_delta_counts_from_the_first_minute_of_its_day():
    book = held(revisions=LONG)
    book.run(ANA, "T-01", "2025-07-02", revision=3)
    book.assess(ANA, "T-01", "2025-07-03", revision=3, delta=True)
    book.run(ANA, "T-01", "2025-07-04", revision=5)
    book.assess(ANA, "T-01", "2025-07-05", revision=5, delta=True)

    moments = ("2025-07-02 23:59", "2025-07-03 00:00", "2025-07-04 23:59", "2025-07-05 00:00")

    assert [told(purpose(book, moment)) for moment in moments] == [
        "delta R4.4 rev 5 [1,2,3,4] 1/1 {'size': 1}",
        "delta R4.4 rev 5 [3,4] 1/1 {'size': 1}",
        "delta R4.4 rev 5 [3,4] 1/1 {'size': 1}",
        "renewal R3.2 rev 5 [1,2,3,4] 0/0 {}",
    ]


def test_r4_4_a_delta_given_on_what_was_shown_before_asks_its_changes_again_and_on_the_first_none():
    book = held()
    book.run(ANA, "T-01", "2025-06-02", revision=2)
    book.assess(ANA, "T-01", "2025-06-03", revision=2, delta=True)

    assert purpose(book, "2025-06-04", is_delta=True).criteria == (2,)
    assert purpose(book, "2025-06-04", is_delta=True, revision=1).criteria == ()


def test_r6_2_a_return_after_a_withdrawal_asks_everything_but_runs_until_it_is_signed():
    book = held(critical="food", revisions=[FIRST])
    book.on(Withdrawal, ANA, "T-01", "2025-05-05 10:40", by=GUS)
    place = book.assess(ANA, "T-01", "2025-05-08")
    book.sign(place, "2025-05-09")

    assert purpose(book, "2025-05-05 10:39").kind == "renewal"
    assert told(purpose(book, "2025-05-05 10:40")) == "return_after_withdrawal R6.2 rev 1 [1,2,3,4] 0/0 {}"
    assert purpose(book, "2025-05-08 23:59").kind == "return_after_withdrawal"
    assert purpose(book, "2025-05-09 00:00").kind == "renewal"


def test_r6_2_of_two_withdrawals_the_one_that_holds_counts():
    book = held(revisions=[FIRST])
    book.on(Withdrawal, ANA, "T-01", "2025-05-05", by=GUS)
    book.sign_off(ANA, "T-01", "2025-05-08")
    book.on(Withdrawal, ANA, "T-01", "2025-06-05", by=GUS)

    kinds = [purpose(book, day).kind.value for day in ("2025-05-06", "2025-05-09", "2025-06-04", "2025-06-06")]

    assert kinds == ["return_after_withdrawal", "renewal", "renewal", "return_after_withdrawal"]


# -- which revision (R4.7) -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("run", "day", "expected"),
    [
        (None, "2025-05-31", 1),
        (None, "2025-06-01", 2),
        (("2025-05-10", 2), "2025-05-09", 1),
        (("2025-05-10", 2), "2025-05-10 11:59", 1),
        (("2025-05-10", 2), "2025-05-10 12:00", 2),
        (("2025-05-10", 1), "2025-05-11", 1),
        (("2025-05-10", 1), "2025-06-01", 2),
        (("2025-05-10", 9), "2025-05-11", 1),
        (("2025-04-20", 2), "2025-04-30", 1),
        (("2025-04-20", 2), "2025-05-01", 2),
    ],
)
def test_r4_7_the_revision_in_force_or_the_coming_one_that_the_newest_run_was_made_on(run, day, expected):
    book = book_of()
    if run:
        book.run(ANA, "T-01", run[0], revision=run[1])

    assert purpose(book, day).revision == expected


def test_r4_7_of_several_runs_the_newest_decides():
    book = book_of()
    book.run(ANA, "T-01", "2025-05-10", revision=2)
    book.run(ANA, "T-01", "2025-05-11", revision=1)

    assert [purpose(book, day).revision for day in ("2025-05-10", "2025-05-11")] == [2, 1]


def test_a_task_without_an_issue_in_force_is_on_its_first_and_asks_no_criterion():
    book = book_of(revisions=[revision(3, "2025-06-01")])

    assert told(purpose(book, "2025-03-10")) == "initial R2.1 rev 1 [] 4/3 {'size': 2}"
    assert told(purpose(book, "2025-06-01")) == "initial R2.1 rev 3 [1,2,3,4] 4/3 {'size': 2}"


# -- after a not yet competent (R5.1) --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2025-04-10 11:59", FULL),
        ("2025-04-10 12:00", "reassessment R5.1 rev 1 [1,4] 4/3 {'size': 2}"),
        ("2025-05-10", "reassessment R5.1 rev 1 [1,4] 4/3 {'size': 2}"),
        ("2025-05-11", "reassessment R5.1 rev 1 [1,2,3,4] 4/3 {'size': 2}"),
    ],
    ids=["before", "at once", "day 30", "day 31"],
)
def test_r5_1_the_unmet_and_the_critical_within_30_days_and_all_later(day, expected):
    book = book_of()
    book.assess(ANA, "T-01", "2025-04-10", outcome="not_yet_competent", judged=judged(met=(1, 2, 3), not_met=(4,)))
    found = purpose(book, day)

    assert told(found) == expected
    assert found.fresh_runs == (0 if expected == FULL else 1)


def test_r5_1_a_pass_since_ends_it_and_an_earlier_pass_does_not():
    book = held(revisions=[FIRST])
    book.assess(ANA, "T-01", "2025-05-10", outcome="not_yet_competent", judged=judged(not_met=(4,)))
    book.sign_off(ANA, "T-01", "2025-05-20")

    moments = ("2025-05-09", "2025-05-10", "2025-05-20 11:59", "2025-05-20 12:00")

    assert [purpose(book, moment).kind.value for moment in moments] == [
        "renewal",
        "reassessment",
        "reassessment",
        "renewal",
    ]


# -- who may teach or judge a revision (3.17, R4.10) -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("known", "expected"),
    [((), (True, False, False)), ((3,), (True, True, False)), ((5,), (True, True, True))],
    ids=["the first", "a delta on the third", "a delta on the fifth"],
)
def test_3_17_a_revision_is_known_to_who_has_shown_every_major_one_up_to_it(known, expected):
    book = held(revisions=LONG)
    for number in known:
        book.assess(ANA, "T-01", "2025-07-03", revision=number, delta=True)
    rule = book.rule(ANA)

    assert tuple(rule.knows_revision("T-01", SITE, number, at("2025-07-04")) for number in (2, 4, 5)) == expected


@pytest.mark.parametrize(
    ("named_for", "moment", "knows"),
    [
        (5, "2025-07-02 23:59", False),
        (5, "2025-07-03 00:00", True),
        (None, "2025-07-03 00:00", True),
        (3, "2025-07-03 00:00", False),
        (5, "2025-10-01 23:59", True),
        (5, "2025-10-02 00:00", False),
    ],
)
def test_r4_10_an_initial_trainer_knows_the_revision_for_90_days(named_for, moment, knows):
    book = held(revisions=LONG)
    book.on(InitialTrainer, ANA, "T-01", "2025-07-03", revision=named_for, by=HANA)

    assert book.rule(ANA).knows_revision("T-01", SITE, 5, at(moment)) is knows
