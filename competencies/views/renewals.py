"""Renewals spread over the weeks: the proposal, and asking for what was ticked of it."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from competencies.forms.renewals import MOST_TICKED, RenewalFilter, plans_of
from competencies.middleware import ActorRequest
from competencies.models import Plant
from competencies.operations.assignments import ClashError
from competencies.operations.renewals import ask_for_renewals
from competencies.permissions import may_plan_renewals
from competencies.queries.clashes import Clash, clashes_of_all
from competencies.queries.frame import frame_of
from competencies.queries.renewals import Proposal, Proposed, proposal
from competencies.standing.calendar import add_months
from competencies.views.loading import own_plant, person_at_keyboard

MOST_TOLD = 100


@dataclass(frozen=True, slots=True)
class Row:
    """A proposed renewal with everything that stands against it."""

    proposed: Proposed
    clashes: Sequence[Clash]

    @property
    def is_possible(self) -> bool:
        """Whether it can be asked for."""
        return not any(clash.blocks for clash in self.clashes)


@login_required
@require_http_methods(["GET", "POST"])
def renewals(request: ActorRequest) -> HttpResponse:
    """Show the proposal with all that stands against it; ask for what was ticked."""
    plant = own_plant(request.actor)
    if not may_plan_renewals(request.actor):
        raise PermissionDenied
    faults: list[str] = []
    if request.method == "POST":
        faults = _ask(request, plant)
        if not faults:
            return redirect(request.get_full_path())
    form = RenewalFilter(request.GET, plant=plant)
    found = proposal(
        plant,
        form.narrowed(),
        moment=timezone.now(),
        until_on=add_months(request.actor.on, form.months_ahead()),
        week_hours=form.week_hours(),
    )
    context = {
        "form": form,
        "found": found,
        "rows": _rows(plant, found),
        "left_over": max(0, len(found.proposed) - MOST_TICKED),
        "stuck": found.stuck[:MOST_TOLD],
        "stuck_left_over": max(0, len(found.stuck) - MOST_TOLD),
        "policy": frame_of(plant).policy_on(request.actor.on),
        "hours": form.week_hours() or frame_of(plant).policy_on(request.actor.on).assessor_week_hours,
        "faults": faults,
    }
    return render(request, "competencies/renewals.html", context)


def _rows(plant: Plant, found: Proposal) -> list[Row]:
    shown = found.proposed[:MOST_TICKED]
    if not shown:
        return []
    clashes = clashes_of_all(plans_of(plant, [each.token for each in shown]))
    return [Row(each, against) for each, against in zip(shown, clashes, strict=True)]


def _ask(request: ActorRequest, plant: Plant) -> list[str]:
    """Ask for what was ticked; return what stands against it, in words, and then nothing is asked for."""
    by = person_at_keyboard(request.actor)
    try:
        plans = plans_of(plant, request.POST.getlist("renewal"))
        # The clashes that do not block stood beside the boxes that were ticked.
        asked = ask_for_renewals(plans=plans, by=by, now=timezone.now(), seen=True)
    except ValidationError as error:
        return list(error.messages)
    except ClashError as error:
        return [clash.message for clash in error.clashes]
    messages.success(request, _("Renewals asked for: %(made)s.") % {"made": asked.made})
    if asked.already:
        messages.info(request, _("Asked for before, and left as they are: %(count)s.") % {"count": asked.already})
    return []
