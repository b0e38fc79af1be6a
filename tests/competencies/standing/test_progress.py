"""Which runs count, and what is still missing (R1, R2.1, R4.6), each reason in full and on the day it turns."""

from dataclasses import replace
from fractions import Fraction

import pytest

from competencies.standing.facts import (
    SITE,
    Check,
    Employment,
    Recognition,
    RunAccepted,
    Scope,
    Withdrawal,
)
from competencies.standing.runs import moment_of
from competencies.vocabulary import YoungWorker
from tests.competencies.standing.plant import (
    ANA,
    DARA,
    ELI,
    GUS,
    HANA,
    NO_RECENCY,
    NOOR,
    Book,
    at,
    d,
    frame,
    judged,
    revision,
    spoken,
    tale,
    task,
    terms,
)

F1, F2 = Scope("L1", "F1"), Scope("L1", "F2")
NOT_YET = {"outcome": "not_yet_competent", "judged": judged(not_met=(1,))}


def book_of(*others, critical="none", policy=NO_RECENCY, **asked):
    return Book(frame(task("T-01", critical, **{"validity_months": 12, **asked}), *others, policy=policy))


def progress(book, day, scope=SITE):
    return book.rule(ANA).progress("T-01", scope, at(day))


def why_not(book, day):
    return {seq: spoken(reasons) for seq, reasons in progress(book, day).not_counted}


def missing(book, day):
    return spoken(progress(book, day).reasons)


# -- a run for good (R1.1, R1.2, R1.4) -------------------------------------------------------------------------------


def test_r1_every_reason_of_a_run_is_told_in_order():
    book = book_of(
        task("S-02", "safety"),
        task("S-01", "both"),
        critical="food",
        prerequisites=("S-02", "S-01"),
        young_worker=YoungWorker.CLOSED,
    )
    book.write(Employment, ANA, "2025-01-01", restricted_until=d("2025-03-04"))
    place = book.run(ANA, "T-01", "2025-03-03", by=ANA, stopped=True, confirmed_at=at("2025-03-06 12:01"))

    assert why_not(book, "2025-03-06") == {
        place: "R1.1 prerequisite task=S-01; R1.1 prerequisite task=S-02; R1.4 stopped; R1.1 own; R1.1 age; "
        "R1.2 confirmed_late hours=72"
    }


@pytest.mark.parametrize(
    ("day", "bar", "barred"),
    [
        ("2025-03-03", YoungWorker.CLOSED, True),
        ("2025-03-04", YoungWorker.CLOSED, False),
        ("2025-03-03", YoungWorker.TRAINING_ONLY, False),
    ],
)
def test_r1_1_age_is_that_of_the_date_on_which_the_shift_starts(day, bar, barred):
    book = book_of(young_worker=bar)
    place = book.run(ANA, "T-01", day)
    book.write(Employment, ANA, "2025-01-01", restricted_until=d("2025-03-04"))

    assert why_not(book, "2025-03-06") == ({place: "R1.1 age"} if barred else {})


@pytest.mark.parametrize(
    ("confirmed", "accepted", "day", "expected"),
    [
        ("2025-03-06 12:00", None, "2025-03-06", ""),
        ("2025-03-06 12:00", None, "2025-03-05", "R1.2 not_confirmed"),
        ("2025-03-06 12:01", None, "2025-03-06", "R1.2 confirmed_late hours=72"),
        ("2025-03-06 12:01", "2025-03-09", "2025-03-08", "R1.2 not_confirmed"),
        ("2025-03-06 12:01", "2025-03-09", "2025-03-09", ""),
        ("2025-03-09 12:01", "2025-03-07", "2025-03-08", "R1.2 not_confirmed"),
        ("2025-03-09 12:01", "2025-03-07", "2025-03-09", ""),
        (None, None, "2025-03-09", "R1.2 not_confirmed"),
    ],
)
def test_r1_2_a_run_counts_from_the_day_on_which_it_is_confirmed_for_good(confirmed, accepted, day, expected):
    book = book_of()
    place = book.run(ANA, "T-01", "2025-03-03", confirmed_at=at(confirmed) if confirmed else None)
    if accepted:
        book.of(RunAccepted, place, accepted, by=HANA)

    assert why_not(book, day).get(place, "") == expected
    assert progress(book, day).counted == (() if expected else (place,))


def test_r1_2_the_hours_are_those_of_the_policy_of_the_run():
    shorter = replace(NO_RECENCY, effective_on=d("2025-03-04"), run_confirmation_hours=24)
    book = book_of(policy=(NO_RECENCY, shorter))
    before = book.run(ANA, "T-01", "2025-03-03", confirmed_at=at("2025-03-05"))
    after = book.run(ANA, "T-01", "2025-03-04", confirmed_at=at("2025-03-05 12:01"))

    assert progress(book, "2025-03-06").counted == (before,)
    assert why_not(book, "2025-03-06") == {after: "R1.2 confirmed_late hours=24"}


@pytest.mark.parametrize(
    ("when", "on", "out"),
    [
        ("2025-03-09 23:00", "2025-03-09", False),
        ("2025-03-10 02:00", "2025-03-09", False),
        ("2025-03-10 02:00", "2025-03-10", True),
    ],
    ids=["that evening", "that night", "the next day"],
)
def test_r1_1_prerequisites_are_looked_at_on_the_date_on_which_the_shift_starts(when, on, out):
    book = book_of(task("S-01", "safety", validity_months=1), prerequisites=("S-01",))
    book.sign_off(ANA, "S-01", "2025-02-09")
    place = book.run(ANA, "T-01", when, on=on, shift="night")
    run = book.facts[-1]

    assert why_not(book, "2025-03-12") == ({place: "R1.1 prerequisite task=S-01"} if out else {})
    assert moment_of(book.rule(ANA).holding("T-01", SITE).case.clock, run) <= at(when)


def test_r1_1_a_safety_prerequisite_is_that_of_the_same_machine():
    book = Book(
        frame(
            task("S-01", "safety", "machine", validity_months=36),
            task("T-01", "none", "machine", validity_months=12, prerequisites=("S-01",)),
        )
    )
    book.sign_off(ANA, "S-01", "2025-01-10", scope=F1)
    here = book.run(ANA, "T-01", "2025-03-03", scope=F1)
    there = book.run(ANA, "T-01", "2025-03-03", scope=F2)

    assert progress(book, "2025-03-04", F1).counted == (here,)
    assert progress(book, "2025-03-04", F2).not_counted[0][0] == there


# -- a run for a purpose (R1.3, R1.6, R1.7, R3.4, R4.6, R4.7) --------------------------------------------------------


def test_what_is_missing_is_told_in_full_and_in_order():
    book = book_of(
        task("S-01", validity_months=12),
        runs=3,
        distinct_shifts=3,
        ranges={"size": 2, "brand": 1},
        calculations=("C01", "C02"),
        prerequisites=("S-01",),
    )
    book.run(ANA, "T-01", "2025-03-03", range_values={"size": "330"})
    book.run(ANA, "T-01", "2025-03-03 13:00", range_values={"brand": "pale"})
    book.write(Check, ANA, "2025-03-01", calculation="C02", passed=True, by=ELI)

    assert missing(book, "2025-03-04") == (
        "R2.1 too_few_runs counted=2 needed=3; R1.3 too_few_shifts counted=1 needed=3; R1.5 range name=size; "
        "R2.1 calculation calculation=C01; R2.1 prerequisite scope= task=S-01"
    )
    found = progress(book, "2025-03-04")
    assert [(each.name, each.values, each.needed) for each in found.ranges] == [
        ("brand", ("pale",), 1),
        ("size", ("330",), 2),
    ]
    assert (found.runs_needed, found.distinct_shifts, found.distinct_shifts_needed) == (3, 1, 3)
    assert (found.calculations_missing, found.prerequisites_missing) == (("C01",), (("S-01", SITE),))
    assert found.ready is False


def test_r5_1_the_run_after_a_not_yet_competent_is_told_with_its_number():
    book = book_of()
    book.run(ANA, "T-01", "2025-03-03")
    book.assess(ANA, "T-01", "2025-03-04", **NOT_YET)

    assert missing(book, "2025-03-05") == "R5.1 too_few_runs counted=0 needed=1"


def test_r2_2_who_confirmed_how_many_of_the_counted_runs():
    book = book_of(runs=4)
    for day, by in enumerate((NOOR, NOOR, DARA, None), start=1):
        book.run(ANA, "T-01", f"2025-03-0{day}", by=by)
    book.run(ANA, "T-01", "2025-03-05", by=DARA, stopped=True)

    assert dict(progress(book, "2025-03-06").confirmed_by) == {NOOR: 2, DARA: 1}


@pytest.mark.parametrize(
    ("when", "on", "day", "told"),
    [
        ("2025-03-04 02:00", "2025-03-03", "2025-03-03", False),
        ("2025-03-04 02:00", "2025-03-03", "2025-03-04", True),
        ("2025-03-03", "2025-03-03", "2025-03-03", True),
        ("2025-03-03", "2025-03-03", "2025-03-02", False),
    ],
)
def test_a_run_that_is_still_to_come_is_not_spoken_of(when, on, day, told):
    book = book_of()
    place = book.run(ANA, "T-01", when, on=on, shift="night")

    assert (progress(book, f"{day} 23:00").counted == (place,)) is told
    assert why_not(book, f"{day} 23:00") == {}


def test_r1_6_a_run_may_be_twelve_months_old_by_the_policy_of_the_day():
    shorter = replace(NO_RECENCY, effective_on=d("2025-08-01"), run_age_months=3)
    book = book_of(policy=(NO_RECENCY, shorter))
    place = book.run(ANA, "T-01", "2025-05-10")

    assert progress(book, "2025-08-10").counted == (place,)
    assert why_not(book, "2025-08-11") == {place: "R1.6 too_old months=3"}
    assert progress(book, "2025-07-31").counted == (place,)


def test_r1_7_a_drill_more_than_the_maximum_is_told_with_its_purpose():
    book = book_of(runs=2, simulated_max=1)
    first = book.run(ANA, "T-01", "2025-03-01", simulated=True)
    second = book.run(ANA, "T-01", "2025-03-02", simulated=True)
    third = book.run(ANA, "T-01", "2025-03-03", simulated=True)

    assert progress(book, "2025-03-04").counted == (first,)
    assert why_not(book, "2025-03-04") == dict.fromkeys((second, third), "R1.7 drill most=1 purpose=initial")


@pytest.mark.parametrize(
    ("when", "counts"), [("2026-04-09 23:59", False), ("2026-04-10 00:00", True)], ids=["in grace", "lapsed"]
)
def test_r3_4_the_run_of_a_return_is_made_after_the_lapse(when, counts):
    book = book_of()
    book.sign_off(ANA, "T-01", "2025-03-10")
    place = book.run(ANA, "T-01", when)

    assert progress(book, "2026-04-12").counted == ((place,) if counts else ())
    assert why_not(book, "2026-04-12") == ({} if counts else {place: "R3.4 before since=2026-04-10"})


def test_r4_7_a_run_on_a_coming_revision_does_not_serve_an_assessment_on_the_old():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-04-01", approved_on=d("2025-03-01"))]
    book = book_of(revisions=issues)
    place = book.run(ANA, "T-01", "2025-03-03", revision=2)
    rule = book.rule(ANA)
    old = rule.purpose_at("T-01", SITE, at("2025-03-04"), revision=1)

    assert rule.progress("T-01", SITE, at("2025-03-04")).counted == (place,)
    found = rule.progress_toward(old, "T-01", SITE, at("2025-03-04"))
    assert [(seq, spoken(why)) for seq, why in found.not_counted] == [(place, "R4.7 coming_revision revision=2")]


def changed(runs, note=None, critical="none", **asked):
    issues = [revision(1, "2024-01-01"), revision(2, "2025-03-15", carries_runs=note)]
    return book_of(critical=critical, runs=runs, revisions=issues, **asked)


@pytest.mark.parametrize(
    ("runs", "note", "critical", "carried"),
    [
        (6, None, "none", 3),
        (5, None, "none", 2),
        (1, None, "none", 0),
        (6, None, "food", 0),
        (6, Fraction(1, 3), "none", 2),
        (6, Fraction(1, 3), "food", 2),
        (3, Fraction(1), "none", 3),
    ],
)
def test_r4_6_the_part_of_the_minimum_that_carries_over(runs, note, critical, carried):
    book = changed(runs, note, critical)
    places = [book.run(ANA, "T-01", f"2025-03-0{day}") for day in range(1, 7)]

    found = progress(book, "2025-03-20")

    # Where range and shifts are the same for all, the newest carry.
    assert found.counted == tuple(places[6 - carried :])
    assert why_not(book, "2025-03-20") == dict.fromkeys(places[: 6 - carried], "R4.6 old_revision revision=1")


def test_r4_6_runs_on_the_new_revision_count_beside_those_that_carry():
    book = changed(4)
    places = [book.run(ANA, "T-01", f"2025-03-0{day}") for day in range(1, 5)]
    new = [book.run(ANA, "T-01", f"2025-03-{day}", revision=2) for day in (16, 17)]

    found = progress(book, "2025-03-20")

    assert found.counted == (*places[2:], *new)
    assert found.ready


def test_r4_6_what_is_shown_on_the_new_revision_needs_no_old_run():
    book = changed(4, ranges={"size": 2})
    old = [
        book.run(ANA, "T-01", f"2025-03-0{day}", range_values={"size": size})
        for day, size in enumerate(("330", "500", "330"), 1)
    ]
    book.run(ANA, "T-01", "2025-03-16", revision=2, range_values={"size": "500"})

    # 500 is shown already: of the three old ones the newest with a new value is taken first, then the newest.
    assert why_not(book, "2025-03-20") == {old[0]: "R4.6 old_revision revision=1"}


def test_r4_6_a_new_shift_is_worth_more_than_a_newer_run():
    book = changed(4)
    first = book.run(ANA, "T-01", "2025-03-01")
    second = book.run(ANA, "T-01", "2025-03-02 08:00")
    third = book.run(ANA, "T-01", "2025-03-02 09:00")

    assert progress(book, "2025-03-20").counted == (first, third)
    assert why_not(book, "2025-03-20") == {second: "R4.6 old_revision revision=1"}


def test_r4_6_a_new_value_is_worth_more_than_a_new_shift():
    book = changed(4, ranges={"size": 2})
    first = book.run(ANA, "T-01", "2025-03-01", range_values={"size": "330"})
    second = book.run(ANA, "T-01", "2025-03-02 08:00", range_values={"size": "500"})
    third = book.run(ANA, "T-01", "2025-03-02 09:00", range_values={"size": "330"})

    assert progress(book, "2025-03-20").counted == (second, third)
    assert why_not(book, "2025-03-20") == {first: "R4.6 old_revision revision=1"}


def test_r4_6_over_two_changes_the_stricter_note_holds_for_the_runs_that_crossed_both():
    issues = [
        revision(1, "2024-01-01"),
        revision(2, "2025-03-15", carries_runs=Fraction(1, 4)),
        revision(3, "2025-04-15"),
    ]
    book = book_of(runs=4, revisions=issues)
    first = [book.run(ANA, "T-01", f"2025-03-0{day}") for day in (1, 2)]
    second = [book.run(ANA, "T-01", f"2025-03-2{day}", revision=2) for day in (1, 2, 3)]

    found = progress(book, "2025-04-20")

    # Half of four carry in all, and of those on the first revision a quarter of four.
    assert found.counted == tuple(second[1:])
    assert why_not(book, "2025-04-20") == {
        **dict.fromkeys(first, "R4.6 old_revision revision=1"),
        second[0]: "R4.6 old_revision revision=2",
    }


def test_r4_4_for_a_delta_no_run_on_the_old_revision_serves():
    book = changed(1, Fraction(1))
    book.sign_off(ANA, "T-01", "2025-03-01")
    place = book.run(ANA, "T-01", "2025-03-02")

    assert why_not(book, "2025-03-20") == {place: "R4.6 old_revision revision=1"}
    assert (
        missing(book, "2025-03-20") == "R2.1 too_few_runs counted=0 needed=1; R1.3 too_few_shifts counted=0 needed=1"
    )


# -- calculations and the range (R1.5, R2.1, R11) --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "passed"), [("2025-02-28", False), ("2025-03-01", True), ("2025-06-01", True), ("2025-06-02", False)]
)
def test_r2_1_a_calculation_serves_for_the_months_of_the_policy(day, passed):
    book = book_of(policy=replace(NO_RECENCY, calculation_months=3), runs=0, calculations=("C01",))
    book.write(Check, ANA, "2025-02-01", calculation="C01", passed=False, by=ELI)
    book.write(Check, ANA, "2025-03-01", calculation="C01", passed=True, by=ELI)
    book.write(Check, ANA, "2025-03-02", calculation="C02", passed=True, by=ELI)

    assert progress(book, day).calculations_missing == (() if passed else ("C01",))


def test_r11_where_the_runs_are_cut_evidence_from_elsewhere_and_earlier_runs_fill_the_range():
    book = book_of(runs=4, ranges={"size": 3})
    book.run(ANA, "T-01", "2023-03-01", range_values={"size": "250"})
    book.run(ANA, "T-01", "2023-03-02", range_values={"size": "750"}, stopped=True)
    evidence = {"by": DARA, "evidence_on": d("2025-01-01"), "runs_needed": 3}
    book.on(Recognition, ANA, "T-01", "2025-03-10", range_values={"size": ("330",), "brand": ("pale",)}, **evidence)
    book.run(ANA, "T-01", "2025-03-12", range_values={"size": "500"})

    def shown(day):
        return progress(book, day).ranges[0].values

    assert shown("2025-03-09") == ()
    assert shown("2025-03-10") == ("250", "330")
    assert shown("2025-03-12") == ("250", "330", "500")


def test_r1_5_where_all_runs_are_asked_only_the_counted_ones_fill_the_range():
    book = book_of(runs=1, ranges={"size": 1})
    book.run(ANA, "T-01", "2024-01-01", range_values={"size": "250"})
    evidence = {"by": DARA, "evidence_on": d("2025-01-01"), "runs_needed": 1}
    book.on(Recognition, ANA, "T-01", "2025-03-10", range_values={"size": ("330",)}, **evidence)

    assert progress(book, "2025-03-11").ranges[0].values == ()


def test_r11_evidence_from_elsewhere_may_say_nothing_of_a_range():
    book = book_of(runs=4, ranges={"brand": 1, "size": 1})
    evidence = {"by": DARA, "evidence_on": d("2025-01-01"), "runs_needed": 1}
    book.on(Recognition, ANA, "T-01", "2025-03-10", range_values={"size": ("330",)}, **evidence)

    assert [each.values for each in progress(book, "2025-03-11").ranges] == [(), ("330",)]


def test_progress_is_toward_what_an_assessment_then_would_be():
    book = book_of(runs=4)
    book.run(ANA, "T-01", "2025-03-03")

    assert progress(book, "2025-03-04").purpose == book.rule(ANA).purpose_at("T-01", SITE, at("2025-03-04"))
    assert progress(book, "2025-03-04").purpose.kind.value == "initial"


# -- ready over time (R2.1) ------------------------------------------------------------------------------------------


def told_of(book, first, last):
    return [line.partition(" |")[0] for line in tale(book.rule(ANA).timeline("T-01", SITE), first, last)]


def test_r2_1_ready_comes_with_the_last_thing_missing_and_goes_with_the_first_that_ages():
    book = book_of(runs=2, calculations=("C01",))
    book.run(ANA, "T-01", "2025-03-03")
    book.run(ANA, "T-01", "2025-03-04")
    book.write(Check, ANA, "2025-04-01", calculation="C01", passed=True, by=ELI)

    assert told_of(book, "2025-03-01", "2027-01-01") == [
        "always not_started",
        "2025-03-03 learning",
        "2025-04-01 ready",
        "2026-03-04 learning",
    ]


def test_r2_1_ready_goes_with_the_calculation_and_comes_again_with_another():
    book = book_of(policy=replace(NO_RECENCY, calculation_months=1), calculations=("C01",))
    book.run(ANA, "T-01", "2025-03-03")
    for day in ("2025-03-01", "2025-05-01"):
        book.write(Check, ANA, day, calculation="C01", passed=True, by=ELI)

    assert told_of(book, "2025-03-03", "2025-12-01") == [
        "2025-03-03 ready",
        "2025-04-02 learning",
        "2025-05-01 ready",
        "2025-06-02 learning",
    ]


def test_r2_1_a_calculation_that_was_never_tried_makes_nobody_ready():
    book = book_of(calculations=("C01", "C02"))
    book.run(ANA, "T-01", "2025-03-03")
    book.write(Check, ANA, "2025-03-01", calculation="C02", passed=True, by=ELI)

    assert told_of(book, "2025-03-03", "2025-12-01") == ["2025-03-03 learning"]


def test_r2_1_a_coming_change_of_procedure_or_terms_takes_readiness_away_on_its_day():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-05-01")]
    by_revision = book_of(critical="food", revisions=issues)
    by_terms = Book(frame(replace(task("T-01"), terms=(terms(), terms(effective_on=d("2025-05-01"), runs=2)))))
    for book in (by_revision, by_terms):
        book.run(ANA, "T-01", "2025-03-03")

        assert told_of(book, "2025-03-03", "2025-12-01") == ["2025-03-03 ready", "2025-05-01 learning"]


def test_r2_1_recognition_makes_ready_on_the_day_it_is_judged_adequate():
    book = book_of(runs=4)
    book.run(ANA, "T-01", "2025-03-03")
    book.on(Recognition, ANA, "T-01", "2025-03-10", by=DARA, evidence_on=d("2025-01-01"))

    assert told_of(book, "2025-03-03", "2025-12-01") == ["2025-03-03 learning", "2025-03-10 ready"]


def test_r2_1_ready_waits_for_every_prerequisite_and_for_the_confirmation():
    book = book_of(task("S-01", validity_months=12), task("S-02", validity_months=12), prerequisites=("S-01", "S-02"))
    book.run(ANA, "T-01", "2025-03-03", confirmed_at=at("2025-03-05"))
    book.sign_off(ANA, "S-01", "2025-03-01")
    book.sign_off(ANA, "S-02", "2025-03-08")

    assert told_of(book, "2025-03-03", "2025-03-09") == ["2025-03-03 learning", "2025-03-08 ready"]


def test_r2_1_a_run_that_does_not_count_makes_nobody_ready():
    book = book_of()
    book.run(ANA, "T-01", "2025-03-03", stopped=True)
    book.run(ANA, "T-01", "2025-03-05")

    assert told_of(book, "2025-03-03", "2025-03-09") == ["2025-03-03 learning", "2025-03-05 ready"]


def test_r12_ready_for_another_machine_takes_a_third_of_the_runs_while_the_first_is_held():
    book = Book(frame(task("T-01", "none", "machine", validity_months=12, grace_days=0, runs=3)))
    book.sign_off(ANA, "T-01", "2025-01-10", scope=F1)
    book.run(ANA, "T-01", "2025-03-03", scope=F2)
    timeline = book.rule(ANA).timeline("T-01", F2)

    assert [line.partition(" |")[0] for line in tale(timeline, "2025-03-03", "2026-02-01")] == ["2025-03-03 ready"]
    assert progress(book, "2026-01-10 23:59", F2).runs_needed == 1
    assert progress(book, "2026-01-11", F2).runs_needed == 3


def test_r12_what_was_withdrawn_elsewhere_makes_no_conversion():
    book = Book(frame(task("T-01", "none", "machine", validity_months=12, runs=3)))
    book.sign_off(ANA, "T-01", "2025-01-10", scope=F1)
    book.on(Withdrawal, ANA, "T-01", "2025-03-01 10:00", scope=F1, by=GUS)

    assert progress(book, "2025-03-01 09:59", F2).runs_needed == 1
    assert progress(book, "2025-03-01 10:00", F2).runs_needed == 3
