"""Whether each line is covered over the next twelve months, on whom it hangs, and what if somebody leaves."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from competencies.forms.cover_ahead import AheadForm
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.permissions import may_see_plant
from competencies.printing.cover_ahead import ahead_pdf
from competencies.printing.pdf import PdfUnavailableError, require_press
from competencies.queries.ahead_chart import chart_of
from competencies.queries.cover_ahead import lines_ahead
from competencies.queries.line_ahead import Compared, LineAhead, compared
from competencies.queries.teams import Ahead, ahead_of
from competencies.views.clocks import clocks_asked
from competencies.views.cover import cover_views, manned_lines
from competencies.views.loading import own_plant
from competencies.views.plant_tables import ahead_table
from competencies.views.table_files import file_asked, table_file


@dataclass(frozen=True, slots=True)
class _Asked:
    """What an address asks about, and the answer."""

    form: AheadForm
    ahead: Ahead
    lines: list[LineAhead]
    differences: list[Compared]
    missing: Person | None


def _asked(request: ActorRequest) -> _Asked:
    plant = own_plant(request.actor)
    if not may_see_plant(request.actor):
        raise PermissionDenied
    today = request.actor.on
    every = list(manned_lines(plant))
    people = list(Person.objects.filter(plant=plant, roster_days__isnull=False).employed(today).distinct())
    people.sort(key=lambda person: person.name)
    form = AheadForm(request.GET or None, lines=every, people=people, today=today)
    wanted = form.cleaned_data.get("line") if form.is_valid() else ""
    ahead = ahead_of(plant, [line for line in every if wanted in {"", line.code}], today=today, now=timezone.now())
    plain = lines_ahead(ahead)
    missing = form.missing()
    if not missing:
        return _Asked(form, ahead, plain, [], None)
    without = lines_ahead(ahead, missing=missing)
    return _Asked(form, ahead, without, compared(plain, without), form.person())


@login_required
@require_safe
def cover_ahead(request: ActorRequest) -> HttpResponseBase:
    """Show every line week by week, its first break and why, and what it comes to without somebody."""
    asked = _asked(request)
    if file := file_asked(request):
        return table_file(request, file, ahead_table(asked.lines))
    context: dict[str, Any] = {
        "form": asked.form,
        "ahead": asked.ahead,
        "lines": [(line, chart_of(line)) for line in asked.lines],
        "differences": asked.differences,
        "missing": asked.missing,
        "views": cover_views(clocks_asked(request), _("Next 12 months")),
        "print_url": f"{reverse('competencies:cover-ahead-print')}?{request.GET.urlencode()}",
    }
    return render(request, "competencies/cover_ahead.html", context)


@login_required
@require_safe
def cover_ahead_print(request: ActorRequest) -> HttpResponse:
    """Return the same on paper."""
    asked = _asked(request)
    try:
        require_press()
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        text = _("Nothing can be printed on this server before it has: %(packages)s") % {"packages": packages}
        messages.error(request, text)
        return redirect("competencies:cover-ahead")
    pdf = ahead_pdf(
        asked.ahead,
        asked.lines,
        plant=own_plant(request.actor),
        missing=asked.missing,
        printed_by=str(request.actor.person),
    )
    headers = {"Content-Disposition": 'inline; filename="cover-ahead.pdf"', "Cache-Control": "no-store"}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)
