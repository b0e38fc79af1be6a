"""The standing rule of one person: known facts and the frame in, timelines and progress out. Pure."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, datetime
from functools import partial
from typing import Any

from competencies.standing.age import age_effects, employment_effects, is_young, left_before, young_worker_class
from competencies.standing.appeals import appeal_remarks
from competencies.standing.calendar import INSTANT, clock_of, days_after
from competencies.standing.case import Case, Key, sorted_facts
from competencies.standing.effects import Effect, clipped, periods
from competencies.standing.facts import Acknowledgement, Conflict, Employment, Fact, Run, Scope, UnitDecision
from competencies.standing.framework import Frame, TaskFrame
from competencies.standing.learning import learning_effects, marks, signature_remarks, started_at
from competencies.standing.losses import loss_effects
from competencies.standing.prerequisites import Need, blocked_effects, unblocked
from competencies.standing.progress import Checks, progress_of, ready_spans
from competencies.standing.purpose import purpose_at, withdrawn_at
from competencies.standing.readiness import Progress, Purpose
from competencies.standing.recency import absence_effects, recency_effects, refreshing_days, uses
from competencies.standing.revisions import (
    initial_trainer_remarks,
    initial_trainer_spans,
    known_revisions,
    majors_between,
    revision_effects,
)
from competencies.standing.runs import Verdict, moment_of, verdict
from competencies.standing.scopes import all_prerequisites, serving_scopes
from competencies.standing.signoffs import Holding, holding
from competencies.standing.spans import holds_at, in_force_spans, union
from competencies.standing.timeline import Timeline
from competencies.standing.validity import validity_effects
from competencies.standing.way_back import Need as RemedyNeed
from competencies.standing.way_back import Remedy, own_steps
from competencies.vocabulary import ScopeKind, SecondRole, YoungWorker


class PersonRule:
    """What follows from one person's known facts; every answer is worked out once and kept.

    `facts` are those known (see `live.known_at`), in any order; `frame` is the plant as known.
    """

    def __init__(self, person: int, facts: Iterable[Fact], frame: Frame) -> None:
        self.person = person
        self.frame = frame
        self._facts = sorted_facts(person, facts, frame)
        self._clock = clock_of(frame.timezone)
        self._scopes = _scopes_by_task(self._facts.cases)
        self._refreshers = _refreshers(frame, self._scopes)
        self._holdings: dict[Key, Holding] = {}
        self._verdicts: dict[Key, tuple[Verdict, ...]] = {}
        self._timelines: dict[Key, Timeline] = {}
        self._needs: dict[tuple[Scope, str, Scope | None], Need] = {}
        self._safety: dict[str, tuple[str, ...]] = {}

    def adopt(self, earlier: "PersonRule", changed: Collection[str]) -> None:
        """Take over what an earlier rule of the person, in the same frame, worked out on every task not in `changed`.

        A timeline follows from the facts on its task, from those about the person, and from the timelines of its
        prerequisites: `changed` names every task for which one of these is not the same any more.
        """
        for kept, found in zip(self._worked_out(), earlier._worked_out(), strict=True):  # noqa: SLF001 - of this class
            for place, answer in found.items():
                if place[0] not in changed and place[1] not in changed:
                    kept.setdefault(place, answer)

    def _worked_out(self) -> tuple[dict[Any, Any], ...]:
        """Return what is kept by task and scope, or by scope and task."""
        return self._holdings, self._verdicts, self._timelines, self._needs

    @property
    def employment(self) -> Employment | None:
        """Return what is known of the person's employment and young-worker bar."""
        return self._facts.spells[-1] if self._facts.spells else None

    def left_before(self, on: date) -> date | None:
        """Return the last working day of somebody who has left before a day and has not come back by then (R9.7)."""
        return left_before(self._facts.spells, on)

    @property
    def unit_decisions(self) -> tuple[UnitDecision, ...]:
        """Return the decisions on units that stand, in order."""
        return tuple(fact for fact in self._facts.of_units if isinstance(fact, UnitDecision))

    @property
    def of_units(self) -> tuple[Fact, ...]:
        """Return the decisions on units with their reports and moderations, in order (R8)."""
        return self._facts.of_units

    @property
    def struck(self) -> Mapping[int, datetime]:
        """Return when each corrected entry was corrected, by the entry's place (R7)."""
        return self._facts.struck

    @property
    def conflicts(self) -> tuple[Conflict, ...]:
        """Return the conflicts of interest declared under the person's name that stand, in order."""
        return self._facts.conflicts

    @property
    def checks(self) -> Checks:
        """Return the calculation checks by calculation, in order."""
        return self._facts.checks

    def keys(self) -> tuple[Key, ...]:
        """Return every (task, scope) that the person has entries for, sorted."""
        return tuple(sorted(self._facts.cases))

    def scopes_of(self, task: str) -> tuple[Scope, ...]:
        """Return the scopes at which the person has entries for a task, sorted."""
        return self._scopes.get(task, ())

    def timeline(self, task: str, scope: Scope) -> Timeline:
        """Return the person's timeline on a task in a scope, over all time. Raises KeyError for an unknown task."""
        found = self._timelines.get((task, scope))
        if found is None:
            found = self._timelines[task, scope] = self._timeline(self.holding(task, scope))
        return found

    def progress(self, task: str, scope: Scope, moment: datetime) -> Progress:
        """Return how far the person is at `moment`, toward what an assessment then would be."""
        purpose = self.purpose_at(task, scope, moment)
        return self.progress_toward(purpose, task, scope, moment)

    def purpose(self, task: str, scope: Scope, on: date) -> Purpose:
        """Return what an assessment on that day would be, and what it would ask."""
        return self.purpose_at(task, scope, self._clock.midnight(days_after(on, 1)) - INSTANT)

    def purpose_at(
        self,
        task: str,
        scope: Scope,
        moment: datetime,
        *,
        revision: int | None = None,
        is_delta: bool | None = None,
    ) -> Purpose:
        """Return the purpose at a moment, for a given revision and as a delta or not where these are given."""
        return purpose_at(
            self.holding(task, scope),
            moment,
            is_held_elsewhere=self._is_held_elsewhere(task, scope, moment),
            revision=revision,
            is_delta=is_delta,
        )

    def progress_toward(self, purpose: Purpose, task: str, scope: Scope, moment: datetime) -> Progress:
        """Return how far the person is at `moment` toward a given purpose."""
        missing = [
            (need.task, need.scope)
            for need in (self.need(scope, code, place) for code, place in purpose.prerequisites)
            if not holds_at(need.spans, moment)
        ]
        held, day = self.holding(task, scope), self._clock.day(moment)
        return progress_of(held, purpose, self.verdicts(task, scope), self._facts.checks, missing, day)

    def holding(self, task: str, scope: Scope) -> Holding:
        """Return the attempts and sign-offs on a task in a scope. Raises KeyError for an unknown task."""
        found = self._holdings.get((task, scope))
        if found is None:
            case = self._facts.cases.get((task, scope))
            if case is None:
                case = Case(self.person, self.frame.tasks[task], scope, self.frame, self._clock)
            found = self._holdings[task, scope] = holding(case)
        return found

    def verdicts(self, task: str, scope: Scope) -> tuple[Verdict, ...]:
        """Return what speaks for good against each run on a task in a scope, in order (R1)."""
        found = self._verdicts.get((task, scope))
        if found is None:
            found = tuple(self.judge_run(run) for run in self.holding(task, scope).case.all_of(Run))
            self._verdicts[task, scope] = found
        return found

    def judge_run(self, run: Run) -> Verdict:
        """Return what speaks for good against a run, written down or only meant (R1)."""
        case = self.holding(run.task, run.scope).case
        return verdict(case, run, self.safety_out(run), is_barred=self.is_barred(run.task, run.on))

    def is_barred(self, task: str, on: date) -> bool:
        """Whether the person may not do the task at all on a day for age (R10)."""
        return is_young(self.employment, on) and young_worker_class(self.frame, task, on) is YoungWorker.CLOSED

    def safety_out(self, run: Run) -> list[str]:
        """Return the safety prerequisites, direct and indirect, that were out for a run (R1.1), sorted."""
        moment = moment_of(self._clock, run)
        named = self.frame.tasks[run.task].terms_on(run.on).prerequisite_places
        out = {
            code
            for code in self._safety_prerequisites(run.task)
            for place in named.get(code) or (None,)
            if not holds_at(self.need(run.scope, code, place).spans, moment)
        }
        return sorted(out)

    def need(self, scope: Scope, code: str, place: Scope | None = None) -> Need:
        """Return a prerequisite: at the place named, or where any one timeline serves a task at `scope` (3.12)."""
        found = self._needs.get((scope, code, place))
        if found is None:
            found = self._needs[scope, code, place] = self._need(self.frame.tasks.get(code), scope, code, place)
        return found

    def in_force_at(self, task: str, scope: Scope, moment: datetime) -> bool:
        """Whether the sign-off holds at a moment."""
        return self.timeline(task, scope).at(moment).standing.is_in_force

    def knows_revision(self, task: str, scope: Scope, revision: int, moment: datetime) -> bool:
        """Whether the person may teach or judge a revision: trained on it, or its initial trainer (3.17, R4.10)."""
        held = self.holding(task, scope)
        named = [
            revision if fact.revision is None else fact.revision
            for span, fact in initial_trainer_spans(held.case)
            if span.start <= moment < span.end
        ]
        return self._serves(held, named, revision, moment) or self.has_learned(task, scope, revision, moment)

    def has_learned(self, task: str, scope: Scope, revision: int, moment: datetime) -> bool:
        """Whether the person was signed off on a revision or has shown its changes; being named is not learning it."""
        held = self.holding(task, scope)
        known = [number for number, gain in known_revisions(held) if gain.start <= moment]
        return self._serves(held, known, revision, moment)

    def _serves(self, held: Holding, known: Sequence[int], revision: int, moment: datetime) -> bool:
        return bool(known) and not majors_between(held.case, max(known), revision, self._clock.day(moment))

    def _safety_prerequisites(self, task: str) -> tuple[str, ...]:
        found = self._safety.get(task)
        if found is None:
            tasks = self.frame.tasks
            codes = (code for code in sorted(all_prerequisites(self.frame, task)) if code in tasks)
            found = tuple(code for code in codes if SecondRole.SAFETY in tasks[code].criticality.second_roles)
            self._safety[task] = found
        return found

    def _need(self, task: TaskFrame | None, scope: Scope, code: str, place: Scope | None) -> Need:
        if task is None:
            return Need(code, scope)
        serving = (place,) if place else serving_scopes(task, scope, self.scopes_of(code))
        timelines = tuple(self.timeline(code, at) for at in serving)
        if not timelines:
            full = Remedy(RemedyNeed.FULL, task.terms[-1].runs)
            line = Scope(scope.line)
            steps = own_steps([full], code, line, is_critical=task.criticality.is_critical)
            return Need(code, line, steps=steps)
        spans = union(in_force_spans(timeline) for timeline in timelines)
        return Need(code, timelines[0].scope, timelines, spans)

    def _timeline(self, held: Holding) -> Timeline:
        case = held.case
        code, scope, employment = case.task.code, case.scope, self.employment
        all_prerequisites(self.frame, code)
        blocked = list(blocked_effects(held, started_at(case), lambda each: self.need(scope, *each)))
        effects = [
            *self._own_effects(held, blocked),
            *blocked,
            *age_effects(self.frame, code, employment, self._clock, held.held_from),
            *employment_effects(self._facts.spells, self._clock),
        ]
        return Timeline(
            person=self.person,
            task=code,
            scope=scope,
            periods=periods(effects, marks(held), code, scope, is_critical=case.is_critical),
            restricted_until=employment.restricted_until if employment else None,
        )

    def _own_effects(self, held: Holding, blocked: list[Effect]) -> list[Effect]:
        """Return the effects of the person's own facts on the task; those of holding it start with the first."""
        case = held.case
        code, scope = case.task.code, case.scope
        verdicts = self.verdicts(code, scope)
        counted = [each.run for each in verdicts if not each.reasons]
        used = uses(held, counted, refreshing_days(self._refreshing(code, scope)))
        holding_effects = [
            *validity_effects(held, counted),
            *revision_effects(held, self._read(code), counted),
            *recency_effects(held, used),
            *absence_effects(held, used, self._facts.absences),
        ]
        elsewhere = partial(self._is_held_elsewhere, code, scope)
        ready = unblocked(ready_spans(held, verdicts, self.checks, elsewhere), blocked)
        return [
            *learning_effects(held, ready),
            *signature_remarks(held),
            *loss_effects(held, counted),
            *appeal_remarks(held),
            *initial_trainer_remarks(case),
            *clipped(holding_effects, held.held_from),
        ]

    def _read(self, code: str) -> list[Acknowledgement]:
        """Return the acknowledgements of a task's procedure: it is read once, whatever the scope."""
        cases = (self.holding(code, scope).case for scope in self.scopes_of(code))
        return [fact for case in cases for fact in case.all_of(Acknowledgement)]

    def _refreshing(self, code: str, scope: Scope) -> list[Case]:
        """Return the cases whose task refreshes this one here, where the syllabus says so (R3.5)."""
        task = self.frame.tasks[code]
        cases = [
            self._facts.cases[other, at] for other in self._refreshers.get(code, ()) for at in self._scopes[other]
        ]
        return [case for case in cases if scope in serving_scopes(task, case.scope, (scope,))]

    def _is_held_elsewhere(self, task: str, scope: Scope, moment: datetime) -> bool:
        """Whether the task is held at another line or machine, so that this one is a conversion (R12)."""
        if self.frame.tasks[task].scope_kind is ScopeKind.SITE:
            return False
        others = (at for at in self.scopes_of(task) if at != scope)
        return any(self._holds(self.holding(task, at), moment) for at in others)

    @staticmethod
    def _holds(held: Holding, moment: datetime) -> bool:
        signoff = held.governing_at(moment)
        return signoff is not None and signoff.holds_at(moment) and withdrawn_at(held, moment) is None


def _scopes_by_task(keys: Iterable[Key]) -> dict[str, tuple[Scope, ...]]:
    found: dict[str, tuple[Scope, ...]] = {}
    for task, scope in sorted(keys):
        found[task] = (*found.get(task, ()), scope)
    return found


def _refreshers(frame: Frame, codes: Iterable[str]) -> dict[str, set[str]]:
    """Return by task those of `codes` that refresh it, by any of their terms."""
    found: dict[str, set[str]] = {}
    for code in codes:
        for terms in frame.tasks[code].terms:
            for refreshed in terms.refreshes:
                found.setdefault(refreshed, set()).add(code)
    return found
