"""The way back in order (R3.6): a full assessment does for a delta, a delta for reading and a run."""

import pytest

from competencies.standing.facts import SITE, Scope
from competencies.standing.timeline import Step
from competencies.standing.way_back import Need, Remedy, in_order, own_steps

F1 = Scope("L1", "F1")
# A signature that is awaited, and the need that is met with it (R2.5).
FOR_FULL = Remedy(Need.SIGNATURE, serves=frozenset({Need.FULL}))
FOR_DELTA = Remedy(Need.SIGNATURE, serves=frozenset({Need.DELTA}))


def steps(*remedies, is_critical=False):
    found = own_steps(remedies, "T-01", F1, is_critical=is_critical)
    assert {(step.task, step.scope) for step in found} <= {("T-01", F1)}
    return [(step.action, step.count) for step in found]


@pytest.mark.parametrize(
    ("remedies", "expected"),
    [
        ([], []),
        ([Remedy(Need.FULL)], [("assessment", 1)]),
        ([Remedy(Need.FULL, 3)], [("run", 3), ("assessment", 1)]),
        ([Remedy(Need.FULL, 1), Remedy(Need.FULL, 2)], [("run", 2), ("assessment", 1)]),
        ([Remedy(Need.FULL, 2), Remedy(Need.FULL)], [("run", 2), ("assessment", 1)]),
        ([Remedy(Need.DELTA, 1)], [("run", 1), ("delta", 1)]),
        ([Remedy(Need.DELTA)], [("delta", 1)]),
        ([Remedy(Need.FULL), Remedy(Need.DELTA, 1)], [("assessment", 1)]),
        ([Remedy(Need.RUN, 1)], [("run", 1)]),
        ([Remedy(Need.ACKNOWLEDGEMENT)], [("acknowledgement", 1)]),
        ([Remedy(Need.RUN, 1), Remedy(Need.ACKNOWLEDGEMENT)], [("acknowledgement", 1), ("run", 1)]),
        ([Remedy(Need.SIGNATURE)], [("second_signature", 1)]),
        ([Remedy(Need.SIGNATURE), Remedy(Need.RUN, 1)], [("second_signature", 1), ("run", 1)]),
        ([Remedy(Need.DELTA, 1), Remedy(Need.RUN, 1), Remedy(Need.ACKNOWLEDGEMENT)], [("run", 1), ("delta", 1)]),
        ([Remedy(Need.LIFTING)], [("lifting", 1)]),
        ([Remedy(Need.REVERIFICATION)], [("reverification", 1)]),
        ([Remedy(Need.REVERIFICATION), Remedy(Need.LIFTING)], [("lifting", 1), ("reverification", 1)]),
        ([Remedy(Need.LIFTING), Remedy(Need.FULL, 1)], [("lifting", 1), ("run", 1), ("assessment", 1)]),
        ([Remedy(Need.REVERIFICATION), Remedy(Need.FULL)], [("assessment", 1)]),
        ([Remedy(Need.REVERIFICATION), Remedy(Need.DELTA, 1)], [("reverification", 1), ("run", 1), ("delta", 1)]),
        ([Remedy(Need.LIFTING), Remedy(Need.RUN, 1)], [("lifting", 1), ("run", 1)]),
        ([FOR_FULL, Remedy(Need.FULL, 2)], [("second_signature", 1)]),
        ([Remedy(Need.FULL, 2), FOR_FULL, FOR_DELTA, Remedy(Need.RUN, 1)], [("second_signature", 1), ("run", 1)]),
        ([FOR_DELTA, Remedy(Need.FULL, 2)], [("second_signature", 1), ("run", 2), ("assessment", 1)]),
    ],
)
def test_own_steps_are_joined_and_ordered(remedies, expected):
    assert steps(*remedies) == expected


@pytest.mark.parametrize(
    ("remedy", "signed"),
    [(Remedy(Need.FULL), True), (Remedy(Need.DELTA, 1), True), (Remedy(Need.RUN, 1), False)],
)
def test_what_is_judged_on_a_critical_task_is_signed_a_second_time(remedy, signed):
    assert (steps(remedy, is_critical=True)[-1] == ("second_signature", 1)) is signed


def test_prerequisites_come_first_and_each_step_once():
    first, second = Step("run", "S-01", SITE), Step("assessment", "S-01", SITE)
    other, own = Step("run", "S-02", SITE), Step("delta", "T-01", SITE)

    assert in_order([], [own]) == (own,)
    assert in_order([], []) == ()
    assert in_order([[first, second], [other, first]], [own]) == (first, second, other, own)
