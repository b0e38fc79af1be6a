"""A person's calendar for a telephone or a desk: by a secret address, in the plant's zone, without anybody's name."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe
from icalendar import Calendar, Event

from competencies.middleware import ActorRequest
from competencies.models import CalendarAddress
from competencies.operations.doors import digest_of, make_calendar_address, revoke_calendar_address
from competencies.queries.calendar import Asked, CalendarPage, Due, calendar_of, calendar_owner
from competencies.views.loading import person_at_keyboard

ONE_DAY = timedelta(days=1)


@never_cache
@require_safe
def calendar_feed(_request: HttpRequest, secret: str) -> HttpResponse:
    """Give the calendar that a secret opens; a wrong one, a revoked one and a leaver's are not there."""
    person = calendar_owner(digest_of(secret))
    if person is None:
        raise Http404
    zone, now = ZoneInfo(person.plant.timezone), timezone.now()
    on = timezone.localdate(now, timezone=zone)
    if person.last_day is not None and person.last_day < on:
        raise Http404
    with timezone.override(zone), translation.override(person.language or person.plant.language):
        content = _written(calendar_of(person, now=now, on=on), zone, now)
    return HttpResponse(
        content,
        content_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": 'attachment; filename="calendar.ics"'},
    )


def _written(page: CalendarPage, zone: ZoneInfo, now: datetime) -> bytes:
    """Return the calendar as RFC 5545 has it."""
    plant, found = page.person.plant, Calendar()
    found.add("version", "2.0")
    found.add("prodid", "-//training record//calendar//EN")
    found.add("method", "PUBLISH")
    found.add("name", _("Training at %(plant)s") % {"plant": plant.name})
    found.add("refresh-interval", timedelta(hours=6), parameters={"VALUE": "DURATION"})
    for asked in page.asked:
        found.add_component(_asked_event(asked, plant.code, zone, now))
    for due in page.due:
        found.add_component(_due_event(due, f"{page.person.pk}@{plant.code}", now))
    found.add_missing_timezones(last_date=date(now.year + 2, 1, 1))
    return bytes(found.to_ical())


def _asked_event(asked: Asked, plant_code: str, zone: ZoneInfo, now: datetime) -> Event:
    event = _event(f"asked-{asked.number}@{plant_code}", f"{asked.task.code} {asked.task.title}", now)
    event.add("dtstart", asked.start.astimezone(zone))
    event.add("dtend", asked.end.astimezone(zone))
    if asked.place:
        event.add("location", asked.place)
    return event


def _due_event(due: Due, owner: str, now: datetime) -> Event:
    title = _("%(task)s %(title)s: last valid day") % {"task": due.task.code, "title": due.task.title}
    event = _event(f"due-{due.task.code}-{due.scope or 'site'}-{owner}", title, now)
    event.add("dtstart", due.last_valid_on)
    event.add("dtend", due.last_valid_on + ONE_DAY)
    event.add("transp", "TRANSPARENT")
    event.add("description", _("Renew it by this day: one observed performance."))
    if str(due.scope):
        event.add("location", str(due.scope))
    return event


def _event(uid: str, title: str, now: datetime) -> Event:
    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", now)
    event.add("summary", title)
    return event


@never_cache
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def my_calendar(request: ActorRequest) -> HttpResponse:
    """Make, renew or revoke the address of one's own calendar; a new one is shown this once."""
    me = person_at_keyboard(request.actor)
    context: dict[str, object] = {}
    if request.method == "POST" and request.POST.get("act") == "revoke":
        revoke_calendar_address(person=me)
        messages.success(request, _("The address is revoked. Nobody can read your calendar by it any more."))
        return redirect("competencies:my-calendar")
    if request.method == "POST":
        secret = make_calendar_address(person=me, now=timezone.now())
        context["address"] = request.build_absolute_uri(reverse("competencies:calendar-feed", args=[secret]))
    context["kept"] = CalendarAddress.objects.filter(person=me).first()
    return render(request, "competencies/my_calendar.html", context)
