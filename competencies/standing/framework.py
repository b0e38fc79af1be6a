"""What must be learned, as the standing rule reads it: terms, revisions, prerequisites, policy."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from fractions import Fraction
from typing import TypeAlias

from competencies.standing.facts import Scope
from competencies.vocabulary import ChangeClass, Criticality, ScopeKind, YoungWorker

# A prerequisite and the scope at which it is needed; None leaves the scope to `scopes.serving_scopes`.
Wanted: TypeAlias = "tuple[str, Scope | None]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What a task asks from `effective_on` on. A sign-off keeps the terms it was given under (R4.11).

    `prerequisite_places` gives, by the code of a prerequisite, the scopes at all of which it is needed (R12); one that
    is not in it is needed where `scopes.serving_scopes` says. `refreshes` are tasks that this one keeps fresh (R3.5).
    `applies_to_held_on` is the day from which they hold, by decision, for sign-offs given before them as well.
    """

    effective_on: date
    recorded_at: datetime
    runs: int = 1
    distinct_shifts: int = 1
    validity_months: int | None = None
    simulated_max: int = 0
    ranges: Mapping[str, int] = field(default_factory=dict)
    calculations: tuple[str, ...] = ()
    prerequisites: tuple[str, ...] = ()
    prerequisite_places: Mapping[str, tuple[Scope, ...]] = field(default_factory=dict)
    refreshes: tuple[str, ...] = ()
    young_worker: YoungWorker = YoungWorker.OPEN
    grace_days: int | None = None
    recency_days: int | None = None
    applies_to_held_on: date | None = None

    @property
    def needs(self) -> tuple[Wanted, ...]:
        """Return each prerequisite with the scope at which it is needed, once for every one named (None: by rule)."""
        unnamed: tuple[Scope | None, ...] = (None,)
        return tuple(
            (code, place) for code in self.prerequisites for place in self.prerequisite_places.get(code) or unnamed
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One issue of a task's procedure. `touches` are the criteria that changed; `criteria` the numbers it has.

    `carries_runs` is what the change note says of runs made on the old revision (None: the policy holds).
    `reclassified_at` is when a minor revision was made a major one (R4.8); `change` then says major.
    """

    number: int
    approved_on: date
    effective_on: date
    recorded_at: datetime
    change: ChangeClass
    touches: tuple[int, ...] = ()
    criteria: tuple[int, ...] = ()
    critical_criteria: frozenset[int] = frozenset()
    scope_criteria: tuple[int, ...] = ()
    carries_runs: Fraction | None = None
    reclassified_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskFrame:
    """A task with every issue of its terms and its procedure, oldest first.

    `held_at` lists the scopes at which it can be held (empty: any of its kind). `recognisable` is false where
    evidence from elsewhere never serves, as for a site induction (R11).
    """

    code: str
    area: str
    scope_kind: ScopeKind
    criticality: Criticality
    terms: tuple[Terms, ...]
    revisions: tuple[Revision, ...]
    held_at: tuple[Scope, ...] = ()
    recognisable: bool = True

    def terms_on(self, day: date) -> Terms:
        """Return the terms that a day is under: the newest effective by then, or the first of all."""
        found = self.terms[0]
        for terms in self.terms:
            if terms.effective_on <= day:
                found = terms
        return found

    def revision_on(self, day: date) -> Revision | None:
        """Return the revision in force on a day: the highest number effective by then."""
        effective = (revision for revision in self.revisions if revision.effective_on <= day)
        return max(effective, key=lambda revision: revision.number, default=None)

    def revision(self, number: int) -> Revision | None:
        """Return the revision of that number, if there is one."""
        return next((revision for revision in self.revisions if revision.number == number), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A policy figure for non-critical and critical tasks."""

    other: int
    critical: int

    def of(self, criticality: Criticality) -> int:
        """Return the figure for a task of this criticality."""
        return self.critical if criticality.is_critical else self.other


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """The plant's settings from `effective_on` on, with the trade's usual figures as defaults."""

    effective_on: date = date.min
    recorded_at: datetime | None = None
    due_window_days: int = 60
    grace_days: Pair = Pair(other=30, critical=0)
    run_confirmation_hours: int = 72
    run_age_months: int = 12
    calculation_months: int = 12
    second_signature_days: int = 14
    late_entry_days: int = 7
    recency_days: Pair | None = Pair(other=180, critical=90)
    long_absence_days: int = 90
    lapse_first_months: int = 6
    lapse_second_months: int = 24
    minor_acknowledgement_days: int = 30
    major_transition_days: Pair = Pair(other=30, critical=0)
    runs_carried: Fraction = Fraction(1, 2)
    partial_reassessment_days: int = 30
    renewal_run_on_days: Pair = Pair(other=14, critical=0)
    initial_trainer_days: int = 90
    recognition_evidence_months: int = 24
    unit_evidence_months: int = 24
    conversion_runs: Fraction = Fraction(1, 3)
    assessor_share_of_runs: Fraction = Fraction(1, 2)
    annulment_review_days: Pair = Pair(other=14, critical=0)
    longest_hours: int = 12
    longest_hard_hours: int = 8
    long_shift_hours: int = 8
    early_start_hour: int = 6
    hard_shifts_running: int = 3
    days_running: int = 7
    nights_of_sleep: int = 2
    rest_hours: int = 11
    tired_is_no_cover: bool = False
    run_minutes: int = 60
    assessment_minutes: int = 90
    delta_minutes: int = 45
    reading_minutes: int = 15
    rare_performances: int = 6
    agreement_pairs: int = 6
    statistics_from_judgements: int = 10
    evidence_months: int = 24
    evidence_awaits_moderation: bool = True
    record_after_leaving_months: int = 36
    renewal_minutes: Pair = Pair(other=60, critical=90)
    second_signature_minutes: int = 15
    assessor_week_hours: int = 6
    remind_first_days: int = 60
    remind_second_days: int = 30
    remind_last_days: int = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """A shift by name with its local start and end as minutes after midnight.

    An end at or before the start lies on the next day.
    """

    name: str
    starts: int
    ends: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Everything about the plant that the rule needs: tasks by code, policies oldest first, shifts, zone name."""

    tasks: Mapping[str, TaskFrame]
    policies: tuple[Policy, ...]
    shifts: Mapping[str, Shift]
    timezone: str

    def policy_on(self, day: date) -> Policy:
        """Return the policy that a day is under: the newest effective by then, or the first of all."""
        found = self.policies[0]
        for policy in self.policies:
            if policy.effective_on <= day:
                found = policy
        return found
