"""What holds for every history: checked over random ones.

A history is a list of facts on three tasks of which the last needs the other two, in any order and at any hour.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from competencies.standing.facts import (
    SITE,
    Absence,
    Acknowledgement,
    Annulment,
    Assessment,
    CheckOwed,
    Correction,
    Employment,
    InitialTrainer,
    Lifting,
    Performance,
    Recognition,
    Reverification,
    Review,
    Run,
    RunAccepted,
    SecondSignature,
    Suspension,
    Withdrawal,
)
from competencies.standing.framework import Policy
from competencies.standing.live import known_at, known_frame
from competencies.standing.rule import PersonRule
from competencies.standing.spans import in_force_spans
from competencies.vocabulary import Outcome, SecondRole, YoungWorker
from tests.competencies.standing.plant import ANA, ELI, GUS, ZONE, at, d, frame, revision, task

ISSUES = [
    revision(1, "2024-01-01"),
    revision(2, "2025-04-01", "minor"),
    revision(3, "2025-08-01", approved_on=d("2025-07-01")),
]
PLANT = frame(
    task("S-01", "safety", validity_months=12, runs=2, revisions=ISSUES, young_worker=YoungWorker.TRAINING_ONLY),
    task("F-01", "food", validity_months=6, runs=1, prerequisites=("S-01",)),
    task("T-01", validity_months=12, runs=2, prerequisites=("S-01", "F-01"), revisions=ISSUES),
    policy=Policy(),
)
CODES = tuple(PLANT.tasks)
FIRST = datetime(2025, 1, 1, tzinfo=UTC)
PLAIN = {
    Performance: {},
    Suspension: {"by": GUS},
    Withdrawal: {"by": GUS},
    CheckOwed: {"by": GUS},
    InitialTrainer: {"by": GUS},
    Recognition: {"by": ELI, "evidence_on": d("2024-06-01"), "evidence_ends_on": d("2026-03-01")},
}
POINTING = {
    SecondSignature: {"by": GUS, "roles": frozenset(SecondRole)},
    RunAccepted: {"by": GUS},
    Lifting: {"by": GUS},
    Annulment: {"by": GUS},
    Review: {"by": GUS},
    Reverification: {"by": GUS},
}


@st.composite
def moments(draw):
    return FIRST + timedelta(hours=draw(st.integers(min_value=0, max_value=24 * 700)))


@st.composite
def facts_at(draw, seq, earlier):
    happened_at = draw(moments())
    delay = timedelta(days=draw(st.sampled_from([0, 0, 0, 1, 7, 8, 20])))
    common = {
        "seq": seq,
        "person": ANA,
        "happened_at": happened_at,
        "recorded_at": happened_at + delay,
        "on": happened_at.astimezone(ZONE).date(),
    }
    kinds = [Run, Assessment, Assessment, Acknowledgement, *PLAIN, Employment, Absence, *(POINTING if earlier else ())]
    kind = draw(st.sampled_from(kinds))
    if kind is Employment:
        return kind(**common, restricted_until=draw(st.sampled_from([None, d("2025-09-01")])))
    if kind is Absence:
        return kind(**common, back_on=draw(st.sampled_from([None, common["on"] + timedelta(days=100)])))
    if kind in POINTING:
        target = draw(st.sampled_from(earlier))
        return kind(**common, task=target.task, scope=target.scope, of=target.seq, **POINTING[kind])
    return draw(_facts_on_a_task(kind, common | {"task": draw(st.sampled_from(CODES)), "scope": SITE}))


@st.composite
def _facts_on_a_task(draw, kind, common):
    happened_at = common["happened_at"]
    if kind in PLAIN:
        return kind(**common, **PLAIN[kind])
    number = draw(st.sampled_from([1, 2, 3]))
    if kind is Acknowledgement:
        return kind(**common, revision=number, by=ANA)
    if kind is Run:
        confirmed = happened_at + timedelta(hours=draw(st.sampled_from([1, 72, 100])))
        return kind(**common, by=ELI, shift="day", revision=number, confirmed_at=confirmed)
    outcome = draw(st.sampled_from([Outcome.COMPETENT, Outcome.COMPETENT, Outcome.NOT_YET_COMPETENT]))
    return kind(**common, by=ELI, revision=number, outcome=outcome, delta=draw(st.booleans()))


@st.composite
def histories(draw, most=25):
    made = []
    for seq in range(1, draw(st.integers(min_value=0, max_value=most)) + 1):
        made.append(draw(facts_at(seq, made)))
    return made


def timelines(facts, plant=PLANT):
    rule = PersonRule(ANA, facts, plant)
    return {code: rule.timeline(code, SITE) for code in CODES}


@given(histories())
@settings(deadline=None)
def test_periods_cover_all_time_without_gap_or_overlap(facts):
    for timeline in timelines(facts).values():
        periods = timeline.periods

        assert periods[0].start is None
        assert periods[-1].end is None
        for before, after in pairwise(periods):
            assert before.end == after.start
            assert before.start is None or before.start < before.end
            assert replace(after, start=before.start, end=before.end) != before


@given(histories())
@settings(deadline=None)
def test_a_period_says_why_and_how_to_come_back(facts):
    for timeline in timelines(facts).values():
        for period in timeline.periods:
            assert period.counts or period.reasons
            assert not period.counts or period.standing.is_in_force
            assert not period.counts or not period.way_back
            if period.gained_at is not None:
                assert period.standing.is_in_force
                assert period.start is not None
                assert period.start <= period.gained_at


@given(histories(), st.randoms())
@settings(deadline=None)
def test_the_order_of_facts_does_not_matter(facts, random):
    shuffled = list(facts)
    random.shuffle(shuffled)

    assert timelines(shuffled) == timelines(facts)


@given(histories())
@settings(deadline=None)
def test_what_is_known_at_the_end_is_everything(facts):
    late = at("2040-01-01")

    assert timelines(known_at(facts, late), known_frame(PLANT, late)) == timelines(facts)


@given(histories(), st.data())
@settings(deadline=None)
def test_correcting_an_entry_is_as_if_it_had_never_been(facts, data):
    if not facts:
        return
    wrong = data.draw(st.sampled_from(facts))
    undo = Correction(
        seq=len(facts) + 1,
        person=ANA,
        happened_at=at("2027-01-01"),
        recorded_at=at("2027-01-01"),
        on=d("2027-01-01"),
        of=wrong.seq,
    )

    assert timelines([*facts, undo]) == timelines([fact for fact in facts if fact.seq != wrong.seq])


@given(histories(), moments())
@settings(deadline=None)
def test_what_happens_later_does_not_change_earlier_answers(facts, moment):
    """Save by the rules for it: an annulment reaches back, an employment entry holds for all time."""
    backwards = (Annulment, Employment)
    day = moment.astimezone(ZONE).replace(hour=0, minute=0, second=0, microsecond=0)
    earlier = [fact for fact in facts if fact.happened_at < day or isinstance(fact, backwards)]
    earlier_seqs = {fact.seq for fact in earlier}
    all_of_them, first_part = timelines(facts), timelines(earlier)
    last_moment = day - timedelta(microseconds=1)

    for code in CODES:
        now, then = all_of_them[code].at(last_moment), first_part[code].at(last_moment)

        assert (now.standing, now.counts, now.reasons, now.last_valid_on, now.way_back) == (
            then.standing,
            then.counts,
            then.reasons,
            then.last_valid_on,
            then.way_back,
        )
        assert set(now.rests_on) <= earlier_seqs


@given(histories())
@settings(deadline=None)
def test_a_task_is_never_in_force_while_a_prerequisite_is_out(facts):
    lines = timelines(facts)
    spans = {code: in_force_spans(line) for code, line in lines.items()}
    edges = sorted({span.start for each in spans.values() for span in each})

    for moment in edges:
        held = {code for code, line in lines.items() if line.at(moment).standing.is_in_force}
        first = min((period.start for period in lines["T-01"].periods if period.start), default=None)
        if "T-01" in held and first is not None and not _is_initial(lines["T-01"].at(moment)):
            assert {"S-01", "F-01"} <= held


def _is_initial(period):
    return any(reason.code == "initial_trainer" for reason in period.reasons)


@given(histories(), moments())
@settings(deadline=None, max_examples=50)
def test_progress_sorts_every_run_made_by_then(facts, moment):
    rule = PersonRule(ANA, facts, PLANT)
    for code in CODES:
        progress = rule.progress(code, SITE, moment)
        made = {
            fact.seq
            for fact in facts
            if isinstance(fact, Run) and fact.task == code and fact.on <= moment.astimezone(ZONE).date()
        }

        assert {*progress.counted, *(seq for seq, _ in progress.not_counted)} == made
        assert all(reasons for _, reasons in progress.not_counted)
        assert progress.ready is not bool(progress.reasons)


@pytest.mark.parametrize("code", CODES)
def test_somebody_without_entries_has_not_started_for_ever(code):
    (period,) = timelines([])[code].periods

    assert (period.standing, period.counts) == ("not_started", False)
