"""Taking people from a spreadsheet: those who are new, and what changed about those who are here."""

import zoneinfo
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from competencies.importing.people import PersonRow
from competencies.ledger.writer import writing
from competencies.models import Area, Authority, Crew, Person, Plant
from competencies.models.people import new_person_number
from competencies.operations.pins import Signer
from competencies.operations.rights import Grant, end_authority, grant_authority, record_employment, record_name


class PeopleError(Exception):
    """The people were not taken, and none of them was; the message may be shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleResult:
    """How many people came, changed and stayed as they were, and how many authorities were granted."""

    created: int
    updated: int
    unchanged: int
    granted: int


@writing()
def import_people(
    *,
    plant: Plant,
    rows: Sequence[PersonRow],
    by: Signer,
    now: datetime,
    new_number: Callable[[], int] = new_person_number,
) -> PeopleResult:
    """Create or update the people of a file: all of them or none. The same file a second time changes nothing.

    An empty cell leaves what the plant has. Roles are only ever added here; they are ended on the person's page.
    `new_number` gives each new person a number.

    Raises
    ------
    PeopleError
        When a new person has no first working day, or an area or crew has gone since the file was read.

    """
    taking = _Taking(plant, by, now, new_number)
    for row in rows:
        taking.take(row)
    return PeopleResult(
        created=taking.created, updated=taking.updated, unchanged=taking.unchanged, granted=taking.granted
    )


def _kept(person: Person, people: Mapping[int, Person]) -> Person:
    while person.joined_into_id is not None:
        person = people[person.joined_into_id]
    return person


class _Taking:
    """Takes row after row, and counts."""

    def __init__(self, plant: Plant, by: Signer, now: datetime, new_number: Callable[[], int]) -> None:
        self.plant = plant
        self.by = by
        self.now = now
        self.new_number = new_number
        self.today = now.astimezone(zoneinfo.ZoneInfo(plant.timezone)).date()
        self.areas = {area.code: area for area in Area.objects.filter(plant=plant)}
        self.crews = {crew.code: crew for crew in Crew.objects.filter(plant=plant)}
        people = Person.objects.filter(plant=plant).select_related("plant")
        by_number = {person.pk: person for person in people}
        # Of a record that was joined to another the number leads to that one: nobody becomes two people again.
        self.people = {person.works_number: _kept(person, by_number) for person in people}
        held = Authority.objects.in_force(self.today).filter(person__plant=plant)
        self.held: set[tuple[int, str, int | None]] = set(held.values_list("person_id", "kind", "area_id"))
        self.created = self.updated = self.unchanged = self.granted = 0

    def take(self, row: PersonRow) -> None:
        """Create or update one person, and grant what the row asks beyond what is held."""
        person = self.people.get(row.works_number)
        granted = self.granted
        if person is None:
            person = self._create(row)
            self._grant(person, row)
        elif changed := self._changed_fields(person, row):
            person.save(update_fields=changed)
            self._record(person, changed)
            self._grant(person, row)
            self.updated += 1
        else:
            self._grant(person, row)
            self.updated += self.granted > granted
            self.unchanged += self.granted == granted

    def _create(self, row: PersonRow) -> Person:
        if row.started_on is None:
            message = _("Row %(row)s: a new person needs a first working day.")
            raise PeopleError(message % {"row": row.row})
        person = Person.objects.create(
            id=self.new_number(),
            plant=self.plant,
            works_number=row.works_number,
            name=row.name,
            crew=self._crew(row.crew),
            area=self._area(row.area),
            started_on=row.started_on,
            last_day=row.last_day,
            restricted_until=row.restricted_until,
        )
        self.people[row.works_number] = person
        record_employment(person=person, by=self.by, happened_at=self.now, on=self.today, now=self.now)
        self.created += 1
        return person

    def _changed_fields(self, person: Person, row: PersonRow) -> list[str]:
        """Put what the row says onto the person, and return the names of the fields that changed."""
        wanted = {
            "name": row.name,
            "crew": self._crew(row.crew),
            "area": self._area(row.area),
            "started_on": row.started_on,
            "last_day": row.last_day,
            "restricted_until": row.restricted_until,
        }
        changed = [name for name, value in wanted.items() if value and getattr(person, name) != value]
        for name in changed:
            setattr(person, name, wanted[name])
        if person.last_day is None or person.last_day >= person.started_on:
            return changed
        if row.last_day is not None:
            message = _("Row %(row)s: the last day lies before the first, %(first)s.")
            raise PeopleError(message % {"row": row.row, "first": person.started_on.isoformat()})
        # A first day after the last one: they are back, and no last day is known any more (R9.7).
        person.last_day = None
        return [*changed, "last_day"]

    def _record(self, person: Person, changed: list[str]) -> None:
        if "name" in changed:
            record_name(person=person, by=self.by, happened_at=self.now, now=self.now)
        # A name or a crew is no fact of employment; the rule reads only these three days.
        if {"started_on", "last_day", "restricted_until"} & set(changed):
            record_employment(person=person, by=self.by, happened_at=self.now, on=self.today, now=self.now)
        if "last_day" in changed and person.last_day is not None:
            self._end_authorities(person, person.last_day)

    def _end_authorities(self, person: Person, last_day: date) -> None:
        """End what a leaver is entrusted with on the last working day."""
        for authority in Authority.objects.filter(person=person).exclude(until_on__lte=last_day).order_by("pk"):
            last = max(last_day, authority.from_on)
            if authority.until_on is None or last < authority.until_on:
                end_authority(authority=authority, last_day=last, by=self.by, now=self.now)

    def _grant(self, person: Person, row: PersonRow) -> None:
        if person.last_day is not None and person.last_day < self.today:
            return
        for role in row.roles:
            area = self._area(role.area)
            wanted = (person.pk, role.kind.value, area.pk if area else None)
            # Who is entrusted with the whole plant is with each area of it.
            if wanted in self.held or (person.pk, role.kind.value, None) in self.held:
                continue
            start = max(self.today, person.started_on)
            grant = Grant(kind=role.kind, from_on=start, until_on=person.last_day, area=area)
            grant_authority(person=person, grant=grant, by=self.by, happened_at=self.now, now=self.now)
            self.held.add(wanted)
            self.granted += 1

    def _crew(self, code: str) -> Crew | None:
        if code and code not in self.crews:
            raise PeopleError(_("There is no crew %(code)s any more.") % {"code": code})
        return self.crews.get(code)

    def _area(self, code: str) -> Area | None:
        if code and code not in self.areas:
            raise PeopleError(_("There is no area %(code)s any more.") % {"code": code})
        return self.areas.get(code)
