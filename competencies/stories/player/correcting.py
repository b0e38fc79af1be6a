"""What a story tells of corrections: what is wrong with an entry, and what is right."""

from collections.abc import Mapping

from competencies.importing.fields import Section
from competencies.ledger.writer import Appended
from competencies.queries.facts import own_facts
from competencies.queries.frame import frame_of
from competencies.standing.facts import Assessment, Fact, Run, Scope
from competencies.standing.replacing import Change, Instead, replacement, twins_of
from competencies.stories.ground import Ground, entitled_person, keep_entitled
from competencies.stories.moments import read_moment
from competencies.stories.references import SHORTER
from competencies.stories.story import StoryEvent
from competencies.vocabulary import CorrectionCause, ScopeKind


def change_told(
    event: StoryEvent, entry: Fact, *, ground: Ground, entries: Mapping[str, Appended], reason: str
) -> Change:
    """Return what is wrong with an entry and what is right; without a cause, it was entered in error."""
    word = event.section.text("cause", longest=40)
    cause = SHORTER.get(word) or CorrectionCause(word or CorrectionCause.ENTERED_IN_ERROR)
    inner = event.section.map_of("instead")
    return Change(
        cause=cause,
        reason=reason,
        instead=_instead(inner, entry, ground) if inner is not None else None,
        twin=_twin(event, entry, entries) if cause is CorrectionCause.DOUBLE_ENTRY else None,
    )


def keep_entitled_for(entry: Fact, change: Change, *, ground: Ground, is_refused: bool) -> None:
    """Keep whoever watched or judged in force where and when it is told to have been, as for any run or assessment."""
    if change.instead is None or not isinstance(entry, Run | Assessment) or entry.by is None:
        return
    right = replacement(entry, change.instead, frame=frame_of(ground.plant))
    person = next(each for each in ground.people.values() if each.pk == entry.by)
    if person.pk in ground.entitled or not is_refused:
        keep_entitled(ground=ground, person=person, task=ground.tasks[right.task], scope=right.scope, on=right.on)


def _instead(inner: Section, entry: Fact, ground: Ground) -> Instead:
    task = inner.text("task", longest=20) or None
    person = inner.text("person", longest=20)
    return Instead(
        person=entitled_person(ground, person).pk if person else None,
        task=task,
        scope=_scope(inner, task, entry, ground),
        on=inner.day("on"),
        happened_at=read_moment(inner, "at", ground.zone),
        shift=inner.text("shift", longest=20) or None,
        revision=inner.whole_or_none("revision", low=1, high=999),
    )


def _scope(inner: Section, task: str | None, entry: Fact, ground: Ground) -> Scope | None:
    """Return the place that is right: of another kind of task, where it is held when the story does not say."""
    if inner.has("scope"):
        return Scope.parse(inner.text("scope", longest=21))
    if task is None or ground.tasks[task].scope_kind == _kind_of(entry.scope):
        return None
    return ground.usual_scope(ground.tasks[task])


def _kind_of(scope: Scope) -> ScopeKind:
    if scope.machine:
        return ScopeKind.MACHINE
    return ScopeKind.LINE if scope.line else ScopeKind.SITE


def _twin(event: StoryEvent, entry: Fact, entries: Mapping[str, Appended]) -> int | None:
    """Return the other of a pair: the one named, or the entry that stands and is most like it."""
    named = entries.get(event.section.text("twin", longest=20))
    if named is not None:
        return named.seq
    like = twins_of(entry, own_facts([entry.person])[entry.person])
    return like[0].seq if like else None
