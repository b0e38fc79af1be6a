"""One person on one task: why they stand where they do, since when, until when, on whose word; at any minute."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, Final

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.permissions import may_print_record
from competencies.queries.band import EVERYTHING, SPANS, Band
from competencies.queries.person_task import PersonTask, Question
from competencies.queries.person_task import person_task as shown
from competencies.views.acts import TASK_ACTS
from competencies.views.clocks import Asked, clocks_asked
from competencies.views.loading import own_plant, place_in, task_in
from competencies.views.people import person_shown

SPAN_NAMES: Final[dict[str, Promise]] = {
    "week": _("Week"),
    "month": _("Month"),
    "quarter": _("Quarter"),
    "year": _("Year"),
    EVERYTHING: _("All"),
}
LONGEST: Final = timedelta(days=366 * 60)


@dataclass(frozen=True, slots=True)
class Zoom:
    """The ways to draw other days: (name, address, whether it is this one), and a length earlier or later."""

    spans: list[tuple[Promise, str, bool]]
    earlier: str
    later: str


@login_required
@require_safe
def person_task(request: ActorRequest, person_id: int, task_code: str) -> HttpResponse:
    """Show a person on a task."""
    person = person_shown(request, person_id)
    plant = own_plant(request.actor)
    task = task_in(plant, task_code)
    asked = clocks_asked(request)
    scope = place_in(plant, task, request.GET["scope"]) if "scope" in request.GET else None
    page = shown(person, task, scope, question_of(asked))
    context: dict[str, Any] = {
        "person": person,
        "task": task,
        "asked": asked,
        "shown": page,
        "zoom": _zoom(asked, page.band),
        "pieces": [(piece, piece_address(asked, piece.shown_at)) for piece in page.band.pieces],
        "ticks": [(tick, asked.address(on=tick.on.isoformat(), at=None)) for tick in page.band.ticks],
        "acts": _acts(request, page),
        "may_print": may_print_record(request.actor, person),
        "print_query": asked.address(scope=str(page.scope)),
    }
    return render(request, "competencies/person_task.html", context)


def question_of(asked: Asked) -> Question:
    """Return what an address asks of a person on a task."""
    given = asked.given
    first, last = _day(given.get("from")), _day(given.get("to"))
    days = (first, last) if first and last and timedelta() <= last - first <= LONGEST else None
    return Question(
        on=asked.on, moment=asked.moment, now=asked.now, known=asked.known, span=given.get("span", ""), days=days
    )


def _day(text: str | None) -> date | None:
    try:
        found = parse_date(text or "")
    except ValueError:
        return None
    return found if found and 1950 <= found.year <= 2150 else None  # noqa: PLR2004 - a working life


def piece_address(asked: Asked, moment: datetime) -> str:
    """Return the address that asks about a moment; a broken second is the next whole one, which a clock can show."""
    local = timezone.localtime(moment + timedelta(microseconds=-moment.microsecond % 1_000_000))
    return asked.address(on=local.date().isoformat(), at=f"{local:%H:%M:%S}" if local.second else f"{local:%H:%M}")


def _zoom(asked: Asked, band: Band) -> Zoom:
    def drawn(by: int) -> str:
        window = band.window.moved(by)
        return asked.address(span=None, **{"from": window.from_on.isoformat(), "to": window.until_on.isoformat()})

    names = (*SPANS, EVERYTHING)
    spans = [
        (SPAN_NAMES[name], asked.address(span=name, **{"from": None, "to": None}), band.window.span == name)
        for name in names
    ]
    return Zoom(spans=spans, earlier=drawn(-1), later=drawn(1))


def _acts(request: ActorRequest, page: PersonTask) -> list[tuple[str, Any]]:
    return [(verb, act.title) for verb, act in TASK_ACTS.items() if act.may(request.actor) and act.fits(page.period)]
