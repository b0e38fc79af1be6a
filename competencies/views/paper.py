"""The desk's page of paper: what can be printed, and what is being made."""

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from competencies.jobs.registry import kinds
from competencies.middleware import ActorRequest
from competencies.permissions import may_print_records, may_see_all_jobs
from competencies.queries.jobs import recent_jobs
from competencies.views.desk_sheets import AUDIT_LEAD, DESK_SHEETS
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.vocabulary import SheetKind
from competencies.wording.sheets import SHEETS

PAGE_SIZE = 20


@never_cache
@login_required
@require_safe
def paper(request: ActorRequest) -> HttpResponse:
    """List what can be printed and the files made lately: one's own, and for the office everybody's."""
    if not may_print_records(request.actor):
        raise PermissionDenied
    open_to_all = [kind.code for kind in kinds().values() if not kind.is_private]
    others = tuple(open_to_all) if may_see_all_jobs(request.actor) else ()
    jobs = recent_jobs(own_plant(request.actor), asked_by=person_at_keyboard(request.actor), others=others)
    page = Paginator(jobs, PAGE_SIZE).get_page(request.GET.get("page"))
    sheets = [(kind, SHEETS[kind], desk.lead) for kind, desk in DESK_SHEETS.items() if desk.may(request.actor)]
    context = {
        "page": page,
        "query": request.GET,
        "sheets": sheets,
        "audit_name": SHEETS[SheetKind.AUDIT],
        "audit_lead": AUDIT_LEAD,
    }
    return render(request, "competencies/paper.html", context)
