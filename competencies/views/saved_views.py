"""Saved views of the matrix: kept under a name, shared with the plant or one's own, opened and dropped."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from competencies.forms.matrix import SavedViewForm
from competencies.middleware import ActorRequest
from competencies.operations.saved_views import SavedViewError, drop_view, save_view
from competencies.permissions import may_drop_saved_view, may_see_plant
from competencies.queries.saved_views import saved_views_for
from competencies.views.clocks import CLOCKS
from competencies.views.loading import person_at_keyboard
from competencies.views.matrix import FILTERS, NARROWED

PAGE_SIZE = 30


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def saved_views(request: ActorRequest) -> HttpResponse:
    """List the views that one may open, and keep the cut of the address as a further one."""
    person = person_at_keyboard(request.actor)
    if not may_see_plant(request.actor):
        raise PermissionDenied
    asked = {name: request.GET[name] for name in (*FILTERS, *NARROWED, *CLOCKS) if request.GET.get(name)}
    form = SavedViewForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            save_view(owner=person, query=urlencode(asked), now=timezone.now(), **form.cleaned_data)
        except SavedViewError as error:
            form.add_error("name", str(error))
        else:
            messages.success(request, _("Saved."))
            return redirect("competencies:saved-views")
    page = Paginator(saved_views_for(person), PAGE_SIZE).get_page(request.GET.get("page"))
    rows = [(view, may_drop_saved_view(request.actor, view)) for view in page]
    context = {"form": form, "asked": asked, "page": page, "rows": rows, "person": person}
    return render(request, "competencies/saved_views.html", context)


@login_required
@require_POST
def saved_view_drop(request: ActorRequest, view_id: int) -> HttpResponse:
    """Drop a saved view."""
    view = get_object_or_404(saved_views_for(person_at_keyboard(request.actor)), pk=view_id)
    if not may_drop_saved_view(request.actor, view):
        raise PermissionDenied
    drop_view(view=view)
    messages.success(request, _("Dropped."))
    return redirect("competencies:saved-views")
