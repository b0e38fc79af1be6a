"""One line on one shift: who stands where, how deep it is, and what was said of it when the shift began (R9, R13)."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from competencies.models import Line, Person, Shift, Station
from competencies.queries.cover import covers_of, station_depths
from competencies.queries.line_cover import LineCover, SlotCover, StationDepth


@dataclass(frozen=True, slots=True, kw_only=True)
class StationChange:
    """A station at which others count now than did by what was known then."""

    station: Station
    then: tuple[Person, ...]
    now: tuple[Person, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftPage:
    """A line on a shift: its cover, the depth of its stations, and the other answer where it differs.

    `then` is the cover as known when the shift began (None: the shift lies ahead). `changes` are the stations at which
    others count now than then; `differs` says whether anything does.
    """

    cover: LineCover
    depths: tuple[StationDepth, ...]
    then: LineCover | None
    changes: tuple[StationChange, ...]
    differs: bool


def shift_page(
    line: Line, shift: Shift, on: date, *, now: datetime, as_known_then: bool = False, without: Collection[int] = ()
) -> ShiftPage:
    """Return the page of a line on a shift. A fixed number of queries for any number of people and stations.

    `as_known_then` shows it as known when the shift began; `without` as if these people were missing.
    """
    cover = covers_of(lines=[line], shift=shift, on=on, without=without)[0]
    then = None
    if cover.start <= now:
        then = covers_of(lines=[line], shift=shift, on=on, known=cover.start, without=without)[0]
    changes = _changes(then, cover) if then else ()
    differs = then is not None and (bool(changes) or then.steps != cover.steps)
    shown = then if then is not None and as_known_then else cover
    return ShiftPage(cover=shown, depths=tuple(station_depths(shown)), then=then, changes=changes, differs=differs)


def _changes(then: LineCover, now: LineCover) -> tuple[StationChange, ...]:
    before, after = _counting(then), _counting(now)
    stations = {slot.station.pk: slot.station for slot in now.slots}
    return tuple(
        StationChange(station=station, then=before.get(key, ()), now=after[key])
        for key, station in stations.items()
        if set(before.get(key, ())) != set(after[key])
    )


def _counting(cover: LineCover) -> dict[int, tuple[Person, ...]]:
    return {slot.station.pk: _who(slot) for slot in cover.slots}


def _who(slot: SlotCover) -> tuple[Person, ...]:
    """Return who counts at a slot: those free to stand there, and whoever is settled there with a trainee."""
    here = () if slot.person is None or slot.person in slot.able else (slot.person,)
    return (*here, *slot.able)
