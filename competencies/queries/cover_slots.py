"""The slots of lines: each station once for every person that it needs, the critical ones first."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from competencies.models import Line, Station
from competencies.standing.facts import Scope
from competencies.standing.supervising import Slot
from competencies.vocabulary import Criticality, ScopeKind

SAFETY = frozenset({Criticality.SAFETY, Criticality.BOTH})


@dataclass(frozen=True, slots=True)
class StationSlot:
    """One slot of a station, and the scope in which its task is held there."""

    station: Station
    scope: Scope

    @property
    def is_safety_critical(self) -> bool:
        """Whether a mistake there can hurt somebody."""
        return Criticality(self.station.task.criticality) in SAFETY

    def as_asked(self) -> Slot:
        """Return the slot as the rule on trainees reads it (R9.3)."""
        task = self.station.task
        return Slot(
            station=self.station.pk,
            task=task.code,
            machine=self.station.machine_id,
            is_critical=Criticality(task.criticality).is_critical,
        )


def slots_by_line(lines: Iterable[Line]) -> Mapping[int, list[StationSlot]]:
    """Return the slots of each line, by its key. One query."""
    stations = (
        Station.objects.filter(line__in=lines).select_related("task", "line", "machine").order_by("line", "task__code")
    )
    slots: dict[int, list[StationSlot]] = defaultdict(list)
    # Of several largest staffings the first slots are filled first: those at which a mistake can harm.
    for station in sorted(stations, key=lambda station: not Criticality(station.task.criticality).is_critical):
        slots[station.line_id] += [StationSlot(station, scope_of(station))] * station.needed
    return slots


def scope_of(station: Station) -> Scope:
    """Return the place at which a sign-off serves a station. Reads its task, line and machine."""
    kind = station.task.scope_kind
    if kind == ScopeKind.SITE:
        return Scope()
    machine = station.machine.code if station.machine and kind == ScopeKind.MACHINE else ""
    return Scope(station.line.code, machine)
