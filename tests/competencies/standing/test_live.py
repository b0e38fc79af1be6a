"""What is known at a moment, and what stands after corrections (R7, R13, R2.6), each at its very moment."""

from dataclasses import replace

import pytest

from competencies.standing.case import sorted_facts
from competencies.standing.facts import (
    SITE,
    Check,
    Correction,
    Employment,
    Run,
    Scope,
    SecondSignature,
    Suspension,
)
from competencies.standing.framework import Policy
from competencies.standing.live import corrected, known_at, known_frame, live, recorded_late_on
from competencies.vocabulary import ChangeClass
from tests.competencies.standing.plant import (
    ANA,
    BEN,
    ELI,
    GUS,
    HANA,
    LONG_BEFORE,
    NO_RECENCY,
    Book,
    at,
    d,
    frame,
    revision,
    task,
    terms,
)

F1 = Scope("L1", "F1")
MOMENT = at("2025-05-05 10:00")


@pytest.mark.parametrize(
    ("recorded", "known"), [("2025-05-05 09:59", True), ("2025-05-05 10:00", True), ("2025-05-05 10:01", False)]
)
def test_r13_known_is_what_was_recorded_by_the_moment(recorded, known):
    book = Book(frame(task("T-01")))
    book.sign_off(ANA, "T-01", "2025-05-01", recorded=recorded)

    assert known_at(book.facts, MOMENT) == (book.facts if known else [])


@pytest.mark.parametrize(
    ("confirmed", "seen"),
    [(None, None), ("2025-05-05 10:00", "2025-05-05 10:00"), ("2025-05-05 10:01", None)],
)
def test_r13_a_run_confirmed_later_was_not_confirmed_yet(confirmed, seen):
    book = Book(frame(task("T-01")))
    book.run(ANA, "T-01", "2025-05-04", confirmed_at=at(confirmed) if confirmed else None)

    (found,) = known_at(book.facts, MOMENT)

    assert found == replace(book.facts[0], confirmed_at=at(seen) if seen else None)


def framed(recorded):
    """Return a frame in which the second of everything was recorded at a moment."""
    issues = (terms(), terms(effective_on=d("2025-01-01"), recorded_at=recorded, runs=2))
    revisions = [
        revision(1, "2024-01-01"),
        revision(2, "2025-01-01", recorded_at=recorded),
    ]
    policies = (Policy(), Policy(effective_on=d("2025-01-01"), recorded_at=recorded, due_window_days=30))
    return frame(replace(task("T-01", revisions=revisions), terms=issues), policy=policies)


@pytest.mark.parametrize(
    ("recorded", "known"), [("2025-05-05 10:00", True), ("2025-05-05 10:01", False)], ids=["at it", "after it"]
)
def test_r13_terms_revisions_and_policies_are_known_from_when_they_were_recorded(recorded, known):
    whole = framed(at(recorded))

    found = known_frame(whole, MOMENT)

    kept = 2 if known else 1
    assert found.policies == whole.policies[:kept]
    assert found.tasks["T-01"].terms == whole.tasks["T-01"].terms[:kept]
    assert found.tasks["T-01"].revisions == whole.tasks["T-01"].revisions[:kept]
    assert (found.shifts, found.timezone) == (whole.shifts, whole.timezone)


def test_r13_before_any_policy_was_recorded_the_first_holds():
    first = Policy(recorded_at=at("2025-06-01"), due_window_days=10)
    second = Policy(recorded_at=at("2025-07-01"), due_window_days=20)

    assert known_frame(frame(task("T-01"), policy=(first, second)), MOMENT).policies == (first,)


def test_r13_a_task_is_unknown_before_its_first_terms():
    later = replace(task("T-02"), terms=(terms(recorded_at=at("2025-05-05 10:01")),))

    assert known_frame(frame(task("T-01"), later), MOMENT).tasks.keys() == {"T-01"}


@pytest.mark.parametrize(
    ("reclassified", "change"),
    [(None, "major"), ("2025-05-05 10:00", "major"), ("2025-05-05 10:01", "minor")],
)
def test_r4_8_before_its_new_class_is_known_a_revision_is_minor(reclassified, change):
    moment = at(reclassified) if reclassified else None
    issue = revision(1, "2024-01-01", reclassified_at=moment)

    (found,) = known_frame(frame(task("T-01", revisions=[issue])), MOMENT).tasks["T-01"].revisions

    assert found.change is ChangeClass(change)
    assert found.reclassified_at == (moment if change == "major" else None)


def test_r7_corrections_of_corrections():
    book = Book(frame(task("T-01")))
    entry = book.on(Suspension, ANA, "T-01", "2025-05-01", by=GUS)
    first = book.of(Correction, entry, "2025-05-02", by=HANA)
    assert corrected(book.facts) == {entry}
    assert live(book.facts) == []

    second = book.of(Correction, first, "2025-05-03", by=HANA)
    assert corrected(book.facts) == {first}
    assert [fact.seq for fact in live(book.facts)] == [entry]

    book.of(Correction, second, "2025-05-04", by=HANA)
    assert corrected(reversed(book.facts)) == {second, entry}
    assert live(book.facts) == []


@pytest.mark.parametrize(
    ("days", "recorded", "late_on"),
    [
        (7, "2025-05-08 23:59", None),
        (7, "2025-05-09 00:00", "2025-05-09"),
        (1, "2025-05-02 23:59", None),
        (1, "2025-05-03 00:00", "2025-05-03"),
    ],
)
def test_r2_6_late_by_the_days_of_the_policy_counted_in_days_of_the_plant(days, recorded, late_on):
    # In May the plant's midnight is 23:00 in UTC.
    plant = frame(task("T-01"), policy=replace(NO_RECENCY, late_entry_days=days))

    found = recorded_late_on(plant, happened_on=d("2025-05-01"), recorded_at=at(recorded))

    assert found == (d(late_on) if late_on else None)


# -- sorted by what they concern -------------------------------------------------------------------------------------


def test_facts_are_sorted_by_task_and_scope_in_order_of_the_floor():
    book = Book(frame(task("T-01"), task("T-02", "food", "machine")))
    late = book.run(ANA, "T-01", "2025-05-03")
    early = book.run(ANA, "T-01", "2025-05-01", recorded="2025-05-04")
    book.run(BEN, "T-01", "2025-05-02")
    place = book.assess(ANA, "T-02", "2025-05-05", scope=F1)
    book.sign(place, "2025-05-06")

    found = sorted_facts(ANA, book.facts, book.plant)

    assert found.cases.keys() == {("T-01", SITE), ("T-02", F1)}
    assert [run.seq for run in found.cases["T-01", SITE].all_of(Run)] == [early, late]
    case = found.cases["T-02", F1]
    assert (case.person, case.task.code, case.scope, case.is_critical) == (ANA, "T-02", F1, True)
    assert [fact.seq for fact in case.pointing_at(SecondSignature, place)] == [5]
    assert case.pointing_at(SecondSignature, late) == []
    assert case.all_of(Run) == []


def test_what_points_at_an_entry_goes_with_it_wherever_it_says_it_belongs():
    book = Book(frame(task("T-01"), task("T-02")))
    place = book.assess(ANA, "T-01", "2025-05-05")
    book.sign(place, "2025-05-06")
    astray = replace(book.facts[1], task="T-02", scope=F1)

    found = sorted_facts(ANA, [book.facts[0], astray], book.plant)

    assert found.cases.keys() == {("T-01", SITE)}
    assert found.cases["T-01", SITE].pointing_at(SecondSignature, place) == [astray]


def test_what_points_at_a_corrected_entry_is_left_out_with_it():
    book = Book(frame(task("T-01")))
    place = book.assess(ANA, "T-01", "2025-05-05")
    book.sign(place, "2025-05-06")
    book.of(Correction, place, "2025-05-07", by=HANA)

    assert sorted_facts(ANA, book.facts, book.plant).cases == {}


def test_checks_and_employment_are_of_the_person_and_an_unknown_task_is_left_out():
    book = Book(frame(task("T-01")))
    second = book.write(Check, ANA, "2025-05-02", calculation="C01", passed=True, by=ELI, task="T-01")
    first = book.write(Check, ANA, "2025-05-01", calculation="C01", passed=False, by=ELI)
    book.write(Check, ANA, "2025-05-01", calculation="C02", passed=True, by=ELI)
    book.write(Employment, ANA, "2025-01-01", last_day=d("2025-12-31"))
    book.run(ANA, "X-99", "2025-05-03")

    found = sorted_facts(ANA, book.facts, book.plant)

    assert found.cases == {}
    assert [check.seq for check in found.checks["C01"]] == [first, second]
    assert len(found.checks["C02"]) == 1


def test_r2_6_a_gain_is_complete_with_the_last_of_its_entries_by_its_effect():
    book = Book(frame(task("T-01", "food")))
    place = book.assess(ANA, "T-01", "2025-05-01", recorded="2025-05-20 15:00")
    book.sign(place, "2025-05-10")
    case = sorted_facts(ANA, book.facts, book.plant).cases["T-01", SITE]

    both, second = case.gain(*book.facts), case.gain(book.facts[1])

    assert (both.start, both.moment, both.seqs) == (at("2025-05-20 00:00"), at("2025-05-20 15:00"), (1, 2))
    assert (second.start, second.moment, second.seqs) == (at("2025-05-10 00:00"), at("2025-05-10"), (2,))


def test_the_frame_gives_the_newest_of_the_day_and_the_first_before_all():
    issues = (
        terms(effective_on=d("2025-01-01"), recorded_at=LONG_BEFORE, runs=1),
        terms(effective_on=d("2025-02-01"), runs=2),
        terms(effective_on=d("2025-03-01"), runs=3),
    )
    policies = tuple(Policy(effective_on=each.effective_on, due_window_days=each.runs) for each in issues)
    plant = frame(replace(task("T-01"), terms=issues), policy=policies)
    days = ("2024-06-01", "2025-01-01", "2025-01-31", "2025-02-01", "2025-03-01", "2030-01-01")

    assert [plant.tasks["T-01"].terms_on(d(day)).runs for day in days] == [1, 1, 1, 2, 3, 3]
    assert [plant.policy_on(d(day)).due_window_days for day in days] == [1, 1, 1, 2, 3, 3]


def test_the_revision_of_a_day_is_the_highest_effective_by_then():
    issues = [revision(1, "2025-01-01"), revision(3, "2025-03-01"), revision(2, "2025-04-01")]
    framed_task = task("T-01", revisions=issues)
    days = ("2024-12-31", "2025-01-01", "2025-02-28", "2025-03-01", "2025-04-01")

    found = [framed_task.revision_on(d(day)) for day in days]

    assert [each.number if each else None for each in found] == [None, 1, 1, 3, 3]
    assert framed_task.revision(2) is issues[2]
    assert framed_task.revision(9) is None
