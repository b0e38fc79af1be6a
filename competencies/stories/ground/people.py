"""The people of a story, what they are entrusted with, and the stand-ins for whom it does not name."""

from collections.abc import Collection, Iterable
from datetime import datetime

from competencies.models import Area, Person
from competencies.operations.rights import Grant, grant_authority, record_employment
from competencies.stories.ground.plant import BEGINNING, Ground, founder_of
from competencies.stories.story import StoryGrant, StoryPerson
from competencies.vocabulary import AuthorityKind


def teaches(person: StoryPerson) -> bool:
    """Whether a story entrusts a person with watching or judging others."""
    kinds = {AuthorityKind.ASSESS, AuthorityKind.TRAIN, AuthorityKind.SUPERVISE}
    return any(grant.kind in kinds for grant in person.grants)


def add_person(ground: Ground, name: str, grants: Iterable[StoryGrant], told: object = None) -> Person:
    """Add a person, employed and entrusted with `grants` from the beginning, or as `told`."""
    person = Person.objects.create(
        plant=ground.plant,
        works_number=str(len(ground.people) + 1),
        name=name,
        started_on=getattr(told, "started_on", None) or BEGINNING.date(),
        last_day=getattr(told, "last_day", None),
        restricted_until=getattr(told, "restricted_until", None),
    )
    ground.people[name] = person
    on = BEGINNING.date()
    record_employment(person=person, by=founder_of(ground), happened_at=BEGINNING, on=on, now=BEGINNING)
    for grant in grants:
        give(ground, person, grant, BEGINNING)
    return person


def give(ground: Ground, person: Person, told: StoryGrant, now: datetime) -> None:
    """Entrust a person with something."""
    area = None
    if told.area:
        area = Area.objects.get_or_create(plant=ground.plant, code=told.area, defaults={"title": told.area})[0]
    grant = Grant(kind=told.kind, from_on=told.from_on, until_on=told.until_on, area=area)
    grant_authority(person=person, grant=grant, by=founder_of(ground), happened_at=now, now=now)


def entitled_person(ground: Ground, name: str, *, but: Collection[AuthorityKind] = ()) -> Person:
    """Return a person by name; one whom the story does not tell of is entitled to everything, `but` left out."""
    if name in ground.people:
        return ground.people[name]
    kinds = [kind for kind in AuthorityKind if kind not in but]
    grants = [StoryGrant(kind=kind, area="", from_on=BEGINNING.date(), until_on=None) for kind in kinds]
    person = add_person(ground, name, grants)
    ground.entitled.add(person.pk)
    return person
