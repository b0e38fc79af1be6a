"""A procedure is issued anew: what differs, whom it touches and when it costs least, before two people sign."""

from datetime import datetime
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from competencies.forms.revisions import IssueForm
from competencies.importing.syllabus import ProcedureRow
from competencies.middleware import ActorRequest
from competencies.models import Task
from competencies.operations.recording import RefusedError
from competencies.operations.revising import issue_revision
from competencies.permissions import may_decide_on_task
from competencies.queries.frame import frame_of
from competencies.queries.previews import touched_by, with_revision
from competencies.queries.revision_previews import dates_told, revision_asked, runs_carried, stations_ahead
from competencies.queries.revisions import IssueAsked, issues_of
from competencies.standing.calendar import clock_of
from competencies.views.faults import add_refusals
from competencies.views.loading import own_plant, person_at_keyboard, task_in
from competencies.views.proving import both_proven
from competencies.views.revision_words import procedure_parts
from competencies.vocabulary import ChangeClass

# All on one page: a way to a second one would lose what was typed.
PAGE_SIZE = 1000


@sensitive_post_parameters("pin", "second_pin")
@login_required
@require_http_methods(["GET", "POST"])
def revision_issue(request: ActorRequest, task_code: str) -> HttpResponse:
    """Take what the next revision asks; show what it would do; issue it."""
    task = task_in(own_plant(request.actor), task_code)
    if not may_decide_on_task(request.actor, task):
        raise PermissionDenied
    now = timezone.now()
    newest = next(iter(issues_of(task)), None)
    before = newest.procedure if newest else ProcedureRow()
    form = IssueForm(
        request.POST or None,
        task=task,
        base=newest.revision.number if newest else 0,
        before=before,
        on=request.actor.on,
        first=person_at_keyboard(request.actor),
    )
    context: dict[str, Any] = {"task": task, "newest": newest.revision if newest else None, "form": form}
    if request.method == "POST" and form.is_valid():
        asked = form.asked()
        if "issue" in request.POST and _was_issued(request, form, task, asked, now):
            return redirect("competencies:task-changes", task.code)
        context |= {"shown": True, "asked": asked, "proposed": form.compared()}
        context["parts"] = procedure_parts(before, asked.procedure)
        context |= _foreseen(request, task, asked, now)
    return render(request, "competencies/revision_issue.html", context)


def _was_issued(request: ActorRequest, form: IssueForm, task: Task, asked: IssueAsked, now: datetime) -> bool:
    both = both_proven(form, person_at_keyboard(request.actor), now=now)
    if both is None:
        return False
    try:
        revision = issue_revision(task=task, asked=asked, by=both[0], second=both[1], now=now)
    except RefusedError as error:
        add_refusals(form, error)
        return False
    said = {"number": revision.number, "day": revision.effective_on.strftime("%d/%m/%Y")}
    messages.success(request, _("Revision %(number)s is issued, in force from %(day)s.") % said)
    return True


def _foreseen(request: ActorRequest, task: Task, asked: IssueAsked, now: datetime) -> dict[str, Any]:
    """Return what the revision would do, as the rule itself works it out."""
    frame = frame_of(task.plant)
    changed = with_revision(frame, task.code, revision_asked(asked, now=now))
    touched = touched_by(task.plant, changed, task.code, now=now)
    starts = clock_of(frame.timezone).midnight(asked.effective_on)
    stopping = [each for each in touched if each.stops]
    found: dict[str, Any] = {
        "page": Paginator(touched, PAGE_SIZE).get_page(request.GET.get("page")),
        "stopping": len(stopping),
        "at_once": sum(each.from_at <= starts for each in stopping),
        "carried": runs_carried(task, changed, effective_on=asked.effective_on, now=now),
        "stations": stations_ahead(task.plant, touched, since=asked.effective_on),
    }
    if asked.change is ChangeClass.MAJOR:
        last = max((each.effective_on for each in frame.tasks[task.code].revisions), default=request.actor.on)
        found["dates"] = dates_told(task, today=request.actor.on, not_before=last)
    return found
