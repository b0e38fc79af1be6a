"""Assessments: what lies before the assessor, who waits for one, and the record that is signed a second time."""

import hashlib
import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db.models import Q

from competencies.ledger.canonical import decode
from competencies.ledger.reading import fact_of, facts_of
from competencies.models import Criterion, LedgerEntry, LedgerIndex, Person, Plant, Reading, Task, TaskRevision
from competencies.queries.facts import facts_of_people
from competencies.queries.frame import frame_of
from competencies.queries.runs import coming_revision
from competencies.queries.signatures import Signature, signatures
from competencies.standing import framework
from competencies.standing.calendar import add_months, clock_of
from competencies.standing.facts import Assessment, Check, Fact, Recognition, Run, Scope, SecondSignature
from competencies.standing.live import live
from competencies.standing.readiness import Progress, Purpose
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Reason
from competencies.vocabulary import Criticality, EntryKind, Judgement, Outcome, SecondRole


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One piece of evidence: the fact, its signature, and why it does not count (empty: it counts)."""

    fact: Fact
    signature: Signature | None
    reasons: Sequence[Reason] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AssessmentSheet:
    """Everything an assessor looks at before judging, at a moment; `digest` is over what it shows.

    `is_delta`: only the changes of a revision are judged (R4.4), also when that is done again.
    """

    trainee: Person
    task: Task
    scope: Scope
    moment: datetime
    on: date
    purpose: Purpose
    is_delta: bool
    progress: Progress
    revision: TaskRevision
    criteria: Sequence[Criterion]
    readings: Sequence[Reading]
    runs: Sequence[Evidence]
    checks: Sequence[Evidence]
    recognitions: Sequence[Evidence]
    last_attempt: Signature | None
    second_roles: Sequence[SecondRole]
    second_by: date
    coming: framework.Revision | None

    @property
    def is_on_coming(self) -> bool:
        """Whether the performance is judged on the revision that is not yet in effect."""
        return self.coming is not None and self.coming.number == self.revision.number

    @property
    def counted(self) -> Sequence[int]:
        """Return the ledger places that the assessment rests on."""
        evidence = (*self.runs, *self.checks, *self.recognitions)
        return sorted(each.fact.seq for each in evidence if not each.reasons)

    def digest(self) -> str:
        """Return the SHA-256 of the revision, its criteria and readings, and the evidence, as they are shown."""
        shown = {
            "person": self.trainee.pk,
            "task": self.task.code,
            "scope": str(self.scope),
            "purpose": self.purpose.kind.value,
            "revision": self.revision.number,
            "criteria": [[each.number, each.text, each.is_critical] for each in self.criteria],
            "readings": [
                [each.number, each.name, each.unit, *map(str, (each.target, each.target_text, each.low, each.high))]
                for each in self.readings
            ],
            "hazards": list(self.revision.hazards),
            "evidence": list(self.counted),
        }
        text = json.dumps(shown, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return hashlib.sha256(text.encode()).hexdigest()


class NothingToAssessError(Exception):
    """The task has no procedure to judge by."""


def assessment_sheet(
    trainee: Person, task: Task, scope: Scope, *, moment: datetime, on_coming: bool = False
) -> AssessmentSheet:
    """Return what lies before the assessor of a performance at `moment`. A fixed number of queries.

    `on_coming` takes the revision that is approved and not yet in effect, where there is one (R4.3).
    Raises NothingToAssessError.
    """
    frame = frame_of(trainee.plant)
    facts = live(facts_of_people([trainee.pk])[trainee.pk])
    rule = PersonRule(trainee.pk, facts, frame)
    on = clock_of(frame.timezone).day(moment)
    coming = coming_revision(frame.tasks[task.code], on)
    purpose = rule.purpose_at(task.code, scope, moment, revision=coming.number if coming and on_coming else None)
    progress = rule.progress_toward(purpose, task.code, scope, moment)
    row = TaskRevision.objects.filter(task=task, number=purpose.revision).prefetch_related("criteria", "readings")
    issue = row.first()
    if issue is None:
        raise NothingToAssessError(task.code)
    here = [fact for fact in facts if (fact.task, fact.scope) == (task.code, scope) and fact.happened_at <= moment]
    found = _evidence(rule, here, progress, on)
    attempts = [fact for fact in here if isinstance(fact, Assessment)]
    signed = signatures({fact.seq for fact, _reasons in found} | {fact.seq for fact in attempts[-1:]})
    by_kind = _by_kind([Evidence(fact=fact, signature=signed.get(fact.seq), reasons=why) for fact, why in found])
    return AssessmentSheet(
        trainee=trainee,
        task=task,
        scope=scope,
        moment=moment,
        on=on,
        purpose=purpose,
        is_delta=purpose.is_delta,
        progress=progress,
        revision=issue,
        criteria=sorted(
            (each for each in issue.criteria.all() if each.number in purpose.criteria), key=lambda each: each.number
        ),
        readings=sorted(issue.readings.all(), key=lambda each: each.number),
        **by_kind,
        last_attempt=signed.get(attempts[-1].seq) if attempts else None,
        second_roles=sorted(Criticality(task.criticality).second_roles),
        coming=coming,
        second_by=on + timedelta(days=frame.policy_on(on).second_signature_days),
    )


def _evidence(
    rule: PersonRule, here: Sequence[Fact], progress: Progress, on: date
) -> list[tuple[Fact, Sequence[Reason]]]:
    """Return runs with why they do not count, the newest passed checks, and recognitions: what may be named."""
    not_counted = dict(progress.not_counted)
    runs = [fact for fact in here if isinstance(fact, Run)]
    found: list[tuple[Fact, Sequence[Reason]]] = [(run, not_counted.get(run.seq, ())) for run in runs]
    months = rule.frame.policy_on(on).calculation_months
    for code in progress.purpose.calculations:
        passed = [check for check in rule.checks.get(code, ()) if _is_recent(check, on, months)]
        found += [(check, ()) for check in passed[-1:]]
    return found + [(fact, ()) for fact in here if isinstance(fact, Recognition)]


def _is_recent(check: Check, on: date, months: int) -> bool:
    return check.passed and check.on <= on <= add_months(check.on, months)


def _by_kind(found: Sequence[Evidence]) -> Mapping[str, list[Evidence]]:
    kinds = {"runs": Run, "checks": Check, "recognitions": Recognition}
    return {name: [each for each in found if isinstance(each.fact, kind)] for name, kind in kinds.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedCriterion:
    """A criterion as its text read on the revision, with what the assessor saw."""

    number: int
    text: str
    is_critical: bool
    judgement: Judgement


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenReading:
    """A reading as both people took it."""

    reading: Reading
    trainee: Decimal | None
    assessor: Decimal | None
    met: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AssessmentRecord:
    """An assessment as recorded: the whole of what a second signature covers."""

    fact: Assessment
    trainee: Person
    task: Task
    revision: TaskRevision | None
    judged: Sequence[JudgedCriterion]
    readings: Sequence[TakenReading]
    signature: Signature
    evidence: Sequence[Signature]
    second: Sequence[Signature]
    roles_missing: frozenset[SecondRole]
    last_day: date

    @property
    def is_competent(self) -> bool:
        """Whether the decision was competent."""
        return self.fact.outcome is Outcome.COMPETENT


def assessment_record(plant: Plant, seq: int) -> AssessmentRecord | None:
    """Return the assessment at a place of the ledger, or None where the plant has none there. Fixed queries."""
    row = LedgerEntry.objects.filter(seq=seq, index__plant=plant, index__kind=EntryKind.ASSESSMENT).first()
    fact = fact_of(decode(bytes(row.body))) if row else None
    if not isinstance(fact, Assessment):
        return None
    trainee = Person.objects.select_related("plant").get(pk=fact.person)
    task = Task.objects.select_related("area", "plant").get(plant=plant, code=fact.task)
    issue = (
        TaskRevision.objects.filter(task=task, number=fact.revision).prefetch_related("criteria", "readings").first()
    )
    second = second_signatures([seq]).get(seq, [])
    read = signatures([seq])[seq]
    others = signatures({*read.entry.get("evidence", ()), *(each.seq for each in second)})
    signed = {each.seq for each in second}
    policy = frame_of(plant).policy_on(fact.on)
    return AssessmentRecord(
        fact=fact,
        trainee=trainee,
        task=task,
        revision=issue,
        judged=_judged(fact, issue),
        readings=_readings(read, issue),
        signature=read,
        evidence=[each for place, each in others.items() if place not in signed],
        second=[each for place, each in others.items() if place in signed],
        roles_missing=roles_missing(task, second),
        last_day=fact.on + timedelta(days=policy.second_signature_days),
    )


def second_signatures(seqs: Collection[int]) -> Mapping[int, list[SecondSignature]]:
    """Return the second signatures that stand on these assessments. One query."""
    about = LedgerIndex.objects.filter(of__in=seqs, kind=EntryKind.SECOND_SIGNATURE)
    wanted = Q(seq__in=about.values("entry")) | Q(
        index__kind=EntryKind.CORRECTION, index__of__in=about.values("entry")
    )
    found: dict[int, list[SecondSignature]] = defaultdict(list)
    for fact in live(facts_of(LedgerEntry.objects.filter(wanted).order_by("seq"))):
        if isinstance(fact, SecondSignature):
            found[fact.of].append(fact)
    return found


def roles_missing(task: Task, second: Iterable[SecondSignature]) -> frozenset[SecondRole]:
    """Return the roles that no second signature has filled yet."""
    return Criticality(task.criticality).second_roles.difference(*(each.roles for each in second))


def _judged(fact: Assessment, issue: TaskRevision | None) -> list[JudgedCriterion]:
    texts = {each.number: each for each in issue.criteria.all()} if issue else {}
    return [
        JudgedCriterion(
            number=number,
            text=texts[number].text if number in texts else "",
            is_critical=number in texts and texts[number].is_critical,
            judgement=judgement,
        )
        for number, judgement in sorted(fact.judged.items())
    ]


def _readings(signature: Signature, issue: TaskRevision | None) -> list[TakenReading]:
    asked = {each.number: each for each in issue.readings.all()} if issue else {}
    return [
        TakenReading(
            reading=asked[taken["number"]],
            trainee=taken.get("trainee"),
            assessor=taken.get("assessor"),
            met=taken.get("met"),
        )
        for taken in signature.entry.get("readings", ())
        if taken["number"] in asked
    ]
