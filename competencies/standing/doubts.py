"""What an annulled sign-off puts in doubt: which others go under review, and since which day (R6.4). Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from competencies.standing.case import order_of
from competencies.standing.entitlement import AuthorityGrant, has_authority
from competencies.standing.facts import (
    Annulment,
    Assessment,
    Correction,
    Fact,
    PeopleJoined,
    PeopleParted,
    Reverification,
    Review,
    Run,
)
from competencies.standing.framework import Frame
from competencies.standing.rule import PersonRule
from competencies.standing.signoffs import Attempt, Holding, State
from competencies.vocabulary import AuthorityKind, DoubtCause

# Corrections, and joined or parted records, say what was true of earlier entries whenever they are written.
_WHOSE_AND_WHETHER = (Correction, PeopleJoined, PeopleParted)


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A sign-off that goes under review, and why."""

    assessment: Assessment
    cause: DoubtCause


def first_unentitled_day(
    annulled: Assessment, area: str, grants: Iterable[AuthorityGrant], judged: Iterable[Assessment] = ()
) -> date:
    """Return the first day in doubt, by the assessor's authorities as known now.

    The day after the last authority for the area before the assessment had ended. Where the assessor was entitled by
    authority, it is the day of the assessment; where there never was one, that of the first of the sign-offs `judged`.
    """
    own = [grant for grant in grants if grant.kind is AuthorityKind.ASSESS and grant.area in {None, area}]
    if has_authority(own, {AuthorityKind.ASSESS}, area, annulled.on):
        return annulled.on
    ended = [grant.until_on for grant in own if grant.until_on and grant.until_on < annulled.on]
    if ended:
        return max(ended) + timedelta(days=1)
    return min([annulled.on, *(fact.on for fact in judged)])


class Annulled:
    """One sign-off that is annulled, with what is needed to say which others it puts in doubt.

    Where nobody is known to have judged it (`by` is None), none of an assessor's others are in doubt.
    `facts` are the known facts of everybody concerned, by person; `grants` those of the assessor as known now.
    """

    def __init__(
        self,
        annulled: Assessment,
        facts: Mapping[int, Iterable[Fact]],
        grants: Iterable[AuthorityGrant],
        frame: Frame,
    ) -> None:
        self.annulled = annulled
        self.frame = frame
        self.grants = list(grants)
        self.facts = {person: list(known) for person, known in facts.items()}
        self.rules = {person: PersonRule(person, known, frame) for person, known in self.facts.items()}
        self.area = frame.tasks[annulled.task].area

    def judged_by_assessor(self) -> list[Assessment]:
        """Return the assessments in the area by the assessor that stand as sign-offs, the annulled one too."""
        return [
            attempt.assessment
            for attempt in self._signed()
            if attempt.assessment.by == self.annulled.by and self._area(attempt.assessment) == self.area
        ]

    def doubts(self, since: date, until: datetime) -> tuple[Doubt, ...]:
        """Return the sign-offs to put under review, in the order of the ledger: one level, none twice.

        Those of the assessor from the day `since` to the discovery `until`, in the area and in any other in which the
        assessor had no authority on their day; those that the annulled holder judged on the task and place while
        holding it by this sign-off; and those that rest on runs which the holder watched under it. What has been
        looked at again since, or is under review already, is left as it is.
        """
        found = []
        for attempt in self._signed():
            assessment = attempt.assessment
            if assessment.seq == self.annulled.seq or assessment.happened_at > until:
                continue
            cause = self._cause(assessment, since)
            if cause is not None and not _is_doubted(self._held(assessment), assessment):
                found.append(Doubt(assessment=assessment, cause=cause))
        return tuple(sorted(found, key=lambda doubt: doubt.assessment.seq))

    def _signed(self) -> Iterable[Attempt]:
        for rule in self.rules.values():
            holdings = (rule.holding(*place) for place in rule.keys())  # noqa: SIM118 - a rule is no mapping
            for attempt in (attempt for held in holdings for attempt in held.attempts):
                if attempt.state in {State.SIGNED, State.UNSIGNED}:
                    yield attempt

    def _held(self, assessment: Assessment) -> Holding:
        return self.rules[assessment.person].holding(assessment.task, assessment.scope)

    def _area(self, assessment: Assessment) -> str:
        return self.frame.tasks[assessment.task].area

    def _cause(self, assessment: Assessment, since: date) -> DoubtCause | None:
        is_theirs = self.annulled.by is not None and assessment.by == self.annulled.by
        if is_theirs and assessment.on >= since and self._is_in_question(assessment):
            return DoubtCause.SAME_ASSESSOR
        if (assessment.task, assessment.scope) != (self.annulled.task, self.annulled.scope):
            return None
        if assessment.by == self.annulled.person and self._held_by_it(assessment.happened_at):
            return DoubtCause.JUDGED_UNDER_IT
        return DoubtCause.WATCHED_UNDER_IT if self._rests_on_its_runs(assessment) else None

    def _is_in_question(self, assessment: Assessment) -> bool:
        area = self._area(assessment)
        return area == self.area or not has_authority(self.grants, {AuthorityKind.ASSESS}, area, assessment.on)

    def _held_by_it(self, moment: datetime) -> bool:
        """Whether the annulled holder held the task by this very sign-off at a moment."""
        signoff = self._held(self.annulled).governing_at(moment)
        return signoff is not None and signoff.assessment.seq == self.annulled.seq and signoff.holds_at(moment)

    def _rests_on_its_runs(self, assessment: Assessment) -> bool:
        """Whether a run that counted toward an assessment was watched by the holder under the sign-off."""
        before = [
            fact
            for fact in self.facts[assessment.person]
            if fact.place < assessment.place or isinstance(fact, _WHOSE_AND_WHETHER)
        ]
        rule = PersonRule(assessment.person, before, self.frame)
        place = assessment.task, assessment.scope, assessment.happened_at
        purpose = rule.purpose_at(*place, revision=assessment.revision, is_delta=assessment.delta)
        counted = rule.progress_toward(purpose, *place).counted
        return any(
            isinstance(fact, Run)
            and fact.seq in counted
            and fact.by == self.annulled.person
            and self._held_by_it(fact.happened_at)
            for fact in before
        )


def _is_doubted(held: Holding, assessment: Assessment) -> bool:
    """Whether a sign-off is under review, or was and has been looked at again."""
    case = held.case
    return bool(case.pointing_at(Review, assessment.seq) or case.pointing_at(Reverification, assessment.seq))


def open_review(held: Holding, assessment: Assessment) -> Review | None:
    """Return the review that a sign-off is under: the newest that no re-verification has followed."""
    case = held.case
    if case.pointing_at(Annulment, assessment.seq):
        return None
    verified = [order_of(fact) for fact in case.pointing_at(Reverification, assessment.seq)]
    reviews = [
        fact
        for fact in case.pointing_at(Review, assessment.seq)
        if order_of(fact) > max(verified, default=order_of(assessment))
    ]
    return reviews[-1] if reviews else None
