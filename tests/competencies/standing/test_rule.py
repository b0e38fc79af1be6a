"""The rule of one person as a whole: what it keeps, what it takes over, and the settings it starts from."""

from dataclasses import fields

import pytest

from competencies.standing.facts import (
    SITE,
    Appeal,
    CheckOwed,
    Correction,
    InitialTrainer,
    Scope,
    Suspension,
    UnitDecision,
    Withdrawal,
)
from competencies.standing.framework import Policy
from competencies.standing.rule import PersonRule
from tests.competencies.standing.plant import (
    ANA,
    ELI,
    GUS,
    HANA,
    NOOR,
    Book,
    at,
    d,
    frame,
    judged,
    revision,
    tale,
    task,
)

F1, F2 = Scope("L1", "F1"), Scope("L1", "F2")

# The usual settings; the first figure is for tasks that are not critical. Common practice, no source.
USUAL = {
    "due_window_days": 60,
    "grace_days": (30, 0),
    "run_confirmation_hours": 72,
    "run_age_months": 12,
    "calculation_months": 12,
    "second_signature_days": 14,
    "late_entry_days": 7,
    "recency_days": (180, 90),
    "long_absence_days": 90,
    "lapse_first_months": 6,
    "lapse_second_months": 24,
    "minor_acknowledgement_days": 30,
    "major_transition_days": (30, 0),
    "runs_carried": 0.5,
    "partial_reassessment_days": 30,
    "renewal_run_on_days": (14, 0),
    "initial_trainer_days": 90,
    "recognition_evidence_months": 24,
    "unit_evidence_months": 24,
    "conversion_runs": 1 / 3,
    "assessor_share_of_runs": 0.5,
    "annulment_review_days": (14, 0),
}


@pytest.mark.parametrize("name", USUAL)
def test_3_16_the_settings_are_the_usual_ones_unless_told(name):
    value = getattr(Policy(), name)

    if isinstance(USUAL[name], tuple):
        assert (value.other, value.critical) == USUAL[name]
    else:
        assert float(value) == USUAL[name]
    assert name in {each.name for each in fields(Policy)}


def two_tasks():
    book = Book(
        frame(
            task("S-01", validity_months=12),
            task("T-01", validity_months=36, prerequisites=("S-01",)),
            task("U-01", "none", "machine", validity_months=12),
        )
    )
    book.sign_off(ANA, "S-01", "2025-03-10")
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.sign_off(ANA, "U-01", "2025-03-10", scope=F2)
    book.sign_off(ANA, "U-01", "2025-03-10", scope=F1)
    return book


def test_keys_and_scopes_are_those_with_entries_in_order():
    rule = two_tasks().rule(ANA)

    assert rule.keys() == (("S-01", SITE), ("T-01", SITE), ("U-01", F1), ("U-01", F2))
    assert rule.scopes_of("U-01") == (F1, F2)
    assert rule.scopes_of("X-99") == ()


def test_an_unknown_task_has_no_timeline():
    with pytest.raises(KeyError):
        two_tasks().rule(ANA).timeline("X-99", SITE)


def test_in_force_at_a_moment():
    rule = two_tasks().rule(ANA)

    assert [rule.in_force_at("U-01", F1, at(moment)) for moment in ("2025-03-09 23:59", "2025-03-10 00:00")] == [
        False,
        True,
    ]
    assert not rule.in_force_at("S-01", SITE, at("2026-04-10 00:00"))


def test_a_rule_takes_over_what_did_not_change_and_works_out_the_rest_anew():
    book = two_tasks()
    earlier = book.rule(ANA)
    for place in earlier.keys():  # noqa: SIM118 - a rule is no mapping
        earlier.timeline(*place)
    book.on(Suspension, ANA, "S-01", "2025-05-05", by=GUS)
    later = PersonRule(ANA, book.facts, book.plant)

    later.adopt(earlier, {"S-01", "T-01"})

    assert later.timeline("U-01", F1) is earlier.timeline("U-01", F1)
    assert later.holding("U-01", F2) is earlier.holding("U-01", F2)
    assert later.verdicts("U-01", F1) is earlier.verdicts("U-01", F1)
    fresh = PersonRule(ANA, book.facts, book.plant)
    for code in ("S-01", "T-01"):
        assert later.timeline(code, SITE) == fresh.timeline(code, SITE) != earlier.timeline(code, SITE)
    assert later.need(SITE, "S-01") == fresh.need(SITE, "S-01")


def test_what_a_rule_has_worked_out_itself_is_not_replaced():
    book = two_tasks()
    earlier, later = book.rule(ANA), book.rule(ANA)
    earlier.timeline("U-01", F1)
    own = later.timeline("U-01", F1)

    later.adopt(earlier, ())

    assert later.timeline("U-01", F1) is own


def test_a_need_that_is_taken_over_is_the_same_and_one_of_a_changed_task_is_not():
    book = two_tasks()
    earlier = book.rule(ANA)
    need = earlier.need(SITE, "S-01")
    same, other = book.rule(ANA), book.rule(ANA)

    same.adopt(earlier, {"U-01"})
    other.adopt(earlier, {"S-01"})

    assert same.need(SITE, "S-01") is need
    assert other.need(SITE, "S-01") is not need


def test_answers_are_worked_out_once_and_only_for_the_person():
    book = two_tasks()
    book.sign_off(NOOR, "S-01", "2025-03-11")
    book.write(UnitDecision, ANA, "2025-06-01", unit="U1", version=1, by=ELI)
    rule = book.rule(ANA)

    assert rule.timeline("S-01", SITE) is rule.timeline("S-01", SITE)
    assert (rule.timeline("S-01", SITE).person, rule.timeline("U-01", F1).scope) == (ANA, F1)
    assert [each.unit for each in rule.unit_decisions] == ["U1"]
    assert [each.on for each in book.rule(NOOR).holding("S-01", SITE).case.facts[type(book.facts[0])]] == [
        d("2025-03-11")
    ]


def test_r12_a_conversion_while_another_machine_is_held_and_not_withdrawn():
    book = two_tasks()
    rule = book.rule(ANA)
    third = Scope("L1", "F3")
    book.on(Withdrawal, ANA, "U-01", "2025-05-05", scope=F1, by=GUS)
    one_left = book.rule(ANA)
    book.on(Withdrawal, ANA, "U-01", "2025-05-06", scope=F2, by=GUS)
    none_left = book.rule(ANA)

    kinds = [each.purpose("U-01", third, d("2025-05-07")).kind.value for each in (rule, one_left, none_left)]

    assert kinds == ["conversion", "conversion", "initial"]


def test_a_case_without_an_entry_is_the_persons_own():
    case = two_tasks().rule(ANA).holding("U-01", Scope("L1", "F3")).case

    assert (case.person, case.task.code, case.scope) == (ANA, "U-01", Scope("L1", "F3"))
    assert not case.facts


def test_r7_it_is_told_when_an_entry_was_struck_and_not_where_that_was_taken_back():
    book = two_tasks()
    first = book.of(Correction, 1, "2025-04-01 10:00", by=HANA)
    book.of(Correction, 2, "2025-04-02 10:00", by=HANA)
    book.of(Correction, first, "2025-04-03 10:00", by=HANA)

    assert book.rule(ANA).struck == {2: at("2025-04-02 10:00"), first: at("2025-04-03 10:00")}


# -- who may teach or judge a revision (3.17, R4.10) -----------------------------------------------------------------

MAJORS = [revision(1, "2024-01-01"), revision(2, "2025-02-01", touches=(2,)), revision(3, "2025-04-01", touches=(3,))]


@pytest.mark.parametrize(
    ("named_for", "expected"),
    [(2, (True, False)), (3, (True, True)), (None, (True, True))],
    ids=["an earlier one", "this one", "the task"],
)
def test_r4_10_a_first_trainer_without_a_sign_off_knows_what_they_were_named_for(named_for, expected):
    book = Book(frame(task("T-01", revisions=MAJORS)))
    book.on(InitialTrainer, ANA, "T-01", "2025-03-10", revision=named_for, by=HANA)
    rule = book.rule(ANA)

    assert tuple(rule.knows_revision("T-01", SITE, number, at("2025-04-02")) for number in (2, 3)) == expected


def test_3_17_who_has_shown_nothing_knows_no_revision():
    rule = Book(frame(task("T-01"))).rule(ANA)

    assert rule.knows_revision("T-01", SITE, 1, at("2025-03-10")) is False


@pytest.mark.parametrize(("moment", "knows"), [("2025-04-09 23:59", False), ("2025-04-10 00:00", True)])
def test_r4_4_changes_that_were_shown_are_known_from_midnight_of_their_day(moment, knows):
    book = Book(frame(task("T-01", revisions=MAJORS)))
    book.sign_off(ANA, "T-01", "2025-02-10", revision=2)
    book.assess(ANA, "T-01", "2025-04-10", revision=3, delta=True)

    assert book.rule(ANA).knows_revision("T-01", SITE, 3, at(moment)) is knows


# -- what the periods show (R2.5, R4.4) ------------------------------------------------------------------------------


def shown(book, first, last):
    """Return last valid day, revision and entries of each period, with the day on which it begins."""
    timeline = book.rule(ANA).timeline("T-01", SITE)
    periods = timeline.between(at(f"{first} 00:00"), at(f"{last} 23:59"))
    return [
        f"{period.start and period.start.date()} {period.last_valid_on} {period.revision} {period.rests_on}"
        for period in periods
    ]


def test_a_period_shows_the_newest_revision_shown_and_what_it_rests_on():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-02-01", approved_on=d("2025-01-20"), touches=(2,))]
    book = Book(frame(task("T-01", "food", validity_months=12, revisions=issues)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.run(ANA, "T-01", "2025-01-21", revision=2)
    book.sign_off(ANA, "T-01", "2025-01-22", revision=2, delta=True)
    book.sign_off(ANA, "T-01", "2025-12-20", revision=2)

    assert shown(book, "2025-01-09", "2026-11-01") == [
        "None None None ()",
        "2025-01-10 2026-01-10 1 (1, 2)",
        "2025-02-01 2026-01-10 2 (1, 2, 4, 5)",
        "2025-11-11 2026-01-10 2 (1, 2, 4, 5)",
        "2025-12-20 2027-01-10 2 (6, 7)",
    ]


def test_signed_off_on_a_coming_revision_it_is_shown_from_its_day():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-02-01", approved_on=d("2025-01-20"))]
    book = Book(frame(task("T-01", revisions=issues)))
    book.sign_off(ANA, "T-01", "2025-01-25", revision=2)

    assert shown(book, "2025-01-26", "2025-12-01") == ["2025-01-25 None 2 (1,)", "2025-02-01 None 2 (1,)"]


# -- what a waiting signature does for (R2.4) ------------------------------------------------------------------------


def test_r2_4_a_signature_does_nothing_for_a_check_owed_since_the_assessment():
    book = Book(frame(task("T-01", "food", validity_months=12)))
    book.sign_off(ANA, "T-01", "2025-03-10")
    book.assess(ANA, "T-01", "2025-05-01")
    book.on(CheckOwed, ANA, "T-01", "2025-05-03 10:00", cause="near_miss")

    steps = [step.action for step in book.period(ANA, "T-01", "2025-05-04").way_back]

    assert steps == ["assessment", "second_signature"]


def test_r2_4_a_signature_does_for_the_delta_as_long_as_its_revision_is_the_newest():
    issues = [
        revision(1, "2024-01-01"),
        revision(2, "2025-04-01", approved_on=d("2025-03-15"), touches=(2,)),
        revision(3, "2025-04-15", approved_on=d("2025-03-15"), touches=(3,)),
    ]
    book = Book(frame(task("T-01", "food", validity_months=36, revisions=issues)))
    book.sign_off(ANA, "T-01", "2025-01-10")
    book.assess(ANA, "T-01", "2025-03-31", revision=2)

    steps = [step.action for step in book.period(ANA, "T-01", "2025-04-14 23:59").way_back]

    assert steps == ["second_signature"]


# -- appeals (R2.7) --------------------------------------------------------------------------------------------------


def test_r2_7_an_appeal_is_a_remark_until_the_next_assessment():
    book = Book(frame(task("T-01", validity_months=12)))
    book.run(ANA, "T-01", "2025-03-03")
    place = book.assess(ANA, "T-01", "2025-03-04", outcome="not_yet_competent", judged=judged(not_met=(1,)))
    book.of(Appeal, place, "2025-03-05 10:00", by=ANA)
    book.of(Appeal, place, "2025-03-06 10:00", by=ANA)
    book.run(ANA, "T-01", "2025-03-07", by=ELI, stopped=True)
    book.assess(ANA, "T-01", "2025-03-10 09:00", by=NOOR, outcome="not_yet_competent", judged=judged(not_met=(1,)))
    timeline = book.rule(ANA).timeline("T-01", SITE)

    lines = [line for line in tale(timeline, "2025-03-05", "2025-04-01") if "R2.7" in line]

    assert lines == [
        (
            "2025-03-05 10:00 learning | R2.1 not_signed_off; R2.7 appealed on=2025-03-04; "
            "R5.1 not_yet_competent on=2025-03-04 | run, assessment | 2 3"
        )
    ]
    assert timeline.at(at("2025-03-10 08:59")).reasons != timeline.at(at("2025-03-10 09:00")).reasons


def test_r2_7_an_appeal_that_nothing_has_followed_stays():
    book = Book(frame(task("T-01", validity_months=12)))
    place = book.assess(ANA, "T-01", "2025-03-04", outcome="not_yet_competent", judged=judged(not_met=(1,)))
    book.of(Appeal, place, "2025-03-05 10:00", by=ANA)
    timeline = book.rule(ANA).timeline("T-01", SITE)

    assert "R2.7 appealed on=2025-03-04" in tale(timeline, "2030-01-01", "2030-01-01")[0]


def test_r2_7_an_appeal_entered_after_the_next_assessment_is_over_at_once():
    book = Book(frame(task("T-01", validity_months=12)))
    place = book.assess(ANA, "T-01", "2025-03-04", outcome="not_yet_competent", judged=judged(not_met=(1,)))
    book.assess(ANA, "T-01", "2025-03-10", by=NOOR, outcome="not_yet_competent", judged=judged(not_met=(1,)))
    book.of(Appeal, place, "2025-03-12", by=ANA)
    timeline = book.rule(ANA).timeline("T-01", SITE)

    assert not any("R2.7" in line for line in tale(timeline, "2025-03-04", "2026-01-01"))
