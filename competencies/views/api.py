"""What other programs may read, as JSON: people, standing, cover and the ledger, with both clocks."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from competencies.forms.reading import USUAL, CoverAsked, LedgerAsked, PeopleAsked, StandingAsked
from competencies.models import LedgerIndex, Line, Person, Shift
from competencies.queries.cover import covers_over
from competencies.queries.line_cover import LineCover
from competencies.queries.standing import Held, end_of_day, standings_at
from competencies.views.api_document import document
from competencies.views.api_gate import Reader, asked, reads
from competencies.vocabulary import ReadScope
from competencies.wording import sentence


@require_safe
def openapi(_request: HttpRequest) -> JsonResponse:
    """Say what may be asked and what is answered, for programs; it holds nothing of any plant."""
    return JsonResponse(document())


def _clocks(reader: Reader, given: dict[str, Any]) -> tuple[date, datetime, datetime | None]:
    """Return the day asked about, its moment (now for today, else its end) and the moment of what is known."""
    today = timezone.localdate(reader.now)
    on: date = given["on"] or today
    known = given.get("known")
    if known is not None and not isinstance(known, datetime):
        known = end_of_day(known, reader.plant)
    moment = reader.now if on == today else end_of_day(on, reader.plant)
    return on, moment, known if known is not None and known < reader.now else None


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _moment(moment: datetime | None) -> str | None:
    return timezone.localtime(moment).isoformat() if moment else None


def _page(people: QuerySet[Person], given: dict[str, Any]) -> Page[Person]:
    return Paginator(people, given["size"] or USUAL).get_page(given["page"] or 1)


def _paged(page: Page[Person], items: Sequence[dict[str, Any]], **clocks: str | None) -> dict[str, Any]:
    numbers = {"page": page.number, "pages": page.paginator.num_pages, "people": page.paginator.count}
    return {**clocks, **numbers, "items": items}


@reads(ReadScope.PEOPLE)
def people(reader: Reader) -> dict[str, Any]:
    """Give the people employed on a day."""
    given = asked(reader, PeopleAsked)
    on, _moment_asked, _known = _clocks(reader, given)
    found = Person.objects.filter(plant=reader.plant).employed(on).select_related("crew", "area")
    page = _page(found.order_by("name", "works_number"), given)
    return _paged(page, [_person(person) for person in page], on=_day(on))


def _person(person: Person) -> dict[str, Any]:
    return {
        "id": person.pk,
        "employee_number": person.works_number,
        "name": person.name,
        "crew": person.crew.code if person.crew else None,
        "area": person.area.code if person.area else None,
        "started_on": _day(person.started_on),
        "last_day": _day(person.last_day),
    }


@reads(ReadScope.STANDING)
def standing(reader: Reader) -> dict[str, Any]:
    """Give where people stand on what they have begun, on a day, as known; the pages are pages of people."""
    given = asked(reader, StandingAsked)
    on, moment, known = _clocks(reader, given)
    found = Person.objects.filter(plant=reader.plant).employed(on)
    if given["person"]:
        found = found.filter(pk=given["person"])
    page = _page(found.order_by("name", "works_number"), given)
    tasks = [given["task"]] if given["task"] else None
    held = standings_at(people=[person.pk for person in page], moment=moment, known=known, tasks=tasks)
    return _paged(page, [_held(each) for each in held], on=_day(on), known=_moment(known))


def _held(held: Held) -> dict[str, Any]:
    period = held.period
    return {
        "person": held.person_id,
        "task": held.task_code,
        "place": str(held.scope),
        "standing": period.standing.value,
        "counts": period.counts,
        "last_valid_on": _day(period.last_valid_on),
        "revision": period.revision,
        "reasons": [{"rule": each.rule, "code": each.code, "text": sentence(each)} for each in period.reasons],
        "rests_on": list(period.rests_on),
    }


@reads(ReadScope.COVER)
def cover(reader: Reader) -> dict[str, Any]:
    """Give every line on every shift of some days: whether it is covered, by whom, and who could."""
    given = asked(reader, CoverAsked)
    on, _moment_asked, known = _clocks(reader, given)
    lines = Line.objects.filter(plant=reader.plant, stations__isnull=False).distinct().select_related("plant")
    if given["line"]:
        lines = lines.filter(code=given["line"])
    days = [on + timedelta(days=step) for step in range(given["days"] or 1)]
    shifts = list(Shift.objects.filter(plant=reader.plant).order_by("starts"))
    found = covers_over(lines=list(lines.order_by("code")), shifts=shifts, days=days, known=known)
    items = [_covered(each) for covers in found.values() for each in covers]
    return {"on": _day(on), "known": _moment(known), "items": items}


def _covered(each: LineCover) -> dict[str, Any]:
    return {
        "on": _day(each.on),
        "shift": each.shift.name,
        "line": each.line.code,
        "covered": each.is_covered,
        "covered_until": _moment(each.covered_until),
        "stations": [
            {
                "task": slot.station.task.code,
                "machine": slot.station.machine.code if slot.station.machine else None,
                "stands": slot.person.pk if slot.person else None,
                "able": [person.pk for person in slot.able],
                "short": slot.is_short,
            }
            for slot in each.slots
        ],
    }


@reads(ReadScope.LEDGER)
def ledger(reader: Reader) -> dict[str, Any]:
    """Give the plant's entries in their order, each with the text that was hashed: anybody can check the chain."""
    given = asked(reader, LedgerAsked)
    on, _moment_asked, known = _clocks(reader, given)
    size = given["size"] or USUAL
    rows = LedgerIndex.objects.filter(plant=reader.plant).select_related("entry")
    if given["on"]:
        rows = rows.filter(happened_on__lte=on)
    if known is not None:
        rows = rows.filter(recorded_at__lte=known)
    if given["after"] is not None:
        rows = rows.filter(entry__gt=given["after"])
    found = list(rows.order_by("entry")[: size + 1])
    more = found[size - 1].pk if len(found) > size else None
    clocks = {"on": _day(given["on"]), "known": _moment(known)}
    return {**clocks, "next_after": more, "items": [_entry(row) for row in found[:size]]}


def _entry(row: LedgerIndex) -> dict[str, Any]:
    return {
        "entry": row.pk,
        "kind": row.kind,
        "person": row.person,
        "by": row.actor,
        "task": row.task or None,
        "place": row.scope,
        "about_entry": row.of,
        "happened_at": _moment(row.happened_at),
        "recorded_at": _moment(row.recorded_at),
        "body": bytes(row.entry.body).decode(),
        "previous": bytes(row.entry.prev).hex(),
        "hash": bytes(row.entry.hash).hex(),
    }
