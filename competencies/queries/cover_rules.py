"""What is declared about the stations of lines: pairs, neighbours, groups, relief (R9.2 to R9.4)."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from competencies.models import CoverRule, Line
from competencies.vocabulary import CoverRuleKind

Pairs = frozenset[tuple[int, int]]


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupPart:
    """The part that a station has in a group of different people."""

    group: str
    role: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRules:
    """What holds for a line. Pairs are keys of stations, lower first; `parts` gives each station's part in a group."""

    combinable: Pairs = frozenset()
    neighbours: Pairs = frozenset()
    parts: Mapping[int, GroupPart] = field(default_factory=dict)
    relief_wanted: bool = False

    def may_share(self, one: int, other: int) -> bool:
        """Whether one person may hold both stations: in a group, people differ."""
        group = self.parts.get(one)
        is_one_group = group is not None and other in self.parts and self.parts[other].group == group.group
        return not is_one_group and pair_of(one, other) in self.combinable


def pair_of(one: int, other: int) -> tuple[int, int]:
    """Return two keys in the order in which pairs are kept."""
    return min(one, other), max(one, other)


def declared_of(lines: Iterable[Line]) -> list[CoverRule]:
    """Return everything that was ever declared for some lines. One query."""
    return list(CoverRule.objects.filter(line__in=lines).order_by("pk"))


def rules_at(lines: Iterable[Line], declared: Iterable[CoverRule], *, at: datetime) -> Mapping[int, LineRules]:
    """Return what held for each line at a moment, by the line's key. No query."""
    found: dict[int, list[CoverRule]] = {}
    for row in declared:
        if row.set_at <= at and (row.ended_at is None or row.ended_at > at):
            found.setdefault(row.line_id, []).append(row)
    return {line.pk: _line_rules(found.get(line.pk, ())) for line in lines}


def _line_rules(rows: Sequence[CoverRule]) -> LineRules:
    return LineRules(
        combinable=_pairs(rows, CoverRuleKind.COMBINABLE),
        neighbours=_pairs(rows, CoverRuleKind.NEIGHBOURS),
        parts={
            row.first_id: GroupPart(group=row.group, role=row.role)
            for row in rows
            if row.kind == CoverRuleKind.GROUP and row.first_id is not None
        },
        relief_wanted=any(row.kind == CoverRuleKind.RELIEF for row in rows),
    )


def _pairs(rows: Sequence[CoverRule], kind: CoverRuleKind) -> Pairs:
    return frozenset(
        pair_of(row.first_id, row.second_id)
        for row in rows
        if row.kind == kind and row.first_id is not None and row.second_id is not None
    )


def rules_shown(line: Line) -> list[CoverRule]:
    """Return everything that was ever declared for a line, what holds first. One query."""
    rows = CoverRule.objects.filter(line=line).select_related(
        *("first__task", "first__machine", "second__task", "second__machine", "set_by", "ended_by")
    )
    return sorted(rows, key=lambda row: (row.ended_at is not None, row.kind, row.group, -row.pk))
