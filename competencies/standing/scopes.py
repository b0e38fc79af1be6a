"""Which scope a prerequisite means (3.12, R12), and how a young-worker bar spreads (R10.3). Pure."""

from collections.abc import Iterable

from competencies.standing.facts import Scope
from competencies.standing.framework import Frame, TaskFrame
from competencies.vocabulary import ScopeKind, YoungWorker

_BAR = {YoungWorker.OPEN: 0, YoungWorker.TRAINING_ONLY: 1, YoungWorker.CLOSED: 2}


class CircularPrerequisites(ValueError):  # noqa: N818 (the mistake is named, as the reader of a syllabus sees it)
    """A task needs itself, through others or at once."""


def kind_of(scope: Scope) -> ScopeKind:
    """Return what kind of scope it is."""
    if scope.machine:
        return ScopeKind.MACHINE
    return ScopeKind.LINE if scope.line else ScopeKind.SITE


def can_be_held(task: TaskFrame, scope: Scope) -> bool:
    """Whether a task can be held at a scope: of its kind, and among those named where some are."""
    return kind_of(scope) is task.scope_kind and (not task.held_at or scope in task.held_at)


def serving_scopes(task: TaskFrame, at: Scope, known: Iterable[Scope]) -> tuple[Scope, ...]:
    """Return the scopes of a prerequisite any one of which serves a task held at `at`, in order.

    The same line or machine where it can be held there; else any machine of the line; else any of its kind.
    `known` are the scopes at which the person has entries for the prerequisite.
    """
    if task.scope_kind is ScopeKind.SITE:
        return (Scope(),)
    same = at if task.scope_kind is ScopeKind.MACHINE else Scope(at.line)
    if can_be_held(task, same):
        return (same,)
    candidates = sorted({scope for scope in (*known, *task.held_at) if can_be_held(task, scope)})
    on_line = tuple(scope for scope in candidates if scope.line == at.line)
    if on_line or (at.line and not task.held_at):
        return on_line
    return tuple(candidates)


def all_prerequisites(frame: Frame, task: str) -> frozenset[str]:
    """Return the direct and indirect prerequisites of a task, by any of its terms. Raises CircularPrerequisites."""
    found: set[str] = set()
    waiting = [task]
    while waiting:
        current = waiting.pop()
        if current not in frame.tasks:
            continue
        for terms in frame.tasks[current].terms:
            waiting.extend(code for code in terms.prerequisites if code not in found)
            found.update(terms.prerequisites)
    if task in found:
        message = f"{task} needs itself"
        raise CircularPrerequisites(message)
    return frozenset(found)


def heaviest_bar(classes: Iterable[YoungWorker]) -> YoungWorker:
    """Return the strictest of several young-worker classes: a bar spreads along prerequisites (R10.3)."""
    return max(classes, key=lambda bar: _BAR[bar], default=YoungWorker.OPEN)
