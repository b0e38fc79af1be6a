"""Which tasks an entry bears on."""

from datetime import UTC, date, datetime

import pytest

from competencies.queries.frame import Dependents, with_dependents
from competencies.standing.facts import Check, Employment, Moderation, Performance, UnitDecision, UnitReported
from competencies.standing.framework import Frame, Policy, TaskFrame, Terms
from competencies.vocabulary import Criticality, ScopeKind

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)


def task(code, requires=(), refreshes=(), calculations=()):
    terms = Terms(
        effective_on=date(2025, 1, 1),
        recorded_at=NOW,
        prerequisites=requires,
        refreshes=refreshes,
        calculations=calculations,
    )
    return TaskFrame(
        code=code,
        area="A",
        scope_kind=ScopeKind.SITE,
        criticality=Criticality.NONE,
        terms=(terms,),
        revisions=(),
    )


@pytest.fixture
def frame():
    tasks = [task("A"), task("B", ("A",), refreshes=("A",)), task("C", ("B",), calculations=("C01",)), task("D")]
    return Frame(tasks={each.code: each for each in tasks}, policies=(Policy(),), shifts={}, timezone="Europe/Dublin")


@pytest.mark.parametrize(("code", "reached"), [("A", "ABC"), ("B", "ABC"), ("C", "C"), ("D", "D")])
def test_what_leans_on_a_task_is_reached_through_others(frame, code, reached):
    assert Dependents(frame).of(code) == with_dependents(frame, code) == set(reached)


@pytest.mark.parametrize(
    ("fact", "about"),
    [
        pytest.param((Performance, {"task": "C"}), {"C"}, id="own-task"),
        pytest.param((Performance, {"task": "B"}), {"A", "B"}, id="refreshes-another"),
        pytest.param((Check, {"calculation": "C01", "passed": True}), {"C"}, id="check-that-a-task-asks"),
        pytest.param((Check, {"calculation": "C09", "passed": True}), set(), id="check-that-none-asks"),
        pytest.param((UnitDecision, {"unit": "U1", "version": 1}), set(), id="credit-is-no-standing"),
        pytest.param((UnitReported, {"of": 3}), set(), id="a-report-is-no-standing"),
        pytest.param((Moderation, {"of": 3, "agrees": False}), set(), id="a-moderation-is-no-standing"),
        pytest.param((Employment, {}), None, id="the-person"),
    ],
)
def test_an_entry_bears_on_its_tasks_or_on_all(frame, fact, about):
    kind, fields = fact

    written = kind(seq=1, person=1, happened_at=NOW, recorded_at=NOW, on=date(2026, 3, 2), **fields)

    assert Dependents(frame).written_about(written) == about
