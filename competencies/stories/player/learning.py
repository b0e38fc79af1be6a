"""Plays how a task is learned: runs, checks, assessments, signatures, revisions read, evidence from elsewhere."""

from competencies.ledger.writer import Appended
from competencies.models import Person, Task
from competencies.operations import decisions, runs
from competencies.operations.decisions import OutsideEvidence, Verdict
from competencies.operations.runs import CheckResult, Observed, RunDetails
from competencies.queries.facts import rule_of
from competencies.standing import facts
from competencies.stories.ground import entitled_person
from competencies.stories.moments import read_moment
from competencies.stories.player.playing import MissingEntryError, Play
from competencies.stories.player.told import (
    SIGNING,
    coming_revision,
    done_by,
    entry_told,
    keep_in_force,
    on_task_told,
    person_of,
    person_told,
    revision_told,
    when_told,
)
from competencies.stories.story import StoryEvent
from competencies.vocabulary import Judgement, Outcome, SecondRole


def play_run(playing: Play, event: StoryEvent) -> Appended:
    """Record a supervised run."""
    section, on_task, watching = event.section, on_task_told(playing, event), done_by(playing, event)
    keep_in_force(playing, event, watching, on_task)
    confirmed_at = read_moment(section, "confirmed", playing.ground.zone)
    values = section.map_of("range")
    details = RunDetails(
        on=event.on,
        shift=section.text("shift", longest=20) or "day",
        happened_at=event.happened_at,
        revision=revision_told(on_task.task, event),
        range_values={name: values.text(name, longest=40) for name in values.nodes} if values else {},
        simulated=section.flag("simulated"),
        stopped=section.flag("stopped"),
    )
    return runs.record_run(
        on_task=on_task,
        supervisor=playing.ground.signer(watching),
        details=details,
        observed=Observed(),
        now=confirmed_at or event.recorded_at,
    )


def play_run_accepted(playing: Play, event: StoryEvent) -> Appended:
    """Accept a run that was confirmed late."""
    run = entry_told(playing, event)
    if not isinstance(run, facts.Run):
        raise MissingEntryError
    return runs.accept_late_run(
        run=run,
        trainee=person_of(playing, run),
        coordinator=playing.ground.signer(done_by(playing, event)),
        now=event.recorded_at,
        note="",
    )


def play_check(playing: Play, event: StoryEvent) -> Appended:
    """Record a calculation check."""
    passed = event.section.flag("passed") if event.section.has("passed") else True
    result = CheckResult(
        calculation=event.section.text("calculation", longest=20, required=True),
        problems=1,
        right=int(passed),
        pass_mark=1,
        sitting_id=1,
    )
    return runs.record_check(
        trainee=person_told(playing, event),
        opened_by=playing.ground.signer(done_by(playing, event)),
        result=result,
        happened_at=event.happened_at,
        on=event.on,
        now=event.recorded_at,
    )


def play_assessment(playing: Play, event: StoryEvent) -> Appended:
    """Record an assessment, of what is asked that day unless the event says otherwise."""
    section, on_task, assessor = event.section, on_task_told(playing, event), done_by(playing, event)
    keep_in_force(playing, event, assessor, on_task)
    outcome = _outcome(event)
    purpose = rule_of(on_task.person).purpose_at(
        on_task.task.code,
        on_task.scope,
        event.happened_at,
        revision=section.whole_or_none("revision", low=1, high=999),
        is_delta=section.flag("delta") if section.has("delta") else None,
    )
    verdict = Verdict(
        outcome=outcome,
        revision=purpose.revision,
        observed=Observed(judged=_judged(event, purpose.criteria, outcome)),
        delta=section.flag("delta") if section.has("delta") else purpose.is_delta,
    )
    return decisions.assess(
        on_task=on_task, assessor=playing.ground.signer(assessor), verdict=verdict, when=when_told(event)
    )


def _outcome(event: StoryEvent) -> Outcome:
    """Return the outcome; spaces or dashes serve for the underscores of its word."""
    word = event.section.text("outcome", longest=40).lower().replace(" ", "_").replace("-", "_")
    if word in set(Outcome):
        return Outcome(word)
    return event.section.choice("outcome", Outcome, Outcome.COMPETENT)


def _judged(event: StoryEvent, asked: tuple[int, ...], outcome: Outcome) -> dict[int, Judgement]:
    """Return the judgements: all that is asked is met unless told; a list that tells of what was met is the whole."""
    given = event.section.map_of("judged")
    judged = dict.fromkeys(asked, Judgement.MET)
    if given is None:
        if outcome is Outcome.NOT_YET_COMPETENT:
            judged[min(judged, default=1)] = Judgement.NOT_MET
        return judged
    told = {int(key): given.choice(key, Judgement, Judgement.MET) for key in given.nodes if key.isdigit()}
    return told if Judgement.MET in told.values() else judged | told


def play_second_signature(playing: Play, event: StoryEvent) -> Appended:
    """Sign an assessment as the second person."""
    assessment = entry_told(playing, event)
    if not isinstance(assessment, facts.Assessment):
        raise MissingEntryError
    task = Task.objects.select_related("area").get(plant=playing.ground.plant, code=assessment.task)
    return decisions.sign_second(
        assessment=assessment,
        trainee=person_of(playing, assessment),
        task=task,
        signer=playing.ground.signer(_second_signer(playing, event)),
        when=when_told(event),
    )


def _second_signer(playing: Play, event: StoryEvent) -> Person:
    """Return who signs; one whom the story does not tell of holds only the roles that it says."""
    told = event.section.texts("roles", longest=20) if event.section.has("roles") else ()
    role = event.section.choice_or_none("role", SecondRole)
    roles = {SecondRole(word) for word in told if word in set(SecondRole)} | ({role} if role else set())
    if not roles:
        return done_by(playing, event)
    name = event.section.text("by", longest=20) or f"{SIGNING}, {' and '.join(sorted(roles))}"
    others = [kind for each, kind in decisions.ROLE_OF.items() if each not in roles]
    return entitled_person(playing.ground, name, but=others)


def play_acknowledgement(playing: Play, event: StoryEvent) -> Appended:
    """Acknowledge a revision: the one named, else one that is coming, else the one in force."""
    on_task = on_task_told(playing, event)
    return decisions.acknowledge(
        holder=playing.ground.signer(on_task.person),
        task=on_task.task,
        scope=on_task.scope,
        revision=event.section.whole_or_none("revision", low=1, high=999)
        or coming_revision(on_task.task, event)
        or revision_told(on_task.task, event),
        when=when_told(event),
    )


def play_recognition(playing: Play, event: StoryEvent) -> Appended:
    """Recognise evidence from elsewhere."""
    section = event.section
    evidence = OutsideEvidence(
        evidence_on=section.day("evidence_on") or event.on,
        evidence_ends_on=section.day("ends_on"),
        criteria=frozenset(section.wholes("criteria", low=1, high=99)),
        runs_needed=section.whole("runs", low=0, high=99, default=1),
    )
    return decisions.recognise(
        on_task=on_task_told(playing, event),
        assessor=playing.ground.signer(done_by(playing, event)),
        evidence=evidence,
        when=when_told(event),
    )
