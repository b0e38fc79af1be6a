"""Each rule on its boundaries: the last day on which something holds, and the first on which it does not."""

from dataclasses import replace
from fractions import Fraction

import pytest

from competencies.standing.cover import covers_shift
from competencies.standing.facts import (
    SITE,
    Absence,
    Acknowledgement,
    Check,
    CheckOwed,
    Correction,
    Employment,
    InitialTrainer,
    Lifting,
    Performance,
    Recognition,
    Reverification,
    Review,
    RunAccepted,
    Scope,
    Suspension,
    Withdrawal,
)
from competencies.standing.framework import Pair, Policy
from competencies.standing.readiness import PurposeKind
from competencies.standing.scopes import CircularPrerequisites, serving_scopes
from competencies.vocabulary import ChangeClass, YoungWorker
from tests.competencies.standing.plant import (
    ANA,
    BEN,
    CHEN,
    DARA,
    ELI,
    FAY,
    GUS,
    HANA,
    IVO,
    NO_RECENCY,
    NOOR,
    SHIFTS,
    Book,
    at,
    codes,
    d,
    frame,
    judged,
    revision,
    task,
    terms,
)

F1, F2, L1 = Scope("L1", "F1"), Scope("L1", "F2"), Scope("L1")


def progress_after(book, day, code="T-01", person=ANA):
    return book.rule(person).progress(code, SITE, at(day))


def why_not(book, day, code="T-01"):
    return {seq: codes(reasons) for seq, reasons in progress_after(book, day, code).not_counted}


# -- R1 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("critical", "confirmed", "accepted", "expected"),
    [
        ("none", "2025-03-13 12:00", None, set()),
        ("none", "2025-03-13 12:01", None, {"confirmed_late"}),
        ("none", "2025-03-13 12:01", "2025-03-14", set()),
        ("safety", "2025-03-13 12:00", None, set()),
        ("safety", "2025-03-13 12:01", "2025-03-14", {"confirmed_late"}),
        ("none", None, None, {"not_confirmed"}),
    ],
    ids=["72 h", "later", "accepted", "critical 72 h", "critical never later", "not at all"],
)
def test_r1_2_confirmation_within_72_hours(critical, confirmed, accepted, expected):
    book = Book(frame(task("T-01", critical, validity_months=12, runs=1)))
    place = book.run(ANA, "T-01", "2025-03-10 12:00", confirmed_at=at(confirmed) if confirmed else None)
    if accepted:
        book.of(RunAccepted, place, accepted, by=HANA)

    assert why_not(book, "2025-03-20").get(place, set()) == expected


def test_r1_2_a_run_counts_from_its_confirmation():
    book = Book(frame(task("T-01", validity_months=12, runs=1)))
    place = book.run(ANA, "T-01", "2025-03-10", confirmed_at=at("2025-03-12"))

    assert why_not(book, "2025-03-11") == {place: {"not_confirmed"}}
    assert progress_after(book, "2025-03-12").ready


def test_r1_2_known_before_the_confirmation_the_run_is_unconfirmed():
    book = Book(frame(task("T-01", validity_months=12, runs=1)))
    book.run(ANA, "T-01", "2025-03-10", confirmed_at=at("2025-03-12"))

    progress = book.rule(ANA, known="2025-03-11").progress("T-01", SITE, at("2025-03-20"))

    assert not progress.ready


def test_r1_3_two_runs_in_a_shift_are_one_distinct_shift():
    book = Book(frame(task("T-01", validity_months=12, runs=3, distinct_shifts=3)))
    for when in ("2025-03-03", "2025-03-03 13:00", "2025-03-04"):
        book.run(ANA, "T-01", when)

    progress = progress_after(book, "2025-03-05")

    assert (len(progress.counted), progress.distinct_shifts) == (3, 2)
    assert codes(progress.reasons) == {"too_few_shifts"}


def test_r1_3_day_and_night_of_a_date_are_two_shifts():
    book = Book(frame(task("T-01", validity_months=12, runs=2, distinct_shifts=2)))
    book.run(ANA, "T-01", "2025-03-03")
    book.run(ANA, "T-01", "2025-03-04 02:00", on="2025-03-03", shift="night")

    assert progress_after(book, "2025-03-05").ready


def test_r1_4_a_stopped_run_is_no_run():
    book = Book(frame(task("T-01", validity_months=12, runs=1)))
    place = book.run(ANA, "T-01", "2025-03-03", stopped=True)

    assert why_not(book, "2025-03-05") == {place: {"stopped"}}


def test_r1_5_range_is_judged_over_all_counted_runs():
    book = Book(frame(task("T-01", validity_months=12, runs=2, ranges={"bottle size": 2})))
    book.run(ANA, "T-01", "2025-03-03", range_values={"bottle size": "330"})
    book.run(ANA, "T-01", "2025-03-04", range_values={"bottle size": "330"})
    before = progress_after(book, "2025-03-05")
    book.run(ANA, "T-01", "2025-03-06", range_values={"bottle size": "500"})
    after = progress_after(book, "2025-03-07")

    assert codes(before.reasons) == {"range"}
    assert after.ready
    assert after.ranges[0].values == ("330", "500")


@pytest.mark.parametrize(("day", "counted"), [("2026-03-03", 1), ("2026-03-04", 0)])
def test_r1_6_runs_older_than_a_year_do_not_count(day, counted):
    book = Book(frame(task("T-01", validity_months=12, runs=1)))
    book.run(ANA, "T-01", "2025-03-03")

    assert len(progress_after(book, day).counted) == counted


def test_r1_7_drills_count_up_to_their_maximum():
    book = Book(frame(task("T-01", validity_months=12, runs=3, simulated_max=1)))
    places = [book.run(ANA, "T-01", f"2025-03-0{day}", simulated=day < 3) for day in (1, 2, 3)]

    progress = progress_after(book, "2025-03-05")

    assert progress.counted == (places[0], places[2])
    assert why_not(book, "2025-03-05") == {places[1]: {"drill"}}


def test_r1_1_indirect_safety_prerequisites_count_and_others_do_not():
    plant = frame(
        task("S-01", "safety", validity_months=12),
        task("N-01", validity_months=12, prerequisites=("S-01",)),
        task("T-01", validity_months=12, runs=1, prerequisites=("N-01",)),
    )
    book = Book(plant)
    place = book.run(ANA, "T-01", "2025-03-03")
    book.sign_off(ANA, "S-01", "2025-03-04")
    later = book.run(ANA, "T-01", "2025-03-04 15:00")

    progress = progress_after(book, "2025-03-05")

    assert why_not(book, "2025-03-05") == {place: {"prerequisite"}}
    assert progress.counted == (later,)
    assert progress.prerequisites_missing == (("N-01", SITE),)


def test_r1_1_every_reason_of_a_run_is_told():
    book = Book(frame(task("S-01", "safety"), task("T-01", "food", runs=1, prerequisites=("S-01",))))
    place = book.run(ANA, "T-01", "2025-03-03", stopped=True, confirmed_at=None)

    assert why_not(book, "2025-03-05")[place] == {"prerequisite", "stopped", "not_confirmed"}


# -- R2 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "missing"), [("2025-03-01", ()), ("2026-03-01", ()), ("2026-03-02", ("C01",)), ("2025-02-28", ("C01",))]
)
def test_r2_1_calculations_passed_in_the_last_year(day, missing):
    book = Book(frame(task("T-01", runs=0, calculations=("C01",))))
    book.write(Check, ANA, "2025-02-01", calculation="C01", passed=False, by=ELI)
    book.write(Check, ANA, "2025-03-01", calculation="C01", passed=True, by=ELI)

    assert progress_after(book, day).calculations_missing == missing


def test_r2_1_ready_comes_and_goes_with_the_age_of_runs_and_prerequisites():
    book = Book(
        frame(
            task("S-01", "food", validity_months=12), task("T-01", validity_months=12, runs=1, prerequisites=("S-01",))
        )
    )
    book.run(ANA, "T-01", "2025-03-03")
    book.sign_off(ANA, "S-01", "2025-04-01")

    seen = [book.standing(ANA, "T-01", day) for day in ("2025-03-31", "2025-04-01", "2026-03-03", "2026-03-04")]

    assert seen == ["learning", "ready", "ready", "learning"]


@pytest.mark.parametrize(("runs", "standing"), [(1, "ready"), (2, "learning")])
def test_r2_1_ready_on_the_day_before_the_sign_off_is_what_progress_says_that_day(runs, standing):
    book = Book(frame(task("T-01", validity_months=12, runs=runs)))
    book.run(ANA, "T-01", "2025-03-05")
    book.sign_off(ANA, "T-01", "2025-03-06")

    assert book.standing(ANA, "T-01", "2025-03-05") == standing
    assert progress_after(book, "2025-03-05").ready is (standing == "ready")


@pytest.mark.parametrize(
    ("signatures", "effective"),
    [
        ([("2025-03-12", GUS, "food safety")], "2025-03-12"),
        ([("2025-03-12", GUS, "safety"), ("2025-03-14", FAY, "food")], "2025-03-14"),
        ([("2025-03-12", GUS, "safety")], None),
        ([("2025-03-12", DARA, "food safety")], None),
        ([("2025-03-12", ANA, "food safety")], None),
    ],
    ids=["one with both roles", "two people", "one role missing", "the assessor", "the trainee"],
)
def test_r2_4_both_roles_stand_behind_the_second_signature(signatures, effective):
    book = Book(frame(task("T-01", "both", validity_months=12)))
    place = book.assess(ANA, "T-01", "2025-03-10", by=DARA)
    for when, by, roles in signatures:
        book.sign(place, when, by=by, roles=roles)

    starts = [period.start for period in book.rule(ANA).timeline("T-01", SITE).periods if period.standing.is_in_force]

    assert starts[:1] == ([at(f"{effective} 00:00")] if effective else [])


@pytest.mark.parametrize(
    ("assessed", "signed", "signed_recorded", "effective"),
    [
        ("2025-03-03", "2025-03-10", "2025-03-17", "2025-03-10"),
        ("2025-03-03", "2025-03-10", "2025-03-18", "2025-03-18"),
        ("2025-03-03", "2025-03-17", "2025-03-18", "2025-03-17"),
    ],
    ids=["seven days", "eight days", "slow but in time"],
)
def test_r2_6_seven_days_run_from_each_signature(assessed, signed, signed_recorded, effective):
    book = Book(frame(task("T-01", "safety", validity_months=12)))
    place = book.assess(ANA, "T-01", assessed)
    book.sign(place, signed, recorded=signed_recorded)
    timeline = book.rule(ANA).timeline("T-01", SITE)

    first = next(period for period in timeline.periods if period.standing.is_in_force)

    assert first.start == at(f"{effective} 00:00")
    assert first.last_valid_on == d("2026-03-03")


# -- R3 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "runs"),
    [
        ("2026-03-11", 1),
        ("2026-09-10", 1),
        ("2026-09-11", 3),
        ("2028-03-10", 3),
        ("2028-03-11", 5),
    ],
    ids=["first day", "six months", "a day more", "24 months", "a day more than 24"],
)
def test_r3_4_bands_of_a_lapse(day, runs):
    book = Book(frame(task("T-01", "food", validity_months=12, runs=5, distinct_shifts=4, ranges={"size": 2})))
    book.sign_off(ANA, "T-01", "2025-03-10")

    purpose = book.rule(ANA).purpose("T-01", SITE, d(day))
    steps = [(step.action, step.count) for step in book.period(ANA, "T-01", day).way_back]

    assert (purpose.kind, purpose.runs) == (PurposeKind.RETURN_AFTER_LAPSE, runs)
    assert (purpose.distinct_shifts, purpose.ranges) == (min(4, runs), {"size": min(2, runs)})
    assert steps == [("run", runs), ("assessment", 1), ("second_signature", 1)]


def test_r3_4_the_way_back_shrinks_with_the_run_and_the_range_may_be_filled_by_earlier_ones():
    book = Book(frame(task("T-01", validity_months=12, runs=2, ranges={"size": 1}), policy=NO_RECENCY))
    book.run(ANA, "T-01", "2025-12-01", range_values={"size": "330"})
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.run(ANA, "T-01", "2026-04-20")

    steps = [step.action for step in book.period(ANA, "T-01", "2026-04-21").way_back]
    progress = progress_after(book, "2026-04-21")

    assert steps == ["assessment"]
    assert progress.ready
    assert len(progress.counted) == 1


@pytest.mark.parametrize(
    ("critical", "last", "stale"), [("safety", "2025-06-08", "2025-06-09"), ("none", "2025-09-06", "2025-09-07")]
)
def test_r3_5_day_90_and_day_180_still_count(critical, last, stale):
    book = Book(frame(task("T-01", critical, validity_months=24), policy=Policy()))
    book.sign_off(ANA, "T-01", "2025-03-10")

    assert book.standing(ANA, "T-01", f"{last} 23:59") == "in_force"
    assert book.standing(ANA, "T-01", f"{stale} 00:00") == "stale"
    assert [step.action for step in book.period(ANA, "T-01", stale).way_back] == ["run"]


def test_r3_5_is_off_where_the_plant_asks_no_recency():
    book = Book(frame(task("T-01", "safety", validity_months=24), policy=NO_RECENCY))
    book.sign_off(ANA, "T-01", "2025-03-10")

    assert book.standing(ANA, "T-01", "2026-12-10") == "in_force"


def test_r3_5_own_log_does_not_end_staleness_and_a_dependent_refreshes_only_where_told():
    plant = frame(
        task("S-01", validity_months=24),
        task("T-01", validity_months=24, prerequisites=("S-01",), refreshes=("S-01",)),
        task("T-02", validity_months=24, prerequisites=("S-01",)),
        policy=Policy(),
    )
    book = Book(plant)
    for code in plant.tasks:
        book.sign_off(ANA, code, "2025-01-10")
    book.on(Performance, ANA, "T-02", "2025-05-01")
    without = book.standing(ANA, "S-01", "2025-07-20")
    book.on(Performance, ANA, "T-01", "2025-05-01")
    refreshed = book.standing(ANA, "S-01", "2025-07-20")
    book.on(Performance, ANA, "S-01", "2025-12-01")

    assert (without, refreshed) == ("stale", "in_force")
    assert book.standing(ANA, "S-01", "2025-12-02") == "stale"


@pytest.mark.parametrize(("back", "expected"), [("2025-06-08", "in_force"), ("2025-06-09", "stale"), (None, "stale")])
def test_r3_6_ninety_whole_days_away(back, expected):
    book = Book(frame(task("T-01", "safety", validity_months=24), policy=NO_RECENCY))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.write(Absence, ANA, "2025-03-10", back_on=d(back) if back else None)
    book.on(Performance, ANA, "T-01", "2025-05-01")

    assert book.standing(ANA, "T-01", "2025-06-09") == expected


@pytest.mark.parametrize(
    ("critical", "standing", "counts"), [("safety", "suspended", False), ("none", "in_force", True)]
)
def test_r3_7_a_check_owed_suspends_a_critical_task_and_flags_another(critical, standing, counts):
    book = Book(frame(task("T-01", critical, validity_months=24)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.on(CheckOwed, ANA, "T-01", "2025-03-03 09:15", cause="near_miss")
    before, during = (book.period(ANA, "T-01", f"2025-03-03 09:{minute}") for minute in (14, 15))
    book.sign_off(ANA, "T-01", "2025-03-05")
    after = book.period(ANA, "T-01", "2025-03-05")

    assert (before.standing, during.standing, during.counts) == ("in_force", standing, counts)
    assert codes(during.reasons) == {"check_owed"}
    assert codes(after.reasons) == set()


# -- R4 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("critical", "change", "day", "standing", "code"),
    [
        ("none", "major", "2025-05-01 23:59", "in_force", "delta_due"),
        ("none", "major", "2025-05-02 00:00", "out_of_revision", "out_of_revision"),
        ("safety", "major", "2025-03-31 23:59", "in_force", None),
        ("safety", "major", "2025-04-01 00:00", "out_of_revision", "out_of_revision"),
        ("none", "minor", "2026-01-01", "in_force", "not_acknowledged"),
        ("safety", "minor", "2025-05-02 00:00", "out_of_revision", "not_acknowledged"),
    ],
)
def test_r4_2_and_r4_3_transition_days(critical, change, day, standing, code):
    issues = [revision(1, "2024-01-01"), revision(2, "2025-04-01", change)]
    book = Book(frame(task("T-01", critical, validity_months=36, revisions=issues)))
    book.sign_off(ANA, "T-01", "2025-01-10")

    period = book.period(ANA, "T-01", day)

    assert period.standing == standing
    assert codes(period.reasons) == ({code} if code else set())


def test_r4_4_a_renewal_on_the_new_revision_does_both():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-04-01")]
    book = Book(frame(task("T-01", "safety", validity_months=12, revisions=issues)))
    book.sign_off(ANA, "T-01", "2024-05-10")
    kind = book.rule(ANA).purpose("T-01", SITE, d("2025-04-02")).kind
    book.sign_off(ANA, "T-01", "2025-04-02", revision=2)

    period = book.period(ANA, "T-01", "2025-04-02")

    assert kind is PurposeKind.RENEWAL
    assert (period.counts, period.last_valid_on, period.revision) == (True, d("2026-05-10"), 2)


def test_r4_5_reading_the_newest_does_not_clear_a_major_in_the_gap():
    issues = [
        revision(1, "2024-01-01"),
        revision(2, "2025-02-01", "minor", touches=(1,)),
        revision(3, "2025-03-01", touches=(3,)),
        revision(4, "2025-04-01", "minor", touches=(4,)),
    ]
    book = Book(frame(task("T-01", "safety", validity_months=36, revisions=issues)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.on(Acknowledgement, ANA, "T-01", "2025-04-02", revision=4, by=ANA)

    period = book.period(ANA, "T-01", "2025-06-01")

    assert codes(period.reasons) == {"out_of_revision"}
    assert book.rule(ANA).purpose("T-01", SITE, d("2025-06-01")).criteria == (3, 4)


@pytest.mark.parametrize(
    ("note", "critical", "carried"),
    [(None, "none", 2), (Fraction(1), "none", 4), (Fraction(0), "none", 0), (Fraction(1, 2), "food", 2)],
    ids=["policy", "all", "none", "note on a critical task"],
)
def test_r4_6_the_change_note_may_say_otherwise(note, critical, carried):
    issues = [revision(1, "2024-01-01"), revision(2, "2025-03-15", carries_runs=note)]
    book = Book(frame(task("T-01", critical, runs=5, distinct_shifts=1, revisions=issues)))
    for day in range(1, 5):
        book.run(ANA, "T-01", f"2025-03-0{day}")

    assert len(progress_after(book, "2025-03-20").counted) == carried


def test_r4_6_those_that_serve_the_range_best_carry_then_the_newest():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-03-15")]
    book = Book(frame(task("T-01", runs=4, distinct_shifts=1, ranges={"size": 2}, revisions=issues)))
    sizes = ["500", "330", "330", "330"]
    places = [
        book.run(ANA, "T-01", f"2025-03-0{day}", range_values={"size": size}) for day, size in enumerate(sizes, 1)
    ]

    assert progress_after(book, "2025-03-20").counted == (places[0], places[3])


def test_r4_6_runs_carry_over_a_minor_revision():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-03-15", "minor")]
    book = Book(frame(task("T-01", "food", runs=2, revisions=issues)))
    for day in (1, 2):
        book.run(ANA, "T-01", f"2025-03-0{day}")

    assert progress_after(book, "2025-03-20").ready


@pytest.mark.parametrize(
    ("known", "day", "standing"),
    [
        ("2025-05-19", "2025-06-01", "in_force"),
        ("2025-12-31", "2025-05-19 23:59", "in_force"),
        ("2025-12-31", "2025-05-20 00:00", "out_of_revision"),
    ],
    ids=["as known before", "before the day", "from the day"],
)
def test_r4_8_a_reclassification_works_forward(known, day, standing):
    again = revision(2, "2025-04-01", reclassified_at=at("2025-05-20 09:00"))
    book = Book(frame(task("T-01", "safety", validity_months=36, revisions=[revision(1, "2024-01-01"), again])))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.on(Acknowledgement, ANA, "T-01", "2025-04-02", revision=2, by=ANA)

    assert again.change is ChangeClass.MAJOR
    assert book.standing(ANA, "T-01", day, known=known) == standing


def test_r4_8_older_answers_carry_the_remark():
    again = revision(2, "2025-04-01", reclassified_at=at("2025-05-20 09:00"))
    book = Book(frame(task("T-01", "safety", validity_months=36, revisions=[revision(1, "2024-01-01"), again])))
    book.sign_off(ANA, "T-01", "2025-01-10")

    period = book.period(ANA, "T-01", "2025-04-15")

    assert period.counts
    assert codes(period.reasons) == {"acknowledgement_due", "reclassified"}


@pytest.mark.parametrize(
    ("day", "standing"),
    [
        ("2025-03-09", "not_started"),
        ("2025-03-10", "in_force"),
        ("2025-06-08 23:59", "in_force"),
        ("2025-06-09 00:00", "not_started"),
    ],
)
def test_r4_10_an_initial_trainer_stands_in_for_ninety_days(day, standing):
    book = Book(frame(task("T-01", "safety", validity_months=12)))
    book.on(InitialTrainer, ANA, "T-01", "2025-03-10", by=HANA)

    assert book.standing(ANA, "T-01", day) == standing


def test_r4_10_an_initial_trainer_of_a_revision_keeps_counting_on_it():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-04-01", approved_on=d("2025-03-15"))]
    book = Book(frame(task("T-01", "safety", validity_months=36, revisions=issues)))
    for person in (ANA, NOOR):
        book.sign_off(person, "T-01", "2025-01-10")
    book.on(InitialTrainer, ANA, "T-01", "2025-03-20", revision=2, by=HANA)

    assert book.standing(ANA, "T-01", "2025-04-01") == "in_force"
    assert book.standing(NOOR, "T-01", "2025-04-01") == "out_of_revision"
    assert book.standing(ANA, "T-01", "2025-06-19") == "out_of_revision"


def test_r4_11_a_sign_off_keeps_the_terms_it_was_given_under():
    shorter = (terms(validity_months=24), terms(effective_on=d("2025-06-01"), validity_months=12, runs=9))
    book = Book(frame(replace(task("T-01"), terms=shorter)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(NOOR, "T-01", "2025-06-10")

    assert book.period(ANA, "T-01", "2025-07-01").last_valid_on == d("2027-03-10")
    assert book.period(NOOR, "T-01", "2025-07-01").last_valid_on == d("2026-06-10")
    assert book.rule(GUS).purpose("T-01", SITE, d("2025-05-31")).runs == 1
    assert book.rule(GUS).purpose("T-01", SITE, d("2025-06-01")).runs == 9


# -- R5 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("assessed", "last", "first"),
    [
        ("2025-06-02", "2025-06-16 23:59", "2025-06-17 00:00"),
        ("2026-03-05", "2026-03-10 23:59", "2026-03-11 00:00"),
        ("2026-03-20", "2026-03-20 11:59", "2026-03-20 12:00"),
    ],
    ids=["14 days", "to the last valid day", "in grace at once"],
)
def test_r5_3_a_non_critical_task_runs_on(assessed, last, first):
    book = Book(frame(task("T-01", validity_months=12, runs=2)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.assess(ANA, "T-01", assessed, outcome="not_yet_competent", judged=judged(not_met=(1,)))

    assert book.period(ANA, "T-01", last).counts
    assert book.standing(ANA, "T-01", first) == "suspended"


def test_r5_1_of_a_newcomer_is_a_remark_and_asks_one_more_run():
    book = Book(frame(task("T-01", validity_months=12, runs=1)))
    book.run(ANA, "T-01", "2025-03-03")
    book.assess(ANA, "T-01", "2025-03-04", outcome="not_yet_competent", judged=judged(not_met=(1,)))

    progress = progress_after(book, "2025-03-05")

    assert book.standing(ANA, "T-01", "2025-03-05") == "learning"
    assert "not_yet_competent" in codes(book.period(ANA, "T-01", "2025-03-05").reasons)
    assert len(progress.counted) == 1
    assert {(each.rule, each.code) for each in progress.reasons} == {("R5.1", "too_few_runs")}


# -- R6 --------------------------------------------------------------------------------------------------------------


def test_r6_1_a_suspension_restores_as_was():
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    place = book.on(Suspension, ANA, "T-01", "2025-05-05 10:40", by=GUS)
    before, during = (book.period(ANA, "T-01", f"2025-05-05 10:{minute}") for minute in (39, 40))
    book.of(Lifting, place, "2025-05-07 15:00")
    lifted = book.period(ANA, "T-01", "2025-05-07 00:00")

    assert (before.counts, during.standing, during.counts) == (True, "suspended", False)
    assert [step.action for step in during.way_back] == ["lifting"]
    assert (lifted.counts, lifted.last_valid_on) == (True, d("2026-03-10"))
    assert lifted.gained_at == at("2025-05-07 15:00")


def test_r6_1_lifted_on_the_same_day_does_not_reach_back_over_the_suspension():
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    place = book.on(Suspension, ANA, "T-01", "2025-05-05 10:40", by=GUS)
    book.of(Lifting, place, "2025-05-05 15:00")

    seen = [book.standing(ANA, "T-01", f"2025-05-05 {time}") for time in ("10:39", "10:40", "14:59", "15:00")]

    assert seen == ["in_force", "suspended", "suspended", "in_force"]


def test_r6_2_a_signature_given_after_the_withdrawal_does_not_bring_back_an_earlier_assessment():
    book = Book(frame(task("T-01", "safety", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    place = book.assess(ANA, "T-01", "2026-02-20")
    book.on(Withdrawal, ANA, "T-01", "2026-02-22 10:00", by=GUS)
    book.sign(place, "2026-02-24", by=FAY)

    assert book.standing(ANA, "T-01", "2026-02-25") == "withdrawn"


def test_r6_3_a_block_reaches_through_a_chain_and_names_the_way_back_root_first():
    plant = frame(
        task("A-01", validity_months=12, runs=1),
        task("B-01", validity_months=36, prerequisites=("A-01",)),
        task("C-01", validity_months=36, prerequisites=("B-01",)),
    )
    book = Book(plant)
    for code in plant.tasks:
        book.sign_off(ANA, code, "2025-03-10")

    period = book.period(ANA, "C-01", "2026-04-10")

    assert (period.standing, codes(period.reasons)) == ("blocked", {"blocked"})
    assert [(step.action, step.task) for step in period.way_back] == [("run", "A-01"), ("assessment", "A-01")]


def test_r6_3_a_circle_of_prerequisites_is_named():
    plant = frame(task("A-01", prerequisites=("B-01",)), task("B-01", prerequisites=("A-01",)))

    with pytest.raises(CircularPrerequisites, match="A-01"):
        Book(plant).rule(ANA).timeline("A-01", SITE)


def test_r6_4_reverified_on_the_next_day_and_a_new_sign_off_ends_a_review():
    book = Book(frame(task("T-01", "safety", validity_months=12)))
    place = book.sign_off(ANA, "T-01", "2025-03-10")
    book.of(Review, place, "2025-05-05 09:00")
    stands = book.period(ANA, "T-01", "2025-05-06")
    book.of(Reverification, place, "2025-05-08 09:00")

    assert [step.action for step in stands.way_back] == ["reverification"]
    assert book.standing(ANA, "T-01", "2025-05-08") == "in_force"


# -- R7, R13 ---------------------------------------------------------------------------------------------------------


def test_r7_a_correction_acts_when_it_is_known_and_a_corrected_correction_does_nothing():
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    wrong = book.on(Withdrawal, ANA, "T-01", "2025-05-01 10:40", by=GUS)
    undo = book.of(Correction, wrong, "2025-05-02 09:00", by=HANA)
    book.of(Correction, undo, "2025-05-03 09:00", by=HANA)

    seen = [
        book.standing(ANA, "T-01", "2025-05-01 11:00", known=known)
        for known in ("2025-05-01 10:00", "2025-05-01 23:00", "2025-05-02 09:00", "2025-05-03 09:00")
    ]

    assert seen == ["in_force", "withdrawn", "in_force", "withdrawn"]


# -- R9, R10 ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shift", "day", "covered"),
    [("late", "2025-06-30", True), ("night", "2025-06-30", False), ("night", "2025-06-29", True)],
    ids=["last day", "night that starts on it", "night that ends on it"],
)
def test_r9_7_last_day_of_employment(shift, day, covered):
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.write(Employment, ANA, "2025-06-01", last_day=d("2025-06-30"))
    timeline = book.rule(ANA).timeline("T-01", SITE)

    assert covers_shift(timeline, SHIFTS[shift], d(day), book.plant)[0] is covered
    assert timeline.at(at("2025-07-01")).standing == "in_force"


@pytest.mark.parametrize(
    ("signed", "shift", "covered"),
    [
        ("2025-03-10 13:00", "day", False),
        ("2025-03-10 13:00", "late", True),
        ("2025-03-10 14:00", "late", True),
        ("2025-03-10 14:01", "late", False),
        ("2025-03-10 14:01", "night", True),
    ],
)
def test_a_gain_never_helps_a_shift_already_begun(signed, shift, covered):
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", signed)
    timeline = book.rule(ANA).timeline("T-01", SITE)

    assert timeline.at(at("2025-03-10 00:00")).counts
    assert covers_shift(timeline, SHIFTS[shift], d("2025-03-10"), book.plant)[0] is covered


def test_a_renewal_in_mid_shift_does_not_take_the_shift_away():
    book = Book(frame(task("T-01", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "T-01", "2026-03-01 10:00")
    timeline = book.rule(ANA).timeline("T-01", SITE)

    assert covers_shift(timeline, SHIFTS["day"], d("2026-03-01"), book.plant) == (True, ())


def test_a_gain_of_a_prerequisite_in_mid_shift_does_not_help_the_dependent_task():
    book = Book(frame(task("S-01", validity_months=12), task("T-01", validity_months=36, prerequisites=("S-01",))))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "S-01", "2025-03-12 10:00")
    timeline = book.rule(ANA).timeline("T-01", SITE)

    seen = [covers_shift(timeline, SHIFTS[name], d("2025-03-12"), book.plant)[0] for name in ("day", "late")]

    assert seen == [False, True]


@pytest.mark.parametrize(
    ("own", "before", "counts"),
    [
        (YoungWorker.OPEN, YoungWorker.OPEN, True),
        (YoungWorker.OPEN, YoungWorker.TRAINING_ONLY, False),
        (YoungWorker.TRAINING_ONLY, YoungWorker.OPEN, False),
    ],
)
def test_r10_3_a_bar_spreads_along_prerequisites(own, before, counts):
    book = Book(
        frame(
            task("S-01", validity_months=24, young_worker=before),
            task("T-01", validity_months=24, young_worker=own, prerequisites=("S-01",)),
        )
    )
    book.write(Employment, BEN, "2025-01-01", restricted_until=d("2026-06-15"))
    book.sign_off(BEN, "S-01", "2025-03-10")
    book.sign_off(BEN, "T-01", "2025-03-10")
    timeline = book.rule(BEN).timeline("T-01", SITE)

    assert timeline.at(at("2025-04-01")).counts is counts
    assert timeline.at(at("2026-06-15 00:00")).counts
    assert covers_shift(timeline, SHIFTS["night"], d("2025-04-01"), book.plant)[0] is False


def test_r10_a_closed_task_is_restricted_until_the_day():
    book = Book(frame(task("T-01", young_worker=YoungWorker.CLOSED)))
    book.write(Employment, BEN, "2025-01-01", restricted_until=d("2026-06-15"))

    period = book.period(BEN, "T-01", "2026-06-14 23:59")

    assert (period.standing, dict(period.reasons[0].params)["until"]) == ("restricted", "2026-06-15")
    assert book.standing(BEN, "T-01", "2026-06-15 00:00") == "not_started"


# -- R11, R12 --------------------------------------------------------------------------------------------------------


def test_r11_the_cut_day_becomes_the_anchor():
    book = Book(frame(task("T-01", validity_months=36, runs=6)))
    book.on(
        Recognition, ANA, "T-01", "2026-03-10", evidence_on=d("2025-01-01"), evidence_ends_on=d("2027-10-10"), by=DARA
    )
    book.sign_off(ANA, "T-01", "2026-03-12")
    book.sign_off(ANA, "T-01", "2027-09-01")

    assert book.period(ANA, "T-01", "2026-04-01").last_valid_on == d("2027-10-10")
    assert book.period(ANA, "T-01", "2027-09-01").last_valid_on == d("2030-10-10")


@pytest.mark.parametrize(
    ("kind", "held_at", "at_scope", "known", "expected"),
    [
        ("site", (), F1, (), (SITE,)),
        ("machine", (), F1, (F2,), (F1,)),
        ("machine", (F2,), F1, (), (F2,)),
        ("machine", (Scope("L2", "C1"),), F1, (), (Scope("L2", "C1"),)),
        ("machine", (), L1, (F1, F2, Scope("L2", "C1")), (F1, F2)),
        ("machine", (), SITE, (F1, Scope("L2", "C1")), (F1, Scope("L2", "C1"))),
        ("line", (), F1, (), (L1,)),
        ("line", (Scope("BR"),), F1, (), (Scope("BR"),)),
        ("line", (), SITE, (L1,), (L1,)),
    ],
)
def test_r12_the_scope_that_a_prerequisite_means(kind, held_at, at_scope, known, expected):
    assert serving_scopes(task("S-01", scope=kind, held_at=held_at), at_scope, known) == expected


def test_r3_3_a_critical_task_never_has_grace_and_a_task_may_have_its_own():
    book = Book(
        frame(task("T-01", "food", validity_months=12, grace_days=10), task("T-02", validity_months=12, grace_days=10))
    )
    book.sign_off(IVO, "T-01", "2025-03-10")
    book.sign_off(IVO, "T-02", "2025-03-10")

    assert book.standing(IVO, "T-01", "2026-03-11") == "lapsed"
    assert [book.standing(IVO, "T-02", day) for day in ("2026-03-20", "2026-03-21")] == ["in_grace", "lapsed"]


def test_policy_of_the_day_is_used():
    policies = (NO_RECENCY, replace(NO_RECENCY, effective_on=d("2026-01-01"), grace_days=Pair(other=5, critical=0)))
    book = Book(frame(task("T-01", validity_months=12), policy=policies))
    book.sign_off(CHEN, "T-01", "2024-06-10")
    book.sign_off(IVO, "T-01", "2025-06-10")

    assert book.standing(CHEN, "T-01", "2025-07-10") == "in_grace"
    assert [book.standing(IVO, "T-01", day) for day in ("2026-06-15", "2026-06-16")] == ["in_grace", "lapsed"]
