"""Plays corrections, records that are one person's, and new names."""

from competencies.ledger.writer import Appended
from competencies.operations import corrections, joining
from competencies.stories.player import correcting
from competencies.stories.player.playing import Play
from competencies.stories.player.told import done_by, entry_told, person_named, person_of, reason_told, when_told
from competencies.stories.story import StoryEvent


def play_correction(playing: Play, event: StoryEvent) -> Appended:
    """Correct an entry, with what it should have said if the event tells it."""
    entry = entry_told(playing, event)
    change = correcting.change_told(
        event, entry, ground=playing.ground, entries=playing.entries, reason=reason_told(event)
    )
    correcting.keep_entitled_for(entry, change, ground=playing.ground, is_refused=event.is_refused)
    return corrections.correct(
        entry=entry,
        person=person_of(playing, entry),
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
        change=change,
    )


def play_join(playing: Play, event: StoryEvent) -> Appended:
    """Join two records of one person."""
    return joining.join_people(
        kept=person_named(playing, event, "into"),
        other=person_named(playing, event, "person"),
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
        why=joining.Why(reason=reason_told(event), is_confirmed=event.section.flag("confirmed")),
    )


def play_part(playing: Play, event: StoryEvent) -> Appended:
    """Part a record that holds two people."""
    named = [playing.entries.get(text) for text in event.section.texts("of", longest=20)]
    return joining.part_people(
        record=person_named(playing, event, "person"),
        other=person_named(playing, event, "into"),
        entries=[appended.seq for appended in named if appended is not None],
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
        why=joining.Why(reason=reason_told(event)),
    )


def play_rename(playing: Play, event: StoryEvent) -> Appended:
    """Give a person another name."""
    return joining.rename_person(
        person=person_named(playing, event, "person"),
        name=event.section.text("name", longest=120, required=True),
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
    )
