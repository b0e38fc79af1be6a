"""Who stands behind a sign-off: each signature with what entitled its signer on that day, as known then and now (R13).

One level up stands the signer's own sign-off; its chain is a page of its own, and so on up.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from competencies.models import LedgerIndex, Person, Plant, Task
from competencies.queries.assessments import AssessmentRecord, assessment_record
from competencies.queries.facts import facts_of_people, own_facts
from competencies.queries.frame import frame_of
from competencies.queries.grants import Granted, granted_by, grants_told
from competencies.queries.signatures import Signature, signatures
from competencies.queries.standing import standings_at
from competencies.standing.belonging import belonging
from competencies.standing.calendar import INSTANT, clock_of, days_after
from competencies.standing.entitlement import Refusal, has_authority, not_entitled, refusal
from competencies.standing.facts import (
    Annulment,
    Assessment,
    Fact,
    Reverification,
    Review,
    Run,
    Scope,
    SecondSignature,
)
from competencies.standing.framework import Frame
from competencies.standing.live import corrected, known_at, known_frame
from competencies.standing.refusals import ROLE_AUTHORITY
from competencies.standing.revisions import initial_trainer_spans
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Period
from competencies.vocabulary import AuthorityKind, EntryKind

DOUBTS = Annulment | Review | Reverification


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSignOff:
    """The sign-off by which a signer held the task: its assessment, the day, who signed it, and whether it held.

    `named_by` is the entry that named an initial trainer, who holds no sign-off yet (R4.10).
    """

    seq: int | None
    on: date | None
    signature: Signature | None
    held: bool
    named_by: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """What is to be said of a signer on the day of signing, with one knowledge; no faults means entitled.

    `period` is their own standing on the task and place (None where it is not asked of their part), `grants` the
    authorities that served their part in the area that day.
    """

    faults: Sequence[Refusal]
    period: Period | None
    grants: Sequence[Granted]
    own: OwnSignOff | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One signature of the chain, with what could be said of its signer when it was written, and what is said now."""

    fact: Fact
    signature: Signature
    person: Person | None
    struck_by: int | None
    then: Word
    now: Word

    @property
    def differs(self) -> bool:
        """Whether the two answers differ in what decides."""
        return _decides(self.then) != _decides(self.now)


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOffChain:
    """A sign-off with everybody behind it.

    `watched` of `runs` were confirmed by the assessor; `share` is the most of them (None: no most). `is_named`: the
    entry names its runs; otherwise they are those that counted when it was written. `since` are the annulments,
    reviews and second looks that point at it.
    """

    record: AssessmentRecord
    assessor: Link
    seconds: Sequence[Link]
    runs: Sequence[Link]
    is_named: bool
    since: Sequence[Fact]
    watched: int
    share: Fraction | None

    @property
    def watched_too_many(self) -> bool:
        """Whether the assessor confirmed more of the runs than the settings of that day allow (R2.2)."""
        return self.share is not None and self.watched > self.share * len(self.runs)


def _decides(word: Word) -> tuple[object, ...]:
    standing = word.period.standing.is_in_force if word.period else None
    return tuple(word.faults), standing, word.own.seq if word.own else None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldBy:
    """A task somebody holds or held, and the assessment its standing rests on now."""

    task_code: str
    scope: Scope
    period: Period
    seq: int


def sign_offs_of(person: Person, *, moment: datetime) -> list[HeldBy]:
    """Return what a person's standings rest on at a moment, where they rest on an assessment. Two queries."""
    held = standings_at(people=[person.pk], moment=moment)
    named = {seq for each in held for seq in each.period.rests_on}
    judged = LedgerIndex.objects.filter(pk__in=named, kind=EntryKind.ASSESSMENT).values_list("pk", flat=True)
    assessments = set(judged)
    return [
        HeldBy(task_code=each.task_code, scope=each.scope, period=each.period, seq=max(found))
        for each in held
        if (found := assessments.intersection(each.period.rests_on))
    ]


@dataclass(frozen=True, slots=True)
class _Sources:
    """What was read once for all links."""

    task: Task
    frame: Frame
    facts: Mapping[int, Sequence[Fact]]
    told: Mapping[int, Sequence[Signature]]

    def rule(self, person: int, before: Fact | None) -> PersonRule:
        """Return a person's rule: all of it, or as known just before an entry was written."""
        facts = self.facts[person]
        if before is None:
            return PersonRule(person, belonging(person, facts), self.frame)
        known = belonging(person, known_at((fact for fact in facts if fact.seq < before.seq), before.recorded_at))
        return PersonRule(person, known, known_frame(self.frame, before.recorded_at))

    def granted(self, person: int, before: Fact | None) -> list[Granted]:
        """Return a person's authorities, with the same two knowledges."""
        return granted_by(self.told.get(person, ()), known=before.recorded_at if before else None)


def sign_off_chain(plant: Plant, person: Person, task: Task, seq: int) -> SignOffChain | None:
    """Return the chain behind the assessment at a place of the ledger; None where it is not of this person and task.

    A fixed number of queries, however many runs and signatures it has.
    """
    record = assessment_record(plant, seq)
    if record is None or record.fact.task != task.code:
        return None
    frame = frame_of(plant)
    own = {fact.seq: fact for fact in own_facts([person.pk])[person.pk]}
    if seq not in own:
        return None
    runs_named = {each.seq for each in record.evidence if isinstance(own.get(each.seq), Run)}
    runs_read = runs_named or _runs_counted(record.fact, own.values(), frame)
    signed = [record.signature, *record.second, *signatures(runs_read).values()]
    signers = {each.entry.get("by", each.person_id) for each in signed}
    sources = _Sources(task, frame, facts_of_people(signers), grants_told(signers))
    out = corrected(own.values())
    struck = {of: fact.seq for fact in own.values() if (of := getattr(fact, "of", None)) in out}
    by_seq = {each.seq: each for each in signed}
    facts = [own[each.seq] for each in signed if each.seq in own]
    words = {
        fact.seq: (_word(sources, fact, before=fact), _word(sources, fact, before=None))
        for fact in facts
        if isinstance(fact, Assessment | SecondSignature | Run)
    }
    people = {row.pk: row for row in Person.objects.filter(plant=plant, pk__in=signers)}
    above = signatures({word.own.seq for pair in words.values() for word in pair if word.own and word.own.seq})
    links = {
        fact.seq: Link(
            fact=fact,
            signature=by_seq[fact.seq],
            person=people.get(fact.by or 0),
            struck_by=struck.get(fact.seq),
            then=_named(words[fact.seq][0], above),
            now=_named(words[fact.seq][1], above),
        )
        for fact in facts
        if fact.seq in words
    }
    runs = [link for link in links.values() if isinstance(link.fact, Run)]
    policy = sources.frame.policy_on(record.fact.on)
    is_critical = sources.frame.tasks[task.code].criticality.is_critical
    return SignOffChain(
        record=record,
        assessor=links[seq],
        seconds=[link for link in links.values() if isinstance(link.fact, SecondSignature)],
        runs=runs,
        is_named=bool(runs_named),
        since=[fact for fact in own.values() if isinstance(fact, DOUBTS) and fact.of == seq and fact.seq not in out],
        watched=sum(1 for link in runs if link.fact.by == record.fact.by),
        share=policy.assessor_share_of_runs if is_critical else None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Judge:
    """The assessor of a sign-off, with why they were not entitled: as known when it was written, and as known now."""

    fact: Assessment
    then: Sequence[Refusal]
    now: Sequence[Refusal]


def judges_of(plant: Plant, seqs: Iterable[int]) -> Mapping[int, Judge]:
    """Return who judged each of these assessments, by its place. A fixed number of queries for any number of them."""
    rows = LedgerIndex.objects.filter(plant=plant, entry__in=list(seqs), kind=EntryKind.ASSESSMENT)
    about = dict(rows.values_list("entry_id", "person"))
    people = {person for person in about.values() if person is not None}
    frame = frame_of(plant)
    own = own_facts(people)
    facts = [
        fact
        for person in people
        for fact in own[person]
        if isinstance(fact, Assessment) and fact.seq in about and fact.by is not None and fact.task in frame.tasks
    ]
    signers = {fact.by for fact in facts if fact.by is not None}
    tasks = {task.code: task for task in Task.objects.filter(plant=plant, code__in={fact.task for fact in facts})}
    known, told = facts_of_people(signers), grants_told(signers)
    found = {}
    for fact in facts:
        sources = _Sources(tasks[fact.task], frame, known, told)
        then, now = _word(sources, fact, before=fact), _word(sources, fact, before=None)
        found[fact.seq] = Judge(fact=fact, then=then.faults, now=now.faults)
    return found


def _runs_counted(assessment: Assessment, facts: Iterable[Fact], frame: Frame) -> frozenset[int]:
    """Return the runs that counted toward an assessment when it was written, where any were asked."""
    known = known_at((fact for fact in facts if fact.seq < assessment.seq), assessment.recorded_at)
    rule = PersonRule(assessment.person, known, known_frame(frame, assessment.recorded_at))
    if assessment.task not in rule.frame.tasks:
        return frozenset()
    progress = rule.progress(assessment.task, assessment.scope, assessment.happened_at)
    return frozenset(progress.counted) if progress.runs_needed else frozenset()


def _named(word: Word, above: Mapping[int, Signature]) -> Word:
    """Return the word with the signature on the signer's own sign-off, now that all of those have been read."""
    own = word.own
    if own is None or own.seq is None:
        return word
    signature = above.get(own.seq)
    named = OwnSignOff(seq=own.seq, on=own.on, signature=signature, held=own.held, named_by=own.named_by)
    return Word(faults=word.faults, period=word.period, grants=word.grants, own=named)


def _word(sources: _Sources, fact: Assessment | SecondSignature | Run, *, before: Fact | None) -> Word:
    signer = fact.by or 0
    area = sources.frame.tasks[sources.task.code].area
    kinds = _kinds(fact)
    granted = [
        each
        for each in sources.granted(signer, before)
        if each.grant.kind in kinds and each.grant.serves(area, fact.on)
    ]
    if isinstance(fact, SecondSignature):
        faults = _roles_missing(fact, granted, area)
        return Word(faults=faults, period=None, grants=granted, own=None)
    rule = sources.rule(signer, before)
    if fact.task not in rule.frame.tasks:
        return Word(faults=(refusal("R2.2", "not_in_force"),), period=None, grants=granted, own=None)
    entitled = "R2.2" if isinstance(fact, Assessment) else "R1.1"
    faults = [*not_entitled(fact, rule, fact.revision, entitled)]
    if isinstance(fact, Assessment) and not has_authority((each.grant for each in granted), kinds, area, fact.on):
        faults.append(refusal("R2.2", "no_authority", area=area))
    if fact.by == fact.person:
        faults.append(refusal(entitled, "own"))
    moment = _moment(sources.frame, fact)
    return Word(
        faults=faults,
        period=rule.timeline(fact.task, fact.scope).at(moment),
        grants=granted,
        own=_own(rule, fact.task, fact.scope, moment),
    )


def _kinds(fact: Fact) -> frozenset[AuthorityKind]:
    if isinstance(fact, SecondSignature):
        return frozenset(ROLE_AUTHORITY[role] for role in fact.roles)
    if isinstance(fact, Assessment):
        return frozenset({AuthorityKind.ASSESS})
    # Whoever is in force may watch; what they are entrusted with is told beside it.
    return frozenset({AuthorityKind.TRAIN, AuthorityKind.ASSESS})


def _roles_missing(fact: SecondSignature, granted: Iterable[Granted], area: str) -> list[Refusal]:
    grants = [each.grant for each in granted]
    faults = [
        refusal("R2.4", "role_missing", role=role.value)
        for role in sorted(fact.roles)
        if not has_authority(grants, {ROLE_AUTHORITY[role]}, area, fact.on)
    ]
    return [*faults, refusal("R2.4", "same_person")] if fact.by == fact.person else faults


def _moment(frame: Frame, fact: Fact) -> datetime:
    """Return the minute at which entitlement is judged: within the day on which the thing counts as done (3.17)."""
    return min(fact.happened_at, clock_of(frame.timezone).midnight(days_after(fact.on, 1)) - INSTANT)


def _own(rule: PersonRule, task: str, scope: Scope, moment: datetime) -> OwnSignOff | None:
    held = rule.holding(task, scope)
    signoff = held.governing_at(moment)
    if signoff is not None:
        assessment = signoff.assessment
        return OwnSignOff(seq=assessment.seq, on=assessment.on, signature=None, held=signoff.holds_at(moment))
    for span, fact in initial_trainer_spans(held.case):
        if span.start <= moment < span.end:
            return OwnSignOff(seq=None, on=fact.on, signature=None, held=True, named_by=fact.seq)
    return None
