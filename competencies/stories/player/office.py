"""What a story tells of the office: first trainers, absences, legal holds."""

from collections.abc import Callable, Mapping
from datetime import timedelta

from competencies.ledger.writer import Appended
from competencies.models import LegalHold, Person, Task
from competencies.operations.absences import Away, record_absence
from competencies.operations.decisions import When
from competencies.operations.holds import HoldCover, end_hold, set_hold
from competencies.operations.initial_trainers import name_initial_trainer, naming_refusals
from competencies.operations.pins import Signer
from competencies.operations.recording import OnTask
from competencies.queries.facts import rules_of
from competencies.stories.ground import Ground, entitled_person, line_at
from competencies.stories.story import StoryEvent


def name_first_trainer(
    ground: Ground, event: StoryEvent, on_task: OnTask, by: Signer, plainly: Callable[[], Appended]
) -> Appended:
    """Name a first trainer; `plainly` enters it where only stand-ins, who hold everything, stand in the way."""
    revision = event.section.whole_or_none("revision", low=1, high=999)
    when = When(happened_at=event.happened_at, on=event.on, now=event.recorded_at)
    refusals = naming_refusals(on_task=on_task, revision=revision, by=by.person, when=when)
    if not event.is_refused and {each.code for each in refusals} == {"taught_already"}:
        told = rules_of([person for person in ground.people.values() if person.pk not in ground.entitled])
        place = (on_task.task.code, on_task.scope, event.happened_at)
        if not any(rule.in_force_at(*place) for number, rule in told.items() if number != on_task.person.pk):
            return plainly()
    return name_initial_trainer(on_task=on_task, revision=revision, by=by, when=when)


def record_away(event: StoryEvent, person: Person, by: Signer, plainly: Callable[[], Appended]) -> Appended | None:
    """Record an absence; `plainly` enters one that has no end yet, or no day in it."""
    back_on, first = event.section.day("back"), event.on + timedelta(days=1)
    if back_on is None or back_on <= first:
        return plainly()
    away = Away(from_on=first, until_on=back_on - timedelta(days=1))
    record_absence(person=person, away=away, by=by, now=event.recorded_at)
    return None


def set_told_hold(ground: Ground, event: StoryEvent, task: Task | None, by: Signer) -> Appended:
    """Set the hold that an event tells of."""
    section, line = event.section, event.section.text("line", longest=10)
    cover = HoldCover(
        incident=section.text("incident", longest=40, required=True),
        people=[entitled_person(ground, name) for name in section.texts("people", longest=20)],
        task=task,
        line=line_at(ground, line) if line else None,
        from_on=section.day("from"),
        until_on=section.day("until"),
    )
    hold = set_hold(plant=ground.plant, cover=cover, by=by, now=event.recorded_at)
    return Appended(hold.entry_seq, b"")


def end_told_hold(ground: Ground, event: StoryEvent, entries: Mapping[str, Appended]) -> bool:
    """End the hold that an event names, or the newest; return whether there is one.

    Where the story names nobody, a coordinator of its own ends it: not the one who sets holds.
    """
    named = entries.get(event.section.text("of", longest=20))
    holds = LegalHold.objects.filter(plant=ground.plant).order_by("-set_at")
    hold = holds.filter(entry_seq=named.seq).first() if named else holds.first()
    if hold is None:
        return False
    by = entitled_person(ground, event.section.text("by", longest=20) or "another coordinator")
    end_hold(hold=hold, by=ground.signer(by), now=event.recorded_at)
    return True
