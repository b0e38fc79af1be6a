"""The trainer's floor page and what is asked for from it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from competencies.forms.floor import PlanForm
from competencies.middleware import ActorRequest
from competencies.models import Assignment, Line, Person, Plant, Shift
from competencies.operations.assignments import ClashError, assign, drop_assignment
from competencies.permissions import may_assess, may_assign, may_see_floor
from competencies.queries.clashes import Plan, clashes_of
from competencies.queries.floor import (
    FloorPlan,
    Then,
    floor_plan,
    line_of_day,
    near_at_hand,
    people_to_ask,
    shift_shared,
    trainers_of,
)
from competencies.queries.runs import shift_at
from competencies.views.both_answers import AnswerRow, differing_rows
from competencies.views.clocks import Asked, clocks_asked
from competencies.views.loading import own_plant, person_at_keyboard

WEEK_DAYS = 7
# Stands in an address for every line; without any line the page shows the one that its reader is rostered at.
ALL_LINES = "all"


@dataclass(frozen=True, slots=True)
class Shown:
    """Which days of the floor are shown, and which line."""

    on: date
    is_week: bool = False
    line: Line | None = None

    @property
    def days(self) -> list[date]:
        """Return the day, or the seven days of its week from Monday on."""
        if not self.is_week:
            return [self.on]
        monday = self.on - timedelta(days=self.on.weekday())
        return [monday + timedelta(days=step) for step in range(WEEK_DAYS)]

    def address(self, *, on: date | None = None, view: str = "") -> str:
        """Return the address of the same page for another day or another view."""
        asked = {"on": (on or self.on).isoformat(), "view": view or ("week" if self.is_week else "day")}
        asked["line"] = self.line.code if self.line else ALL_LINES
        return f"{reverse('competencies:floor')}?{urlencode(asked)}"


def day_asked(text: str | None, *, today: date) -> date:
    """Return the day that an address names; today where it names none that a calendar of plans would hold."""
    try:
        found = parse_date(text or "")
    except ValueError:
        found = None
    return found if found and abs((found - today).days) <= 366 * 3 else today


@login_required
@require_safe
def floor(request: ActorRequest) -> HttpResponse:
    """Show today or this week by line and shift, and who is ready for what."""
    plant = own_plant(request.actor)
    if not may_see_floor(request.actor):
        raise PermissionDenied
    lines = list(Line.objects.filter(plant=plant).order_by("code"))
    on = day_asked(request.GET.get("on"), today=request.actor.on)
    wanted = request.GET.get("line") or line_of_day(person_at_keyboard(request.actor), on=on)
    line = next((each for each in lines if each.code == wanted), None)
    shown = Shown(on, request.GET.get("view") == "week", line)
    asked = clocks_asked(request)
    then = Then(asked.moment, asked.known) if asked.is_past else None
    plan = floor_plan(plant, days=shown.days, now=asked.now, then=then, line=line)
    step = WEEK_DAYS if shown.is_week else 1
    context = {
        "plan": plan,
        "shown": shown,
        "lines": lines,
        "today": request.actor.on,
        "every_line": ALL_LINES,
        "views": [
            (_("Day"), shown.address(view="day"), not shown.is_week),
            (_("Week"), shown.address(view="week"), shown.is_week),
        ],
        "earlier_url": shown.address(on=on - timedelta(days=step)),
        "later_url": shown.address(on=on + timedelta(days=step)),
        "may_assign": may_assign(request.actor),
        "may_assess": may_assess(request.actor),
        "asked": asked,
        "differing": _differing(plan, asked),
    }
    return render(request, "competencies/floor.html", context)


def _differing(plan: FloorPlan, asked: Asked) -> list[AnswerRow]:
    """Return what was said at that minute of the people asked for something, and is not said any more."""
    items = [each.assignment for place in plan.lines for each in place.asked]
    people = {item.person_id: item.person for item in items}.values()
    return differing_rows(people, asked, tasks={item.task.code for item in items}) if items else []


@login_required
@require_http_methods(["GET", "POST"])
def assign_tasks(request: ActorRequest) -> HttpResponse:
    """Ask several people for several tasks; every clash is named before anything is saved."""
    plant, by = own_plant(request.actor), person_at_keyboard(request.actor)
    if not may_assign(request.actor):
        raise PermissionDenied
    form = _plan_form(request, plant, by)
    if request.method == "POST" and form.is_valid():
        plan = form.plan()
        clashes = clashes_of(plan)
        if "look" in request.POST:
            form.name_clashes(clashes, only_looking=True)
        elif _was_asked(form, plan, by):
            return _answer_asked(request, plan)
    context = {"form": form, "looked": "look" in request.POST}
    return render(request, "competencies/assign.html", context)


def _was_asked(form: PlanForm, plan: Plan, by: Person) -> bool:
    clashes = clashes_of(plan)
    try:
        assign(plan=plan, by=by, now=timezone.now(), seen=form.has_seen(clashes), note=form.cleaned_data["note"])
    except ClashError as error:
        form.name_clashes(error.clashes)
        return False
    return True


def _answer_asked(request: ActorRequest, plan: Plan) -> HttpResponse:
    count = len(plan.people) * len(plan.tasks)
    asked = ngettext("%(count)s run is asked for.", "%(count)s runs are asked for.", count) % {"count": count}
    messages.success(request, asked)
    return redirect(Shown(plan.on).address())


def _plan_form(request: ActorRequest, plant: Plant, by: Person) -> PlanForm:
    """Return the form as it was sent, or as the address fills it in."""
    sent = request.POST if request.method == "POST" else request.GET
    shifts = list(Shift.objects.filter(plant=plant).order_by("starts"))
    now = timezone.now()
    running = shift_at(shifts, now=now, today=request.actor.on, zone=plant.timezone)
    usual = running[0] if running else next(iter(shifts), None)
    on = day_asked(sent.get("on"), today=request.actor.on)
    wanted = sent.get("shift") or shift_shared(plant, numbers=request.GET.getlist("person"), on=on)
    shift = next((each for each in shifts if each.name == wanted), usual)
    line = Line.objects.filter(plant=plant, code=sent.get("line", "")).first()
    trainers = trainers_of(plant, on=on)
    initial: Mapping[str, Any] = {
        "people": request.GET.getlist("person"),
        "tasks": request.GET.getlist("task"),
        "on": on,
        "shift": shift.name if shift else None,
        "line": line.code if line else None,
        "machine": request.GET.get("machine"),
        "trainer": request.GET.get("trainer") or (by.pk if trainers.filter(pk=by.pk).exists() else None),
    }
    near_people, near_tasks = near_at_hand(plant, on=on, shift=shift, line=line)
    return PlanForm(
        request.POST or None,
        initial=initial,
        plant=plant,
        people=people_to_ask(plant, on=on),
        trainers=trainers,
        near=(near_people | set(initial["people"]), near_tasks | set(initial["tasks"])),
    )


@login_required
@require_http_methods(["GET", "POST"])
def assignment_drop(request: ActorRequest, assignment_id: int) -> HttpResponse:
    """Call an assignment off, after asking."""
    plant = own_plant(request.actor)
    if not may_assign(request.actor):
        raise PermissionDenied
    assignment = get_object_or_404(
        Assignment.objects.select_related("person", "task", "shift", "line"), pk=assignment_id, plant=plant
    )
    back = Shown(assignment.on).address()
    if request.method == "POST":
        drop_assignment(assignment=assignment)
        messages.success(request, _("Called off: %(task)s for %(name)s.") % _names(assignment))
        return redirect(back)
    return render(request, "competencies/assignment_drop.html", {"assignment": assignment, "back_url": back})


def _names(assignment: Assignment) -> dict[str, str]:
    return {"task": assignment.task.title, "name": assignment.person.name}
