"""Plays what follows an assessment: annulment and review, checks owed, appeals, and conflicts of interest."""

from collections.abc import Callable, Mapping
from typing import TypeVar

from competencies.ledger.writer import Appended
from competencies.models import Person
from competencies.operations import annulments, conflicts, outcomes
from competencies.operations.decisions import When
from competencies.operations.pins import Signer
from competencies.operations.recording import OnTask
from competencies.standing.facts import Assessment
from competencies.stories.ground import Ground, entitled_person
from competencies.stories.story import StoryEvent
from competencies.vocabulary import AnnulmentCause, CheckCause, ConflictCause

Cause = TypeVar("Cause", CheckCause, AnnulmentCause, ConflictCause)


def _when(event: StoryEvent) -> When:
    return When(happened_at=event.happened_at, on=event.on, now=event.recorded_at)


def _reason(event: StoryEvent) -> str:
    return event.section.text("reason", longest=200) or "told by the story"


def _cause(event: StoryEvent, causes: type[Cause], usual: Cause) -> Cause:
    """Return the cause an event tells; spaces or dashes serve for the underscores of its word."""
    word = event.section.text("cause", longest=40).lower().replace(" ", "_").replace("-", "_")
    return causes(word) if word in set(causes) else event.section.choice("cause", causes, usual)


def _annul(event: StoryEvent, signoff: Assessment, holder: Person, by: Signer) -> Appended:
    ruling = annulments.Ruling(
        cause=_cause(event, AnnulmentCause, AnnulmentCause.NOT_ENTITLED),
        reason=_reason(event),
        unentitled_from=event.section.day("unentitled_from"),
    )
    return annulments.annul(signoff=signoff, holder=holder, ruling=ruling, by=by, when=_when(event)).annulment


def _doubt(event: StoryEvent, signoff: Assessment, holder: Person, by: Signer) -> Appended:
    return annulments.put_under_review(signoff=signoff, holder=holder, by=by, when=_when(event))


def _verify(event: StoryEvent, signoff: Assessment, holder: Person, by: Signer) -> Appended:
    return annulments.reverify(signoff=signoff, holder=holder, by=by, when=_when(event))


def _see(event: StoryEvent, assessment: Assessment, trainee: Person, by: Signer) -> Appended:
    return outcomes.see_outcome(assessment=assessment, trainee=trainee, by=by, when=_when(event))


def _appeal(event: StoryEvent, assessment: Assessment, trainee: Person, by: Signer) -> Appended:
    return outcomes.appeal(assessment=assessment, trainee=trainee, by=by, when=_when(event))


# What is done about an assessment, by the kind of event.
ABOUT_ASSESSMENT: Mapping[str, Callable[[StoryEvent, Assessment, Person, Signer], Appended]] = {
    "annulment": _annul,
    "review": _doubt,
    "reverification": _verify,
    "outcome_seen": _see,
    "appeal": _appeal,
}
# Done by the one who was assessed, where the story does not say otherwise.
BY_THE_TRAINEE = frozenset({"outcome_seen", "appeal"})


def owe_check(event: StoryEvent, on_task: OnTask, by: Signer) -> Appended:
    """Ask for an extra check."""
    cause = _cause(event, CheckCause, CheckCause.SEEN_UNSAFE)
    return outcomes.owe_check(on_task=on_task, cause=cause, by=by, when=_when(event))


def review_attempts(event: StoryEvent, on_task: OnTask, by: Signer) -> Appended:
    """Review the attempts before a fourth."""
    return outcomes.review_attempts(on_task=on_task, by=by, when=_when(event))


def declare_conflict(ground: Ground, event: StoryEvent, person: Person, by: Signer) -> Appended:
    """Declare a conflict of interest between two people."""
    section = event.section
    declared = conflicts.Declared(
        other=entitled_person(ground, section.text("with", longest=20, required=True)),
        cause=_cause(event, ConflictCause, ConflictCause.FAMILY),
        from_on=section.day("from") or event.on,
        until_on=section.day("until"),
    )
    return conflicts.declare_conflict(person=person, declared=declared, by=by, when=_when(event))
