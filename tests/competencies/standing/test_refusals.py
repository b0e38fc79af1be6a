"""What may not be written: each refusal beside the same entry that is taken."""

from dataclasses import replace

import pytest

from competencies.standing.facts import (
    SITE,
    Acknowledgement,
    Annulment,
    Assessment,
    AttemptsReviewed,
    Check,
    Conflict,
    Correction,
    Employment,
    InitialTrainer,
    Lifting,
    Recognition,
    Run,
    RunAccepted,
    Scope,
    SecondSignature,
    Suspension,
    Withdrawal,
)
from competencies.standing.refusals import (
    refuse_acceptance,
    refuse_acknowledgement,
    refuse_assessment,
    refuse_check,
    refuse_correction,
    refuse_recognition,
    refuse_run,
    refuse_second_signature,
)
from competencies.standing.stop_refusals import refuse_lifting, refuse_suspension, refuse_withdrawal
from competencies.vocabulary import ConflictCause, Outcome, SecondRole, YoungWorker
from tests.competencies.standing.plant import (
    ANA,
    BEN,
    DARA,
    ELI,
    FAY,
    GUS,
    HANA,
    NOOR,
    Book,
    at,
    d,
    frame,
    grant,
    judged,
    revision,
    task,
    told,
)

ALL_MET = judged(met=(1, 2, 3, 4))
NOW = at("2025-06-30")


ASSESSES = (grant("assess"),)
NOT_MET = "R2.3 criterion_not_met criterion=4"
OFFICE = {"grants": (grant("coordinate"),), "area": "T", "now": NOW}


def entry(kind, person, when, **fields):
    """Return an entry as it would be written."""
    fields = {"task": "T-01", "scope": SITE, **fields}
    return kind(seq=0, person=person, happened_at=at(when), recorded_at=at(when), on=d(when[:10]), **fields)


def taught(**asked):
    """Return a plant with one task that Dara and Noor hold, and a trainee with two runs under Noor."""
    issues = asked.pop("revisions", None) or [revision(1, "2024-01-01")]
    critical = asked.pop("critical", "none")
    fields = {"validity_months": 12, "runs": 2, "distinct_shifts": 2, **asked}
    book = Book(frame(task("T-01", critical, revisions=issues, **fields), task("S-01", "safety", validity_months=36)))
    for person in (DARA, NOOR):
        book.sign_off(person, "S-01", "2025-01-10")
        book.sign_off(person, "T-01", "2025-01-10")
    for when in ("2025-03-03", "2025-03-04"):
        book.run(ANA, "T-01", when, by=NOOR)
    return book


# -- runs ------------------------------------------------------------------------------------------------------------


def run_of(person, when="2025-03-05", **fields):
    fields = {"by": NOOR, "shift": "day", "revision": 1, "confirmed_at": at(when), **fields}
    return entry(Run, person, when, **fields)


def refused_run(book, run):
    return told(refuse_run(run, trainee=book.rule(run.person), supervisor=book.rule(run.by), now=NOW))


@pytest.mark.parametrize(
    ("run", "expected"),
    [
        (run_of(ANA), set()),
        (run_of(NOOR), {"R1.1 own"}),
        (run_of(ANA, by=GUS), {"R1.1 not_in_force standing=not_started"}),
        (run_of(ANA, "2026-01-10"), {"R2.6 future"}),
        (run_of(ANA, "2026-01-11"), {"R2.6 future", "R1.1 in_grace"}),
        (run_of(ANA, "2026-02-11"), {"R2.6 future", "R1.1 not_in_force standing=lapsed"}),
        (run_of(ANA, revision=2), {"R4.1 unknown_revision revision=2"}),
        (run_of(ANA, scope=Scope("L1")), {"R12 wrong_scope scope=L1", "R1.1 not_in_force standing=not_started"}),
        (run_of(ANA, stopped=True), set()),
    ],
    ids=["taken", "own", "not held", "future", "in grace", "lapsed", "revision", "scope", "stopped is recorded"],
)
def test_r1_1_runs(run, expected):
    assert refused_run(taught(), run) == expected


def test_r1_1_a_run_while_a_safety_prerequisite_is_out_is_recorded():
    assert refused_run(taught(prerequisites=("S-01",)), run_of(ANA)) == set()


@pytest.mark.parametrize(
    ("shift", "bar", "day", "expected"),
    [
        ("day", YoungWorker.OPEN, "2025-03-05", set()),
        ("day", YoungWorker.TRAINING_ONLY, "2025-03-05", set()),
        ("day", YoungWorker.CLOSED, "2025-03-05", {"R10.1 age until=2025-06-15"}),
        ("night", YoungWorker.OPEN, "2025-03-05", {"R10.3 night until=2025-06-15"}),
        ("night", YoungWorker.OPEN, "2025-06-14", {"R10.3 night until=2025-06-15"}),
        ("night", YoungWorker.OPEN, "2025-06-15", set()),
    ],
)
def test_r10_age_is_judged_on_the_date_the_shift_starts(shift, bar, day, expected):
    book = taught(young_worker=bar)
    book.write(Employment, BEN, "2025-01-01", restricted_until=d("2025-06-15"))

    assert refused_run(book, run_of(BEN, day, shift=shift)) == expected


def test_r4_old_and_coming_revisions_of_a_run():
    issues = [
        revision(1, "2024-01-01"),
        revision(2, "2025-03-05"),
        revision(3, "2025-09-01", approved_on=d("2025-03-10")),
    ]
    book = taught(revisions=issues)
    delta = book.run(DARA, "T-01", "2025-03-06", by=NOOR, revision=2)
    book.assess(DARA, "T-01", "2025-03-07", revision=2, delta=True)

    assert delta
    assert refused_run(book, run_of(ANA, "2025-03-08", revision=1, by=DARA)) == {
        "R4.1 old_revision current=2 revision=1"
    }
    assert refused_run(book, run_of(ANA, "2025-03-08", revision=2, by=DARA)) == set()
    assert refused_run(book, run_of(ANA, "2025-03-08", revision=2, by=NOOR)) == {"R4.4 delta_missing revision=2"}
    assert refused_run(book, run_of(ANA, "2025-03-09", revision=3, by=DARA)) == {
        "R4.1 unknown_revision revision=3",
        "R4.4 delta_missing revision=3",
    }
    book.on(InitialTrainer, DARA, "T-01", "2025-03-10", revision=3, by=HANA)
    assert refused_run(book, run_of(ANA, "2025-03-10 15:00", revision=3, by=DARA)) == set()


def test_r9_7_nobody_supervises_after_the_last_day():
    book = taught()
    book.write(Employment, NOOR, "2025-03-01", last_day=d("2025-03-04"))

    assert refused_run(book, run_of(ANA, "2025-03-04")) == set()
    assert refused_run(book, run_of(ANA, "2025-03-05")) == {"R9.7 person_left last_day=2025-03-04"}


@pytest.mark.parametrize(
    ("critical", "confirmed", "grants", "expected"),
    [
        ("none", "2025-03-08 12:01", (grant("coordinate"),), set()),
        ("none", "2025-03-08 12:01", (grant("coordinate", "T", start="2025-03-09"),), set()),
        ("none", "2025-03-08 12:01", ASSESSES, {"R1.2 no_authority area=T"}),
        ("none", "2025-03-08 12:00", (grant("coordinate"),), {"R1.2 not_late"}),
        ("none", None, (grant("coordinate"),), {"R1.2 not_late"}),
        ("food", "2025-03-08 12:01", (grant("coordinate"),), {"R1.2 never_late hours=72"}),
    ],
)
def test_r1_2_only_a_late_run_is_accepted_and_on_a_critical_task_never(critical, confirmed, grants, expected):
    book = taught(critical=critical)
    place = book.run(ANA, "T-01", "2025-03-05 12:00", by=NOOR, confirmed_at=at(confirmed) if confirmed else None)
    acceptance = entry(RunAccepted, ANA, "2025-03-09", by=HANA, of=place)

    assert told(refuse_acceptance(acceptance, trainee=book.rule(ANA), grants=grants, now=NOW)) == expected


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"of": 999}, {"R1.2 not_late"}),
        ({"by": ANA}, {"R1.2 own"}),
        ({"when": "2025-07-01"}, {"R2.6 future"}),
    ],
    ids=["no such run", "the trainee", "future"],
)
def test_r1_2_who_accepts_what(fields, expected):
    book = taught()
    place = book.run(ANA, "T-01", "2025-03-05 12:00", by=NOOR, confirmed_at=at("2025-03-08 12:01"))
    values = {"when": "2025-03-09", "by": HANA, "of": place, **fields}
    acceptance = entry(RunAccepted, ANA, values.pop("when"), **values)

    found = refuse_acceptance(acceptance, trainee=book.rule(ANA), grants=(grant("coordinate"),), now=NOW)

    assert told(found) == expected


# -- assessments -----------------------------------------------------------------------------------------------------


def assessment_of(person, when="2025-03-10", **fields):
    fields = {"by": DARA, "revision": 1, "outcome": "competent", "judged": ALL_MET, **fields}
    fields["outcome"] = Outcome(fields["outcome"])
    return entry(Assessment, person, when, **fields)


def too_few_runs(counted, needed):
    return f"R2.1 too_few_runs counted={counted} needed={needed}"


def too_few_shifts(counted, needed):
    return f"R1.3 too_few_shifts counted={counted} needed={needed}"


def refused(book, assessment, grants=ASSESSES, **fields):
    found = refuse_assessment(
        assessment,
        trainee=book.rule(assessment.person),
        assessor=book.rule(assessment.by),
        grants=grants,
        now=NOW,
        **fields,
    )
    return told(found)


@pytest.mark.parametrize(
    ("assessment", "grants", "expected"),
    [
        (assessment_of(ANA), ASSESSES, set()),
        (assessment_of(ANA), (grant("assess", "T"),), set()),
        (assessment_of(ANA), (grant("assess", "PK"),), {"R2.2 no_authority area=T"}),
        (assessment_of(ANA), (grant("train"),), {"R2.2 no_authority area=T"}),
        (assessment_of(ANA), (grant("assess", end="2025-03-09"),), {"R2.2 no_authority area=T"}),
        (assessment_of(ANA), (grant("assess", end="2025-03-10"),), set()),
        (assessment_of(ANA), (grant("assess", start="2025-03-11"),), {"R2.2 no_authority area=T"}),
        (assessment_of(ANA, by=FAY), ASSESSES, {"R2.2 not_in_force standing=not_started"}),
        (assessment_of(DARA), ASSESSES, {"R2.2 own"}),
        (assessment_of(ANA, judged=judged(met=(1, 2, 3))), ASSESSES, {"R2.3 criterion_not_judged criterion=4"}),
        (
            assessment_of(ANA, judged=judged(met=(1, 2, 3), not_met=(4,))),
            ASSESSES,
            {NOT_MET},
        ),
        (
            assessment_of(ANA, judged=judged(met=(1, 2, 3), not_seen=(4,))),
            ASSESSES,
            {"R2.3 criterion_not_seen criterion=4"},
        ),
        (assessment_of(ANA, outcome="not_yet_competent", judged=judged(not_met=(4,))), ASSESSES, set()),
        (assessment_of(GUS), ASSESSES, {too_few_runs(0, 2), too_few_shifts(0, 2)}),
        (assessment_of(ANA, "2025-03-03 15:00"), ASSESSES, {too_few_runs(1, 2), too_few_shifts(1, 2)}),
        (assessment_of(ANA, "2025-03-04 15:00"), ASSESSES, set()),
        (assessment_of(ANA, delta=True), ASSESSES, {"R4.4 not_held"}),
    ],
)
def test_r2_assessments(assessment, grants, expected):
    assert refused(taught(), assessment, grants) == expected


def test_all_refusals_come_at_once():
    book = taught(critical="food", calculations=("C01",), prerequisites=("S-01",), ranges={"size": 2})

    family = {"cause": ConflictCause.FAMILY, "valid_from": d("2025-07-10")}
    book.write(Conflict, NOOR, "2025-01-02", by=NOOR, other=ANA, **family)

    found = refused(book, assessment_of(ANA, "2025-07-10", by=NOOR, judged={}), ())

    assert found == {
        "R2.6 future",
        "R2.2 no_authority area=T",
        "R2.2 conflict",
        "R1.5 range name=size",
        "R2.1 calculation calculation=C01",
        "R2.1 prerequisite scope= task=S-01",
        too_few_runs(0, 2),
        too_few_shifts(0, 2),
        *(f"R2.3 criterion_not_judged criterion={number}" for number in (1, 2, 3, 4)),
    }


def test_r2_2_the_half_is_not_asked_where_the_task_is_not_critical():
    assert refused(taught(), assessment_of(ANA, by=NOOR)) == set()


def test_r2_2_with_one_run_on_a_critical_task_the_supervisor_never_assesses():
    book = taught(critical="food", runs=1)
    book.sign_off(ANA, "T-01", "2025-03-05", by=DARA)
    book.run(ANA, "T-01", "2026-04-01", by=NOOR)
    book.sign_off(NOOR, "T-01", "2025-12-20")
    book.sign_off(DARA, "T-01", "2025-12-20")
    back = {"trainee": book.rule(ANA), "grants": ASSESSES, "now": at("2026-06-01")}

    found = {
        by: told(refuse_assessment(assessment_of(ANA, "2026-04-02", by=by), assessor=book.rule(by), **back))
        for by in (NOOR, DARA)
    }

    assert found == {NOOR: {"R2.2 confirmed_too_many confirmed=1 counted=1"}, DARA: set()}


@pytest.mark.parametrize(
    ("judges", "by", "reviewed", "expected"),
    [
        ((DARA,), DARA, False, set()),
        ((DARA, DARA), DARA, False, {"R5.2 same_assessor"}),
        ((DARA, DARA), NOOR, False, set()),
        ((NOOR, DARA), DARA, False, set()),
        ((DARA, NOOR, DARA), NOOR, False, {"R5.2 review_first attempts=3"}),
        ((DARA, NOOR, DARA), NOOR, True, set()),
    ],
)
def test_r5_2_two_and_three_in_a_row(judges, by, reviewed, expected):
    book = taught()
    for number, judge in enumerate(judges):
        book.assess(ANA, "T-01", f"2025-03-1{2 * number}", by=judge, outcome="not_yet_competent", judged={})
        book.run(ANA, "T-01", f"2025-03-1{2 * number + 1}", by=NOOR)
    if reviewed:
        book.on(AttemptsReviewed, ANA, "T-01", "2025-03-18", by=HANA)

    assert refused(book, assessment_of(ANA, "2025-03-20", by=by)) == expected


def test_r4_4_a_delta_for_somebody_who_knows_the_revision_changes_nothing():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-03-01", touches=(2,))]
    book = taught(revisions=issues)
    for person in (DARA, NOOR):
        book.run(person, "T-01", "2025-03-02", by=ELI, revision=2)
    book.assess(DARA, "T-01", "2025-03-03", by=ELI, revision=2, delta=True)

    fresh = refused(book, assessment_of(NOOR, "2025-03-10", revision=2, delta=True, judged=judged(met=(2,))))
    again = refused(book, assessment_of(DARA, "2025-03-11", by=NOOR, revision=2, delta=True, judged=ALL_MET))

    assert fresh == set()
    assert {"R4.4 nothing_changed revision=2", "R4.4 delta_missing revision=2"} <= again


@pytest.mark.parametrize(
    ("when", "withdrawn", "expected"),
    [
        ("2025-06-02", False, set()),
        ("2025-06-02", True, {"R4.4 not_held"}),
        ("2026-02-09", False, set()),
        ("2026-02-10", False, {"R4.4 not_held"}),
    ],
    ids=["held", "withdrawn", "last day of grace", "lapsed"],
)
def test_r4_4_a_delta_is_for_a_sign_off_that_holds(when, withdrawn, expected):
    issues = [revision(1, "2024-01-01"), revision(2, "2025-05-30", touches=(2,))]
    book = taught(revisions=issues)
    book.sign_off(ELI, "T-01", "2025-05-31", revision=2)
    if withdrawn:
        book.on(Withdrawal, NOOR, "T-01", "2025-06-01", by=GUS)
    book.run(NOOR, "T-01", f"{when} 08:00", by=ELI, revision=2)
    delta = assessment_of(NOOR, when, by=ELI, revision=2, delta=True)

    found = refuse_assessment(
        delta, trainee=book.rule(NOOR), assessor=book.rule(ELI), grants=ASSESSES, now=at("2026-06-30")
    )

    assert told(found) == expected


def test_r4_4_what_was_shown_on_a_day_is_known_from_its_first_moment():
    issues = [revision(1, "2024-01-01"), revision(2, "2025-03-01", touches=(2,))]
    book = taught(revisions=issues)
    book.run(DARA, "T-01", "2025-03-02", by=ELI, revision=2)
    book.assess(DARA, "T-01", "2025-03-03 15:00", by=ELI, revision=2, delta=True)
    earlier = assessment_of(DARA, "2025-03-03 00:00", by=ELI, revision=2, delta=True, judged=judged(met=(2,)))

    assert "R4.4 nothing_changed revision=2" in refused(book, earlier)


# -- second signatures -----------------------------------------------------------------------------------------------

BOTH_ROLES = (grant("sign_food"), grant("sign_safety"))
NO_FOOD, NO_SAFETY = "R2.4 role_missing role=food", "R2.4 role_missing role=safety"


@pytest.mark.parametrize(
    ("fields", "grants", "expected"),
    [
        ({}, BOTH_ROLES, set()),
        ({"roles": "safety"}, (grant("sign_safety"),), set()),
        ({"roles": "safety food"}, (grant("sign_safety"),), {NO_FOOD}),
        (
            {},
            (grant("sign_food", "PK"), grant("sign_safety", "PK")),
            {NO_FOOD, NO_SAFETY},
        ),
        ({}, (), {NO_FOOD, NO_SAFETY}),
        ({"by": DARA}, BOTH_ROLES, {"R2.4 same_person"}),
        ({"by": ANA}, BOTH_ROLES, {"R2.4 same_person"}),
        ({"by": NOOR}, BOTH_ROLES, set()),
        ({}, (grant("sign_food", "T"), grant("sign_safety", "T")), set()),
        ({"when": "2025-03-10 15:00"}, BOTH_ROLES, set()),
        ({"when": "2025-03-24"}, BOTH_ROLES, set()),
        ({"when": "2025-03-25"}, BOTH_ROLES, {"R2.4 too_late last_day=2025-03-24"}),
        ({"when": "2025-03-09"}, BOTH_ROLES, {"R2.4 before_assessment assessed=2025-03-10"}),
        ({"of": 999}, BOTH_ROLES, {"R2.4 not_awaiting"}),
    ],
)
def test_r2_4_second_signatures(fields, grants, expected):
    book = taught(critical="both")
    place = book.assess(ANA, "T-01", "2025-03-10", by=DARA)
    values = {"when": "2025-03-12", "by": GUS, "of": place, "roles": "safety food", **fields}
    roles = frozenset(SecondRole(role) for role in values.pop("roles").split())
    signature = entry(SecondSignature, ANA, values.pop("when"), roles=roles, **values)

    assert told(refuse_second_signature(signature, trainee=book.rule(ANA), grants=grants, now=NOW)) == expected


@pytest.mark.parametrize(
    ("given", "roles", "expected"),
    [
        ((), "safety", set()),
        ((GUS, "safety"), "food", set()),
        ((GUS, "safety"), "food safety", set()),
        ((GUS, "safety"), "safety", {NO_FOOD}),
        ((GUS, "food"), "food", {NO_SAFETY}),
        ((DARA, "safety"), "safety", set()),
        ((ANA, "safety"), "safety", set()),
    ],
    ids=["first", "the other", "both", "the same", "the same food", "the assessor's is none", "the trainee's is none"],
)
def test_r2_4_a_role_that_stands_is_not_wanted_again(given, roles, expected):
    book = taught(critical="both")
    place = book.assess(ANA, "T-01", "2025-03-10", by=DARA)
    if given:
        book.sign(place, "2025-03-11", by=given[0], roles=given[1])
    wanted = frozenset(SecondRole(role) for role in roles.split())
    signature = entry(SecondSignature, ANA, "2025-03-12", by=FAY, of=place, roles=wanted)

    assert told(refuse_second_signature(signature, trainee=book.rule(ANA), grants=BOTH_ROLES, now=NOW)) == expected


@pytest.mark.parametrize("outcome", ["not_yet_competent", "signed", "annulled"])
def test_r2_4_only_an_assessment_that_waits_is_signed(outcome):
    book = taught(critical="safety")
    judgement = "not_yet_competent" if outcome == "not_yet_competent" else "competent"
    place = book.assess(ANA, "T-01", "2025-03-10", by=DARA, outcome=judgement)
    if outcome == "signed":
        book.sign(place, "2025-03-11")
    if outcome == "annulled":
        book.of(Annulment, place, "2025-03-11")
    signature = entry(SecondSignature, ANA, "2025-03-12", by=FAY, of=place, roles=frozenset({SecondRole.SAFETY}))

    found = refuse_second_signature(signature, trainee=book.rule(ANA), grants=BOTH_ROLES, now=NOW)

    assert told(found) == {"R2.4 not_awaiting"}


# -- acknowledgements, suspensions, withdrawals ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({}, set()),
        ({"by": GUS}, {"R4.2 not_the_holder"}),
        ({"revision": 9}, {"R4.1 unknown_revision revision=9"}),
        ({"when": "2025-07-01"}, {"R2.6 future"}),
        ({"revision": 1}, {"R4.2 already_acknowledged revision=1"}),
    ],
)
def test_r4_2_acknowledgements(fields, expected):
    book = taught(revisions=[revision(1, "2024-01-01"), revision(2, "2025-03-01", "minor")])
    book.on(Acknowledgement, NOOR, "T-01", "2025-02-01", revision=1, by=NOOR)
    values = {"when": "2025-03-10", "by": NOOR, "revision": 2, **fields}

    found = refuse_acknowledgement(
        entry(Acknowledgement, NOOR, values.pop("when"), **values), holder=book.rule(NOOR), now=NOW
    )

    assert told(found) == expected


STOPS = {
    "suspension": (Suspension, refuse_suspension, "R6.1"),
    "withdrawal": (Withdrawal, refuse_withdrawal, "R6.2"),
}


@pytest.mark.parametrize("stop", STOPS)
@pytest.mark.parametrize(
    ("person", "by", "grants", "why", "expected"),
    [
        (NOOR, GUS, (grant("supervise"),), "seen unsafe", set()),
        (NOOR, GUS, (grant("sign_safety"),), "seen unsafe", set()),
        (NOOR, GUS, (grant("train"),), "seen unsafe", {"no_authority area=T"}),
        (NOOR, GUS, (grant("supervise"),), "  ", {"no_reason"}),
        (NOOR, NOOR, (grant("supervise"),), "seen unsafe", {"own"}),
        (ANA, GUS, (grant("supervise"),), "seen unsafe", {"not_held"}),
    ],
)
def test_r6_stopping_a_person(stop, person, by, grants, why, expected):
    book = taught()
    kind, refuse, rule = STOPS[stop]
    written = entry(kind, person, "2025-03-10", by=by)

    found = refuse(written, holder=book.rule(person), grants=grants, now=NOW, reason=why)

    assert told(found) == {f"{rule} {each}" for each in expected}


def test_r6_2_what_is_withdrawn_is_not_withdrawn_again():
    book = taught()
    book.on(Withdrawal, NOOR, "T-01", "2025-03-10", by=GUS)

    found = refuse_withdrawal(
        entry(Withdrawal, NOOR, "2025-03-11", by=GUS),
        holder=book.rule(NOOR),
        grants=(grant("supervise"),),
        now=NOW,
        reason="seen unsafe",
    )

    assert told(found) == {"R6.2 already_withdrawn"}


def test_r6_1_a_suspension_is_lifted_once():
    book = taught()
    place = book.on(Suspension, NOOR, "T-01", "2025-03-10", by=GUS)

    def refused_at(when, of=place):
        lifting = entry(Lifting, NOOR, when, by=GUS, of=of)
        return told(refuse_lifting(lifting, holder=book.rule(NOOR), grants=(grant("supervise"),), now=NOW))

    assert refused_at("2025-03-09") == {"R6.1 before_suspension"}
    assert refused_at("2025-03-11", of=1) == {"R6.1 not_suspended"}
    assert refused_at("2025-03-10") == set()
    assert refused_at("2025-03-11") == set()
    book.of(Lifting, place, "2025-03-11")
    assert refused_at("2025-03-12") == {"R6.1 not_suspended"}


# -- corrections, recognitions, checks -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("by", "why", "expected"),
    [
        (HANA, "wrong person", set()),
        (HANA, "", {"R7 no_reason"}),
        (DARA, "wrong person", {"R7 own_signoff"}),
        (ANA, "wrong person", {"R7 own_signoff"}),
    ],
)
def test_r7_corrections(by, why, expected):
    book = taught()
    place = book.assess(ANA, "T-01", "2025-03-10", by=DARA)
    correction = entry(Correction, ANA, "2025-03-11", by=by, of=place)

    assert told(refuse_correction(correction, facts=book.facts, **OFFICE, reason=why)) == expected


def test_r7_only_a_coordinator_for_the_area_corrects():
    book = taught()
    place = book.assess(ANA, "T-01", "2025-03-10", by=DARA)
    correction = entry(Correction, ANA, "2025-03-11", by=HANA, of=place)
    asked = {"facts": book.facts, "now": NOW, "reason": "wrong person"}
    others = (grant("assess"), grant("coordinate", end="2025-03-10"), grant("coordinate", "PK"))

    assert refuse_correction(correction, **asked, grants=(grant("coordinate", "T"),), area="T") == ()
    for grants in ([], *([each] for each in others)):
        assert told(refuse_correction(correction, **asked, grants=grants, area="T")) == {"R7 no_authority area=T"}


def test_r7_an_entry_is_corrected_once_and_again_after_the_correction_was_corrected():
    book = taught()
    place = book.assess(ANA, "T-01", "2025-03-10", by=DARA)

    def refused_for(of):
        correction = entry(Correction, ANA, "2025-03-20", by=HANA, of=of)
        return told(refuse_correction(correction, facts=book.facts, **OFFICE, reason="wrong date"))

    assert refused_for(999) == {"R7 unknown_entry"}
    first = book.of(Correction, place, "2025-03-11", by=HANA)
    assert refused_for(place) == {"R7 already_corrected"}
    assert refused_for(first) == set()
    book.of(Correction, first, "2025-03-12", by=HANA)
    assert refused_for(first) == {"R7 already_corrected"}
    assert refused_for(place) == set()


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({}, set()),
        ({"evidence_on": d("2023-03-10")}, set()),
        ({"evidence_on": d("2023-03-09")}, {"R11 too_old months=24"}),
        ({"evidence_on": d("2025-03-10")}, set()),
        ({"runs_needed": 1}, set()),
        ({"evidence_on": d("2025-03-11")}, {"R2.6 future"}),
        ({"evidence_ends_on": d("2025-03-10")}, set()),
        ({"evidence_ends_on": d("2025-03-09")}, {"R11 certificate_ended ended=2025-03-09"}),
        ({"runs_needed": 0}, {"R11 too_few_runs needed=1"}),
        ({"by": ANA}, {"R11 own"}),
    ],
)
def test_r11_recognitions(fields, expected):
    book = taught()
    values = {"by": DARA, "evidence_on": d("2024-09-01"), **fields}

    found = refuse_recognition(
        entry(Recognition, ANA, "2025-03-10", **values), trainee=book.rule(ANA), grants=ASSESSES, now=NOW
    )

    assert told(found) == expected


def test_r11_an_induction_is_never_recognised():
    induction = replace(task("T-01"), recognisable=False)
    book = Book(frame(induction))
    recognition = entry(Recognition, ANA, "2025-03-10", by=DARA, evidence_on=d("2024-09-01"))

    found = refuse_recognition(recognition, trainee=book.rule(ANA), grants=(), now=NOW)

    assert told(found) == {"R11 not_recognisable", "R11 no_authority area=T"}


@pytest.mark.parametrize(
    ("by", "when", "expected"),
    [(ELI, "2025-03-10", set()), (ANA, "2025-03-10", {"R2.1 own"}), (ELI, "2025-07-01", {"R2.6 future"})],
)
def test_checks_are_opened_by_somebody_else(by, when, expected):
    check = entry(Check, ANA, when, task="", calculation="C01", passed=True, by=by)

    assert told(refuse_check(check, now=NOW)) == expected
