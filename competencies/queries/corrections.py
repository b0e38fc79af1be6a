"""What a correction would write, what speaks against it, and what it would change (R7)."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from competencies.ledger.reading import facts_of
from competencies.models import LedgerEntry, Person
from competencies.queries.facts import grants_of, own_facts, told
from competencies.queries.frame import frame_of, task_area
from competencies.queries.relied import ReliedShift, shifts_relied
from competencies.standing import facts, refusals, stop_refusals
from competencies.standing.entitlement import Refusal, has_authority, in_the_future, refusal, wrong_place
from competencies.standing.facts import Assessment, Correction, Fact, PeopleJoined, PeopleParted, SecondSignature
from competencies.standing.framework import Frame
from competencies.standing.live import corrected
from competencies.standing.refusals import AuthorityGrant
from competencies.standing.replacing import (
    Change,
    Correcting,
    Planned,
    companions,
    planned,
    refuse_change,
    refuse_undoing,
)
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Period
from competencies.vocabulary import AuthorityKind, CorrectionCause, Judgement, Outcome

Facts = Mapping[int, Sequence[Fact]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """Where somebody stands on a task in a place at a moment, before a correction and after it."""

    person: Person
    task: str
    scope: facts.Scope
    before: Period
    after: Period


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What a correction would write, in order, and everything that speaks against it.

    `people` are those it is about, and those who watched or judged; `before` and `after` are their rules without the
    correction and with it. Where it is refused for what it is, nothing would be written and both are the same. `since`
    is the first day on which anything can differ.
    """

    entries: Sequence[Planned]
    refusals: tuple[Refusal, ...]
    people: Mapping[int, Person]
    before: Mapping[int, PersonRule]
    after: Mapping[int, PersonRule]
    frame: Frame
    since: date

    def standings(self, moment: datetime) -> list[Changed]:
        """Return where somebody would stand otherwise at a moment."""
        found = []
        for number, rule in self.after.items():
            earlier = self.before[number]
            for task, scope in sorted({*earlier.keys(), *rule.keys()}):
                pair = earlier.timeline(task, scope).at(moment), rule.timeline(task, scope).at(moment)
                if _shown(pair[0]) != _shown(pair[1]):
                    person = self.people[number]
                    found.append(Changed(person=person, task=task, scope=scope, before=pair[0], after=pair[1]))
        return found

    def shifts(self, until: datetime) -> list[ReliedShift]:
        """Return the shifts begun by a moment on which somebody counted who does not, or the reverse. Two queries."""
        window = (self.since, until)
        return shifts_relied(self.before, self.after, people=self.people, frame=self.frame, window=window)


def _shown(period: Period) -> tuple[object, ...]:
    return period.standing, period.counts, period.last_valid_on, period.reasons


def proposal(*, entry: Fact, person: Person, change: Change, act: Correcting) -> Proposal:
    """Return what correcting an entry of a person would write and change. A fixed number of queries."""
    frame = frame_of(person.plant)
    made, made_for = _made(entry)
    watching = (entry.by, getattr(entry, "other", None), *(fact.by for fact in made))
    numbers = {number for number in (person.pk, *watching, *made_for) if number}
    if change.instead is not None and change.instead.person is not None:
        numbers.add(change.instead.person)
    people = {row.pk: row for row in Person.objects.filter(pk__in=numbers).select_related("plant")}
    known = own_facts(people)
    entry = next((fact for fact in known[person.pk] if fact.seq == entry.seq), entry)
    against = list(refuse_change(entry, change, facts=known[person.pk], frame=frame))
    against += _refuse_undone(entry, made, known)
    entries: list[Planned] = []
    if not against:
        own_made = [_owned(fact, known) for fact in made]
        entries = planned(entry, change, facts=known[person.pk], made=own_made, act=act, frame=frame)
        entries = _judged_anew(entries, change, known, frame)
    grants = grants_of({act.by, *(each.fact.by for each in entries if each.fact.by is not None)})
    against += _refuse_correcting(entry, change, act, (known[person.pk], grants[act.by], frame))
    against += _refuse_own(entries, known, act)
    against += _refuse_entries(entries, change, act, (known, grants, frame))
    before = {number: _rule(number, known[number], frame) for number in people}
    after = {number: _rule(number, [*known[number], *_about(number, entries)], frame) for number in people}
    return Proposal(
        entries=entries,
        refusals=tuple(dict.fromkeys(against)),
        people=people,
        before=before,
        after=after,
        frame=frame,
        since=min([entry.on, *_days_of(entry, entries, known[person.pk])]),
    )


def _days_of(entry: Fact, entries: Iterable[Planned], known: Iterable[Fact]) -> list[date]:
    """Return the days of what would be entered, of what is struck, and of what stands again."""
    seqs = {each.fact.of for each in entries if isinstance(each.fact, Correction)} | {getattr(entry, "of", None)}
    return [each.fact.on for each in entries if each.source is not None] + [
        fact.on for fact in known if fact.seq in seqs
    ]


def _rule(person: int, known: Iterable[Fact], frame: Frame) -> PersonRule:
    """Return the rule of a person over facts that are theirs already: records were joined and parted before."""
    return PersonRule(person, [fact for fact in known if not isinstance(fact, PeopleJoined | PeopleParted)], frame)


def _about(person: int, entries: Iterable[Planned]) -> list[Fact]:
    return [fact for number, fact in told(each.fact for each in entries) if number == person]


def _made(entry: Fact) -> tuple[list[Fact], set[int]]:
    """Return what a correction, and those written with it, made in place of what they struck, and about whom."""
    if not isinstance(entry, Correction):
        return [], set()
    written = own_facts([entry.person])[entry.person]
    acts = [entry, *companions(entry, written)]
    seqs = {each.instead for each in acts if each.instead is not None} - corrected(written)
    made = facts_of(LedgerEntry.objects.filter(seq__in=seqs).order_by("seq")) if seqs else []
    return made, {fact.person for fact in made}


def _owned(fact: Fact, known: Facts) -> Fact:
    """Return a fact as one about the person it belongs to."""
    found = (each for number, own in known.items() for each in own if each.seq == fact.seq and each.person == number)
    return next((each for each in found if type(each) is type(fact)), fact)


def _refuse_undone(entry: Fact, made: Sequence[Fact], known: Facts) -> list[Refusal]:
    if not isinstance(entry, Correction) or not made:
        return []
    about = {fact.seq: fact for fact in (_owned(fact, known) for fact in made)}
    numbers = {fact.person for fact in about.values()}
    everything = [fact for number in numbers for fact in known[number]]
    return list(refuse_undoing(made=about.values(), facts_of_made=everything))


def _judged_anew(entries: Sequence[Planned], change: Change, known: Facts, frame: Frame) -> list[Planned]:
    """Return the entries with the judgements of an assessment that was on the wrong task as those of the right one.

    The criteria of one task say nothing of another's. Competent means that all that is asked was met; of a not yet
    competent the numbers are kept that the right task has.
    """
    if change.cause is not CorrectionCause.WRONG_TASK:
        return list(entries)
    found = []
    for each in entries:
        fact = each.fact
        if isinstance(fact, Assessment):
            rule = _rule(fact.person, known[fact.person], frame)
            purpose = rule.purpose_at(fact.task, fact.scope, fact.happened_at, revision=fact.revision)
            judged: dict[int, Judgement] = dict.fromkeys(purpose.criteria, Judgement.MET)
            if fact.outcome is not Outcome.COMPETENT:
                judged = {number: met for number, met in fact.judged.items() if number in purpose.criteria}
            fact = replace(fact, judged=judged)
        found.append(replace(each, fact=fact))
    return found


def _refuse_correcting(
    entry: Fact, change: Change, act: Correcting, about: tuple[Sequence[Fact], Sequence[AuthorityGrant], Frame]
) -> Iterable[Refusal]:
    """Return why this person may not correct this entry, or not at this moment."""
    known, grants, frame = about
    correction = Correction(
        seq=2**62,
        person=entry.person,
        happened_at=act.happened_at,
        recorded_at=act.now,
        on=act.on,
        task=entry.task,
        scope=entry.scope,
        by=act.by,
        of=entry.seq,
    )
    yield from refusals.refuse_correction(
        correction,
        facts=known,
        grants=grants,
        area=task_area(frame, entry.task),
        now=act.now,
        reason=change.reason,
    )
    right = change.instead.task if change.instead is not None else None
    area = task_area(frame, right or entry.task)
    if not has_authority(grants, {AuthorityKind.COORDINATE}, area, act.on):
        yield refusal("R7", "no_authority", area=area)


def _refuse_own(entries: Sequence[Planned], known: Facts, act: Correcting) -> Iterable[Refusal]:
    """R7: nobody corrects a sign-off of their own, brings one back, or enters anything about themselves."""
    every = {fact.seq: fact for own in known.values() for fact in own if not isinstance(fact, facts.Performance)}
    for each in entries:
        fact: Fact | None = each.fact
        if isinstance(fact, Correction):
            fact = every.get(fact.of)
            if isinstance(fact, Correction):
                fact = every.get(fact.of)
            if isinstance(fact, Assessment | SecondSignature) and act.by in {fact.by, fact.person}:
                yield refusal("R7", "own_signoff")
        elif fact is not None and fact.person == act.by:
            yield refusal("R7", "own_signoff")


def _refuse_entries(
    entries: Sequence[Planned],
    change: Change,
    act: Correcting,
    about: tuple[Facts, Mapping[int, Sequence[AuthorityGrant]], Frame],
) -> Iterable[Refusal]:
    """Return why an entry made in place of another may not stand, by the refusals of its own kind."""
    known, grants, frame = about
    corrections = [each for each in entries if isinstance(each.fact, Correction)]
    earlier: list[Planned] = []
    for each in entries:
        if each.source is None:
            continue
        taken = [*corrections, *earlier]

        def rule_for(number: int, taken: Collection[Planned] = taken) -> PersonRule:
            return _rule(number, [*known[number], *_about(number, taken)], frame)

        judge = JUDGES.get(type(each.fact), _judge_plain)
        yield from judge(each.fact, rule_for, grants[each.fact.by or 0], act.now, change.reason)
        earlier.append(each)


Judge = Callable[[Any, Callable[[int], PersonRule], Sequence[AuthorityGrant], datetime, str], Iterable[Refusal]]


def _judge_plain(
    fact: Fact,
    rule_for: Callable[[int], PersonRule],
    _grants: Sequence[AuthorityGrant],
    now: datetime,
    _reason: str,
) -> Iterable[Refusal]:
    yield from in_the_future(fact, now)
    if fact.task:
        yield from wrong_place(fact, rule_for(fact.person))


JUDGES: Mapping[type[Fact], Judge] = {
    facts.Run: lambda fact, rule_for, _grants, now, _reason: refusals.refuse_run(
        fact, trainee=rule_for(fact.person), supervisor=rule_for(fact.by), now=now
    ),
    facts.Assessment: lambda fact, rule_for, grants, now, _reason: refusals.refuse_assessment(
        fact, trainee=rule_for(fact.person), assessor=rule_for(fact.by), grants=grants, now=now
    ),
    facts.SecondSignature: lambda fact, rule_for, grants, now, _reason: refusals.refuse_second_signature(
        fact, trainee=rule_for(fact.person), grants=grants, now=now
    ),
    facts.Acknowledgement: lambda fact, rule_for, _grants, now, _reason: refusals.refuse_acknowledgement(
        fact, holder=rule_for(fact.person), now=now
    ),
    facts.Recognition: lambda fact, rule_for, grants, now, _reason: refusals.refuse_recognition(
        fact, trainee=rule_for(fact.person), grants=grants, now=now
    ),
    facts.RunAccepted: lambda fact, rule_for, grants, now, _reason: refusals.refuse_acceptance(
        fact, trainee=rule_for(fact.person), grants=grants, now=now
    ),
    facts.Check: lambda fact, _rule_for, _grants, now, _reason: refusals.refuse_check(fact, now=now),
    facts.Suspension: lambda fact, rule_for, grants, now, reason: stop_refusals.refuse_suspension(
        fact, holder=rule_for(fact.person), grants=grants, now=now, reason=reason
    ),
    facts.Withdrawal: lambda fact, rule_for, grants, now, reason: stop_refusals.refuse_withdrawal(
        fact, holder=rule_for(fact.person), grants=grants, now=now, reason=reason
    ),
    facts.Lifting: lambda fact, rule_for, grants, now, _reason: stop_refusals.refuse_lifting(
        fact, holder=rule_for(fact.person), grants=grants, now=now
    ),
}
