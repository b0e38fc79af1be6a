"""Who is away, when it becomes a long absence, and what the return asks (R3.6)."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from competencies.models import Absence, Person
from competencies.queries.facts import rule_of
from competencies.standing.calendar import INSTANT, clock_of, days_after
from competencies.standing.framework import Frame
from competencies.standing.rule import PersonRule
from competencies.standing.scopes import all_prerequisites
from competencies.standing.timeline import Step
from competencies.vocabulary import Standing

# What being away brings about by itself; other losses were there before or have causes of their own.
BY_BEING_AWAY = frozenset({Standing.STALE, Standing.OUT_OF_REVISION, Standing.LAPSED, Standing.BLOCKED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """An absence: `long_from_on` is the day on which it has become a long one (None: it stays short).

    `steps` is what the return asks, prerequisites first, as things stand now; empty once the person has been back for
    all of them.
    """

    absence: Absence
    days: int
    is_over: bool
    long_from_on: date | None
    steps: tuple[Step, ...]

    @property
    def back_on(self) -> date:
        """Return the first day back."""
        return self.absence.until_on + timedelta(days=1)


def absences_of(person: Person, *, on: date) -> Sequence[Away]:
    """Return a person's absences, the newest first, with what each return asks. A fixed number of queries."""
    rows = list(Absence.objects.filter(person=person).order_by("-from_on"))
    if not rows:
        return ()
    rule = rule_of(person)
    newest = rows[0]
    return [_away(row, rule, on, is_newest=row is newest) for row in rows]


def long_from(frame: Frame, from_on: date, until_on: date) -> date | None:
    """Return the day on which an absence is a long one: the 90th day away, if it lasts so long."""
    days = frame.policy_on(from_on).long_absence_days
    reached_on = days_after(from_on, days - 1)
    return reached_on if reached_on <= until_on else None


def _away(row: Absence, rule: PersonRule, on: date, *, is_newest: bool) -> Away:
    back_on = days_after(row.until_on, 1)
    return Away(
        absence=row,
        days=(row.until_on - row.from_on).days + 1,
        is_over=row.until_on < on,
        long_from_on=long_from(rule.frame, row.from_on, row.until_on),
        steps=return_steps(rule, max(on, back_on)) if is_newest else (),
    )


def return_steps(rule: PersonRule, on: date) -> tuple[Step, ...]:
    """Return the ordered list of what a return on a day asks, each step once: prerequisites first (R3.6)."""
    moment = clock_of(rule.frame.timezone).midnight(days_after(on, 1)) - INSTANT
    found: list[Step] = []
    for code, scope in sorted(rule.keys(), key=lambda key: (len(all_prerequisites(rule.frame, key[0])), key)):
        period = rule.timeline(code, scope).at(moment)
        if not period.counts and period.standing in BY_BEING_AWAY:
            found += [step for step in period.way_back if step not in found]
    return tuple(found)
