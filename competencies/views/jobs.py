"""Files made in the background: how far one is, cancelling it, fetching it."""

from datetime import timedelta
from typing import Any, Final

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import FileResponse, Http404, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from competencies.jobs.asking import enqueue, kind_of, may_fetch_job, may_see_job
from competencies.jobs.work import Parameters
from competencies.middleware import ActorRequest
from competencies.models import Job
from competencies.operations.jobs import cancel_job
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.vocabulary import JobState

# After so long without anybody taking it, nothing seems to be there that would.
UNTAKEN_AFTER: Final = timedelta(minutes=1)


def start_job(request: ActorRequest, kind: str, parameters: Parameters, *, title: str) -> HttpResponseRedirect:
    """Put a job in the queue for the person at the keyboard, and lead to its page."""
    by, site = person_at_keyboard(request.actor), request.build_absolute_uri("/")
    job = enqueue(kind, parameters, title=title, by=by, site=site, now=timezone.now())
    return redirect("competencies:job", job.code)


def _job(request: ActorRequest, job_code: str) -> Job:
    """Return a job that this person may see; there are no others."""
    jobs = Job.objects.select_related("asked_by", "plant")
    found = jobs.filter(plant=own_plant(request.actor), code=job_code).first()
    if found is None:
        raise Http404
    if not may_see_job(request.actor, found):
        raise PermissionDenied
    return found


@never_cache
@login_required
@require_safe
def job(request: ActorRequest, job_code: str) -> HttpResponse:
    """Show how far a job is; the page asks again by itself until nothing more comes."""
    found = _job(request, job_code)
    return render(request, "competencies/job.html", _context(request, found))


def _context(request: ActorRequest, found: Job) -> dict[str, Any]:
    now = timezone.now()
    kind = kind_of(found)
    return {
        "job": found,
        "kind": kind.word if kind else "",
        "is_open": JobState(found.state).is_open,
        "is_untaken": found.state == JobState.WAITING and found.asked_at < now - UNTAKEN_AFTER,
        "may_fetch": may_fetch_job(request.actor, found, now=now),
        "percent": min(100, 100 * found.done // found.total) if found.total else 0,
    }


@login_required
@require_POST
def job_cancel(request: ActorRequest, job_code: str) -> HttpResponse:
    """Cancel a job that is not done."""
    found = _job(request, job_code)
    cancel_job(job=found, now=timezone.now())
    messages.success(request, _("It ends with the piece at hand. What was begun is thrown away."))
    return redirect("competencies:job", found.code)


@never_cache
@login_required
@require_safe
def job_file(request: ActorRequest, job_code: str) -> HttpResponse | FileResponse:
    """Hand out the file of a job that is done, as long as it is kept."""
    found = _job(request, job_code)
    if not may_fetch_job(request.actor, found, now=timezone.now()):
        raise Http404
    response = FileResponse(found.path.open("rb"), as_attachment=True, filename=found.file_name)
    response["Content-Type"] = found.file_type
    return response
