"""The plant's tasks: the list, and one task with its procedure, its terms and its people."""

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.permissions import may_decide_on_task, may_see_people
from competencies.queries.initial_trainers import first_trainers
from competencies.queries.tasks import task_page, tasks_by_area
from competencies.views.both_answers import differing_rows
from competencies.views.clocks import clocks_asked
from competencies.views.list_tables import tasks_table
from competencies.views.loading import own_plant, task_in
from competencies.views.table_files import file_asked, table_file


@login_required
@require_safe
def tasks(request: ActorRequest) -> HttpResponseBase:
    """Show the tasks by area; everybody of the plant may."""
    areas = tasks_by_area(own_plant(request.actor), now=timezone.now(), on=request.actor.on)
    if file := file_asked(request):
        return table_file(request, file, tasks_table(row for rows in areas.values() for row in rows))
    return render(request, "competencies/tasks.html", {"areas": areas.items()})


@login_required
@require_safe
def task(request: ActorRequest, task_code: str) -> HttpResponse:
    """Show one task; who holds or learns it only to those who may see people."""
    found = task_in(own_plant(request.actor), task_code)
    asked = clocks_asked(request)
    page = task_page(found, moment=asked.moment, on=asked.on, known=asked.known)
    context: dict[str, Any] = {
        "task": found,
        "page": page,
        "asked": asked,
        "may_decide": may_decide_on_task(request.actor, found),
        "first_trainers": first_trainers(found, on=asked.on),
    }
    if may_see_people(request.actor):
        shown = [person for person, _held in (*page.holders, *page.learners)]
        context |= {"may_see_people": True, "differing": differing_rows(shown, asked, tasks=[found.code])}
    return render(request, "competencies/task.html", context)
