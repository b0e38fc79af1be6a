"""What became of each decision on a unit: reported, moderated, counted, disputed (R8.8). Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from competencies.standing.case import order_of
from competencies.standing.facts import Fact, Moderation, UnitDecision, UnitReported

UnitKey = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRecord:
    """A decision on a unit with its first report and its moderations in order, as they stood on a day."""

    decision: UnitDecision
    report: UnitReported | None = None
    moderations: tuple[Moderation, ...] = ()

    @property
    def key(self) -> UnitKey:
        """Return code and version of the unit."""
        return self.decision.unit, self.decision.version

    @property
    def moderation(self) -> Moderation | None:
        """Return the newest moderation: it is the one that holds."""
        return self.moderations[-1] if self.moderations else None

    @property
    def disagreement(self) -> Moderation | None:
        """Return the disagreement that holds: the first since a moderator last agreed."""
        found: Moderation | None = None
        for each in self.moderations:
            found = None if each.agrees else found or each
        return found

    @property
    def is_disputed(self) -> bool:
        """Whether a moderator disagreed after it was reported: it stays as reported, and the award is held."""
        disagreed = self.disagreement
        return disagreed is not None and self.report is not None and order_of(self.report) < order_of(disagreed)

    @property
    def is_counted(self) -> bool:
        """Whether its credits count: not where a moderator disagreed before it was reported."""
        return self.disagreement is None or self.is_disputed


def unit_records(facts: Iterable[Fact], on: date) -> tuple[UnitRecord, ...]:
    """Return a record for each decision made by `on`, in order; only what happened by the end of that day is in it."""
    known = sorted((fact for fact in facts if fact.on <= on), key=order_of)
    decisions = [fact for fact in known if isinstance(fact, UnitDecision)]
    return tuple(
        UnitRecord(
            decision=decision,
            report=next((fact for fact in known if isinstance(fact, UnitReported) and fact.of == decision.seq), None),
            moderations=tuple(fact for fact in known if isinstance(fact, Moderation) and fact.of == decision.seq),
        )
        for decision in decisions
    )


def governing(records: Sequence[UnitRecord]) -> dict[UnitKey, UnitRecord]:
    """Return for each unit version the record that speaks for it: one that counts undisputed, else one that counts."""
    found: dict[UnitKey, UnitRecord] = {}
    for record in records:
        before = found.get(record.key)
        if before is None or _weight(record) > _weight(before):
            found[record.key] = record
    return found


def _weight(record: UnitRecord) -> int:
    return int(record.is_counted) + int(record.is_counted and not record.is_disputed)
