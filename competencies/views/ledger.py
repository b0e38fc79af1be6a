"""The journal of the ledger for coordinators and auditors, and a check of the whole of it."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from competencies.forms.journal import JournalFilter
from competencies.ledger.chain import ChainError
from competencies.ledger.verifying import verify_ledger
from competencies.middleware import ActorRequest
from competencies.permissions import may_see_ledger
from competencies.queries.journal import journal_lines, journal_rows, ledger_state
from competencies.views.list_tables import ledger_table
from competencies.views.loading import own_plant
from competencies.views.table_files import file_asked, table_file

PAGE_SIZE = 50


@login_required
@require_http_methods(["GET", "POST"])
def ledger(request: ActorRequest) -> HttpResponseBase:
    """Show the ledger's state and its entries, or check all of it."""
    plant = own_plant(request.actor)
    if not may_see_ledger(request.actor):
        raise PermissionDenied
    if request.method == "POST":
        _check(request)
        return redirect("competencies:ledger")
    form = JournalFilter(request.GET)
    asked = form.cleaned_data if form.is_valid() else {}
    found = journal_rows(plant, asked)
    if file := file_asked(request):
        return table_file(request, file, ledger_table(found, plant, known_on=asked.get("known_on")))
    page = Paginator(found, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page": page,
        "state": ledger_state(),
        "lines": journal_lines(list(page.object_list), plant, known_on=asked.get("known_on")),
    }
    return render(request, "competencies/ledger.html", context)


def _check(request: ActorRequest) -> None:
    """Recompute the whole ledger and say what was found."""
    try:
        found = verify_ledger()
    except ChainError as error:
        messages.error(request, _("The ledger does not fit: %(fault)s") % {"fault": error})
    else:
        messages.success(request, _("All %(count)s entries fit, and so do the anchors.") % {"count": found.count})
