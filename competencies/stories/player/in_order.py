"""Plays a story's events through the operations that the pages use, in the order in which they were recorded."""

from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from functools import partial

from competencies.ledger.writer import Appended
from competencies.operations import rights
from competencies.operations.absences import AbsenceError
from competencies.operations.recording import RefusedError
from competencies.stories.ground import (
    add_hold,
    assessed_on,
    change_policy,
    change_terms,
    issue_revision,
    lay_ground,
    reclassify,
    set_stations,
)
from competencies.stories.moments import NOON, local
from competencies.stories.player import learning, people, records, second_looks, stopping, units
from competencies.stories.player.judging_refusals import is_uncounted, judge_refusal, refusal_codes
from competencies.stories.player.playing import Difference, MissingEntryError, Play
from competencies.stories.story import Story, StoryEvent


def play(story: Story) -> Play:
    """Play the whole story, in the order in which things were recorded, and return what there is to ask about."""
    playing = Play(story, lay_ground(story=story))
    for step in _in_order(playing):
        step()
    set_stations(playing.ground, story)
    return playing


def _in_order(playing: Play) -> Iterator[Callable[[], None]]:
    """Yield what is to be done: holds and issues by their moments, and the events in the order of the file."""
    waiting = sorted(_by_moment(playing), key=lambda item: item[0])
    for event in playing.story.events:
        while waiting and waiting[0][0] <= event.recorded_at:
            yield waiting.pop(0)[1]
        yield partial(_play_event, playing, event)
    for _, step in waiting:
        yield step


def _by_moment(playing: Play) -> Iterator[tuple[datetime, Callable[[], None]]]:
    """Yield what happens besides the events, each with its moment; what is not dated is recorded two hours before."""
    story, ground = playing.story, playing.ground

    def morning(day: date) -> datetime:
        return local(day, NOON, ground.zone) - timedelta(hours=2)

    for revision in story.revisions:
        at = revision.recorded_at or morning(revision.approved_on)
        yield at, partial(issue_revision, ground=ground, told=revision, story=story, now=at)
        if again := revision.reclassified_at:
            yield again, partial(reclassify, ground=ground, told=revision, now=again)
    for terms in story.terms:
        at = terms.recorded_at or morning(terms.effective_on)
        yield at, partial(change_terms, ground=ground, told=terms, now=at)
    for policy in story.policies:
        at = policy.recorded_at or morning(policy.effective_on)
        yield at, partial(change_policy, ground=ground, told=policy, now=at)
    for hold in story.holds:
        # What is held when the story begins was recorded before anything else of its day.
        yield morning(assessed_on(ground, hold)) + timedelta(hours=1), partial(add_hold, ground=ground, told=hold)


def _play_event(playing: Play, event: StoryEvent) -> None:
    try:
        appended = _PLAYERS[event.kind](playing, event)
    except RefusedError as error:
        judge_refusal(playing, event, refusal_codes(error))
        return
    except MissingEntryError:
        judge_refusal(playing, event, ["unknown_entry"])
        return
    except (rights.RightsError, AbsenceError) as error:
        judge_refusal(playing, event, [type(error).__name__, str(error)])
        return
    if event.is_refused and not is_uncounted(playing, event, appended):
        wanted = ", ".join(event.refused) or "any reason"
        playing.differences.append(Difference(event.section.line, f"should have been refused ({wanted}), was taken"))
    if event.id and appended is not None:
        playing.entries[event.id] = appended


_PLAYERS: dict[str, Callable[[Play, StoryEvent], Appended | None]] = {
    "run": learning.play_run,
    "run_accepted": learning.play_run_accepted,
    "check": learning.play_check,
    "assessment": learning.play_assessment,
    "second_signature": learning.play_second_signature,
    "acknowledgement": learning.play_acknowledgement,
    "recognition": learning.play_recognition,
    "suspension": stopping.play_suspension,
    "lifting": stopping.play_lifting,
    "withdrawal": stopping.play_withdrawal,
    "correction": records.play_correction,
    "join": records.play_join,
    "part": records.play_part,
    "rename": records.play_rename,
    "employment": people.play_employment,
    "authority": people.play_authority,
    "authority_ended": people.play_authority_ended,
    "check_owed": stopping.play_check_owed,
    "attempts_reviewed": stopping.play_attempts_reviewed,
    **dict.fromkeys(second_looks.ABOUT_ASSESSMENT, stopping.play_about_assessment),
    "conflict": stopping.play_conflict,
    "unit_decision": units.play_unit_decision,
    "unit_reported": units.play_unit_reported,
    "moderation": units.play_moderation,
    "enrolment": units.play_enrolment,
    **{kind.value: people.play_plain for kind in people.PLAIN},
    "absence": people.play_absence,
    "hold": people.play_hold,
    "hold_ended": people.play_hold_ended,
    "initial_trainer": people.play_initial_trainer,
}
