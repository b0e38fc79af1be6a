"""What changed between two issues of a procedure: on the screen, and as a briefing to sign on paper."""

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.models import Task
from competencies.permissions import may_see_people
from competencies.printing.briefings import Briefing, briefing_pdf
from competencies.printing.pdf import PdfUnavailableError, require_press
from competencies.queries.revisions import Issue, issues_of, two_issues
from competencies.queries.told import people_of_task, told_of, with_todo
from competencies.views.loading import own_plant, person_at_keyboard, task_in
from competencies.views.revision_words import procedure_parts

PAGE_SIZE = 30


@login_required
@require_safe
def revision_compare(request: ActorRequest, task_code: str) -> HttpResponse:
    """Show word by word what changed between two revisions of a task; by default the last change."""
    task = task_in(own_plant(request.actor), task_code)
    return _page(request, task)


@never_cache
@login_required
@require_safe
def revision_briefing(request: ActorRequest, task_code: str) -> HttpResponse:
    """Print what changed, with a line to sign for each who holds or learns the task."""
    task = task_in(own_plant(request.actor), task_code)
    if not may_see_people(request.actor):
        raise PermissionDenied
    before, after = _two(request, list(issues_of(task)))
    try:
        require_press()
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        said = _("Nothing can be printed on this server before it has: %(packages)s") % {"packages": packages}
        return _page(request, task, said)
    briefing = Briefing(
        task=task,
        before=before.revision,
        after=after.revision,
        parts=procedure_parts(before.procedure, after.procedure),
        people=people_of_task(task, on=request.actor.on),
    )
    by = person_at_keyboard(request.actor)
    pdf = briefing_pdf(briefing, printed_by=by.name, on=request.actor.on, now=timezone.now())
    headers = {"Content-Disposition": f'inline; filename="{task.pk}-{after.revision.number}.pdf"'}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)


def _two(request: ActorRequest, issues: list[Issue]) -> tuple[Issue, Issue]:
    found = two_issues(issues, old=request.GET.get("old", ""), new=request.GET.get("new", ""))
    if found is None:
        raise Http404
    return found


def _page(request: ActorRequest, task: Task, fault: str = "") -> HttpResponse:
    issues = list(issues_of(task))
    if len(issues) == 1:
        return render(request, "competencies/revision_only.html", {"task": task, "revision": issues[0].revision})
    before, after = _two(request, issues)
    context = {
        "task": task,
        "before": before.revision,
        "after": after.revision,
        "issues": issues,
        "parts": procedure_parts(before.procedure, after.procedure),
        "may_brief": may_see_people(request.actor),
        "fault": fault,
    }
    return render(request, "competencies/revision_compare.html", context)


@login_required
@require_safe
def my_changes(request: ActorRequest) -> HttpResponse:
    """Show the person at the keyboard which revisions they were told of, and what is left to do about each."""
    person, now = person_at_keyboard(request.actor), timezone.now()
    page = Paginator(told_of(person, now=now), PAGE_SIZE).get_page(request.GET.get("page"))
    context = {"page": page, "rows": with_todo(list(page), person, now=now)}
    return render(request, "competencies/my_changes.html", context)
