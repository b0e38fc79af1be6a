"""What a printed explanation of a standing states: the same for the same ledger and syllabus, whenever it is made."""

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Final

from competencies.models import LedgerIndex, Person, PrintedSheet, Task
from competencies.queries.answers import NOTHING_KNOWN, says_the_same
from competencies.queries.facts import facts_of_people
from competencies.queries.frame import frame_of
from competencies.queries.person_task import Entry, entries_about
from competencies.queries.records.parts import Difference
from competencies.queries.standing import end_of_day
from competencies.standing.belonging import belonging
from competencies.standing.calendar import clock_of
from competencies.standing.facts import Scope
from competencies.standing.live import known_at, known_frame
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Period

FORMAT: Final = "standing explained 1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """Where a person stands on a task at a minute and why, from the first `size` entries, as known (None: all)."""

    person: Person
    task: Task
    scope: Scope
    moment: datetime
    known: datetime | None
    size: int
    period: Period
    periods: Sequence[Period]
    entries: Sequence[Entry]

    @property
    def as_of(self) -> date:
        """Return the plant's day of the minute."""
        return clock_of(self.person.plant.timezone).day(self.moment)


def explanation(
    person: Person,
    task: Task,
    scope: Scope,
    *,
    moment: datetime,
    known: datetime | None = None,
    size: int | None = None,
) -> Explanation:
    """Return the explanation of a standing. A fixed number of queries.

    `known` takes only what was written down by that moment, `size` only the first entries of the ledger (None: all).
    """
    whole = _size(known)
    within = whole if size is None else min(size, whole)
    facts = [fact for fact in facts_of_people([person.pk])[person.pk] if fact.seq < within]
    frame = frame_of(person.plant)
    if known is not None:
        facts, frame = known_at(facts, known), known_frame(frame, known)
    facts = belonging(person.pk, facts)
    periods: Sequence[Period] = (NOTHING_KNOWN,)
    if task.code in frame.tasks:
        periods = PersonRule(person.pk, facts, frame).timeline(task.code, scope).periods
    return Explanation(
        person=person,
        task=task,
        scope=scope,
        moment=moment,
        known=known,
        size=within,
        period=next(period for period in periods if period.holds_at(moment)),
        periods=periods,
        entries=entries_about(person, task, scope, known=known, size=within),
    )


def _size(known: datetime | None) -> int:
    rows = LedgerIndex.objects.all() if known is None else LedgerIndex.objects.known_at(known)
    last = rows.order_by("-entry").values_list("entry", flat=True).first()
    return 0 if last is None else last + 1


def statement_of(explained: Explanation) -> str:
    """Return everything the sheet states, a line each. No name and no typed text: those can be erased."""
    head = [FORMAT, f"person {explained.person.pk}", f"plant {explained.person.plant.code}"]
    head += [f"task {explained.task.code}@{explained.scope}", f"at {_instant(explained.moment)}"]
    return "\n".join([*head, *_lines(explained)]) + "\n"


def digest_of_explanation(explained: Explanation) -> str:
    """Return the SHA-256 of what the sheet states, in 64 hexadecimal digits."""
    return hashlib.sha256(statement_of(explained).encode()).hexdigest()


def _lines(explained: Explanation) -> Iterator[str]:
    for period in explained.periods:
        yield f"period {_json(_period(period))}"
    for each in explained.entries:
        clocks = [_instant(each.fact.happened_at), _instant(each.fact.recorded_at)]
        yield f"entry {_json([each.fact.seq, each.kind, *clocks, each.struck_by, list(each.rests_on)])}"


def _period(period: Period) -> list[object]:
    return [
        _instant(period.start),
        _instant(period.end),
        period.standing.value,
        period.counts,
        [[reason.rule, reason.code, [list(pair) for pair in reason.params]] for reason in period.reasons],
        [[step.action, step.task, str(step.scope), step.count] for step in period.way_back],
        str(period.last_valid_on or ""),
        period.revision,
        list(period.rests_on),
    ]


def _instant(moment: datetime | None) -> str:
    return moment.astimezone(UTC).isoformat() if moment else ""


def _json(value: object) -> str:
    return json.dumps(value, separators=(",", ":"), ensure_ascii=False)


def explained_again(sheet: PrintedSheet, *, known: datetime) -> Explanation | None:
    """Return what a sheet stated, worked out again; None where the row does not say what it was about."""
    if sheet.person is None or sheet.task is None or sheet.moment is None:
        return None
    scope = Scope.parse(sheet.scope)
    return explanation(sheet.person, sheet.task, scope, moment=sheet.moment, known=known, size=sheet.ledger_size)


def explained_since(then: Explanation, *, on: date) -> tuple[tuple[Difference, ...], tuple[Difference, ...]]:
    """Return what reads differently of the same minute as known now, and at the end of the day `on`."""
    person, task, scope = then.person, then.task, then.scope
    now = explanation(person, task, scope, moment=then.moment)
    today = end_of_day(on, person.plant)
    latest = next(period for period in now.periods if period.holds_at(today))
    return _differing(then, now.period), _differing(then, latest)


def _differing(then: Explanation, now: Period) -> tuple[Difference, ...]:
    if says_the_same(then.period, now):
        return ()
    return (Difference(kind="task", name=f"{then.task.code}@{then.scope}", before=then.period, after=now),)
