"""Everything kept about a person, for the person: on the screen, as one PDF, as one JSON file."""

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.permissions import may_see_own_data
from competencies.printing.own_data import own_data_pdf
from competencies.printing.pdf import PdfUnavailableError, require_press
from competencies.queries.own_data import OwnData, own_data
from competencies.views.loading import own_plant, person_at_keyboard, person_in


def _person(request: ActorRequest, person_id: int) -> Person:
    person = person_in(own_plant(request.actor), person_id)
    if not may_see_own_data(request.actor, person):
        raise PermissionDenied
    return person


@never_cache
@login_required
@require_safe
def person_data(request: ActorRequest, person_id: int) -> HttpResponse:
    """Show how much is kept in which table, and lead to the files."""
    person = _person(request, person_id)
    return _page(request, person, "")


@never_cache
@login_required
@require_safe
def person_data_file(request: ActorRequest, person_id: int, form: str) -> HttpResponse:
    """Hand out everything kept as one file. Its name holds nobody's name: it travels further than the file."""
    person = _person(request, person_id)
    if form not in {"pdf", "json"}:
        raise Http404
    now = timezone.now()
    name = f"{person.pk}-{now:%Y%m%d}"
    if form == "json":
        headers = {"Content-Disposition": f'attachment; filename="{name}.json"'}
        return JsonResponse(_data(request, person).as_json(), json_dumps_params={"indent": 2}, headers=headers)
    try:
        require_press()
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        said = _("Nothing can be printed on this server before it has: %(packages)s") % {"packages": packages}
        return _page(request, person, said)
    pdf = own_data_pdf(_data(request, person), printed_by=person_at_keyboard(request.actor).name, now=now)
    return HttpResponse(
        pdf, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}.pdf"'}
    )


def _data(request: ActorRequest, person: Person) -> OwnData:
    return own_data(person, now=timezone.now(), with_private=request.actor.person == person)


def _page(request: ActorRequest, person: Person, fault: str) -> HttpResponse:
    context = {
        "person": person,
        "data": _data(request, person),
        "fault": fault,
        "is_own": request.actor.person == person,
    }
    return render(request, "competencies/own_data.html", context)
