"""The demo plant as a newcomer meets it on the day of loading: loaded once, looked at from every side."""

from collections import Counter
from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import transaction

from assessments.models import CheckSitting, InspectionSeries, PracticeAttempt
from assessments.queries.agreement import agreement_overview, person_agreement
from assessments.queries.inspection import report_of
from assessments.queries.item_statistics import item_report
from assessments.queries.library import library_of
from assessments.queries.practice_next import next_for
from assessments.queries.practice_progress import progress_of
from assessments.statistics.agreement import Finding
from competencies.demo.people import FILE_DAY
from competencies.demo.planning import DONE_DAYS, ROSTERED_DAYS
from competencies.demo.plant import FIXTURES
from competencies.demo.posts import FOUNDERS, parsed
from competencies.demo.rota import last_clock_change
from competencies.demo.signins import SIGN_INS, WORKS_NUMBERS, PublicPasswordError, make_sign_ins
from competencies.demo.story import load
from competencies.ledger.canonical import decode
from competencies.ledger.reading import facts_of
from competencies.models import (
    Absence,
    Assignment,
    Authority,
    Detached,
    Enrolment,
    LedgerEntry,
    LedgerIndex,
    Line,
    Person,
    Plant,
    RosterDay,
    Shift,
    StandingPeriod,
)
from competencies.operations.assessing import refusals_beforehand
from competencies.operations.decisions import When, sign_second
from competencies.operations.pins import Signer, prove_pin
from competencies.operations.projection import rebuild_standing
from competencies.queries.assessments import assessment_sheet
from competencies.queries.cover import covers_of
from competencies.queries.facts import facts_of_people, rules_of
from competencies.queries.frame import frame_of
from competencies.queries.joining import possible_doubles
from competencies.queries.pathways import pathways_of, unit_rules
from competencies.queries.periods import period_from, period_values
from competencies.queries.retention import retention_of
from competencies.queries.standing import known_rows, standings_at
from competencies.standing.calendar import clock_of
from competencies.standing.entitlement import in_conflict
from competencies.standing.facts import Correction, Run, Scope, UnitDecision
from competencies.standing.live import known_at, known_frame
from competencies.standing.rule import PersonRule
from competencies.standing.unit_evidence import outcomes_met
from competencies.vocabulary import AuthorityKind, EntryKind, Standing

pytestmark = pytest.mark.django_db

TODAY = FILE_DAY


@pytest.fixture(scope="module", autouse=True)
def loaded(django_db_setup, django_db_blocker):
    """Load the plant for the tests of this module, in a transaction that is taken back after them."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield load(today=TODAY)
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def plant(loaded):
    return Plant.objects.get()


@pytest.fixture(scope="module")
def noon(plant):
    return clock_of(plant.timezone).moment(TODAY, 12 * 60)


@pytest.fixture(scope="module")
def people(plant):
    rows = Person.objects.filter(plant=plant).select_related("plant", "crew")
    return {person.works_number: person for person in rows}


@pytest.fixture(scope="module")
def entries():
    return list(LedgerEntry.objects.order_by("seq"))


@pytest.fixture(scope="module")
def facts(entries):
    return facts_of(entries)


def numbers(people):
    return [person.pk for person in people.values()]


def standing_of(people, noon, number, text):
    code, scope = parsed(text)
    held = standings_at(people=[people[number].pk], moment=noon, tasks=[code])
    return next(item.period for item in held if item.scope == scope)


@pytest.mark.parametrize("standing", list(Standing))
def test_every_standing_is_to_be_seen(people, noon, standing):
    employed = [person.pk for person in people.values() if person.last_day is None]
    held = standings_at(people=employed, moment=noon)

    seen = {item.period.standing for item in held}
    untouched = len(employed) * len(FOUNDERS) > len(held)

    assert standing in seen or (standing is Standing.NOT_STARTED and untouched)


@pytest.mark.parametrize(
    ("number", "place", "standing"),
    [
        ("1043", "PK-04@L1/F1", Standing.LEARNING),
        ("1044", "PK-10@L1/F1", Standing.READY),
        ("1042", "QC-04@L2/S1", Standing.AWAITING_SIGNATURE),
        ("1043", "LC-01@L1", Standing.AWAITING_REVISION),
        ("1032", "WH-02@WD/T1", Standing.RENEWAL_DUE),
        ("1018", "CP-06", Standing.IN_GRACE),
        ("1035", "PK-08@L3/K1", Standing.LAPSED),
        ("1035", "PK-04@L1/F1", Standing.OUT_OF_REVISION),
        ("1022", "LC-03@L1/J1", Standing.OUT_OF_REVISION),
        ("1036", "PK-05@L2/C1", Standing.STALE),
        ("1021", "PK-04@L1/F1", Standing.SUSPENDED),
        ("1033", "HS-03@L2/C1", Standing.WITHDRAWN),
        ("1033", "PK-05@L2/C1", Standing.BLOCKED),
        ("1046", "WH-01@WD/T1", Standing.RESTRICTED),
        ("1028", "WH-03", Standing.READY),
        ("1025", "WH-03", Standing.IN_FORCE),
        ("1026", "WH-03", Standing.UNDER_REVIEW),
        ("1034", "PK-06@L2/S1", Standing.SUSPENDED),
        ("1034", "PK-07@L2/T1", Standing.IN_FORCE),
        ("1027", "LC-02@L1/A1", Standing.IN_FORCE),
        ("1005", "LC-07@L1", Standing.RENEWAL_DUE),
        ("1047", "HS-01", Standing.LEARNING),
    ],
)
def test_each_tale_ends_where_it_is_meant_to(people, noon, number, place, standing):
    assert standing_of(people, noon, number, place).standing is standing


def test_a_suspension_that_was_lifted_leaves_the_sign_off_as_it_was(people, noon):
    assert standing_of(people, noon, "1024", "PK-08@L3/K1").standing.is_in_force


def test_a_young_worker_holds_a_task_and_does_not_count_for_it(people, noon):
    period = standing_of(people, noon, "1045", "HS-02@L1")

    assert (period.standing, period.counts) == (Standing.IN_FORCE, False)
    assert people["1045"].restricted_until > TODAY


def test_a_leaver_keeps_the_record_and_counts_for_nothing(people, noon):
    held = standings_at(people=[people["1031"].pk], moment=noon)

    assert people["1031"].last_day < TODAY
    assert held
    assert not any(item.period.counts for item in held)


def test_somebody_started_last_week_and_somebody_is_away(people):
    away = Absence.objects.filter(from_on__lte=TODAY, until_on__gte=TODAY)

    assert timedelta(0) < TODAY - people["1047"].started_on <= timedelta(days=14)
    assert people["1036"].pk in away.values_list("person_id", flat=True)


def test_the_ledger_verifies_down_to_its_values():
    out = StringIO()

    call_command("verify_ledger", values=True, stdout=out)

    assert f"count {LedgerEntry.objects.count()}" in out.getvalue()


def test_entries_were_written_down_in_order_and_before_the_day_of_loading(entries, plant):
    bodies = [decode(bytes(entry.body)) for entry in entries]
    morning = clock_of(plant.timezone).moment(TODAY, 6 * 60)

    assert not any("clock_back" in body for body in bodies)
    assert max(LedgerIndex.objects.values_list("recorded_at", flat=True)) < morning
    assert min(LedgerIndex.objects.values_list("happened_on", flat=True)) <= TODAY - timedelta(days=540)


@pytest.mark.parametrize(
    "kind",
    [
        EntryKind.RUN,
        EntryKind.RUN_ACCEPTED,
        EntryKind.CHECK,
        EntryKind.ASSESSMENT,
        EntryKind.SECOND_SIGNATURE,
        EntryKind.ACKNOWLEDGEMENT,
        EntryKind.RECOGNITION,
        EntryKind.SUSPENSION,
        EntryKind.LIFTING,
        EntryKind.WITHDRAWAL,
        EntryKind.CHECK_OWED,
        EntryKind.ANNULMENT,
        EntryKind.REVIEW,
        EntryKind.REVERIFICATION,
        EntryKind.CORRECTION,
        EntryKind.OUTCOME_SEEN,
        EntryKind.APPEAL,
        EntryKind.CONFLICT,
        EntryKind.EMPLOYMENT,
        EntryKind.PEOPLE_JOINED,
        EntryKind.ABSENCE,
        EntryKind.AUTHORITY,
        EntryKind.AUTHORITY_ENDED,
        EntryKind.INITIAL_TRAINER,
        EntryKind.REVISION,
        EntryKind.RECLASSIFICATION,
        EntryKind.TERMS,
        EntryKind.POLICY,
        EntryKind.ENROLMENT,
        EntryKind.UNIT_DECISION,
        EntryKind.UNIT_REPORTED,
        EntryKind.MODERATION,
        EntryKind.HOLD,
    ],
)
def test_every_kind_of_entry_has_happened(kind):
    assert LedgerIndex.objects.filter(kind=kind).exists()


def test_a_not_yet_competent_was_followed_by_a_pass(people, facts):
    tried = [fact for fact in facts if fact.person == people["1042"].pk and fact.task == "QC-03"]
    outcomes = [fact.outcome.value for fact in tried if hasattr(fact, "outcome")]

    assert outcomes[:2] == ["not_yet_competent", "competent"]


def test_a_late_entry_takes_effect_when_it_was_entered(people):
    entry = LedgerIndex.objects.get(person=people["1026"].pk, task="LC-04", kind=EntryKind.ASSESSMENT)
    rule = rules_of([people["1026"]])[people["1026"].pk]

    [signoff] = rule.holding("LC-04", Scope()).governing

    assert (entry.recorded_at.date() - entry.happened_on).days > 7
    assert signoff.gain.moment == entry.recorded_at


def test_a_run_of_the_wrong_person_was_struck_and_entered_for_the_right_one(people, facts):
    [correction] = [fact for fact in facts if isinstance(fact, Correction)]
    struck = next(fact for fact in facts if fact.seq == correction.of)
    right = [fact for fact in facts if isinstance(fact, Run) and fact.happened_at == struck.happened_at]

    assert [fact.person for fact in right] == [people["1025"].pk, people["1026"].pk]


def test_a_sign_off_that_was_annulled_was_good_as_known_before(people, noon):
    person, key = people["1028"], parsed("WH-03")
    before = noon - timedelta(days=18)

    then, now = (rules_of([person], known=known)[person.pk].timeline(*key).at(before) for known in (before, noon))

    assert (then.standing, now.standing) == (Standing.IN_FORCE, Standing.READY)


def test_only_what_the_assessor_judged_since_went_under_review(people):
    reviewed = LedgerIndex.objects.filter(kind=EntryKind.REVIEW, task="WH-03").values_list("person", flat=True)

    assert set(reviewed) == {people["1025"].pk, people["1026"].pk}


def test_whoever_appealed_is_judged_next_by_another(people, noon):
    person, earlier, another = people["1041"], people["1017"], people["1003"]
    key, run = parsed("CP-07"), noon - timedelta(days=1)
    [appealed] = rules_of([person])[person.pk].holding(*key).attempts
    sheet = assessment_sheet(person, person.plant.tasks.get(code=key[0]), key[1], moment=run)

    refused = {
        each.pk: {refusal.code for refusal in refusals_beforehand(sheet=sheet, assessor=each, now=noon)}
        for each in (earlier, another)
    }

    assert appealed.assessment.by == earlier.pk
    assert refused[earlier.pk] - refused[another.pk] == {"appeal_to_another"}


def test_two_who_live_together_do_not_judge_each_other(people, noon):
    rules = rules_of([people["1029"], people["1030"]])

    assert in_conflict(rules[people["1030"].pk], rules[people["1029"].pk], TODAY)


def test_a_starter_who_was_entered_twice_has_one_record_with_the_run_of_both(people, noon):
    kept, other, key = people["1047"], people["1048"], parsed("HS-01")
    before = noon - timedelta(days=3)

    runs = [len(rules_of([kept], known=known)[kept.pk].holding(*key).case.all_of(Run)) for known in (before, noon)]

    assert other.joined_into == kept
    assert runs == [0, 1]
    assert not RosterDay.objects.filter(person=other).exists()


def test_one_pair_of_like_names_waits_for_the_coordinator(plant):
    pairs = [{each.first.works_number, each.second.works_number} for each in possible_doubles(plant)]

    assert pairs == [{"1035", "1055"}]


def test_terms_reached_those_who_held_the_task_by_a_dated_decision(plant):
    old, new = frame_of(plant).tasks["LC-07"].terms[-2:]

    assert (old.validity_months, new.validity_months) == (24, 18)
    assert old.applies_to_held_on is None
    assert new.effective_on < new.applies_to_held_on < TODAY


def test_a_hold_keeps_back_what_would_be_due(plant):
    kept = retention_of(plant, on=TODAY)

    names = {each.person.works_number for each in kept.kept_back if each.what == "record" and each.holds}

    assert names == {"1901", "1902"}
    assert kept.evidence
    assert any(each.holds for each in kept.kept_back if each.what == "evidence")


def test_a_reported_unit_is_disputed_and_keeps_its_credits(people):
    [progress] = pathways_of([people["1004"]], on=TODAY)
    disputed = [unit.unit.code for unit in progress.units if unit.record and unit.record.is_disputed]

    assert disputed == ["U106"]


def test_runs_were_made_at_night_and_in_the_hour_that_comes_twice(facts, plant):
    clock = clock_of(plant.timezone)
    changed_on = last_clock_change(clock, TODAY)
    nights = [fact for fact in facts if isinstance(fact, Run) and fact.shift == "night"]
    second_pass = (clock.midnight(changed_on) + timedelta(hours=2), clock.midnight(changed_on) + timedelta(hours=3))

    assert len(nights) > 20
    assert any(fact.on < clock.day(fact.happened_at) for fact in nights)
    assert [fact.on for fact in nights if second_pass[0] <= fact.happened_at < second_pass[1]] == [
        changed_on - timedelta(days=1)
    ]


def test_a_minor_a_major_and_a_coming_revision_are_there(plant):
    frame = frame_of(plant)
    issued = {code: frame.tasks[code].revisions[-1] for code in ("LC-03", "PK-04", "LC-01")}

    assert [revision.number for revision in issued.values()] == [2, 2, 2]
    assert [revision.change.value for revision in issued.values()] == ["minor", "major", "major"]
    assert issued["LC-03"].effective_on < TODAY < issued["LC-01"].effective_on


def test_a_minor_revision_was_made_a_major_one_and_is_still_to_be_shown(people, plant, noon):
    issue, key = frame_of(plant).tasks["LC-02"].revisions[-1], parsed("LC-02@L1/A1")
    rules = rules_of([people["1005"], people["1027"]])

    to_show = {number: rules[people[number].pk].purpose_at(*key, noon).is_delta for number in ("1005", "1027")}

    assert (issue.change.value, issue.reclassified_at is not None) == ("major", True)
    assert to_show == {"1005": True, "1027": False}


def test_names_come_from_the_file_of_people(people):
    listed = (FIXTURES / "people.csv").read_text(encoding="utf-8")
    kept = Detached.objects.filter(kind="name").values_list("value", flat=True).distinct()

    assert {person.name for person in people.values()} == set(kept)
    assert all(f",{name}," in listed for name in kept)


def test_the_projected_periods_are_those_of_the_rule(people):
    """Where the only entry was struck, or is another's, the rule has no key any more: nothing was started there."""
    rules = rules_of(list(people.values()))
    rows = StandingPeriod.objects.filter(known_to=None).select_related("task")
    projected = Counter((row.person_id, row.task.code, row.scope, period_from(row)) for row in rows)
    keys = {(number, *key) for number, rule in rules.items() for key in sorted(rule.keys())}
    struck = {(people["1025"].pk, "LC-07", Scope("L1")), (people["1048"].pk, "HS-01", Scope())} - keys

    expected = Counter(
        (number, code, str(scope), period)
        for number, code, scope in keys | struck
        for period in rules[number].timeline(code, scope).periods
    )

    assert len(struck) == 2
    assert projected == expected


@pytest.mark.parametrize("before", [470, 330, 160, 23])
@pytest.mark.parametrize("number", ["1005", "1031", "1036", "1043"])
def test_what_was_known_then_is_what_the_rule_says_of_it(people, noon, number, before):
    known = noon - timedelta(days=before, hours=3)
    person = people[number]
    own = known_at(facts_of_people([person.pk])[person.pk], known)
    rule = PersonRule(person.pk, own, known_frame(frame_of(person.plant), known))

    rows = StandingPeriod.objects.filter(known_rows(known), person=person).select_related("task")

    expected = Counter(
        (code, str(scope), period)
        for code, scope in sorted(rule.keys())
        for period in rule.timeline(code, scope).periods
    )

    assert Counter((row.task.code, row.scope, period_from(row)) for row in rows) == expected


def test_the_next_signature_is_projected_as_if_all_had_been(people, noon):
    """The day after loading, somebody signs what waits: the rows are those that a rebuilding makes."""
    person, task_code = people["1042"], "QC-04"
    rule = rules_of([person])[person.pk]
    scope = parsed("QC-04@L2/S1")[1]
    [attempt] = rule.holding(task_code, scope).attempts
    task = person.plant.tasks.select_related("area").get(code=task_code)
    signatory = next(people[each] for each in ("1003", "1004", "1020") if people[each].pk != attempt.assessment.by)

    sign_second(
        assessment=attempt.assessment,
        trainee=person,
        task=task,
        signer=Signer(signatory, "pin"),
        when=When(happened_at=noon, on=TODAY, now=noon),
    )
    once = rows_of(person)
    rebuild_standing(people=[person])

    assert rows_of(person) == once
    assert standing_of(people, noon, "1042", "QC-04@L2/S1").standing is Standing.IN_FORCE


def rows_of(person):
    rows = StandingPeriod.objects.filter(person=person)
    return Counter(
        (row.task_id, row.scope, row.known_from, row.known_to, str(period_values(period_from(row)))) for row in rows
    )


def test_one_has_the_award_one_is_a_task_short_and_others_are_on_the_way(people):
    followed = {number: people[number] for number in ("1005", "1004", "1037", "1043", "1045")}
    results = {progress.person.pk: progress.result for progress in pathways_of(list(followed.values()), on=TODAY)}
    totals = {number: results[person.pk].total for number, person in followed.items()}

    assert results[people["1005"].pk].awarded_on is not None
    assert results[people["1005"].pk].awarded_on < TODAY
    assert results[people["1004"].pk].awarded_on is None
    assert totals["1005"] >= 72 > totals["1004"] >= 60
    assert totals["1004"] > totals["1037"] > totals["1043"] > totals["1045"] == 0


def test_every_unit_that_was_decided_had_its_outcomes_met(people, facts, plant):
    units = {(unit.code, unit.version): unit for _, unit in unit_rules(plant.pk)}
    rules = rules_of(list(people.values()))
    decided = [fact for fact in facts if isinstance(fact, UnitDecision) and not fact.elsewhere]

    unmet = [
        (fact.unit, number)
        for fact in decided
        for number, met in outcomes_met(units[fact.unit, fact.version], rules[fact.person], fact.on).items()
        if not met
    ]

    assert len(decided) > 20
    assert unmet == []


def test_the_roster_covers_every_shift_of_four_weeks(people):
    rows = RosterDay.objects.values_list("on", "shift__name").distinct()
    days = {TODAY + timedelta(days=ahead) for ahead in range(-ROSTERED_DAYS, ROSTERED_DAYS + 1)}

    assert {(day, shift) for day in days for shift in ("day", "late", "night")} == set(rows)


def test_no_young_worker_is_rostered_at_night(people):
    young = [person for person in people.values() if person.restricted_until and person.restricted_until > TODAY]

    assert len(young) == 2
    assert RosterDay.objects.filter(person__in=young).exists()
    assert not RosterDay.objects.filter(person__in=young, shift__name="night").exists()


def test_something_was_asked_for_yesterday_today_and_the_next_days():
    asked = Counter(Assignment.objects.values_list("on", flat=True))
    done = Assignment.objects.filter(state=Assignment.State.DONE, on__gte=TODAY - timedelta(days=DONE_DAYS))

    assert all(asked[TODAY + timedelta(days=ahead)] for ahead in range(-1, 6))
    assert done.exists()
    assert not done.filter(done_seq=None).exists()
    assert Assignment.objects.filter(on__lt=TODAY, state=Assignment.State.PLANNED).exists()
    assert Assignment.objects.values("line", "shift").distinct().count() > 6


def test_most_lines_are_covered_and_some_are_not(plant):
    lines = list(Line.objects.filter(plant=plant, stations__isnull=False).distinct())
    days = [TODAY + timedelta(days=ahead) for ahead in range(8)]
    covers = [
        cover
        for day in days
        for shift in Shift.objects.filter(plant=plant)
        for cover in covers_of(lines=lines, shift=shift, on=day)
    ]

    covered = sum(cover.is_covered for cover in covers)

    assert {line.code for line in lines} == {"L1", "L2", "BR", "CE", "WD"}
    assert len(covers) / 2 < covered < len(covers)


@pytest.mark.parametrize(
    ("username", "kinds"),
    [
        ("thuylan", {AuthorityKind.TRAIN}),
        ("zofia", set()),
        ("niamh", set()),
        ("marius", {AuthorityKind.TRAIN, AuthorityKind.ASSESS}),
        ("adaeze", {AuthorityKind.SIGN_FOOD}),
        ("tomasz", {AuthorityKind.SIGN_SAFETY}),
        ("sorcha", {AuthorityKind.COORDINATE}),
        ("ilinca", {AuthorityKind.SUPERVISE}),
        ("perpetua", {AuthorityKind.AUDIT}),
    ],
)
def test_everybody_of_the_table_signs_in_with_what_they_need(people, noon, username, kinds):
    [sign_in] = [row for row in SIGN_INS if row.username == username]
    person = people[WORKS_NUMBERS[username]]
    held = set(Authority.objects.in_force(TODAY).filter(person=person).values_list("kind", flat=True))
    user = Person.objects.get(pk=person.pk).user

    assert user.username == username
    assert user.check_password(sign_in.password)
    assert kinds <= held if kinds else held == set()
    if sign_in.pin:
        assert prove_pin(person=person, pin=sign_in.pin, now=noon).person == person


def test_public_passwords_are_refused_where_it_is_no_demo(settings, plant):
    settings.DEMO = settings.DEBUG = False

    with pytest.raises(PublicPasswordError):
        make_sign_ins(plant)


def test_seeding_again_does_nothing(plant):
    out, before = StringIO(), LedgerEntry.objects.count()

    call_command("seed", stdout=out)

    assert "nothing was loaded" in out.getvalue()
    assert LedgerEntry.objects.count() == before


def test_the_latest_checks_have_their_sitting_with_every_answer(facts):
    sittings = CheckSitting.objects.prefetch_related("answers")
    checks = LedgerIndex.objects.filter(kind=EntryKind.CHECK)

    assert len(sittings) >= 10
    assert {sitting.entry_seq for sitting in sittings} < set(checks.values_list("pk", flat=True))
    for sitting in sittings:
        verdicts = [answer.verdict for answer in sitting.answers.all()]
        assert len(verdicts) == sitting.problems
        assert verdicts.count("right") == sitting.right
    assert set(PracticeAttempt.objects.values_list("verdict", flat=True)) > {"right"}


def test_practice_of_the_demo_trainee_is_in_every_state(people, noon):
    trainee = people[WORKS_NUMBERS["zofia"]]
    progress = progress_of(trainee)

    assert {each.memory.is_due(noon) for each in progress.values()} == {True, False}
    assert {each.wrong_at is None for each in progress.values()} == {True, False}
    assert len({each.stage for each in progress.values()}) > 1
    assert set(library_of(trainee.plant).current) > set(progress)
    assert next_for(trainee, library_of(trainee.plant), now=noon) is not None


def test_trainees_judged_drawings_well_but_not_all_and_handed_some_in(facts):
    series = InspectionSeries.objects.all()

    assert len(series) >= 3
    assert all(each.finished_at for each in series)
    assert 0 < series.handed_in().count() < len(series)
    for person in {each.person for each in series}:
        counts = [report.counts for report in report_of(person)]
        wrong, seen = (sum(getattr(each, name) for each in counts) for name in ("misses", "seen"))
        assert 0 < wrong < seen / 2


def test_those_on_the_pathway_were_enrolled_through_the_ledger():
    seqs = set(Enrolment.objects.values_list("entry_seq", flat=True))

    assert seqs == set(LedgerIndex.objects.filter(kind=EntryKind.ENROLMENT).values_list("pk", flat=True))
    assert len(seqs) == 6


@pytest.mark.parametrize(
    ("number", "name", "part", "is_high"),
    [
        ("1043", "return temperature", "as_trainee", True),
        ("1039", "fermentation temperature", "as_trainee", False),
        ("1020", "overlap", "as_watcher", True),
    ],
)
def test_some_are_known_to_read_off(people, number, name, part, is_high):
    shown = person_agreement(people[number], since=TODAY - timedelta(days=365), on=TODAY)
    found = next(each for each in getattr(shown, part) if each.quantity.name == name)

    assert found.finding is Finding.READS_OFF
    assert (found.found.bias > 0) is is_high


def test_most_readings_agree(plant):
    found = agreement_overview(plant, since=TODAY - timedelta(days=365), on=TODAY)
    findings = Counter(each.compared.finding for each in found if each.compared.quantity.most is not None)

    assert findings[Finding.AGREES] > findings[Finding.READS_OFF] + findings[Finding.SCATTERS]
    assert all(each.compared.found.pairs for each in found)


def test_problems_take_each_its_own_time_and_some_are_pointed_out(plant):
    items = item_report(plant, since=TODAY - timedelta(days=365), on=TODAY).items

    assert len({item.figures.seconds.middle for item in items}) > len(items) / 2
    assert 0 < sum(bool(item.figures.pointers) for item in items) < len(items)
