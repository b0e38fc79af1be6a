"""What is declared about the stations of a line: which go together, which differ, whether relief is asked for."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from competencies.models import CoverRule, Line, Person, Station
from competencies.vocabulary import CoverRuleKind

PAIRS = frozenset({CoverRuleKind.COMBINABLE, CoverRuleKind.NEIGHBOURS})


class CoverRuleError(Exception):
    """It cannot be declared so; `field` is where it stands in the form, the message may be shown there."""

    def __init__(self, field: str, message: str) -> None:
        self.field = field
        super().__init__(message)


@dataclass(frozen=True, slots=True, kw_only=True)
class Declaration:
    """What is to hold for a line: a pair (`first`, `second`), a part in a group (`first`), or relief (neither)."""

    line: Line
    kind: CoverRuleKind
    first: Station | None = None
    second: Station | None = None
    group: str = ""
    role: str = ""


@transaction.atomic
def declare_cover_rule(*, told: Declaration, by: Person, now: datetime) -> CoverRule:
    """Declare something about a line; it holds from the first shift that starts after `now`.

    Raises CoverRuleError where it contradicts what holds already, or holds already itself.
    """
    # One after the other, so that two declarations at once do not contradict each other.
    line = Line.objects.select_for_update().get(pk=told.line.pk)
    first, second = _in_order(told)
    _check(told, list(CoverRule.objects.filter(line=line, ended_at=None)), (first, second))
    return CoverRule.objects.create(
        line=line,
        kind=told.kind,
        first=first,
        second=second,
        group=told.group,
        role=told.role,
        set_at=now,
        set_by=by,
    )


@transaction.atomic
def end_cover_rule(*, rule: CoverRule, by: Person, now: datetime) -> None:
    """End what was declared; it stays readable, and stays true of the shifts that began before."""
    CoverRule.objects.filter(pk=rule.pk, ended_at=None).update(ended_at=now, ended_by=by)


def _in_order(told: Declaration) -> tuple[Station | None, Station | None]:
    if told.first is not None and told.second is not None and told.second.pk < told.first.pk:
        return told.second, told.first
    return told.first, told.second


def _check(told: Declaration, holding: list[CoverRule], stations: tuple[Station | None, Station | None]) -> None:
    first, second = stations
    if any(station.line_id != told.line.pk for station in stations if station is not None):
        raise CoverRuleError("first", _("Choose stations of this line."))
    same = [row for row in holding if row.kind == told.kind]
    if told.kind in PAIRS:
        _check_pair(told.kind, same, (first, second), holding)
    elif told.kind == CoverRuleKind.GROUP:
        _check_group(told, same, holding)
    elif same:
        raise CoverRuleError("", _("This holds already."))


def _check_pair(
    kind: CoverRuleKind,
    same: list[CoverRule],
    stations: tuple[Station | None, Station | None],
    holding: list[CoverRule],
) -> None:
    first, second = stations
    if first is None or second is None or first == second:
        raise CoverRuleError("second", _("Choose two different stations."))
    if any((row.first_id, row.second_id) == (first.pk, second.pk) for row in same):
        raise CoverRuleError("second", _("This holds already."))
    groups = {row.first_id: row.group for row in holding if row.kind == CoverRuleKind.GROUP}
    if kind == CoverRuleKind.COMBINABLE and groups.get(first.pk, "") == groups.get(second.pk):
        raise CoverRuleError("second", _("Both are parts of one group, and a group asks for different people."))


def _check_group(told: Declaration, same: list[CoverRule], holding: list[CoverRule]) -> None:
    if told.first is None:
        raise CoverRuleError("first", _("Choose a station."))
    if any(row.first_id == told.first.pk for row in same):
        raise CoverRuleError("first", _("This station has its part in a group already."))
    others = {row.first_id for row in same if row.group == told.group}
    for row in holding:
        ends = {row.first_id, row.second_id}
        if row.kind == CoverRuleKind.COMBINABLE and told.first.pk in ends and ends & others:
            raise CoverRuleError(
                "first", _("One person may hold this station and another of the group: end that first.")
            )
