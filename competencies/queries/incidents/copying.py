"""The copy of what was found: JSON with its keys in order, read back to the same thing. No name, no typed text."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC, date, datetime
from typing import Any, Final

from competencies.queries.incidents.parts import (
    AtStation,
    IncidentFound,
    LessonFound,
    Presence,
    Said,
    SignedBy,
    StationFound,
    Warned,
    Way,
)
from competencies.queries.periods import reasons_from
from competencies.standing.timeline import Reason
from competencies.vocabulary import Standing

FORMAT: Final = "incident 1"


def copy_of(found: IncidentFound) -> str:
    """Return what is kept of an incident, as one line of JSON."""
    return json.dumps(
        {"format": FORMAT, **asdict(found)}, default=_written, sort_keys=True, separators=(",", ":"), ensure_ascii=True
    )


def digest_of_copy(text: str) -> str:
    """Return the SHA-256 of a copy, in 64 hexadecimal digits."""
    return hashlib.sha256(text.encode()).hexdigest()


def read_copy(text: str) -> IncidentFound:
    """Return what `copy_of` wrote. Raises ValueError for another format."""
    kept = json.loads(text)
    if kept.pop("format", None) != FORMAT:
        raise ValueError("not a copy of an incident that this program knows")
    return IncidentFound(
        **{
            **kept,
            "on": date.fromisoformat(kept["on"]),
            **{name: datetime.fromisoformat(kept[name]) for name in ("start", "end", "moment", "known_at")},
            "stations": tuple(_station(each) for each in kept["stations"]),
            "present": tuple(_presence(each) for each in kept["present"]),
            "lessons": tuple(LessonFound(**each) for each in kept["lessons"]),
            "hours": tuple(Warned(person=each["person"], reasons=_reasons(each["reasons"])) for each in kept["hours"]),
            "signed": tuple(_signed(each) for each in kept["signed"]),
            "holds": tuple(kept["holds"]),
        }
    )


def _written(value: object) -> str:
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} does not belong into a copy")


def _station(kept: Mapping[str, Any]) -> StationFound:
    return StationFound(**{**kept, "people": tuple(_at_station(each) for each in kept["people"])})


def _at_station(kept: Mapping[str, Any]) -> AtStation:
    between = tuple(kept["between"])
    return AtStation(person=kept["person"], then=_said(kept["then"]), now=_said(kept["now"]), between=between)


def _said(kept: Mapping[str, Any]) -> Said:
    last = kept["last_valid_on"]
    return Said(
        standing=Standing(kept["standing"]),
        counts=kept["counts"],
        last_valid_on=date.fromisoformat(last) if last else None,
        revision=kept["revision"],
        reasons=_reasons(kept["reasons"]),
        rests_on=tuple(kept["rests_on"]),
    )


def _presence(kept: Mapping[str, Any]) -> Presence:
    ways = tuple(Way(way) for way in kept["ways"])
    return Presence(person=kept["person"], ways=ways, entries=tuple(kept["entries"]))


def _signed(kept: Mapping[str, Any]) -> SignedBy:
    faults = {name: _reasons(kept[name]) for name in ("then", "now")}
    return SignedBy(**{**kept, "on": date.fromisoformat(kept["on"]), **faults})


def _reasons(kept: list[Mapping[str, Any]]) -> tuple[Reason, ...]:
    return reasons_from([(each["rule"], each["code"], each["params"]) for each in kept])
