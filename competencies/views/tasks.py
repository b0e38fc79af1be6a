"""The plant's tasks: the list, and one task with its procedure, its terms and its people."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.permissions import may_see_people
from competencies.queries.tasks import task_page, tasks_by_area
from competencies.views.loading import own_plant, task_in


@login_required
@require_safe
def tasks(request: ActorRequest) -> HttpResponse:
    """Show the tasks by area; everybody of the plant may."""
    areas = tasks_by_area(own_plant(request.actor), now=timezone.now(), on=request.actor.on)
    return render(request, "competencies/tasks.html", {"areas": areas.items()})


@login_required
@require_safe
def task(request: ActorRequest, task_code: str) -> HttpResponse:
    """Show one task; who holds or learns it only to those who may see people."""
    found = task_in(own_plant(request.actor), task_code)
    page = task_page(found, now=timezone.now(), on=request.actor.on)
    context = {"task": found, "page": page, "may_see_people": may_see_people(request.actor)}
    return render(request, "competencies/task.html", context)
