"""The first days of a starter: the sets that the coordinator keeps, who starts, and one starter in full."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from competencies.forms.induction import InductionForm, steps_text
from competencies.middleware import ActorRequest
from competencies.operations.induction import issue_induction
from competencies.permissions import may_manage_people, may_see_people
from competencies.queries.induction import issues_in_force, starters, starts_of
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.views.people import person_shown

PAGE_SIZE = 30


@login_required
@require_safe
def starter_list(request: ActorRequest) -> HttpResponse:
    """Show who is in the first 90 days or starts soon: done, late, and what comes next."""
    plant, on = own_plant(request.actor), request.actor.on
    if not may_see_people(request.actor):
        raise PermissionDenied
    page = Paginator(starters(plant, on=on), PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": starts_of(list(page), on=on, now=timezone.now()),
        "may_manage": may_manage_people(request.actor),
    }
    return render(request, "competencies/starters.html", context)


@login_required
@require_safe
def person_start(request: ActorRequest, person_id: int) -> HttpResponse:
    """Show the first days of one person: every step with its day."""
    person = person_shown(request, person_id)
    on = request.actor.on
    start = starts_of([person], on=on, now=timezone.now())[0]
    steps = [(step, step.is_late(on)) for step in start.steps]
    return render(request, "competencies/person_start.html", {"person": person, "start": start, "steps": steps})


@login_required
@require_http_methods(["GET", "POST"])
def induction(request: ActorRequest) -> HttpResponse:
    """Show the sets that serve whoever starts today, and issue another."""
    plant, on = own_plant(request.actor), request.actor.on
    if not may_manage_people(request.actor):
        raise PermissionDenied
    issues = issues_in_force(plant, on=on)
    chosen = next((each for each in issues if str(each.pk) == request.GET.get("from")), None)
    initial: dict[str, object] = {"from_on": on}
    if chosen is not None:
        initial |= {"area": chosen.area_id, "role": chosen.role, "steps": steps_text(chosen)}
    form = InductionForm(request.POST or None, initial=initial, plant=plant)
    if request.method == "POST" and form.is_valid():
        given = {name: form.cleaned_data[name] for name in ("area", "role", "from_on", "steps")}
        issue_induction(**given, by=person_at_keyboard(request.actor), now=timezone.now())
        messages.success(request, _("The set is issued. Who started before stays under the set of then."))
        return redirect("competencies:induction")
    shown = [(each, sorted(each.tasks.all(), key=lambda row: (row.due_days, row.task.code))) for each in issues]
    return render(request, "competencies/induction.html", {"form": form, "issues": shown})
