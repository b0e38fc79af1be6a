"""The projected periods, the periods made again from the ledger, and the pure rule say the same."""

from contextlib import suppress
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from competencies.ledger.writer import writing
from competencies.models import Absence, LegalHold, Person, StandingPeriod, TaskRevision
from competencies.operations.absences import AbsenceError, Away, change_return, record_absence
from competencies.operations.annulments import Ruling, annul
from competencies.operations.decisions import When
from competencies.operations.holds import HoldCover, end_hold, set_hold
from competencies.operations.projection import COMPARED, rebuild_standing
from competencies.operations.reclassifying import reclassify_revision
from competencies.operations.recording import UNWRITTEN, RefusedError, Signature, append_fact
from competencies.operations.terms import change_terms as decide_terms
from competencies.queries.facts import facts_of_people
from competencies.queries.frame import frame_of
from competencies.queries.standing import standings_at
from competencies.standing import facts
from competencies.standing.facts import Scope
from competencies.standing.live import known_at, known_frame
from competencies.standing.rule import PersonRule
from competencies.stories.ground import STAND_INS, change_policy, change_terms, issue_revision, lay_ground
from competencies.stories.story_file import read_story
from competencies.vocabulary import AnnulmentCause, ConflictCause, Judgement, Meaning, Outcome, SecondRole

PLANT = """
story: a small plant for random histories
tasks:
  - {code: A1, runs: 1, validity_months: 12, critical: food}
  - {code: B1, runs: 2, distinct_shifts: 2, validity_months: 6, requires: [A1], calculations: [C01]}
  - {code: C1, validity_months: 12, scope: machine, critical: safety, requires: [A1], young_worker: training_only}
  - {code: D1, runs: 1, validity_months: 24, scope: line, requires: ["C1@L1/F1", B1], refreshes: [A1]}
revisions:
  - {task: A1, number: 2, approved: 2025-03-03, effective: 2025-03-17, class: minor, touches: [1]}
  - {task: C1, number: 2, approved: 2025-05-05, effective: 2025-05-19, class: major, touches: [2]}
terms:
  - {task: B1, effective: 2025-06-02, recorded: 2025-05-12T10:00, runs: 1, requires: [A1, C1], refreshes: [A1]}
policies:
  - {effective: 2025-07-01, recorded: 2025-06-02T10:00, grace_days: 5, recency_days: {other: 60, critical: 40}}
people: [{id: ana, restricted_until: 2025-04-01}, {id: ben}, {id: hana, coordinates: yes}]
"""
WATCHED = 6
FIRST = datetime(2025, 1, 6, 12, tzinfo=UTC)
SCOPES = {"A1": [""], "B1": [""], "C1": ["L1/F1", "L1/F2"], "D1": ["L1"]}
KINDS = (
    *("run", "run", "run_late", "run_drill", "run_stopped", "check_passed", "check_failed"),
    *("competent", "competent", "not_yet", "delta", "sign_food", "sign_safety", "acknowledge"),
    *("suspend", "lift", "withdraw", "correct", "performance", "check_owed", "annul", "review", "reverify"),
    *("recognise", "employ_bar", "employ_leave", "employ_stay", "absence", "initial_trainer", "accept", "unit"),
    *("join", "part", "replace", "annul_with_reviews", "appeal", "seen", "conflict", "attempts_reviewed"),
    *("unit_reported", "moderator_agrees", "moderator_disagrees"),
    *("terms_decided", "reclassify", "away", "return_moved", "hold", "hold_ended"),
)
HAPPENING = st.tuples(
    st.sampled_from(KINDS),
    st.sampled_from(sorted(SCOPES)),
    st.integers(0, 1),
    st.integers(0, 25),
    st.integers(0, 9),
    st.sampled_from(["ana", "ben"]),
)
MOMENT = st.integers(0, 900).map(lambda days: FIRST + timedelta(days=days, hours=7))


@pytest.mark.django_db
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(st.lists(HAPPENING, min_size=1, max_size=30), st.lists(st.tuples(MOMENT, MOMENT), min_size=3, max_size=6))
def test_random_histories_read_the_same_three_ways(happenings, questions):
    with transaction.atomic():
        ground = play(happenings)
        people = [ground.people["ana"], ground.people["ben"]]

        projected = rows(people)
        for moment, known in questions:
            for person in people:
                assert_projection_is_rule(person, moment, known)
        rebuild_standing(people=people)

        assert rows(people) == projected
        transaction.set_rollback(True)


def assert_projection_is_rule(person, moment, known):
    own = known_at(facts_of_people([person.pk])[person.pk], known)
    rule = PersonRule(person.pk, own, known_frame(frame_of(person.plant), known))
    held = standings_at(people=[person.pk], moment=moment, known=known)
    shown = {(item.task_code, item.scope): item.period for item in held}
    for key in set(rule.keys()) | set(shown):
        expected = rule.timeline(*key).at(moment)
        found = shown.get(key)
        assert found is not None, f"{key} is known by then and has no row"
        assert (found.standing, found.counts, found.reasons) == (expected.standing, expected.counts, expected.reasons)
        assert (found.start, found.end, found.way_back) == (expected.start, expected.end, expected.way_back)
        assert found.rests_on == expected.rests_on


def rows(people):
    names = ("person_id", "task_id", "scope", "known_from", "known_to", *COMPARED)
    found = StandingPeriod.objects.filter(person__in=people).values_list(*names)
    return sorted(tuple(repr(value) for value in row) for row in found)


def play(happenings):
    """Write a random history straight into the ledger: wilder than the forms would let it be."""
    story = read_story(PLANT, "plant")
    ground = lay_ground(story=story)
    now, written, waiting = FIRST, [], issues_in_order(story)
    for kind, task, place, days, late, name in happenings:
        now += timedelta(days=days, minutes=1)
        while waiting and waiting[0][0] <= now:
            _moment, issue, told, more = waiting.pop(0)
            issue(ground=ground, told=told, now=now, **more)
        happened_at = max(FIRST, now - timedelta(days=late))
        common = {
            "seq": UNWRITTEN,
            "person": ground.people[name].pk,
            "happened_at": happened_at,
            "recorded_at": now,
            "on": happened_at.date(),
            "task": task,
            "scope": Scope.parse(SCOPES[task][place % len(SCOPES[task])]),
            # What is written down later was sometimes watched by the other of the two.
            "by": ground.people["ben" if name == "ana" else "ana"].pk if late > WATCHED else ground.founder.person.pk,
        }
        if kind in LINKING:
            others = {person.pk: person for person in ground.people.values() if person.name in {"ana", "ben"}}
            written += LINKING[kind](ground, common, written, others)
            continue
        fact = MAKERS[kind](common, [each for each in written if each.person == common["person"]])
        if fact is not None:
            written.append(write(ground, fact, ground.people[name], now))
    return ground


def issues_in_order(story):
    """Return what changes in the plant while the history goes on: (moment, operation, what is told, more)."""
    noon = FIRST.time()
    found = [
        (datetime.combine(each.approved_on, noon, UTC), issue_revision, each, {"story": story})
        for each in story.revisions
    ]
    found += [(each.recorded_at, change_terms, each, {}) for each in story.terms]
    found += [(each.recorded_at, change_policy, each, {}) for each in story.policies]
    return sorted(found, key=lambda issue: issue[0])


@writing()
def write(ground, fact: facts.Fact, person: Person, now):
    signature = Signature(signer=ground.founder, meaning=Meaning.ADMINISTERED)
    appended = append_fact(fact=fact, person=person, signature=signature, now=now)
    values = {name: getattr(fact, name) for name in fact.__dataclass_fields__}
    return type(fact)(**{**values, "seq": appended.seq})


def join(ground, common, _written, people):
    """Say that both are one person."""
    other = next(number for number in people if number != common["person"])
    fact = facts.PeopleJoined(**{**common, "task": "", "scope": Scope()}, other=other)
    return [write(ground, fact, people[common["person"]], common["recorded_at"])]


def part(ground, common, written, people):
    """Say that the last three entries of either are the other's."""
    other = next(number for number in people if number != common["person"])
    entries = frozenset(entry.seq for entry in written[-3:])
    fact = facts.PeopleParted(**{**common, "task": "", "scope": Scope()}, other=other, entries=entries)
    return [write(ground, fact, people[common["person"]], common["recorded_at"])]


def terms_decided(ground, common, _written, _people):
    """Let other terms of the task reach the sign-offs already given, some days on."""
    now, task = common["recorded_at"], ground.tasks[common["task"]]
    day, on = common["on"].day, now.date()
    before = frame_of(ground.plant).tasks[task.code].terms[-1]
    terms = replace(
        before,
        effective_on=on,
        recorded_at=now,
        validity_months=(1, 3, 18, None)[day % 4],
        applies_to_held_on=on + timedelta(days=20 * (day % 3)) if day % 5 else None,
    )
    with suppress(RefusedError):
        decide_terms(task=task, terms=terms, calculations=(), by=ground.signer(ground.people["hana"]), now=now)
    return []


def reclassify(ground, common, _written, _people):
    """Make the minor revision a major one, if it has been issued."""
    revision = TaskRevision.objects.filter(task=ground.tasks["A1"], number=2).select_related("task__plant").first()
    by, second = ground.signer(ground.people["hana"]), ground.signer(ground.people[STAND_INS[1]])
    if revision is not None:
        with suppress(RefusedError):
            reclassify_revision(revision=revision, by=by, second=second, now=common["recorded_at"])
    return []


def away(ground, common, _written, people):
    """Enter an absence, long or short, to come or gone by."""
    first, days = common["on"], (40, 89, 90, 200)[common["on"].day % 4]
    plan = Away(from_on=first, until_on=first + timedelta(days=days - 1))
    person = people[common["person"]]
    with suppress(AbsenceError):
        record_absence(person=person, away=plan, by=ground.founder, now=common["recorded_at"])
    return []


def return_moved(ground, common, _written, people):
    """Move the return of the newest absence."""
    absence = Absence.objects.filter(person=people[common["person"]]).order_by("-from_on").first()
    if absence is not None:
        until_on = absence.from_on + timedelta(days=(10, 100)[common["on"].day % 2])
        with suppress(AbsenceError):
            change_return(absence=absence, until_on=until_on, by=ground.founder, now=common["recorded_at"])
    return []


def hold(ground, common, _written, people):
    """Set a legal hold: it changes nobody's standing."""
    cover = HoldCover(incident="I-1", people=[people[common["person"]]])
    by = ground.signer(ground.people["hana"])
    set_hold(plant=ground.plant, cover=cover, by=by, now=common["recorded_at"])
    return []


def hold_ended(ground, common, _written, _people):
    """End the newest hold."""
    newest = LegalHold.objects.filter(plant=ground.plant, ended_at=None).order_by("-pk").first()
    if newest is not None:
        by = ground.signer(ground.people[STAND_INS[3]])
        end_hold(hold=newest, by=by, now=common["recorded_at"])
    return []


def annul_with_reviews(ground, common, written, people):
    """Annul the last sign-off of the person as the coordinator would, with the reviews of what it puts in doubt."""
    own = [each for each in written if isinstance(each, facts.Assessment) and each.person == common["person"]]
    if not own:
        return []
    when = When(happened_at=common["recorded_at"], on=common["recorded_at"].date(), now=common["recorded_at"])
    ruling = Ruling(cause=AnnulmentCause.NOT_ENTITLED, reason="told by chance")
    by = ground.signer(ground.people["hana"])
    # Whoever a random history has annulled already, or never signed off, is refused.
    with suppress(RefusedError):
        annul(signoff=own[-1], holder=people[common["person"]], ruling=ruling, by=by, when=when)
    return []


@writing()
def replace_last(ground, common, written, people):
    """Correct the last run or assessment of the other person: it was this one's, on this day."""
    kinds = facts.Run | facts.Assessment
    source = next((each for each in reversed(written) if isinstance(each, kinds)), None)
    if source is None:
        return []
    now = common["recorded_at"]
    right = replace(
        source,
        seq=UNWRITTEN,
        person=common["person"],
        recorded_at=now,
        happened_at=min(common["happened_at"], source.written_at),
        on=min(common["on"], source.written_at.date()),
        stands_for=source.seq,
        first_seq=source.place,
        first_recorded_at=source.written_at,
    )
    right = write(ground, right, people[right.person], now)
    keeping = {**common, "person": source.person, "task": source.task, "scope": source.scope}
    correction = facts.Correction(**keeping, of=source.seq, instead=right.seq, other=source.by)
    return [right, write(ground, correction, people[source.person], now)]


LINKING = {
    "join": join,
    "part": part,
    "replace": replace_last,
    "annul_with_reviews": annul_with_reviews,
    "terms_decided": terms_decided,
    "reclassify": reclassify,
    "away": away,
    "return_moved": return_moved,
    "hold": hold,
    "hold_ended": hold_ended,
}


def run(common, _written, **more):
    given_values = {"shift": "day", "revision": 1, "confirmed_at": common["recorded_at"], **more}
    return facts.Run(**common, **given_values)


def assess(common, _written, outcome=Outcome.COMPETENT, **more):
    judged = Judgement.MET if outcome is Outcome.COMPETENT else Judgement.NOT_MET
    return facts.Assessment(**common, revision=more.pop("revision", 1), outcome=outcome, judged={1: judged}, **more)


def about_last(kind, wanted, **more):
    """Return a maker of a fact about the last entry of a kind; it keeps that entry's task and scope."""

    def make(common, written):
        target = next((entry for entry in reversed(written) if isinstance(entry, wanted)), None)
        if target is None:
            return None
        return kind(**{**common, "task": target.task, "scope": target.scope}, of=target.seq, **more)

    return make


def without_task(kind, **more):
    return lambda common, _written: kind(**{**common, "task": "", "scope": Scope()}, **more)


MAKERS = {
    "run": run,
    "run_late": lambda common, written: (
        run(common, written, confirmed_at=common["happened_at"] + timedelta(days=5), shift="night")
        if common["happened_at"] + timedelta(days=5) <= common["recorded_at"]
        else None
    ),
    "run_drill": lambda common, written: run(common, written, simulated=True),
    "run_stopped": lambda common, written: run(common, written, stopped=True),
    "check_passed": without_task(facts.Check, calculation="C01", passed=True),
    "check_failed": without_task(facts.Check, calculation="C01", passed=False),
    "competent": assess,
    "not_yet": lambda common, written: assess(common, written, outcome=Outcome.NOT_YET_COMPETENT),
    "delta": lambda common, written: assess(common, written, revision=2, delta=True),
    "sign_food": about_last(facts.SecondSignature, facts.Assessment, roles=frozenset({SecondRole.FOOD})),
    "sign_safety": about_last(facts.SecondSignature, facts.Assessment, roles=frozenset({SecondRole.SAFETY})),
    "acknowledge": lambda common, _written: facts.Acknowledgement(**common, revision=2),
    "suspend": lambda common, _written: facts.Suspension(**common),
    "lift": about_last(facts.Lifting, facts.Suspension),
    "withdraw": lambda common, _written: facts.Withdrawal(**common),
    "correct": about_last(facts.Correction, facts.Fact),
    "performance": lambda common, _written: facts.Performance(**common),
    "check_owed": lambda common, _written: facts.CheckOwed(**common, cause="near_miss"),
    "annul": about_last(facts.Annulment, facts.Assessment),
    "review": about_last(facts.Review, facts.Assessment),
    "reverify": about_last(facts.Reverification, facts.Assessment),
    "recognise": lambda common, _written: facts.Recognition(**common, evidence_on=date(2024, 12, 1)),
    "employ_bar": without_task(facts.Employment, started_on=date(2025, 1, 1), restricted_until=date(2025, 9, 1)),
    "employ_leave": without_task(facts.Employment, started_on=date(2025, 1, 1), last_day=date(2025, 8, 29)),
    "employ_stay": without_task(facts.Employment, started_on=date(2025, 1, 1)),
    "absence": lambda common, _written: facts.Absence(
        **{**common, "task": "", "scope": Scope()}, back_on=common["recorded_at"].date()
    ),
    "initial_trainer": lambda common, _written: facts.InitialTrainer(**common),
    "accept": about_last(facts.RunAccepted, facts.Run),
    "appeal": about_last(facts.Appeal, facts.Assessment),
    "seen": about_last(facts.OutcomeSeen, facts.Assessment),
    "conflict": lambda common, _written: facts.Conflict(
        **{**common, "task": "", "scope": Scope()},
        other=common["by"],
        cause=ConflictCause.FAMILY,
        valid_from=common["on"],
    ),
    "attempts_reviewed": lambda common, _written: facts.AttemptsReviewed(**common),
    "unit": without_task(facts.UnitDecision, unit="U1", version=1),
    "unit_reported": about_last(facts.UnitReported, facts.UnitDecision),
    "moderator_agrees": about_last(facts.Moderation, facts.UnitDecision, agrees=True),
    "moderator_disagrees": about_last(facts.Moderation, facts.UnitDecision, agrees=False),
}
