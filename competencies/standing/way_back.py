"""The way back: what has to be done, in order, until the person counts again (R3.4, R3.5, R4, R6). Pure."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import chain

from competencies.standing.facts import Scope
from competencies.standing.timeline import Step


class Need(StrEnum):
    """What one rule asks before it lets go."""

    FULL = "full"
    RETURN = "return"
    SIGNATURE = "signature"
    DELTA = "delta"
    RUN = "run"
    ACKNOWLEDGEMENT = "acknowledgement"
    LIFTING = "lifting"
    REVERIFICATION = "reverification"


@dataclass(frozen=True, slots=True)
class Remedy:
    """A need with the number of supervised runs that it asks first, and the other needs that are met with it."""

    need: Need
    runs: int = 0
    serves: frozenset[Need] = frozenset()


def own_steps(remedies: Iterable[Remedy], task: str, scope: Scope, *, is_critical: bool) -> tuple[Step, ...]:
    """Return the steps on one task, joined: a full assessment does for a delta, a delta for reading and a run."""
    wanted: dict[Need, int] = {}
    served: set[Need] = set()
    for remedy in remedies:
        wanted[remedy.need] = max(wanted.get(remedy.need, 0), remedy.runs)
        served |= remedy.serves
    wanted = {need: runs for need, runs in wanted.items() if need not in served}
    if wanted.pop(Need.RETURN, None) is not None:
        # Back from a withdrawal: a full assessment, and no new runs (R6.2).
        wanted[Need.FULL] = 0
    if not wanted:
        return ()
    judged = Need.FULL if Need.FULL in wanted else Need.DELTA
    decisions = (Need.LIFTING,) if judged is Need.FULL and judged in wanted else (Need.LIFTING, Need.REVERIFICATION)
    steps = [Step(need.value, task, scope) for need in decisions if need in wanted]
    if judged not in wanted:
        return (*steps, *_small_steps(wanted, task, scope))
    if Need.SIGNATURE in wanted:
        steps.append(Step("second_signature", task, scope))
    steps += _runs(wanted[judged], task, scope)
    steps.append(Step("assessment" if judged is Need.FULL else "delta", task, scope))
    return (*steps, Step("second_signature", task, scope)) if is_critical else tuple(steps)


def _small_steps(wanted: Mapping[Need, int], task: str, scope: Scope) -> Iterator[Step]:
    """Yield the steps that need no judgement of criteria."""
    if Need.SIGNATURE in wanted:
        yield Step("second_signature", task, scope)
    if Need.ACKNOWLEDGEMENT in wanted:
        yield Step("acknowledgement", task, scope)
    yield from _runs(wanted.get(Need.RUN, 0), task, scope)


def in_order(prerequisites: Sequence[Sequence[Step]], own: Sequence[Step]) -> tuple[Step, ...]:
    """Return all steps, those on prerequisites first, each once (R3.6)."""
    if not prerequisites:
        return tuple(own)
    return tuple(dict.fromkeys(chain(*prerequisites, own)))


def _runs(count: int, task: str, scope: Scope) -> tuple[Step, ...]:
    return (Step("run", task, scope, count),) if count else ()
