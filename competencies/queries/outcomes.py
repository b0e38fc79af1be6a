"""The outcome of a person's newest assessment on a task, and what they said to it (R2.7)."""

from collections.abc import Sequence
from dataclasses import dataclass

from competencies.models import Person
from competencies.queries.facts import facts_of_people
from competencies.queries.signatures import Signature, signatures
from competencies.standing.facts import Appeal, Assessment, OutcomeSeen, Scope
from competencies.standing.live import live
from competencies.standing.rule import PersonRule
from competencies.standing.signoffs import State
from competencies.vocabulary import Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class OutcomeShown:
    """An assessment as the person who was assessed reads it; `seen` and `appeal` are their own signatures, if any."""

    assessment: Assessment
    signature: Signature | None
    seen: Signature | None
    appeal: Signature | None

    @property
    def is_competent(self) -> bool:
        """Whether it said competent."""
        return self.assessment.outcome is Outcome.COMPETENT

    @property
    def may_see(self) -> bool:
        """Whether there is a reason to mark it as seen."""
        return self.seen is None and self.appeal is None

    @property
    def may_appeal(self) -> bool:
        """Whether an appeal can be made: against not yet competent, once."""
        return not self.is_competent and self.appeal is None


def newest_outcome(rule: PersonRule, task: str, scope: Scope) -> OutcomeShown | None:
    """Return the outcome of the newest assessment on a task, unless it is annulled. Two queries."""
    held = rule.holding(task, scope)
    attempts = [attempt for attempt in held.attempts if attempt.state is not State.ANNULLED]
    if not attempts:
        return None
    assessment = attempts[-1].assessment
    seen = held.case.pointing_at(OutcomeSeen, assessment.seq)
    appeals = held.case.pointing_at(Appeal, assessment.seq)
    return _shown(assessment, seen, appeals)


def outcome_of(person: Person, assessment: Assessment) -> OutcomeShown:
    """Return an assessment as the person reads it, and what they said to it. A fixed number of queries."""
    facts = live(facts_of_people([person.pk])[person.pk])
    seen = [fact for fact in facts if isinstance(fact, OutcomeSeen) and fact.of == assessment.seq]
    appeals = [fact for fact in facts if isinstance(fact, Appeal) and fact.of == assessment.seq]
    return _shown(assessment, seen, appeals)


def _shown(assessment: Assessment, seen: Sequence[OutcomeSeen], appeals: Sequence[Appeal]) -> OutcomeShown:
    signed = signatures([assessment.seq, *(fact.seq for fact in (*seen, *appeals))])
    return OutcomeShown(
        assessment=assessment,
        signature=signed.get(assessment.seq),
        seen=signed.get(seen[0].seq) if seen else None,
        appeal=signed.get(appeals[0].seq) if appeals else None,
    )
