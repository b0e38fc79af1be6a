"""What a trainee says to the outcome of an assessment: seen, with a remark, or an appeal (R2.7)."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from competencies.forms.second_looks import OutcomeForm
from competencies.middleware import ActorRequest
from competencies.operations.decisions import When
from competencies.operations.outcomes import appeal, see_outcome
from competencies.operations.pins import PinError, prove_pin
from competencies.operations.recording import RefusedError
from competencies.queries.facts import rule_of
from competencies.queries.outcomes import OutcomeShown, newest_outcome
from competencies.views.faults import add_refusals
from competencies.views.loading import own_plant, person_at_keyboard, place_in, task_in


@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "POST"])
def outcome(request: ActorRequest, task_code: str) -> HttpResponse:
    """Show the outcome of one's newest assessment on a task, or sign what one says to it."""
    me, plant = person_at_keyboard(request.actor), own_plant(request.actor)
    task = task_in(plant, task_code)
    scope = place_in(plant, task, request.GET.get("scope", ""))
    shown = newest_outcome(rule_of(me), task.code, scope)
    if shown is None:
        raise Http404
    back = reverse("competencies:my-task", args=[task.code]) + "?" + urlencode({"scope": str(scope)})
    form = OutcomeForm(request.POST or None, may_see=shown.may_see, may_appeal=shown.may_appeal)
    if request.method == "POST" and form.is_valid() and _said(request, form, shown):
        return redirect(back)
    context = {"task": task, "scope": scope, "shown": shown, "form": form, "back_url": back}
    return render(request, "competencies/outcome.html", context)


def _said(request: ActorRequest, form: OutcomeForm, shown: OutcomeShown) -> bool:
    """Sign it, or name at the form what stands against it; nothing typed is lost."""
    now, me = timezone.now(), person_at_keyboard(request.actor)
    say = appeal if "appeal" in request.POST else see_outcome
    try:
        signer = prove_pin(person=me, pin=form.cleaned_data["pin"], now=now)
        when = When(happened_at=now, on=request.actor.on, now=now)
        say(assessment=shown.assessment, trainee=me, by=signer, when=when, remark=form.cleaned_data["remark"])
    except PinError as error:
        form.add_error("pin", str(error))
    except RefusedError as error:
        add_refusals(form, error)
    else:
        told = _("Your appeal is recorded: another assessor judges next.") if say is appeal else _("Recorded as seen.")
        messages.success(request, told)
        return True
    return False
