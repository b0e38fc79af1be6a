"""One person on one task over time: the band, every entry, who stands behind it, and what may be done about it."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.queries.facts import rule_of
from competencies.queries.people import Clocks
from competencies.queries.people import person_task as shown
from competencies.views.acts import TASK_ACTS
from competencies.views.loading import own_plant, place_in, task_in
from competencies.views.people import clocks_asked, person_shown


@login_required
@require_safe
def person_task(request: ActorRequest, person_id: int, task_code: str) -> HttpResponse:
    """Show a person on a task."""
    person = person_shown(request, person_id)
    plant = own_plant(request.actor)
    task = task_in(plant, task_code)
    asked = clocks_asked(request)
    rule = rule_of(person, known=asked.known)
    places = rule.scopes_of(task.code)
    scope = place_in(plant, task, request.GET["scope"]) if "scope" in request.GET else (*places, None)[0]
    if scope is None:
        scope = place_in(plant, task, "")
    clocks = Clocks(asked.on, asked.moment, asked.known, "on" in request.GET)
    page = shown(person, task, scope, clocks)
    acts = [(verb, act.title) for verb, act in TASK_ACTS.items() if act.may(request.actor) and act.fits(page.period)]
    context = {"person": person, "task": task, "scope": scope, "places": places, "asked": asked, "shown": page}
    context["progress"] = rule.progress(task.code, scope, asked.moment)
    return render(request, "competencies/person_task.html", {**context, "acts": acts})
