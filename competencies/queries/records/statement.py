"""What a record states, as plain lines: the same for the same ledger and syllabus, whenever and wherever it is made.

No name and no typed text is in it, since those can be erased without anything being untrue. Lines are (key, value);
the value is JSON with sorted keys. Two records are compared line by line, and the digest is over them all.

Sheets outlive versions of this program: once a plant has printed one, a line that is to say more or less is a new
FORMAT, and the check of a sheet then tries the formats in turn.
"""

import hashlib
import json
from collections.abc import Iterable, Iterator
from datetime import UTC
from typing import Final, TypeAlias

from competencies.queries.records.parts import (
    AttemptLine,
    CheckLine,
    CorrectionLine,
    Difference,
    EventLine,
    PathwayLine,
    ProgressRecord,
    RunLine,
    Signed,
    SignOffLine,
    TaskLine,
    UnitLine,
)
from competencies.standing.timeline import Reason

FORMAT: Final = "progress record 1"
Key: TypeAlias = tuple[str, str]
Line: TypeAlias = tuple[object, list[object]]


def statement(record: ProgressRecord) -> str:
    """Return everything the record states, a line each."""
    head = [FORMAT, f"person {record.person.pk}", f"plant {record.person.plant.code}", f"as of {record.as_of}"]
    lines = [f"{kind} {name} {_json(value)}" for (kind, name), (_, value) in _lines(record).items()]
    return "\n".join([*head, *lines]) + "\n"


def digest_of(record: ProgressRecord) -> str:
    """Return the SHA-256 of what the record states, in 64 hexadecimal digits."""
    return hashlib.sha256(statement(record).encode()).hexdigest()


def differences(before: ProgressRecord, after: ProgressRecord, *, kinds: Iterable[str] = ()) -> tuple[Difference, ...]:
    """Return the lines that read differently in two records of one person; of these kinds only, if any are given."""
    old, new, only = _lines(before), _lines(after), frozenset(kinds)
    found = []
    for key in dict.fromkeys([*old, *new]):
        one, other = old.get(key), new.get(key)
        if (one and one[1]) != (other and other[1]) and (not only or key[0] in only):
            found.append(
                Difference(kind=key[0], name=key[1], before=one and one[0], after=other and other[0]),
            )
    return tuple(found)


def _lines(record: ProgressRecord) -> dict[Key, Line]:
    lines: dict[Key, Line] = {}
    for pathway in record.pathways:
        name = f"{pathway.code}v{pathway.version}"
        lines["pathway", name] = (pathway, _pathway(pathway))
        lines.update({("unit", f"{name}/{unit.code}v{unit.version}"): (unit, _unit(unit)) for unit in pathway.units})
    lines.update({("task", _place(line)): (line, _task(line)) for line in record.tasks})
    lines.update({("run", str(line.seq)): (line, _run(line)) for line in record.runs})
    lines.update({("check", str(line.seq)): (line, _check(line)) for line in record.checks})
    lines.update({("attempt", str(line.seq)): (line, _attempt(line)) for line in record.attempts})
    lines.update({("event", str(line.seq)): (line, _event(line)) for line in record.events})
    lines.update({("correction", str(line.seq)): (line, _correction(line)) for line in record.corrections})
    return lines


def _json(value: object) -> str:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, default=str)


def _place(line: TaskLine) -> str:
    return line.code if line.scope is None else f"{line.code}@{line.scope}"


def _signed(signed: Signed | None) -> object:
    if signed is None:
        return None
    return [
        signed.seq,
        signed.person_id,
        signed.signed_at.astimezone(UTC).isoformat(),
        str(signed.recorded_late_on or ""),
    ]


def _reasons(reasons: Iterable[Reason]) -> list[object]:
    return [[each.rule, each.code, [list(pair) for pair in each.params]] for each in reasons]


def _task(line: TaskLine) -> list[object]:
    period = line.period
    return [
        period.standing.value,
        period.counts,
        _reasons(period.reasons),
        [[step.action, step.task, str(step.scope), step.count] for step in period.way_back],
        period.last_valid_on,
        period.revision,
        list(period.rests_on),
        list(_signoff(line.signoff)) if line.signoff else None,
        [line.tally.counted, line.tally.needed, line.tally.distinct_shifts, line.tally.distinct_shifts_needed],
        [[each.name, list(each.values), each.needed] for each in line.tally.ranges],
        [list(pair) for pair in line.calculations],
        _reasons(line.missing),
    ]


def _signoff(signoff: SignOffLine) -> Iterator[object]:
    yield signoff.purpose
    yield signoff.assessed_on
    yield signoff.effective_on
    yield signoff.revision
    yield _signed(signoff.assessor)
    yield [_signed(second) for second in signoff.seconds]


def _run(line: RunLine) -> list[object]:
    where = [line.task, str(line.scope), line.on, line.shift, line.revision, line.is_drill]
    return [*where, dict(line.range_values), _reasons(line.reasons), _signed(line.signed)]


def _check(line: CheckLine) -> list[object]:
    return [line.calculation, line.on, line.right, line.problems, _signed(line.signed)]


def _attempt(line: AttemptLine) -> list[object]:
    criteria = [[number, judgement.value] for number, _, judgement in line.open_criteria]
    return [line.task, str(line.scope), line.on, line.revision, line.state.value, criteria, _signed(line.signed)]


def _event(line: EventLine) -> list[object]:
    return [line.kind.value, line.task, str(line.scope), line.on, line.of, _signed(line.signed)]


def _correction(line: CorrectionLine) -> list[object]:
    return [line.of, line.of_kind, line.of_on, line.task, str(line.scope), line.on, line.cause, _signed(line.signed)]


def _pathway(line: PathwayLine) -> list[object]:
    distances = [[each.rule, each.asked, each.reached] for each in line.distances]
    credit = [line.total, line.asked, line.surplus, distances, list(line.core_missing)]
    held = [line.held_since, list(line.disputed)]
    return [line.enrolled_on, line.left_on, *credit, line.awarded_on, *held]


def _unit(line: UnitLine) -> list[object]:
    missing = {str(number): list(codes) for number, codes in line.missing.items()}
    decided = [line.decided_on, line.is_from_elsewhere, _signed(line.signed)]
    became = [line.reported_on, line.is_disputed, line.is_refused, line.instead, _reasons(line.flags)]
    return [line.level, line.credits, line.group, missing, *decided, line.counted, line.surplus, *became]
