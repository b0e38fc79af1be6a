"""Plays who is employed, away, entrusted with what, named a first trainer, and what is kept for an incident."""

from functools import partial

from competencies.ledger.writer import Appended, writing
from competencies.models import Authority, Person
from competencies.operations import rights
from competencies.operations.recording import UNWRITTEN, Signature, append_fact
from competencies.standing import facts
from competencies.standing.facts import Fact
from competencies.stories.ground import give
from competencies.stories.player import office
from competencies.stories.player.playing import MissingEntryError, Play
from competencies.stories.player.told import done_by, entry_told, on_task_told, person_of, person_told, task_told
from competencies.stories.story import StoryEvent
from competencies.stories.story_file import read_grants
from competencies.vocabulary import EntryKind, Meaning


def play_employment(playing: Play, event: StoryEvent) -> Appended:
    """Record when somebody started, leaves, or is barred as a young worker."""
    person = person_told(playing, event)
    if event.section.has("started_on"):
        # Who starts again has no last day until one is told.
        person.last_day = None
    for name in ("started_on", "last_day", "restricted_until"):
        if event.section.has(name):
            setattr(person, name, event.section.day(name))
    person.save(update_fields=["started_on", "last_day", "restricted_until"])
    return rights.record_employment(
        person=person,
        by=playing.ground.signer(done_by(playing, event)),
        happened_at=event.happened_at,
        on=event.on,
        now=event.recorded_at,
    )


def play_authority(playing: Play, event: StoryEvent) -> None:
    """Entrust a person with what the event names."""
    for grant in read_grants(event.section):
        give(playing.ground, person_told(playing, event), grant, event.recorded_at)


def play_authority_ended(playing: Play, event: StoryEvent) -> None:
    """End what a person was entrusted with."""
    rows = Authority.objects.filter(
        person=person_told(playing, event), kind=event.section.text("grant", longest=20, required=True)
    )
    if area := event.section.text("area", longest=10):
        rows = rows.filter(area__code=area)
    for authority in rows.select_related("person__plant"):
        rights.end_authority(
            authority=authority,
            last_day=event.section.day("last_day") or event.on,
            by=playing.ground.signer(done_by(playing, event)),
            now=event.recorded_at,
        )


@writing()
def _append_plain(*, playing: Play, event: StoryEvent, fact: Fact, person: Person) -> Appended:
    signature = Signature(signer=playing.ground.signer(done_by(playing, event)), meaning=Meaning.ADMINISTERED)
    return append_fact(fact=fact, person=person, signature=signature, now=event.recorded_at)


PLAIN = {
    EntryKind.PERFORMANCE: facts.Performance,
    EntryKind.INITIAL_TRAINER: facts.InitialTrainer,
    EntryKind.ABSENCE: facts.Absence,
}


def play_plain(playing: Play, event: StoryEvent) -> Appended:
    """Enter a fact that the rule judges when it is read, and never refuses."""
    kind, section = PLAIN[EntryKind(event.kind)], event.section
    values: dict[str, object] = {}
    if section.has("of"):
        entry = entry_told(playing, event)
        person, values = person_of(playing, entry), {"task": entry.task, "scope": entry.scope, "of": entry.seq}
    elif section.has("task"):
        on_task = on_task_told(playing, event)
        person, values = on_task.person, {"task": on_task.task.code, "scope": on_task.scope}
    else:
        person = person_told(playing, event)
    if section.has("back"):
        values["back_on"] = section.day("back")
    if section.has("cause"):
        values["cause"] = section.text("cause", longest=40)
    if section.has("revision"):
        values["revision"] = section.whole("revision", low=1, high=999, default=1)
    fact = kind(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=event.happened_at,
        recorded_at=event.recorded_at,
        on=event.on,
        by=done_by(playing, event).pk,
        **values,
    )
    return _append_plain(playing=playing, event=event, fact=fact, person=person)


def play_initial_trainer(playing: Play, event: StoryEvent) -> Appended:
    """Name a first trainer."""
    on_task, by = on_task_told(playing, event), playing.ground.signer(done_by(playing, event))
    return office.name_first_trainer(playing.ground, event, on_task, by, partial(play_plain, playing, event))


def play_absence(playing: Play, event: StoryEvent) -> Appended | None:
    """Record an absence."""
    by = playing.ground.signer(done_by(playing, event))
    return office.record_away(event, person_told(playing, event), by, partial(play_plain, playing, event))


def play_hold(playing: Play, event: StoryEvent) -> Appended:
    """Set a legal hold."""
    task = task_told(playing, event) if event.section.has("task") else None
    return office.set_told_hold(playing.ground, event, task, playing.ground.signer(done_by(playing, event)))


def play_hold_ended(playing: Play, event: StoryEvent) -> None:
    """End a legal hold."""
    if not office.end_told_hold(playing.ground, event, playing.entries):
        raise MissingEntryError
