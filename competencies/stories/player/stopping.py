"""Plays how somebody is stopped, and looked at again."""

from competencies.ledger.writer import Appended
from competencies.models import Task
from competencies.operations import decisions
from competencies.operations.recording import OnTask
from competencies.standing import facts
from competencies.stories.player import second_looks
from competencies.stories.player.playing import MissingEntryError, Play
from competencies.stories.player.told import (
    done_by,
    entry_told,
    keep_in_force,
    on_task_told,
    person_of,
    person_told,
    reason_told,
    when_told,
)
from competencies.stories.story import StoryEvent
from competencies.vocabulary import EntryKind


def play_suspension(playing: Play, event: StoryEvent) -> Appended:
    """Suspend a sign-off."""
    return decisions.suspend(
        on_task=on_task_told(playing, event),
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
        reason=reason_told(event),
    )


def play_lifting(playing: Play, event: StoryEvent) -> Appended:
    """Lift a suspension."""
    suspension = entry_told(playing, event)
    if not isinstance(suspension, facts.Suspension):
        raise MissingEntryError
    return decisions.lift_suspension(
        suspension=suspension,
        holder=person_of(playing, suspension),
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
        reason=reason_told(event),
    )


def play_withdrawal(playing: Play, event: StoryEvent) -> Appended:
    """Withdraw a sign-off for cause."""
    return decisions.withdraw(
        on_task=on_task_told(playing, event),
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
        reason=reason_told(event),
    )


def play_about_assessment(playing: Play, event: StoryEvent) -> Appended:
    """Play what is done about an assessment: annulled, put under review, looked at again, seen, appealed against."""
    entry, section = entry_told(playing, event), event.section
    if not isinstance(entry, facts.Assessment):
        raise MissingEntryError
    assessed = person_of(playing, entry)
    by = assessed if event.kind in second_looks.BY_THE_TRAINEE and not section.has("by") else done_by(playing, event)
    if event.kind == EntryKind.REVERIFICATION:
        task = Task.objects.select_related("area", "plant").get(plant=playing.ground.plant, code=entry.task)
        keep_in_force(playing, event, by, OnTask(person=assessed, task=task, scope=entry.scope))
    return second_looks.ABOUT_ASSESSMENT[event.kind](event, entry, assessed, playing.ground.signer(by))


def play_check_owed(playing: Play, event: StoryEvent) -> Appended:
    """Ask for an extra check."""
    return second_looks.owe_check(event, on_task_told(playing, event), playing.ground.signer(done_by(playing, event)))


def play_attempts_reviewed(playing: Play, event: StoryEvent) -> Appended:
    """Review the attempts before another one."""
    return second_looks.review_attempts(
        event, on_task_told(playing, event), playing.ground.signer(done_by(playing, event))
    )


def play_conflict(playing: Play, event: StoryEvent) -> Appended:
    """Declare a conflict of interest."""
    by = playing.ground.signer(done_by(playing, event))
    return second_looks.declare_conflict(playing.ground, event, person_told(playing, event), by)
