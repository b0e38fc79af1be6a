"""What an event tells of: the people, the task and place, the day, and the earlier entry that it is about."""

from competencies.models import Person, Task
from competencies.operations.decisions import When
from competencies.operations.recording import OnTask
from competencies.queries.facts import is_mirrored, own_facts
from competencies.standing import facts
from competencies.standing.facts import Fact, Scope
from competencies.stories.ground import STAND_INS, entitled_person, keep_entitled
from competencies.stories.player.playing import MissingEntryError, Play
from competencies.stories.story import StoryEvent

SUPERVISING, ASSESSING, SIGNING, COORDINATING = STAND_INS
PART_OF = {
    "run": SUPERVISING,
    "check": SUPERVISING,
    "assessment": ASSESSING,
    "recognition": ASSESSING,
    "second_signature": SIGNING,
    "unit_decision": ASSESSING,
}
# The kinds of entry that an event without `of` can be about; the newest of the person's on the task is meant.
ABOUT: dict[str, type[Fact]] = {
    "run_accepted": facts.Run,
    "second_signature": facts.Assessment,
    "lifting": facts.Suspension,
    "annulment": facts.Assessment,
    "review": facts.Assessment,
    "reverification": facts.Assessment,
    "outcome_seen": facts.Assessment,
    "appeal": facts.Assessment,
}


def person_told(playing: Play, event: StoryEvent) -> Person:
    """Return whom an event is about."""
    return entitled_person(playing.ground, event.section.text("person", longest=20, required=True))


def done_by(playing: Play, event: StoryEvent) -> Person:
    """Return who did it: the one named, else the stand-in for that part."""
    named = event.section.text("by", longest=20)
    return entitled_person(playing.ground, named or PART_OF.get(event.kind, COORDINATING))


def task_told(playing: Play, event: StoryEvent) -> Task:
    """Return the task that an event names."""
    return Task.objects.select_related("area", "plant").get(
        plant=playing.ground.plant, code=event.section.text("task", longest=20, required=True)
    )


def _scope(playing: Play, event: StoryEvent, task: Task) -> Scope:
    return playing.ground.told_scope(event.section, task)


def on_task_told(playing: Play, event: StoryEvent) -> OnTask:
    """Return whom, on which task and where an event is about."""
    task = task_told(playing, event)
    return OnTask(person=person_told(playing, event), task=task, scope=_scope(playing, event, task))


def when_told(event: StoryEvent) -> When:
    """Return when it happened and when it was written down."""
    return When(happened_at=event.happened_at, on=event.on, now=event.recorded_at)


def entry_told(playing: Play, event: StoryEvent) -> Fact:
    """Return the earlier entry that an event is about: the one named, or the newest of its kind on the task."""
    everyone = own_facts([person.pk for person in playing.ground.people.values()])
    known = [fact for of_one in everyone.values() for fact in of_one if not is_mirrored(fact)]
    if event.section.has("of"):
        named = playing.entries.get(event.section.text("of", longest=20))
        fitting = [fact for fact in known if named and fact.seq == named.seq]
    else:
        fitting = _of_its_kind(playing, event, known)
    if not fitting:
        raise MissingEntryError
    # Whoever watched or judged has the same entry as work of their own: the one it is about comes first.
    return max(fitting, key=lambda fact: (fact.seq, not isinstance(fact, facts.Performance)))


def _of_its_kind(playing: Play, event: StoryEvent, known: list[Fact]) -> list[Fact]:
    kind = ABOUT.get(event.kind)
    if kind is None or not (event.section.has("person") and event.section.has("task")):
        return []
    about = on_task_told(playing, event)
    place = (about.person.pk, about.task.code, about.scope)
    return [fact for fact in known if isinstance(fact, kind) and (fact.person, fact.task, fact.scope) == place]


def person_of(playing: Play, entry: Fact) -> Person:
    """Return whom an earlier entry is about."""
    return next(person for person in playing.ground.people.values() if person.pk == entry.person)


def revision_told(task: Task, event: StoryEvent) -> int:
    """Return the revision an event names, else the one in force on its day."""
    given = event.section.whole_or_none("revision", low=1, high=999)
    in_force = task.revisions.filter(effective_on__lte=event.on).order_by("-number").first()
    return given or (in_force.number if in_force else 1)


def coming_revision(task: Task, event: StoryEvent) -> int | None:
    """Return the revision that is approved and not in force on an event's day, if there is one."""
    coming = task.revisions.filter(approved_on__lte=event.on, effective_on__gt=event.on).order_by("-number").first()
    return coming.number if coming else None


def keep_in_force(playing: Play, event: StoryEvent, person: Person, on_task: OnTask) -> None:
    """Keep the watching or assessing person in force, unless the event is there to be refused for them."""
    if person.pk in playing.ground.entitled or not event.is_refused:
        keep_entitled(ground=playing.ground, person=person, task=on_task.task, scope=on_task.scope, on=event.on)


def reason_told(event: StoryEvent) -> str:
    """Return the reason an event gives; one has always been given."""
    return event.section.text("reason", longest=200) or "told by the story"


def person_named(playing: Play, event: StoryEvent, key: str) -> Person:
    """Return a person as the record has them now: an earlier event may have joined or renamed it."""
    person = entitled_person(playing.ground, event.section.text(key, longest=20, required=True))
    person.refresh_from_db()
    return person
