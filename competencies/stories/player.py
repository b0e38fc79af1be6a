"""Plays a story's events through the operations that the pages use."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import partial

from django.db.models import Q

from competencies.ledger.writer import Appended, writing
from competencies.models import Authority, Person, Qualification, Task, UnitStandard
from competencies.operations import (
    corrections,
    decisions,
    joining,
    moderation,
    pathways,
    rights,
    runs,
)
from competencies.operations.absences import AbsenceError
from competencies.operations.decisions import OutsideEvidence, Verdict, When
from competencies.operations.recording import UNWRITTEN, OnTask, RefusedError, Signature, append_fact
from competencies.operations.runs import CheckResult, Observed, RunDetails
from competencies.queries.facts import is_mirrored, own_facts, rule_of
from competencies.standing import facts
from competencies.standing.facts import Fact, Scope
from competencies.stories import correcting, office, second_looks
from competencies.stories.ground import (
    STAND_INS,
    Ground,
    add_hold,
    assessed_on,
    change_policy,
    change_terms,
    entitled_person,
    give,
    issue_revision,
    keep_entitled,
    lay_ground,
    reclassify,
    set_stations,
)
from competencies.stories.moments import NOON, local, read_moment
from competencies.stories.story import Story, StoryEvent
from competencies.stories.story_file import read_grants
from competencies.vocabulary import EntryKind, Judgement, Meaning, Outcome, SecondRole

SUPERVISING, ASSESSING, SIGNING, COORDINATING = STAND_INS
MIDNIGHT = time(0)
PART_OF = {
    "run": SUPERVISING,
    "check": SUPERVISING,
    "assessment": ASSESSING,
    "recognition": ASSESSING,
    "second_signature": SIGNING,
    "unit_decision": ASSESSING,
}


# What a story may say in place of a narrower code.
WIDER = {
    "same_person": "own",
    "own_signoff": "own",
    "in_grace": "not_in_force",
    "night": "age",
    "assessed_it": "same_assessor",
    "appeal_to_another": "same_assessor",
    "not_a_signoff": "unknown_entry",
}
# The kinds of entry that an event without `of` can be about; the newest of the person's on the task is meant.
ABOUT: dict[str, type[Fact]] = {
    "run_accepted": facts.Run,
    "second_signature": facts.Assessment,
    "lifting": facts.Suspension,
    "annulment": facts.Assessment,
    "review": facts.Assessment,
    "reverification": facts.Assessment,
    "outcome_seen": facts.Assessment,
    "appeal": facts.Assessment,
}


class MissingEntryError(LookupError):
    """The entry that an event is about was never written."""


@dataclass(frozen=True, slots=True)
class Difference:
    """An event that did not go as the story says."""

    line: int
    message: str


@dataclass(slots=True)
class Play:
    """A story being played: its ground, the entries by event id, and what went otherwise than told.

    `notes` are runs that were refused without the story saying so: they do not count, whichever way.
    """

    story: Story
    ground: Ground
    entries: dict[str, Appended] = field(default_factory=dict)
    differences: list[Difference] = field(default_factory=list)
    notes: list[Difference] = field(default_factory=list)


def play(story: Story) -> Play:
    """Play the whole story, in the order in which things were recorded, and return what there is to ask about."""
    playing = Play(story, lay_ground(story=story))
    for step in _in_order(playing):
        step()
    set_stations(playing.ground, story)
    return playing


def _in_order(playing: Play) -> Iterator[Callable[[], None]]:
    """Yield what is to be done: holds and issues by their moments, and the events in the order of the file."""
    waiting = sorted(_by_moment(playing), key=lambda item: item[0])
    for event in playing.story.events:
        while waiting and waiting[0][0] <= event.recorded_at:
            yield waiting.pop(0)[1]
        yield partial(_play_event, playing, event)
    for _, step in waiting:
        yield step


def _by_moment(playing: Play) -> Iterator[tuple[datetime, Callable[[], None]]]:
    """Yield what happens besides the events, each with its moment; what is not dated is recorded two hours before."""
    story, ground = playing.story, playing.ground

    def morning(day: date) -> datetime:
        return local(day, NOON, ground.zone) - timedelta(hours=2)

    for revision in story.revisions:
        at = revision.recorded_at or morning(revision.approved_on)
        yield at, partial(issue_revision, ground=ground, told=revision, story=story, now=at)
        if again := revision.reclassified_at:
            yield again, partial(reclassify, ground=ground, told=revision, now=again)
    for terms in story.terms:
        at = terms.recorded_at or morning(terms.effective_on)
        yield at, partial(change_terms, ground=ground, told=terms, now=at)
    for policy in story.policies:
        at = policy.recorded_at or morning(policy.effective_on)
        yield at, partial(change_policy, ground=ground, told=policy, now=at)
    for hold in story.holds:
        # What is held when the story begins was recorded before anything else of its day.
        yield morning(assessed_on(ground, hold)) + timedelta(hours=1), partial(add_hold, ground=ground, told=hold)


def _play_event(playing: Play, event: StoryEvent) -> None:
    try:
        appended = _PLAYERS[event.kind](playing, event)
    except RefusedError as error:
        _judge_refusal(playing, event, _codes(error))
        return
    except MissingEntryError:
        _judge_refusal(playing, event, ["unknown_entry"])
        return
    except (rights.RightsError, AbsenceError) as error:
        _judge_refusal(playing, event, [type(error).__name__, str(error)])
        return
    if event.is_refused and not _is_uncounted(playing, event, appended):
        wanted = ", ".join(event.refused) or "any reason"
        playing.differences.append(Difference(event.section.line, f"should have been refused ({wanted}), was taken"))
    if event.id and appended is not None:
        playing.entries[event.id] = appended


def _is_uncounted(playing: Play, event: StoryEvent, appended: Appended | None) -> bool:
    """Whether a run was taken and does not count, for the reasons told: to a story that is a refusal."""
    if event.kind != EntryKind.RUN or appended is None:
        return False
    on_task = _on_task(playing, event)
    end = local(event.on + timedelta(days=1), MIDNIGHT, playing.ground.zone) - timedelta(seconds=1)
    progress = rule_of(on_task.person).progress(on_task.task.code, on_task.scope, end)
    reasons = dict(progress.not_counted).get(appended.seq, ())
    return bool(reasons) and set(event.refused) <= {each.code for each in reasons}


def _codes(error: RefusedError) -> list[str]:
    """Return the codes of a refusal and the wider words that a story may use for them."""
    found = [refusal.code for refusal in error.refusals]
    return found + [WIDER[code] for code in found if code in WIDER]


def _judge_refusal(playing: Play, event: StoryEvent, codes: list[str]) -> None:
    missing = [code for code in event.refused if code not in codes]
    if event.is_refused and not missing:
        return
    if event.kind == EntryKind.RUN and not event.is_refused:
        playing.notes.append(
            Difference(event.section.line, f"the run was refused ({', '.join(codes)}): none to count")
        )
        return
    wanted = f"refused ({', '.join(event.refused)})" if event.is_refused else "taken"
    message = f"{event.kind} should have been {wanted}, was refused ({', '.join(codes)})"
    playing.differences.append(Difference(event.section.line, message))


def _person(playing: Play, event: StoryEvent) -> Person:
    return entitled_person(playing.ground, event.section.text("person", longest=20, required=True))


def _by(playing: Play, event: StoryEvent) -> Person:
    named = event.section.text("by", longest=20)
    return entitled_person(playing.ground, named or PART_OF.get(event.kind, COORDINATING))


def _task(playing: Play, event: StoryEvent) -> Task:
    return Task.objects.select_related("area", "plant").get(
        plant=playing.ground.plant, code=event.section.text("task", longest=20, required=True)
    )


def _scope(playing: Play, event: StoryEvent, task: Task) -> Scope:
    return playing.ground.told_scope(event.section, task)


def _on_task(playing: Play, event: StoryEvent) -> OnTask:
    task = _task(playing, event)
    return OnTask(person=_person(playing, event), task=task, scope=_scope(playing, event, task))


def _when(event: StoryEvent) -> When:
    return When(happened_at=event.happened_at, on=event.on, now=event.recorded_at)


def _entry(playing: Play, event: StoryEvent) -> Fact:
    """Return the earlier entry that an event is about: the one named, or the newest of its kind on the task."""
    everyone = own_facts([person.pk for person in playing.ground.people.values()])
    known = [fact for of_one in everyone.values() for fact in of_one if not is_mirrored(fact)]
    if event.section.has("of"):
        named = playing.entries.get(event.section.text("of", longest=20))
        fitting = [fact for fact in known if named and fact.seq == named.seq]
    else:
        fitting = _of_its_kind(playing, event, known)
    if not fitting:
        raise MissingEntryError
    # Whoever watched or judged has the same entry as work of their own: the one it is about comes first.
    return max(fitting, key=lambda fact: (fact.seq, not isinstance(fact, facts.Performance)))


def _of_its_kind(playing: Play, event: StoryEvent, known: list[Fact]) -> list[Fact]:
    kind = ABOUT.get(event.kind)
    if kind is None or not (event.section.has("person") and event.section.has("task")):
        return []
    about = _on_task(playing, event)
    place = (about.person.pk, about.task.code, about.scope)
    return [fact for fact in known if isinstance(fact, kind) and (fact.person, fact.task, fact.scope) == place]


def _person_of(playing: Play, entry: Fact) -> Person:
    return next(person for person in playing.ground.people.values() if person.pk == entry.person)


def _revision(task: Task, event: StoryEvent) -> int:
    """Return the revision an event names, else the one in force on its day."""
    given = event.section.whole_or_none("revision", low=1, high=999)
    in_force = task.revisions.filter(effective_on__lte=event.on).order_by("-number").first()
    return given or (in_force.number if in_force else 1)


def _coming(task: Task, event: StoryEvent) -> int | None:
    """Return the revision that is approved and not in force on an event's day, if there is one."""
    coming = task.revisions.filter(approved_on__lte=event.on, effective_on__gt=event.on).order_by("-number").first()
    return coming.number if coming else None


def _keep(playing: Play, event: StoryEvent, person: Person, on_task: OnTask) -> None:
    """Keep the watching or assessing person in force, unless the event is there to be refused for them."""
    if person.pk in playing.ground.entitled or not event.is_refused:
        keep_entitled(ground=playing.ground, person=person, task=on_task.task, scope=on_task.scope, on=event.on)


def _play_run(playing: Play, event: StoryEvent) -> Appended:
    section, on_task, watching = event.section, _on_task(playing, event), _by(playing, event)
    _keep(playing, event, watching, on_task)
    confirmed_at = read_moment(section, "confirmed", playing.ground.zone)
    values = section.map_of("range")
    details = RunDetails(
        on=event.on,
        shift=section.text("shift", longest=20) or "day",
        happened_at=event.happened_at,
        revision=_revision(on_task.task, event),
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


def _play_run_accepted(playing: Play, event: StoryEvent) -> Appended:
    run = _entry(playing, event)
    if not isinstance(run, facts.Run):
        raise MissingEntryError
    return runs.accept_late_run(
        run=run,
        trainee=_person_of(playing, run),
        coordinator=playing.ground.signer(_by(playing, event)),
        now=event.recorded_at,
        note="",
    )


def _play_check(playing: Play, event: StoryEvent) -> Appended:
    passed = event.section.flag("passed") if event.section.has("passed") else True
    result = CheckResult(
        calculation=event.section.text("calculation", longest=20, required=True),
        problems=1,
        right=int(passed),
        pass_mark=1,
        sitting_id=1,
    )
    return runs.record_check(
        trainee=_person(playing, event),
        opened_by=playing.ground.signer(_by(playing, event)),
        result=result,
        happened_at=event.happened_at,
        on=event.on,
        now=event.recorded_at,
    )


def _play_assessment(playing: Play, event: StoryEvent) -> Appended:
    section, on_task, assessor = event.section, _on_task(playing, event), _by(playing, event)
    _keep(playing, event, assessor, on_task)
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
        on_task=on_task, assessor=playing.ground.signer(assessor), verdict=verdict, when=_when(event)
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


def _play_second_signature(playing: Play, event: StoryEvent) -> Appended:
    assessment = _entry(playing, event)
    if not isinstance(assessment, facts.Assessment):
        raise MissingEntryError
    task = Task.objects.select_related("area").get(plant=playing.ground.plant, code=assessment.task)
    return decisions.sign_second(
        assessment=assessment,
        trainee=_person_of(playing, assessment),
        task=task,
        signer=playing.ground.signer(_second_signer(playing, event)),
        when=_when(event),
    )


def _second_signer(playing: Play, event: StoryEvent) -> Person:
    """Return who signs; one whom the story does not tell of holds only the roles that it says."""
    told = event.section.texts("roles", longest=20) if event.section.has("roles") else ()
    role = event.section.choice_or_none("role", SecondRole)
    roles = {SecondRole(word) for word in told if word in set(SecondRole)} | ({role} if role else set())
    if not roles:
        return _by(playing, event)
    name = event.section.text("by", longest=20) or f"{SIGNING}, {' and '.join(sorted(roles))}"
    others = [kind for each, kind in decisions.ROLE_OF.items() if each not in roles]
    return entitled_person(playing.ground, name, but=others)


def _play_acknowledgement(playing: Play, event: StoryEvent) -> Appended:
    on_task = _on_task(playing, event)
    return decisions.acknowledge(
        holder=playing.ground.signer(on_task.person),
        task=on_task.task,
        scope=on_task.scope,
        revision=event.section.whole_or_none("revision", low=1, high=999)
        or _coming(on_task.task, event)
        or _revision(on_task.task, event),
        when=_when(event),
    )


def _play_recognition(playing: Play, event: StoryEvent) -> Appended:
    section = event.section
    evidence = OutsideEvidence(
        evidence_on=section.day("evidence_on") or event.on,
        evidence_ends_on=section.day("ends_on"),
        criteria=frozenset(section.wholes("criteria", low=1, high=99)),
        runs_needed=section.whole("runs", low=0, high=99, default=1),
    )
    return decisions.recognise(
        on_task=_on_task(playing, event),
        assessor=playing.ground.signer(_by(playing, event)),
        evidence=evidence,
        when=_when(event),
    )


def _reason(event: StoryEvent) -> str:
    return event.section.text("reason", longest=200) or "told by the story"


def _play_suspension(playing: Play, event: StoryEvent) -> Appended:
    return decisions.suspend(
        on_task=_on_task(playing, event),
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
        reason=_reason(event),
    )


def _play_lifting(playing: Play, event: StoryEvent) -> Appended:
    suspension = _entry(playing, event)
    if not isinstance(suspension, facts.Suspension):
        raise MissingEntryError
    return decisions.lift_suspension(
        suspension=suspension,
        holder=_person_of(playing, suspension),
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
        reason=_reason(event),
    )


def _play_withdrawal(playing: Play, event: StoryEvent) -> Appended:
    return decisions.withdraw(
        on_task=_on_task(playing, event),
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
        reason=_reason(event),
    )


def _play_correction(playing: Play, event: StoryEvent) -> Appended:
    entry = _entry(playing, event)
    change = correcting.change_told(
        event, entry, ground=playing.ground, entries=playing.entries, reason=_reason(event)
    )
    correcting.keep_entitled_for(entry, change, ground=playing.ground, is_refused=event.is_refused)
    return corrections.correct(
        entry=entry,
        person=_person_of(playing, entry),
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
        change=change,
    )


def _play_join(playing: Play, event: StoryEvent) -> Appended:
    return joining.join_people(
        kept=_person_named(playing, event, "into"),
        other=_person_named(playing, event, "person"),
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
        why=joining.Why(reason=_reason(event), is_confirmed=event.section.flag("confirmed")),
    )


def _play_part(playing: Play, event: StoryEvent) -> Appended:
    named = [playing.entries.get(text) for text in event.section.texts("of", longest=20)]
    return joining.part_people(
        record=_person_named(playing, event, "person"),
        other=_person_named(playing, event, "into"),
        entries=[appended.seq for appended in named if appended is not None],
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
        why=joining.Why(reason=_reason(event)),
    )


def _play_rename(playing: Play, event: StoryEvent) -> Appended:
    return joining.rename_person(
        person=_person_named(playing, event, "person"),
        name=event.section.text("name", longest=120, required=True),
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
    )


def _person_named(playing: Play, event: StoryEvent, key: str) -> Person:
    """Return a person as the record has them now: an earlier event may have joined or renamed it."""
    person = entitled_person(playing.ground, event.section.text(key, longest=20, required=True))
    person.refresh_from_db()
    return person


def _play_employment(playing: Play, event: StoryEvent) -> Appended:
    person = _person(playing, event)
    if event.section.has("started_on"):
        # Who starts again has no last day until one is told.
        person.last_day = None
    for name in ("started_on", "last_day", "restricted_until"):
        if event.section.has(name):
            setattr(person, name, event.section.day(name))
    person.save(update_fields=["started_on", "last_day", "restricted_until"])
    return rights.record_employment(
        person=person,
        by=playing.ground.signer(_by(playing, event)),
        happened_at=event.happened_at,
        on=event.on,
        now=event.recorded_at,
    )


def _play_authority(playing: Play, event: StoryEvent) -> None:
    for grant in read_grants(event.section):
        give(playing.ground, _person(playing, event), grant, event.recorded_at)


def _play_authority_ended(playing: Play, event: StoryEvent) -> None:
    rows = Authority.objects.filter(
        person=_person(playing, event), kind=event.section.text("grant", longest=20, required=True)
    )
    if area := event.section.text("area", longest=10):
        rows = rows.filter(area__code=area)
    for authority in rows.select_related("person__plant"):
        rights.end_authority(
            authority=authority,
            last_day=event.section.day("last_day") or event.on,
            by=playing.ground.signer(_by(playing, event)),
            now=event.recorded_at,
        )


@writing()
def _append_plain(*, playing: Play, event: StoryEvent, fact: Fact, person: Person) -> Appended:
    signature = Signature(signer=playing.ground.signer(_by(playing, event)), meaning=Meaning.ADMINISTERED)
    return append_fact(fact=fact, person=person, signature=signature, now=event.recorded_at)


PLAIN = {
    EntryKind.PERFORMANCE: facts.Performance,
    EntryKind.INITIAL_TRAINER: facts.InitialTrainer,
    EntryKind.ABSENCE: facts.Absence,
}


def _play_plain(playing: Play, event: StoryEvent) -> Appended:
    """Enter a fact that the rule judges when it is read, and never refuses."""
    kind, section = PLAIN[EntryKind(event.kind)], event.section
    values: dict[str, object] = {}
    if section.has("of"):
        entry = _entry(playing, event)
        person, values = _person_of(playing, entry), {"task": entry.task, "scope": entry.scope, "of": entry.seq}
    elif section.has("task"):
        on_task = _on_task(playing, event)
        person, values = on_task.person, {"task": on_task.task.code, "scope": on_task.scope}
    else:
        person = _person(playing, event)
    if section.has("back"):
        values["back_on"] = section.day("back")
    if section.has("cause"):
        values["cause"] = section.text("cause", longest=40)
    if section.has("revision"):
        values["revision"] = section.whole("revision", low=1, high=999, default=1)
    fact = kind(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=event.happened_at,
        recorded_at=event.recorded_at,
        on=event.on,
        by=_by(playing, event).pk,
        **values,
    )
    return _append_plain(playing=playing, event=event, fact=fact, person=person)


def _play_about_assessment(playing: Play, event: StoryEvent) -> Appended:
    entry, section = _entry(playing, event), event.section
    if not isinstance(entry, facts.Assessment):
        raise MissingEntryError
    assessed = _person_of(playing, entry)
    by = assessed if event.kind in second_looks.BY_THE_TRAINEE and not section.has("by") else _by(playing, event)
    if event.kind == EntryKind.REVERIFICATION:
        task = Task.objects.select_related("area", "plant").get(plant=playing.ground.plant, code=entry.task)
        _keep(playing, event, by, OnTask(person=assessed, task=task, scope=entry.scope))
    return second_looks.ABOUT_ASSESSMENT[event.kind](event, entry, assessed, playing.ground.signer(by))


def _play_check_owed(playing: Play, event: StoryEvent) -> Appended:
    return second_looks.owe_check(event, _on_task(playing, event), playing.ground.signer(_by(playing, event)))


def _play_attempts_reviewed(playing: Play, event: StoryEvent) -> Appended:
    return second_looks.review_attempts(event, _on_task(playing, event), playing.ground.signer(_by(playing, event)))


def _play_conflict(playing: Play, event: StoryEvent) -> Appended:
    by = playing.ground.signer(_by(playing, event))
    return second_looks.declare_conflict(playing.ground, event, _person(playing, event), by)


def _play_initial_trainer(playing: Play, event: StoryEvent) -> Appended:
    on_task, by = _on_task(playing, event), playing.ground.signer(_by(playing, event))
    return office.name_first_trainer(playing.ground, event, on_task, by, partial(_play_plain, playing, event))


def _play_absence(playing: Play, event: StoryEvent) -> Appended | None:
    by = playing.ground.signer(_by(playing, event))
    return office.record_away(event, _person(playing, event), by, partial(_play_plain, playing, event))


def _play_hold(playing: Play, event: StoryEvent) -> Appended:
    task = _task(playing, event) if event.section.has("task") else None
    return office.set_told_hold(playing.ground, event, task, playing.ground.signer(_by(playing, event)))


def _play_hold_ended(playing: Play, event: StoryEvent) -> None:
    if not office.end_told_hold(playing.ground, event, playing.entries):
        raise MissingEntryError


def _play_unit_decision(playing: Play, event: StoryEvent) -> Appended:
    unit = _unit(playing, event)
    return pathways.decide_unit(
        person=_person(playing, event),
        result=pathways.UnitResult(unit=unit, elsewhere=event.section.flag("elsewhere")),
        assessor=playing.ground.signer(_by(playing, event)),
        when=_when(event),
    )


def _unit(playing: Play, event: StoryEvent) -> UnitStandard:
    """Return the unit version that an event names, else the newest that is open on its day, else the newest."""
    code = event.section.text("unit", longest=20, required=True)
    versions = UnitStandard.objects.filter(plant=playing.ground.plant, code=code).order_by("-version")
    version = event.section.whole_or_none("version", low=1, high=99)
    if version is not None:
        versions = versions.filter(version=version)
    begun = Q(first_date_for_assessment=None) | Q(first_date_for_assessment__lte=event.on)
    going = Q(last_date_for_assessment=None) | Q(last_date_for_assessment__gte=event.on)
    found = versions.filter(begun & going).first() or versions.first()
    if found is None:
        raise MissingEntryError
    return found


def _play_unit_reported(playing: Play, event: StoryEvent) -> Appended:
    decision = _decision(playing, event)
    return moderation.report_unit(
        person=_person_of(playing, decision),
        decision=decision.seq,
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
    )


def _play_moderation(playing: Play, event: StoryEvent) -> Appended:
    section, decision = event.section, _decision(playing, event)
    return moderation.moderate_unit(
        person=_person_of(playing, decision),
        decision=decision.seq,
        opinion=moderation.Opinion(
            agrees=section.flag("agrees"),
            reason=_reason(event),
            moderator=section.text("moderator", longest=80) or "the moderator",
        ),
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
    )


def _decision(playing: Play, event: StoryEvent) -> facts.UnitDecision:
    """Return the decision that an event is about: the one named, or the newest of the person's on the unit."""
    section = event.section
    if section.has("of"):
        named = _entry(playing, event)
        if isinstance(named, facts.UnitDecision):
            return named
        raise MissingEntryError
    code, version = section.text("unit", longest=20), section.whole_or_none("version", low=1, high=99)
    known = rule_of(_person(playing, event)).unit_decisions
    fitting = [fact for fact in known if fact.unit == code and version in {None, fact.version}]
    if not fitting:
        raise MissingEntryError
    return fitting[-1]


def _play_enrolment(playing: Play, event: StoryEvent) -> None:
    code = event.section.text("pathway", longest=20, required=True)
    versions = Qualification.objects.filter(plant=playing.ground.plant, code=code).order_by("-version")
    version = event.section.whole_or_none("version", low=1, high=99)
    found = versions.filter(version=version).first() if version else versions.first()
    if found is None:
        raise MissingEntryError
    pathways.enrol(
        person=_person(playing, event),
        qualification=found,
        by=playing.ground.signer(_by(playing, event)),
        when=_when(event),
    )


_PLAYERS: dict[str, Callable[[Play, StoryEvent], Appended | None]] = {
    "run": _play_run,
    "run_accepted": _play_run_accepted,
    "check": _play_check,
    "assessment": _play_assessment,
    "second_signature": _play_second_signature,
    "acknowledgement": _play_acknowledgement,
    "recognition": _play_recognition,
    "suspension": _play_suspension,
    "lifting": _play_lifting,
    "withdrawal": _play_withdrawal,
    "correction": _play_correction,
    "join": _play_join,
    "part": _play_part,
    "rename": _play_rename,
    "employment": _play_employment,
    "authority": _play_authority,
    "authority_ended": _play_authority_ended,
    "check_owed": _play_check_owed,
    "attempts_reviewed": _play_attempts_reviewed,
    **dict.fromkeys(second_looks.ABOUT_ASSESSMENT, _play_about_assessment),
    "conflict": _play_conflict,
    "unit_decision": _play_unit_decision,
    "unit_reported": _play_unit_reported,
    "moderation": _play_moderation,
    "enrolment": _play_enrolment,
    **{kind.value: _play_plain for kind in PLAIN},
    "absence": _play_absence,
    "hold": _play_hold,
    "hold_ended": _play_hold_ended,
    "initial_trainer": _play_initial_trainer,
}
