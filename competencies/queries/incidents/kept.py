"""A copy that was kept: is it the one that was signed, and what reads differently by now."""

from dataclasses import dataclass

from competencies.ledger.reading import read_entry
from competencies.models import Incident, LedgerEntry
from competencies.queries.incidents.copying import digest_of_copy
from competencies.queries.incidents.parts import AtStation, IncidentFound, Said, said_apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A person at a station of whom something else is said since the copy was made (None: nothing was, or is)."""

    person: int
    task: str
    scope: str
    before: Said | None
    after: Said | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SinceCopy:
    """What reads differently than in the copy: answers known now, and who is told to have been on."""

    changes: tuple[Change, ...]
    joined: tuple[int, ...]
    gone: tuple[int, ...]

    @property
    def is_nothing(self) -> bool:
        """Whether the page of today would read as the copy does."""
        return not (self.changes or self.joined or self.gone)


def is_as_signed(incident: Incident) -> bool:
    """Whether the copy is the one that the entry of its hold commits to. One query."""
    entry = LedgerEntry.objects.filter(seq=incident.hold.entry_seq).first()
    signed = read_entry(entry).get("files", ()) if entry else ()
    return digest_of_copy(incident.copy) == incident.digest and incident.digest in signed


def since_copy(copy: IncidentFound, today: IncidentFound) -> SinceCopy:
    """Return what reads differently today of the same minute."""
    before, after = _answers(copy), _answers(today)
    keys = sorted(before.keys() | after.keys())
    were, are = ({each.person for each in found.present} for found in (copy, today))
    return SinceCopy(
        changes=tuple(
            Change(person=key[2], task=key[0], scope=key[1], before=_now(before.get(key)), after=_now(after.get(key)))
            for key in keys
            if _apart(before.get(key)) != _apart(after.get(key))
        ),
        joined=tuple(sorted(are - were)),
        gone=tuple(sorted(were - are)),
    )


def _answers(found: IncidentFound) -> dict[tuple[str, str, int], AtStation]:
    return {(station.task, station.scope, each.person): each for station in found.stations for each in station.people}


def _now(each: AtStation | None) -> Said | None:
    return each.now if each else None


def _apart(each: AtStation | None) -> tuple[object, ...] | None:
    return said_apart(each.now) if each else None
