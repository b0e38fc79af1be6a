"""A period of a timeline as the columns of a row, and back."""

from collections.abc import Iterable
from typing import Any

from competencies.models import StandingPeriod
from competencies.standing.facts import Scope
from competencies.standing.timeline import Period, Reason, Step
from competencies.vocabulary import Standing


def period_values(period: Period) -> dict[str, Any]:
    """Return a period's columns; what is structured goes as plain lists."""
    return {
        "starts_at": period.start,
        "ends_at": period.end,
        "standing": period.standing.value,
        "counts": period.counts,
        "reasons": [[reason.rule, reason.code, [list(pair) for pair in reason.params]] for reason in period.reasons],
        "way_back": [[step.action, step.task, str(step.scope), step.count] for step in period.way_back],
        "last_valid_on": period.last_valid_on,
        "revision": period.revision,
        "rests_on": list(period.rests_on),
        "gained_at": period.gained_at,
    }


def reasons_from(stored: Iterable[Any]) -> tuple[Reason, ...]:
    """Return the reasons that `period_values` stored."""
    return tuple(Reason(rule, code, tuple((name, value) for name, value in params)) for rule, code, params in stored)


def steps_from(stored: Iterable[Any]) -> tuple[Step, ...]:
    """Return the way back that `period_values` stored."""
    return tuple(Step(action, task, Scope.parse(scope), count) for action, task, scope, count in stored)


def period_from(row: StandingPeriod) -> Period:
    """Return the period that a projected row holds."""
    return Period(
        start=row.starts_at,
        end=row.ends_at,
        standing=Standing(row.standing),
        counts=row.counts,
        reasons=reasons_from(row.reasons),
        way_back=steps_from(row.way_back),
        last_valid_on=row.last_valid_on,
        revision=row.revision,
        rests_on=tuple(row.rests_on),
        gained_at=row.gained_at,
    )
