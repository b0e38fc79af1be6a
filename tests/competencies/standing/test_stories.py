"""The worked stories of the trade, each told with its dates (stories 1 to 16 and 19 to 22).

A story is a book of facts and a table of what must be read from it. "In force" includes the due window.
"""

import pytest

from competencies.standing.cover import covers_shift
from competencies.standing.facts import (
    SITE,
    Absence,
    Acknowledgement,
    Annulment,
    Employment,
    Performance,
    Recognition,
    Reverification,
    Review,
    Scope,
    Withdrawal,
)
from competencies.standing.framework import Policy
from competencies.standing.readiness import PurposeKind
from competencies.standing.refusals import AuthorityGrant, refuse_assessment, refuse_run, refuse_second_signature
from competencies.vocabulary import AuthorityKind, YoungWorker
from tests.competencies.standing.plant import (
    ANA,
    BEN,
    CHEN,
    DARA,
    FAY,
    GUS,
    IVO,
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
)

F1, F2, C2, L1 = Scope("L1", "F1"), Scope("L1", "F2"), Scope("L2", "C2"), Scope("L1")
ASSESSOR = (AuthorityGrant(kind=AuthorityKind.ASSESS, from_on=d("2020-01-01")),)
HOLDS = {"in_force", "renewal_due", "in_grace"}
ALL_MET = judged(met=(1, 2, 3, 4))


def is_held(book, person, code, day, scope=SITE):
    return book.standing(person, code, day, scope=scope) in HOLDS


# -- 1 ---------------------------------------------------------------------------------------------------------------


def plain_pass():
    book = Book(frame(task("BH-07", validity_months=24, runs=4, distinct_shifts=3)))
    for when in ("2025-03-03", "2025-03-04", "2025-03-04 16:00", "2025-03-05"):
        book.run(ANA, "BH-07", when, shift="late" if "16" in when else "day")
    book.assess(ANA, "BH-07", "2025-03-10")
    return book


@pytest.mark.parametrize(
    ("day", "standing", "counts"),
    [
        ("2025-03-02", "not_started", False),
        ("2025-03-03", "learning", False),
        ("2025-03-05", "ready", False),
        ("2025-03-09 23:59", "ready", False),
        ("2025-03-10 00:00", "in_force", True),
        ("2027-01-08 23:59", "in_force", True),
        ("2027-01-09 00:00", "renewal_due", True),
        ("2027-03-10 23:59", "renewal_due", True),
        ("2027-03-11 00:00", "in_grace", True),
        ("2027-04-09 23:59", "in_grace", True),
        ("2027-04-10 00:00", "lapsed", False),
    ],
)
def test_story_1_plain_pass(day, standing, counts):
    period = plain_pass().period(ANA, "BH-07", day)

    assert (period.standing, period.counts) == (standing, counts)
    if period.standing in HOLDS:
        assert period.last_valid_on == d("2027-03-10")


# -- 2 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("signed", "day", "standing"),
    [
        ("2025-05-20", "2025-05-12", "awaiting_signature"),
        ("2025-05-20", "2025-05-19 23:59", "awaiting_signature"),
        ("2025-05-20", "2025-05-20 00:00", "in_force"),
        ("2025-05-20", "2026-05-12", "renewal_due"),
        ("2025-05-20", "2026-05-13 00:00", "lapsed"),
        ("2025-05-26", "2025-05-26", "in_force"),
        ("2025-05-27", "2025-05-26 23:59", "awaiting_signature"),
        ("2025-05-27", "2025-05-27 00:00", "learning"),
        ("2025-05-27", "2025-06-20", "learning"),
    ],
)
def test_story_2_slow_second_signature(signed, day, standing):
    book = Book(frame(task("HS-03", "safety", validity_months=12, runs=4)))
    book.sign(book.assess(ANA, "HS-03", "2025-05-12"), signed, roles="safety")

    assert book.standing(ANA, "HS-03", day) == standing


@pytest.mark.parametrize(("signed", "refused"), [("2025-05-26", set()), ("2025-05-27", {"too_late"})])
def test_story_2_day_fourteen_is_in(signed, refused):
    book = Book(frame(task("HS-03", "safety", validity_months=12, runs=4)))
    place = book.assess(ANA, "HS-03", "2025-05-12")
    rule = book.rule(ANA)
    book.sign(place, signed, roles="safety")
    grants = [AuthorityGrant(kind=AuthorityKind.SIGN_SAFETY, from_on=d("2020-01-01"))]

    assert codes(refuse_second_signature(book.facts[-1], trainee=rule, grants=grants, now=at(signed))) == refused


# -- 3 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("by_dara", "refused"), [(4, {"confirmed_too_many"}), (3, set())])
def test_story_3_assessor_was_the_trainer(by_dara, refused):
    book = Book(frame(task("QC-04", "food", validity_months=12, runs=6, distinct_shifts=5)))
    for person in (DARA, NOOR):
        book.sign_off(person, "QC-04", "2025-01-10")
    for number in range(6):
        book.run(ANA, "QC-04", f"2025-03-{number + 1:02}", by=DARA if number < by_dara else NOOR)
    trainee, assessor = book.rule(ANA), book.rule(DARA)
    book.assess(ANA, "QC-04", "2025-03-10", by=DARA, judged=ALL_MET)

    found = refuse_assessment(
        book.facts[-1], trainee=trainee, assessor=assessor, grants=ASSESSOR, now=at("2025-03-10 13:00")
    )

    assert codes(found) == refused


# -- 4 ---------------------------------------------------------------------------------------------------------------


def prerequisite_out():
    book = Book(
        frame(
            task("HS-03", "safety", validity_months=12, runs=4),
            task("PK-10", "safety", validity_months=12, runs=3, distinct_shifts=3, prerequisites=("HS-03",)),
        )
    )
    book.sign_off(ANA, "HS-03", "2024-06-01")
    for when in ("2025-05-28", "2025-05-29", "2025-05-30", "2025-06-02"):
        book.run(ANA, "PK-10", when)
    for person in (DARA,):
        book.sign_off(person, "HS-03", "2025-01-10")
        book.sign_off(person, "PK-10", "2025-01-10")
    book.run(ANA, "HS-03", "2025-06-03")
    return book


def test_story_4_prerequisite_out_on_the_day_refuses_the_assessment():
    book = prerequisite_out()
    trainee, assessor = book.rule(ANA), book.rule(DARA)
    book.assess(ANA, "PK-10", "2025-06-02 15:00", by=DARA, judged=ALL_MET)

    found = refuse_assessment(
        book.facts[-1], trainee=trainee, assessor=assessor, grants=ASSESSOR, now=at("2025-06-02 16:00")
    )

    assert codes(found) == {"prerequisite"}


def test_story_4_prerequisite_back_lets_the_assessment_through():
    book = prerequisite_out()
    book.sign_off(ANA, "HS-03", "2025-06-05 08:00")
    trainee, assessor = book.rule(ANA), book.rule(DARA)
    book.assess(ANA, "PK-10", "2025-06-05 15:00", by=DARA, judged=ALL_MET)

    found = refuse_assessment(
        book.facts[-1], trainee=trainee, assessor=assessor, grants=ASSESSOR, now=at("2025-06-05 16:00")
    )

    assert found == ()


def test_story_4_runs_on_the_day_it_was_out_do_not_count():
    book = prerequisite_out()
    book.sign_off(ANA, "HS-03", "2025-06-05 08:00")

    progress = book.rule(ANA).progress("PK-10", SITE, at("2025-06-05 15:00"))

    out = {book.facts[seq - 1].on: codes(why) for seq, why in progress.not_counted}
    assert out == {d("2025-06-02"): {"prerequisite"}}
    assert len(progress.counted) == 3


# -- 5 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "pk10", "hs03"),
    [
        ("2025-09-14 23:59", "in_force", "renewal_due"),
        ("2025-09-15 00:00", "blocked", "lapsed"),
        ("2025-09-21 23:59", "blocked", "lapsed"),
        ("2025-09-22 00:00", "in_force", "in_force"),
        ("2025-11-30 23:59", "renewal_due", "in_force"),
        ("2025-12-01 00:00", "lapsed", "in_force"),
    ],
)
def test_story_5_block_heals_itself(day, pk10, hs03):
    book = Book(
        frame(
            task("HS-03", "safety", validity_months=12, runs=4),
            task("PK-10", "safety", validity_months=12, prerequisites=("HS-03",)),
        )
    )
    book.sign_off(CHEN, "HS-03", "2024-09-14")
    book.sign_off(CHEN, "PK-10", "2024-11-30")
    book.run(CHEN, "HS-03", "2025-09-20")
    book.sign_off(CHEN, "HS-03", "2025-09-22")

    assert book.standing(CHEN, "PK-10", day).replace("renewal_due", "in_force") == pk10.replace(
        "renewal_due", "in_force"
    )
    assert book.standing(CHEN, "HS-03", day) == hs03
    assert book.period(CHEN, "HS-03", "2025-10-01").last_valid_on == d("2026-09-22")


# -- 6 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("renewed", "last_valid"),
    [
        ("2025-07-01", "2028-07-01"),
        ("2025-07-02", "2028-08-31"),
        ("2025-09-20", "2028-08-31"),
        ("2025-09-30", "2028-08-31"),
        ("2025-10-01", "2028-10-01"),
        ("2025-10-05", "2028-10-05"),
    ],
    ids=["before the window", "first day of it", "grace", "last day of grace", "first day lapsed", "lapsed"],
)
def test_story_6_anchor_and_window(renewed, last_valid):
    book = Book(frame(task("LC-04", validity_months=36, runs=2)))
    book.assess(IVO, "LC-04", "2022-08-31")
    book.assess(IVO, "LC-04", renewed)

    assert book.period(IVO, "LC-04", "2025-08-01" if renewed < "2025-08" else renewed).last_valid_on == d(last_valid)
    assert book.period(IVO, "LC-04", "2025-06-30").last_valid_on == d("2025-08-31")


# -- 7 ---------------------------------------------------------------------------------------------------------------


def test_story_7_month_end_is_clipped_once_at_the_end():
    book = Book(frame(task("HS-01", "food", validity_months=12, runs=2)))
    book.sign_off(ANA, "HS-01", "2024-02-29")
    seen = [book.period(ANA, "HS-01", "2024-03-01").last_valid_on]

    for when in ("2025-02-10", "2026-02-27", "2027-01-15"):
        book.sign_off(ANA, "HS-01", when)
        seen.append(book.period(ANA, "HS-01", when).last_valid_on)

    assert seen == [d("2025-02-28"), d("2026-02-28"), d("2027-02-28"), d("2028-02-29")]


# -- 8 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "code", "counts", "flagged"),
    [
        ("2025-05-01 23:59", "HS-09", True, "acknowledgement_due"),
        ("2025-05-01 23:59", "CP-04", True, "acknowledgement_due"),
        ("2025-05-02 00:00", "HS-09", True, "not_acknowledged"),
        ("2025-05-02 00:00", "CP-04", False, "not_acknowledged"),
        ("2025-05-05 23:59", "CP-04", False, "not_acknowledged"),
        ("2025-05-06 00:00", "CP-04", True, None),
    ],
)
def test_story_8_minor_revision_two_kinds(day, code, counts, flagged):
    issues = [revision(1, "2024-01-01"), revision(2, "2025-04-01", "minor")]
    book = Book(
        frame(
            task("HS-09", validity_months=24, revisions=issues),
            task("CP-04", "food", validity_months=12, revisions=issues),
        )
    )
    book.sign_off(IVO, "HS-09", "2025-01-10")
    book.sign_off(IVO, "CP-04", "2025-01-10")
    book.on(Acknowledgement, IVO, "CP-04", "2025-05-06", revision=2, by=IVO)

    period = book.period(IVO, code, day)

    assert period.counts is counts
    assert codes(period.reasons) == ({flagged} if flagged else set())


# -- 9 ---------------------------------------------------------------------------------------------------------------


def major_on_a_critical_task():
    issues = [revision(4, "2024-01-01"), revision(5, "2025-09-15", approved_on=d("2025-09-01"), touches=(2, 3))]
    book = Book(frame(task("HS-03", "safety", validity_months=12, runs=4, revisions=issues)))
    book.sign_off(CHEN, "HS-03", "2025-03-01", revision=4)
    book.sign_off(IVO, "HS-03", "2024-11-30", revision=4)
    book.run(CHEN, "HS-03", "2025-09-10", revision=5)
    book.sign_off(CHEN, "HS-03", "2025-09-11", revision=5, delta=True)
    book.run(IVO, "HS-03", "2025-09-17", revision=5)
    book.sign_off(IVO, "HS-03", "2025-09-18", revision=5, delta=True)
    book.sign_off(ANA, "HS-03", "2025-09-12", revision=5)
    return book


@pytest.mark.parametrize(
    ("person", "day", "standing", "last_valid"),
    [
        (CHEN, "2025-09-14 23:59", "in_force", "2026-03-01"),
        (CHEN, "2025-09-15 00:00", "in_force", "2026-03-01"),
        (IVO, "2025-09-14 23:59", "in_force", "2025-11-30"),
        (IVO, "2025-09-15 00:00", "out_of_revision", "2025-11-30"),
        (IVO, "2025-09-17 23:59", "out_of_revision", "2025-11-30"),
        (IVO, "2025-09-18 00:00", "in_force", "2025-11-30"),
        (ANA, "2025-09-12 13:00", "awaiting_revision", "2026-09-12"),
        (ANA, "2025-09-14 23:59", "awaiting_revision", "2026-09-12"),
        (ANA, "2025-09-15 00:00", "in_force", "2026-09-12"),
    ],
)
def test_story_9_major_on_a_critical_task(person, day, standing, last_valid):
    period = major_on_a_critical_task().period(person, "HS-03", day)

    assert period.standing == standing
    assert period.counts is (standing == "in_force")
    assert period.last_valid_on == d(last_valid)


# -- 10 --------------------------------------------------------------------------------------------------------------


def long_leave():
    bh01 = [
        revision(1, "2023-01-01"),
        revision(2, "2025-02-01", "minor", touches=(1,)),
        revision(3, "2025-03-01", touches=(2,)),
        revision(4, "2025-06-01", "minor", touches=(4,)),
    ]
    plant = frame(
        task("HS-01", "food", validity_months=24, runs=2),
        task("HS-10", "safety", validity_months=24, runs=3, prerequisites=("HS-01",)),
        task("HS-03", "safety", validity_months=24, runs=4, prerequisites=("HS-01",)),
        task("RM-01", "food", validity_months=24, runs=4, prerequisites=("HS-01", "HS-10")),
        task("RM-02", "safety", validity_months=24, runs=4, prerequisites=("HS-03", "RM-01")),
        task("BH-01", validity_months=24, runs=6, prerequisites=("RM-02", "HS-10"), revisions=bh01),
        policy=Policy(),
    )
    book = Book(plant)
    for code in plant.tasks:
        book.sign_off(IVO, code, "2024-12-20")
        book.on(Performance, IVO, code, "2025-01-14")
    book.on(Absence, IVO, "", "2025-01-14", back_on=d("2025-07-01"))
    return book


def test_story_10_state_on_the_day_back():
    book = long_leave()

    for code in ("HS-01", "HS-10", "HS-03", "RM-01", "RM-02"):
        assert book.standing(IVO, code, "2025-04-14 23:59") in HOLDS
        assert book.standing(IVO, code, "2025-04-15 00:00") == "stale"
        assert "R3.6" in {each.rule for each in book.period(IVO, code, "2025-07-01").reasons}
    bh01 = book.period(IVO, "BH-01", "2025-07-01")
    assert bh01.standing == "out_of_revision"
    assert {"out_of_revision", "blocked"} <= codes(bh01.reasons)
    assert "stale" not in codes(bh01.reasons)
    assert book.standing(IVO, "BH-01", "2025-03-31 23:59") in HOLDS
    assert book.standing(IVO, "BH-01", "2025-04-01 00:00") == "out_of_revision"


def test_story_10_way_back_is_in_order_with_prerequisites_first():
    steps = long_leave().period(IVO, "BH-01", "2025-07-01").way_back

    assert [(step.action, step.task) for step in steps] == [
        ("run", "HS-01"),
        ("run", "HS-10"),
        ("run", "HS-03"),
        ("run", "RM-01"),
        ("run", "RM-02"),
        ("run", "BH-01"),
        ("delta", "BH-01"),
    ]


def test_story_10_delta_clears_the_whole_chain_without_acknowledgements():
    book = long_leave()
    for code, when in (("HS-01", "2025-07-01"), ("HS-10", "2025-07-01"), ("HS-03", "2025-07-01")):
        book.run(IVO, code, when)
    for code in ("RM-01", "RM-02"):
        book.run(IVO, code, "2025-07-02")
    book.run(IVO, "BH-01", "2025-07-03", revision=4)
    purpose = book.rule(IVO).purpose("BH-01", SITE, d("2025-07-03"))
    book.assess(IVO, "BH-01", "2025-07-03 13:00", revision=4, delta=True)

    assert (purpose.kind, purpose.runs, purpose.criteria) == (PurposeKind.DELTA, 1, (1, 2, 4))
    assert not is_held(book, IVO, "BH-01", "2025-07-02")
    period = book.period(IVO, "BH-01", "2025-07-03")
    assert period.counts
    assert codes(period.reasons) == set()
    assert period.last_valid_on == d("2026-12-20")


def test_story_10_delta_run_before_the_prerequisite_is_back_does_not_count():
    book = long_leave()
    book.run(IVO, "BH-01", "2025-07-01", revision=4)

    progress = book.rule(IVO).progress("BH-01", SITE, at("2025-07-01 18:00"))

    assert progress.counted == ()
    assert {"prerequisite"} <= codes(progress.not_counted[0][1])


# -- 11 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "critical", "old", "carried", "still"),
    [("BH-01", "none", 4, 3, 3), ("QC-04", "food", 5, 0, 6)],
)
def test_story_11_trainee_part_way_when_a_major_arrives(code, critical, old, carried, still):
    issues = [revision(1, "2024-01-01"), revision(2, "2025-03-15")]
    book = Book(frame(task(code, critical, validity_months=12, runs=6, distinct_shifts=5, revisions=issues)))
    for number in range(old):
        book.run(ANA, code, f"2025-03-{number + 1:02}")

    progress = book.rule(ANA).progress(code, SITE, at("2025-03-20"))

    assert len(progress.counted) == carried
    assert progress.runs_needed - len(progress.counted) == still
    assert all(codes(why) == {"old_revision"} for _, why in progress.not_counted)


# -- 12 --------------------------------------------------------------------------------------------------------------


def not_yet_then_yes():
    criteria = {"criteria": (1, 2, 3, 4), "critical_criteria": frozenset({1, 4})}
    issues = [revision(1, "2024-01-01", **criteria)]
    book = Book(frame(task("QC-04", "food", validity_months=12, runs=6, revisions=issues)))
    book.sign_off(DARA, "QC-04", "2025-06-01")
    for number in range(6):
        book.run(ANA, "QC-04", f"2025-10-{number + 20}", by=NOOR)
    book.assess(
        ANA, "QC-04", "2025-11-03", by=DARA, outcome="not_yet_competent", judged=judged(met=(1, 2, 3), not_met=(4,))
    )
    book.run(ANA, "QC-04", "2025-11-05", by=NOOR)
    return book


@pytest.mark.parametrize(
    ("day", "criteria"),
    [("2025-11-10", (1, 4)), ("2025-12-03", (1, 4)), ("2025-12-04", (1, 2, 3, 4))],
    ids=["a week after", "30 days after", "31 days after"],
)
def test_story_12_not_yet_competent_asks_the_gap_or_all(day, criteria):
    purpose = not_yet_then_yes().rule(ANA).purpose("QC-04", SITE, d(day))

    assert (purpose.kind, purpose.criteria) == (PurposeKind.REASSESSMENT, criteria)


def test_story_12_same_assessor_may_judge_the_two_criteria_and_the_clock_runs_from_there():
    book = not_yet_then_yes()
    trainee, assessor = book.rule(ANA), book.rule(DARA)
    place = book.assess(ANA, "QC-04", "2025-11-10", by=DARA, judged=judged(met=(1, 4)))

    found = refuse_assessment(
        book.facts[-1], trainee=trainee, assessor=assessor, grants=ASSESSOR, now=at("2025-11-10 13:00")
    )

    assert found == ()
    book.sign(place, "2025-11-12", by=FAY, roles="food")
    assert not is_held(book, ANA, "QC-04", "2025-11-11 23:59")
    assert is_held(book, ANA, "QC-04", "2025-11-12 00:00")
    assert book.period(ANA, "QC-04", "2025-11-12").last_valid_on == d("2026-11-10")


# -- 13 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "hs03", "pk10"),
    [
        ("2025-12-01 11:59", "renewal_due", "in_force"),
        ("2025-12-01 12:00", "suspended", "blocked"),
        ("2025-12-03 23:59", "suspended", "blocked"),
        ("2025-12-04 00:00", "in_force", "in_force"),
    ],
)
def test_story_13_not_yet_competent_at_renewal(day, hs03, pk10):
    book = Book(
        frame(
            task("HS-03", "safety", validity_months=12, runs=4),
            task("PK-10", "safety", validity_months=12, prerequisites=("HS-03",)),
        )
    )
    book.sign_off(CHEN, "HS-03", "2024-12-14")
    book.sign_off(CHEN, "PK-10", "2025-06-01")
    book.assess(CHEN, "HS-03", "2025-12-01", outcome="not_yet_competent", judged=judged(not_met=(2,)))
    book.run(CHEN, "HS-03", "2025-12-03")
    book.sign_off(CHEN, "HS-03", "2025-12-04")

    assert book.standing(CHEN, "HS-03", day) == hs03
    assert book.standing(CHEN, "PK-10", day) == pk10
    assert book.period(CHEN, "HS-03", "2025-12-04").last_valid_on == d("2026-12-14")


# -- 14 --------------------------------------------------------------------------------------------------------------


def withdrawn_mid_shift():
    safety = {"critical": "safety", "scope": "machine", "validity_months": 12}
    plant = frame(
        task("HS-03", "safety", "machine", validity_months=12, runs=4),
        task("CP-03", "both", "machine", validity_months=12, prerequisites=("HS-03",)),
        task("PK-04", "food", "machine", validity_months=12, prerequisites=("HS-03", "CP-03")),
        task("PK-10", **safety, prerequisites=("HS-03",)),
        task("PK-09", "food", "line", validity_months=12, prerequisites=("HS-03",)),
    )
    book = Book(plant)
    for code in plant.tasks:
        book.sign_off(CHEN, code, "2025-10-01", scope=L1 if code == "PK-09" else F1)
    book.on(Withdrawal, CHEN, "HS-03", "2026-02-09 10:40", scope=F1, by=GUS)
    return book


@pytest.mark.parametrize("code", ["CP-03", "PK-04", "PK-10", "PK-09"])
def test_story_14_withdrawal_reaches_all_dependents_from_its_minute(code):
    book = withdrawn_mid_shift()
    scope = L1 if code == "PK-09" else F1

    assert book.period(CHEN, code, "2026-02-09 10:39", scope=scope).counts
    assert book.standing(CHEN, code, "2026-02-09 10:40", scope=scope) == "blocked"
    assert book.standing(CHEN, "HS-03", "2026-02-09 10:40", scope=F1) == "withdrawn"


def test_story_14_running_shift_and_later_ones_are_not_covered():
    book = withdrawn_mid_shift()
    timeline = book.rule(CHEN).timeline("PK-04", F1)

    covered = [covers_shift(timeline, SHIFTS["day"], d(f"2026-02-{day:02}"), book.plant)[0] for day in (8, 9, 10)]

    assert covered == [True, False, False]


@pytest.mark.parametrize(("assessor", "refused"), [(GUS, {"withdrew_it"}), (DARA, set())])
def test_story_14_return_is_by_somebody_else_and_asks_no_runs(assessor, refused):
    book = withdrawn_mid_shift()
    for person in (GUS, DARA):
        book.sign_off(person, "HS-03", "2025-12-01", scope=F1)
    trainee, judge = book.rule(CHEN), book.rule(assessor)
    place = book.assess(CHEN, "HS-03", "2026-02-16", scope=F1, by=assessor, judged=ALL_MET)

    found = refuse_assessment(
        book.facts[-1], trainee=trainee, assessor=judge, grants=ASSESSOR, now=at("2026-02-16 13:00")
    )

    assert codes(found) == refused
    book.sign(place, "2026-02-16 14:00", by=FAY, roles="safety")
    assert book.period(CHEN, "HS-03", "2026-02-16", scope=F1).last_valid_on == d("2027-02-16")
    assert is_held(book, CHEN, "PK-04", "2026-02-16", F1)


def test_story_14_another_machine_of_the_line_would_keep_the_line_task():
    book = withdrawn_mid_shift()
    book.sign_off(CHEN, "HS-03", "2025-11-01", scope=F2)

    assert is_held(book, CHEN, "PK-09", "2026-02-09 10:40", L1)
    assert book.standing(CHEN, "PK-10", "2026-02-09 10:40", scope=F1) == "blocked"


# -- 15 --------------------------------------------------------------------------------------------------------------


def after_an_incident():
    book = Book(frame(task("PK-04", "food", "machine", validity_months=12), task("PK-02", validity_months=12)))
    book.sign_off(IVO, "PK-04", "2025-05-13", scope=F1)
    chen = book.sign_off(CHEN, "PK-04", "2026-02-02", scope=F1, by=DARA)
    noor = book.sign_off(NOOR, "PK-04", "2026-03-02", scope=F1, by=DARA)
    other = book.sign_off(NOOR, "PK-02", "2026-03-03", by=DARA)
    book.of(Annulment, chen, "2026-05-20 09:00")
    book.of(Review, noor, "2026-05-20 09:00")
    book.of(Review, other, "2026-05-20 09:00")
    book.of(Reverification, noor, "2026-06-02 09:00")
    return book


@pytest.mark.parametrize("known", ["2026-05-14 02:20", "2026-06-30"])
def test_story_15_last_valid_day_does_not_cover_the_night_that_starts_on_it(known):
    book = after_an_incident()
    timeline = book.rule(IVO, known).timeline("PK-04", F1)

    covered, reasons = covers_shift(timeline, SHIFTS["night"], d("2026-05-13"), book.plant)

    assert (covered, codes(reasons)) == (False, {"lapsed"})


@pytest.mark.parametrize(("known", "counts"), [("2026-05-14 02:20", True), ("2026-05-20 09:00", False)])
def test_story_15_annulled_sign_off_as_known_then_and_now(known, counts):
    period = after_an_incident().period(CHEN, "PK-04", "2026-05-14 02:20", scope=F1, known=known)

    assert period.counts is counts
    assert ("annulled" in codes(period.reasons)) is not counts


@pytest.mark.parametrize(
    ("code", "day", "standing"),
    [
        ("PK-04", "2026-05-20 08:59", "in_force"),
        ("PK-04", "2026-05-20 09:00", "under_review"),
        ("PK-04", "2026-06-01 23:59", "under_review"),
        ("PK-04", "2026-06-02 00:00", "in_force"),
        ("PK-02", "2026-06-03 23:59", "in_force"),
        ("PK-02", "2026-06-04 00:00", "under_review"),
    ],
)
def test_story_15_other_sign_offs_by_that_assessor_are_under_review(code, day, standing):
    scope = F1 if code == "PK-04" else SITE

    assert after_an_incident().standing(NOOR, code, day, scope=scope) == standing


# -- 16 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("recorded", "day", "known", "counts"),
    [
        ("2026-06-12", "2026-06-05", "2026-06-05", False),
        ("2026-06-12", "2026-06-05", "2026-12-31", False),
        ("2026-06-12", "2026-06-12", "2026-12-31", True),
        ("2026-06-08", "2026-06-05", "2026-06-05", False),
        ("2026-06-08", "2026-06-05", "2026-12-31", True),
        ("2026-06-08", "2026-06-01", "2026-12-31", True),
        ("2026-06-09", "2026-06-05", "2026-12-31", False),
    ],
)
def test_story_16_late_entry(recorded, day, known, counts):
    book = Book(frame(task("QC-05", validity_months=24)))
    book.assess(ANA, "QC-05", "2026-06-01", recorded=recorded)

    assert book.period(ANA, "QC-05", day, known=known).counts is counts
    assert book.period(ANA, "QC-05", "2026-07-01").last_valid_on == d("2028-06-01")


# -- 19 --------------------------------------------------------------------------------------------------------------


def birthday():
    book = Book(
        frame(
            task("HS-03", "safety", validity_months=12, young_worker=YoungWorker.TRAINING_ONLY),
            task("HS-05", "safety", validity_months=12, young_worker=YoungWorker.CLOSED),
        )
    )
    book.on(Employment, BEN, "", "2026-01-05", restricted_until=d("2026-06-15"))
    book.sign_off(BEN, "HS-03", "2026-05-20")
    book.sign_off(NOOR, "HS-05", "2026-01-10")
    return book


@pytest.mark.parametrize(("day", "refused"), [("2026-06-14", {"age"}), ("2026-06-15", set())])
def test_story_19_run_on_a_closed_task_is_refused_until_the_birthday(day, refused):
    book = birthday()
    trainee, supervisor = book.rule(BEN), book.rule(NOOR)
    book.run(BEN, "HS-05", day, by=NOOR)

    assert codes(refuse_run(book.facts[-1], trainee=trainee, supervisor=supervisor, now=at(f"{day} 20:00"))) == refused


def test_story_19_holds_but_does_not_count_until_a_shift_of_the_birthday():
    book = birthday()
    timeline = book.rule(BEN).timeline("HS-03", SITE)

    held = timeline.at(at("2026-06-14"))
    night, _ = covers_shift(timeline, SHIFTS["night"], d("2026-06-14"), book.plant)
    day, _ = covers_shift(timeline, SHIFTS["day"], d("2026-06-15"), book.plant)

    assert (held.standing, held.counts, codes(held.reasons)) == ("in_force", False, {"age"})
    assert (night, day) == (False, True)


# -- 20 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "standing"),
    [
        ("2026-04-03 23:59", "in_force"),
        ("2026-04-04 00:00", "stale"),
        ("2026-04-06 23:59", "stale"),
        ("2026-04-07 00:00", "in_force"),
    ],
)
def test_story_20_stale(day, standing):
    book = Book(frame(task("PK-07", "food", validity_months=12), policy=Policy()))
    book.sign_off(CHEN, "PK-07", "2025-11-01")
    book.on(Performance, CHEN, "PK-07", "2026-01-03")
    book.on(Performance, CHEN, "PK-07", "2026-04-05")
    book.run(CHEN, "PK-07", "2026-04-07", by=NOOR)

    assert book.standing(CHEN, "PK-07", day) == standing
    assert book.period(CHEN, "PK-07", day).last_valid_on == d("2026-11-01")


# -- 21 --------------------------------------------------------------------------------------------------------------


def test_story_21_prior_competence():
    book = Book(
        frame(
            task("WH-01", "safety", validity_months=36),
            task("WH-02", "safety", validity_months=36, runs=6, distinct_shifts=5, prerequisites=("WH-01",)),
        )
    )
    book.sign_off(NOOR, "WH-01", "2026-03-10")
    book.on(
        Recognition,
        NOOR,
        "WH-02",
        "2026-03-10",
        by=DARA,
        evidence_on=d("2024-10-10"),
        evidence_ends_on=d("2027-10-10"),
    )
    book.run(NOOR, "WH-02", "2026-03-11")
    progress = book.rule(NOOR).progress("WH-02", SITE, at("2026-03-12 08:00"))
    book.sign_off(NOOR, "WH-02", "2026-03-12")

    assert (progress.ready, progress.runs_needed, progress.distinct_shifts_needed) == (True, 1, 1)
    assert not is_held(book, NOOR, "WH-02", "2026-03-11 23:59")
    assert is_held(book, NOOR, "WH-02", "2026-03-12")
    assert book.period(NOOR, "WH-02", "2026-03-12").last_valid_on == d("2027-10-10")


# -- 22 --------------------------------------------------------------------------------------------------------------


def test_story_22_another_machine():
    issues = [revision(1, "2024-01-01", criteria=(1, 2, 3, 4, 5), scope_criteria=(2, 5))]
    book = Book(
        frame(
            task("HS-01", "food", validity_months=12),
            task(
                "HS-03",
                "safety",
                "machine",
                validity_months=12,
                runs=4,
                distinct_shifts=3,
                prerequisites=("HS-01",),
                revisions=issues,
            ),
        )
    )
    book.sign_off(CHEN, "HS-01", "2025-11-25")
    book.sign_off(CHEN, "HS-03", "2025-11-20", scope=F1)
    book.sign_off(CHEN, "HS-01", "2025-11-26")
    before = book.standing(CHEN, "HS-03", "2026-05-01", scope=C2)
    purpose = book.rule(CHEN).purpose("HS-03", C2, d("2026-05-06"))
    for when in ("2026-05-04", "2026-05-05"):
        book.run(CHEN, "HS-03", when, scope=C2)
    ready = book.rule(CHEN).progress("HS-03", C2, at("2026-05-06 08:00")).ready
    book.sign_off(CHEN, "HS-03", "2026-05-06", scope=C2)

    assert before == "not_started"
    assert (purpose.kind, purpose.runs, purpose.criteria) == (PurposeKind.CONVERSION, 2, (2, 5))
    assert ready
    assert book.period(CHEN, "HS-03", "2026-05-06", scope=C2).last_valid_on == d("2027-05-06")
    assert book.period(CHEN, "HS-03", "2026-05-06", scope=F1).last_valid_on == d("2026-11-20")
    assert is_held(book, CHEN, "HS-03", "2026-05-06", C2)
