"""The way back: what has to be done, in order, until the person counts again (R3.4, R3.5, R4, R6). Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from competencies.standing.facts import Scope
from competencies.standing.timeline import Step


class Need(StrEnum):
    """What one rule asks before it lets go."""

    FULL = "full"
    SIGNATURE = "signature"
    DELTA = "delta"
    RUN = "run"
    ACKNOWLEDGEMENT = "acknowledgement"
    LIFTING = "lifting"
    REVERIFICATION = "reverification"


@dataclass(frozen=True, slots=True)
class Remedy:
    """A need with the number of supervised runs that it asks first."""

    need: Need
    runs: int = 0


def own_steps(remedies: Iterable[Remedy], task: str, scope: Scope, *, is_critical: bool) -> tuple[Step, ...]:
    """Return the steps on one task, joined: a full assessment does for a delta, a delta for reading and a run."""
    wanted: dict[Need, int] = {}
    for remedy in remedies:
        wanted[remedy.need] = max(wanted.get(remedy.need, 0), remedy.runs)
    signature = (Step("second_signature", task, scope),) if is_critical else ()
    steps: list[Step] = []
    if Need.LIFTING in wanted:
        steps.append(Step("lifting", task, scope))
    if Need.FULL in wanted:
        return (*steps, *_runs(wanted[Need.FULL], task, scope), Step("assessment", task, scope), *signature)
    if Need.REVERIFICATION in wanted:
        steps.append(Step("reverification", task, scope))
    if Need.DELTA in wanted:
        return (*steps, *_runs(wanted[Need.DELTA], task, scope), Step("delta", task, scope), *signature)
    if Need.SIGNATURE in wanted:
        steps.append(Step("second_signature", task, scope))
    if Need.ACKNOWLEDGEMENT in wanted:
        steps.append(Step("acknowledgement", task, scope))
    return (*steps, *_runs(wanted.get(Need.RUN, 0), task, scope))


def in_order(prerequisites: Iterable[Sequence[Step]], own: Sequence[Step]) -> tuple[Step, ...]:
    """Return all steps, those on prerequisites first, each once (R3.6)."""
    seen: dict[Step, None] = {}
    for steps in prerequisites:
        seen.update(dict.fromkeys(steps))
    seen.update(dict.fromkeys(own))
    return tuple(seen)


def _runs(count: int, task: str, scope: Scope) -> tuple[Step, ...]:
    return (Step("run", task, scope, count),) if count else ()
