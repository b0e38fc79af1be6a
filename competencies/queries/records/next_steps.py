"""The next three things to do, the most pressing first."""

from collections.abc import Iterable, Iterator
from typing import Final

from competencies.queries.records.parts import NextAction, TaskLine
from competencies.standing.facts import SITE
from competencies.standing.timeline import Step
from competencies.vocabulary import Standing

MOST: Final = 3
STOPPED: Final = frozenset(
    {Standing.LAPSED, Standing.OUT_OF_REVISION, Standing.STALE, Standing.SUSPENDED, Standing.UNDER_REVIEW}
    | {Standing.WITHDRAWN, Standing.BLOCKED}
)
ENDING: Final = frozenset({Standing.IN_GRACE, Standing.RENEWAL_DUE})
# What was held and is out comes first, then what is about to run out, then what is nearest to a sign-off.
ORDER: Final = (STOPPED, ENDING, {Standing.AWAITING_SIGNATURE}, {Standing.READY}, {Standing.LEARNING})


def next_actions(tasks: Iterable[TaskLine]) -> tuple[NextAction, ...]:
    """Return at most three things to do, each once."""
    lines = sorted(tasks, key=_rank)
    found = dict.fromkeys(action for line in lines for action in _actions(line))
    return tuple(found)[:MOST]


def _rank(line: TaskLine) -> tuple[int, int, str, str]:
    standing = line.period.standing
    place = next((place for place, group in enumerate(ORDER) if standing in group), len(ORDER))
    runs_left = max(0, line.tally.needed - line.tally.counted)
    if standing in ENDING and line.period.last_valid_on:
        return place, line.period.last_valid_on.toordinal(), line.code, str(line.scope)
    return place, runs_left, line.code, str(line.scope)


def _actions(line: TaskLine) -> Iterator[NextAction]:
    """Yield the first thing to do about a task, if there is one."""
    period = line.period
    standing = period.standing
    if standing in ENDING:
        yield NextAction(step=_step(line, "assessment"), until=period.last_valid_on)
    elif standing is Standing.READY:
        yield NextAction(step=_step(line, "assessment"))
    elif standing in {Standing.LEARNING, Standing.NOT_STARTED}:
        yield from _learning(line)
    elif period.way_back:
        yield NextAction(step=period.way_back[0])


def _learning(line: TaskLine) -> Iterator[NextAction]:
    runs_left = line.tally.needed - line.tally.counted
    missing = [code for code, passed_on in line.calculations if passed_on is None]
    if line.prerequisites_missing:
        return
    if runs_left > 0:
        yield NextAction(step=_step(line, "run", runs_left))
    elif missing:
        yield NextAction(step=_step(line, "check"), calculation=missing[0])
    elif line.is_begun:
        yield NextAction(step=_step(line, "run"))


def _step(line: TaskLine, action: str, count: int = 1) -> Step:
    return Step(action, line.code, line.scope or SITE, count)
