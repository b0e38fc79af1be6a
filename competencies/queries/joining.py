"""What is known of two records that may be one person, and of pairs that look like one (R7)."""

import unicodedata
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import combinations

from competencies.models import DifferentPeople, LedgerIndex, Person, Plant, RosterDay
from competencies.queries.facts import grants_of, own_facts
from competencies.standing.facts import Performance
from competencies.standing.joining import Changing, Record, Worked, refuse_joining, refuse_parting
from competencies.standing.refusals import Refusal
from competencies.vocabulary import EntryKind


def records_of(people: Collection[Person]) -> Mapping[int, Record]:
    """Return what is known of each record: its own facts and the shifts it was rostered for. Fixed queries."""
    numbers = [person.pk for person in people]
    known = own_facts(numbers)
    areas = dict(Person.objects.filter(pk__in=numbers).values_list("pk", "area__code"))
    worked: dict[int, set[Worked]] = defaultdict(set)
    rows = RosterDay.objects.filter(person__in=numbers).values_list("person", "on", "shift__name", "line__code")
    for number, on, shift, line in rows:
        worked[number].add(Worked(on, shift, line or ""))
    return {
        person.pk: Record(
            number=person.pk,
            works_number=person.works_number,
            area=areas.get(person.pk) or "",
            facts=tuple(
                fact for fact in known[person.pk] if not isinstance(fact, Performance) or fact.by != person.pk
            ),
            worked=frozenset(worked[person.pk]),
            is_joined=person.joined_into_id is not None,
        )
        for person in people
    }


def changing(by: Person, on: date, reason: str) -> Changing:
    """Return who changes records, with what they are entrusted with. One query."""
    return Changing(by=by.pk, grants=tuple(grants_of([by.pk])[by.pk]), on=on, reason=reason)


def joining_refused(kept: Person, other: Person, *, act: Changing, is_confirmed: bool) -> tuple[Refusal, ...]:
    """Return why the record `other` may not be joined to `kept`. Fixed queries."""
    records = records_of([kept, other])
    both = _signed_both({kept.pk, other.pk})
    return refuse_joining(records[kept.pk], records[other.pk], act=act, signed_both=both, is_confirmed=is_confirmed)


def parting_refused(record: Person, other: Person, entries: Iterable[int], *, act: Changing) -> tuple[Refusal, ...]:
    """Return why these entries of a record may not become those of another. Fixed queries."""
    records = records_of([record, other])
    return refuse_parting(records[record.pk], records[other.pk], entries, act=act)


def _signed_both(pair: set[int]) -> set[int]:
    """Return the assessments of which one of two records judged and the other signed second, if neither is struck."""
    seconds = dict(
        LedgerIndex.objects.filter(kind=EntryKind.SECOND_SIGNATURE, actor__in=pair).values_list("of", "actor")
    )
    judged = LedgerIndex.objects.filter(entry__in=seconds, actor__in=pair).values_list("entry_id", "actor")
    both = {seq for seq, actor in judged if seconds[seq] != actor}
    struck = LedgerIndex.objects.filter(kind=EntryKind.CORRECTION, of__in=both).values_list("of", flat=True)
    return both - set(struck)


@dataclass(frozen=True, slots=True, kw_only=True)
class LikeEachOther:
    """Two records that may be one person, and what they have in common."""

    first: Person
    second: Person
    same_name: bool
    same_start: bool
    like_number: bool


def possible_doubles(plant: Plant) -> list[LikeEachOther]:
    """Return the pairs of records that look like one person, by name. Two queries for a plant of any size.

    Alike is the same name but for accents, capitals, spaces and the order of its parts; or a part of it in common and
    the same first working day or an employee number that differs in one sign. Pairs that the coordinator found to
    be two people are left out.
    """
    people = list(Person.objects.filter(plant=plant).single().order_by("name", "works_number"))
    apart = set(DifferentPeople.objects.filter(first__plant=plant).values_list("first", "second"))
    alike: dict[tuple[int, int], LikeEachOther] = {}
    for group in _sharing_a_part(people):
        for first, second in combinations(group, 2):
            pair = (min(first.pk, second.pk), max(first.pk, second.pk))
            compared = _compared(first, second)
            if pair not in apart and compared is not None:
                alike.setdefault(pair, compared)
    return sorted(alike.values(), key=lambda each: (each.first.name, each.second.name, each.first.pk, each.second.pk))


def _sharing_a_part(people: Iterable[Person]) -> list[list[Person]]:
    """Return the people who have a part of their names in common, part by part."""
    groups: dict[str, list[Person]] = defaultdict(list)
    for person in people:
        for part in set(_name_parts(person)):
            groups[part].append(person)
    return [group for group in groups.values() if len(group) > 1]


def _compared(first: Person, second: Person) -> LikeEachOther | None:
    """Return two records with what they have in common, if that is enough to ask whether they are one person."""
    mine, theirs = _name_parts(first), _name_parts(second)
    alike = LikeEachOther(
        first=first,
        second=second,
        same_name=mine == theirs,
        same_start=first.started_on == second.started_on,
        like_number=_differs_in_one(first.works_number, second.works_number),
    )
    # Those who started together often have numbers in a row: without a part of the name that says nothing.
    some_of_name = bool(set(mine) & set(theirs))
    return alike if alike.same_name or (some_of_name and (alike.same_start or alike.like_number)) else None


def folded(name: str) -> str:
    """Return a name in small letters without accents.

    >>> folded("Zofia  Wójcik-Łęcka")
    'zofia wojcik-łecka'
    """
    plain = "".join(sign for sign in unicodedata.normalize("NFKD", name) if not unicodedata.combining(sign))
    return " ".join(plain.casefold().split())


def _name_parts(person: Person) -> tuple[str, ...]:
    return tuple(sorted(folded(person.name).replace("-", " ").replace(",", " ").split()))


def _differs_in_one(one: str, other: str) -> bool:
    """Return whether two numbers differ by one sign mistyped, left out, or two neighbours swapped."""
    if len(one) == len(other):
        places = [place for place, pair in enumerate(zip(one, other, strict=True)) if pair[0] != pair[1]]
        swapped = len(places) == 2 and one[places[0]] == other[places[1]] and one[places[1]] == other[places[0]]  # noqa: PLR2004 - a pair
        return len(places) == 1 or (swapped and places[1] == places[0] + 1)
    short, long = sorted((one, other), key=len)
    return len(long) == len(short) + 1 and any(long[:place] + long[place + 1 :] == short for place in range(len(long)))
