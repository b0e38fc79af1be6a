"""How assessors judge, for those who coordinate or audit; an assessor sees their own figures."""

from dataclasses import replace

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.permissions import may_see_all_judges, may_see_judges
from competencies.queries.judges import MONTHS, judges
from competencies.statistics.leniency import LEAST
from competencies.views.loading import own_plant


@login_required
@require_safe
def judges_page(request: ActorRequest) -> HttpResponse:
    """Show leniency with its interval and drift, criteria never missed, tasks learned from one, whom to compare."""
    plant = own_plant(request.actor)
    if not may_see_judges(request.actor):
        raise PermissionDenied
    found = judges(plant, now=timezone.now())
    sees_all = may_see_all_judges(request.actor)
    if not sees_all:
        own = [row for row in found.rows if row.person == request.actor.person]
        pairs = [pair for pair in found.compare if request.actor.person in {pair.one, pair.other}]
        found = replace(found, rows=own, compare=pairs)
    context = {"found": found, "sees_all": sees_all, "least": LEAST, "months": MONTHS}
    return render(request, "competencies/judges.html", context)
