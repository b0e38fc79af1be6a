"""Supervised runs and calculation checks: what a trainee has done under somebody's eyes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal

from competencies.ledger.writer import Appended, appended_under, writing
from competencies.models import Assignment, Person
from competencies.operations.assignments import close_assignment
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, OnTask, Particulars, Signature, append_fact, refuse_if
from competencies.queries.facts import grants_of, rules_of
from competencies.standing.facts import SITE, Check, Run, RunAccepted
from competencies.standing.refusals import Refusal, refuse_acceptance, refuse_check, refuse_run
from competencies.standing.timeline import Reason
from competencies.vocabulary import Judgement, Meaning


@dataclass(frozen=True, slots=True, kw_only=True)
class PairedReading:
    """One reading as the trainee and the watching person each took it; `number` is the reading's on the revision."""

    number: int
    unit: str
    trainee: Decimal | None = None
    assessor: Decimal | None = None
    met: bool | None = None

    def fields(self) -> dict[str, object]:
        """Return the reading as the ledger's schema asks for it."""
        return {
            "number": self.number,
            "unit": self.unit or None,
            "trainee": self.trainee,
            "assessor": self.assessor,
            "met": self.met,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Observed:
    """What was seen: each criterion judged, the readings, and what was written down about them."""

    judged: Mapping[int, Judgement] = field(default_factory=dict)
    readings: Sequence[PairedReading] = ()
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunDetails:
    """When and how a run went. `on` is the date the shift starts; `happened_at` a moment in the shift.

    `assignment` is the one that asked for it: it is done with this run, and asks for no other.
    """

    on: date
    shift: str
    happened_at: datetime
    revision: int
    range_values: Mapping[str, str] = field(default_factory=dict)
    simulated: bool = False
    stopped: bool = False
    confirmed: bool = True
    assignment: Assignment | None = None


@writing()
def record_run(
    *,
    on_task: OnTask,
    supervisor: Signer,
    details: RunDetails,
    observed: Observed,
    now: datetime,
    token: str = "",
) -> Appended:
    """Record a supervised run, confirmed by the person who watched it, and close the assignment that asked for it.

    Raises RefusedError with every reason (R1), AssignmentClosedError when another run came first.
    """
    if token and (earlier := appended_under(token)):
        return earlier
    trainee = on_task.person
    run = _run(on_task, supervisor, details, now)
    rules = rules_of([trainee, supervisor.person])
    refuse_if(refuse_run(run, trainee=rules[trainee.pk], supervisor=rules[supervisor.person.pk], now=now))
    appended = append_fact(
        fact=run,
        person=trainee,
        signature=Signature(signer=supervisor, meaning=Meaning.SUPERVISED, token=token),
        now=now,
        particulars=_particulars(observed),
    )
    if details.assignment is not None:
        # Inside the ledger's lock, so that of two tablets one records the run and the other hears of it.
        close_assignment(assignment=details.assignment, entry_seq=appended.seq)
    return appended


def _run(on_task: OnTask, supervisor: Signer, details: RunDetails, now: datetime) -> Run:
    return Run(
        seq=UNWRITTEN,
        person=on_task.person.pk,
        happened_at=details.happened_at,
        recorded_at=now,
        on=details.on,
        task=on_task.task.code,
        scope=on_task.scope,
        by=supervisor.person.pk,
        shift=details.shift,
        revision=details.revision,
        confirmed_at=now if details.confirmed else None,
        simulated=details.simulated,
        stopped=details.stopped,
        range_values=details.range_values,
    )


def run_refusals(
    *, on_task: OnTask, supervisor: Signer, details: RunDetails, now: datetime
) -> tuple[tuple[Refusal, ...], tuple[Reason, ...]]:
    """Return why a run may not be recorded, and why one that is recorded would not count: nobody watches in vain."""
    run = _run(on_task, supervisor, details, now)
    rules = rules_of([on_task.person, supervisor.person])
    rule = rules[on_task.person.pk]
    refused = refuse_run(run, trainee=rule, supervisor=rules[supervisor.person.pk], now=now)
    return refused, () if refused else rule.judge_run(run).reasons


def _particulars(observed: Observed) -> Particulars:
    return Particulars(
        texts={"note": observed.note},
        fields={
            "judged": dict(observed.judged) or None,
            "readings": [reading.fields() for reading in observed.readings] or None,
        },
    )


@writing()
def accept_late_run(*, run: Run, trainee: Person, coordinator: Signer, now: datetime, note: str) -> Appended:
    """Accept a run that was confirmed late (R1.2). Raises RefusedError with every reason."""
    fact = RunAccepted(
        seq=UNWRITTEN,
        person=trainee.pk,
        happened_at=now,
        recorded_at=now,
        on=run.on,
        task=run.task,
        scope=run.scope,
        by=coordinator.person.pk,
        of=run.seq,
    )
    grants = grants_of([coordinator.person.pk])[coordinator.person.pk]
    refuse_if(refuse_acceptance(fact, trainee=rules_of([trainee])[trainee.pk], grants=grants, now=now))
    return append_fact(
        fact=fact,
        person=trainee,
        signature=Signature(signer=coordinator, meaning=Meaning.REVIEWED),
        now=now,
        particulars=Particulars(texts={"note": note}),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckResult:
    """How a check went: the kind of calculation, how many problems, how many right, how many were needed.

    `sitting_id` is None for a check that was taken on paper.
    """

    calculation: str
    problems: int
    right: int
    pass_mark: int
    sitting_id: int | None = None

    @property
    def passed(self) -> bool:
        """Whether enough answers were right."""
        return self.right >= self.pass_mark


@writing()
def record_check(
    *, trainee: Person, opened_by: Signer, result: CheckResult, happened_at: datetime, on: date, now: datetime
) -> Appended:
    """Record a calculation check that was taken under supervision. Raises RefusedError with every reason."""
    check = Check(
        seq=UNWRITTEN,
        person=trainee.pk,
        happened_at=happened_at,
        recorded_at=now,
        on=on,
        scope=SITE,
        by=opened_by.person.pk,
        calculation=result.calculation,
        passed=result.passed,
    )
    refuse_if(refuse_check(check, now=now))
    return append_fact(
        fact=check,
        person=trainee,
        signature=Signature(signer=opened_by, meaning=Meaning.SUPERVISED),
        now=now,
        particulars=Particulars(
            fields={
                "problems": result.problems,
                "right": result.right,
                "pass_mark": result.pass_mark,
                "sitting": result.sitting_id,
            }
        ),
    )
