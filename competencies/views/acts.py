"""What is signed about a person: each act is a page that says what it does, a form, and a PIN."""

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from competencies.forms import people as forms
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.operations import decisions, pins, rights, runs, signins
from competencies.operations.decisions import OutsideEvidence, When
from competencies.operations.pins import Signer
from competencies.operations.recording import OnTask
from competencies.permissions import may_assess, may_correct, may_manage_people, may_stop
from competencies.queries.person_task import entries_about
from competencies.standing.facts import Lifting, Run, Suspension
from competencies.standing.timeline import Period
from competencies.views.doing import Act, Doing, was_done
from competencies.views.joining import RENAME_ACT
from competencies.views.loading import own_plant, person_at_keyboard, place_in, task_in
from competencies.views.people import person_shown
from competencies.views.second_looks import CONFLICT_ACT, SECOND_LOOKS
from competencies.views.unit_acts import UNIT_ACTS, beside
from competencies.vocabulary import AuthorityKind


def _is_held(period: Period) -> bool:
    return period.revision is not None


def _is_suspended(period: Period) -> bool:
    return any(reason.code == "suspended" for reason in period.reasons)


def _suspend(doing: Doing) -> object:
    return decisions.suspend(on_task=doing.place, by=doing.signer, when=doing.when, reason=doing.given["reason"])


def _lift(doing: Doing) -> object:
    facts = [each.fact for each in doing.entries if each.struck_by is None]
    lifted = {fact.of for fact in facts if isinstance(fact, Lifting)}
    suspensions = [fact for fact in facts if isinstance(fact, Suspension) and fact.seq not in lifted]
    if not suspensions:
        raise rights.RightsError(_("There is no suspension to lift."))
    return decisions.lift_suspension(
        suspension=suspensions[-1],
        holder=doing.person,
        by=doing.signer,
        when=doing.when,
        reason=doing.given["reason"],
    )


def _withdraw(doing: Doing) -> object:
    happened_at = doing.given["happened_at"]
    when = When(happened_at=happened_at, on=timezone.localdate(happened_at), now=doing.when.now)
    return decisions.withdraw(on_task=doing.place, by=doing.signer, when=when, reason=doing.given["reason"])


def _recognise(doing: Doing) -> object:
    given = doing.given
    evidence = OutsideEvidence(
        evidence_on=given["evidence_on"],
        evidence_ends_on=given["evidence_ends_on"],
        runs_needed=given["runs_needed"],
        note=given["reason"],
    )
    return decisions.recognise(on_task=doing.place, assessor=doing.signer, evidence=evidence, when=doing.when)


def _accept(doing: Doing) -> object:
    run = doing.entry().fact
    if not isinstance(run, Run):
        raise Http404
    return runs.accept_late_run(
        run=run, trainee=doing.person, coordinator=doing.signer, now=doing.when.now, note=doing.given["reason"]
    )


def _grant(doing: Doing) -> object:
    given = doing.given
    grant = rights.Grant(
        kind=AuthorityKind(given["kind"]), from_on=given["from_on"], until_on=given["until_on"], area=given["area"]
    )
    now = doing.when.now
    return rights.grant_authority(person=doing.person, grant=grant, by=doing.signer, happened_at=now, now=now)


def _end(doing: Doing) -> object:
    given = doing.given
    return rights.end_authority(
        authority=given["authority"], last_day=given["last_day"], by=doing.signer, now=doing.when.now
    )


def _clear_pin(doing: Doing) -> object:
    return pins.clear_pin(person=doing.person)


def _open(doing: Doing) -> object:
    given = doing.given
    return signins.open_sign_in(person=doing.person, username=given["username"], password=given["password"])


def _close(doing: Doing) -> object:
    return signins.close_sign_in(person=doing.person)


_l = gettext_lazy
TASK_ACTS: Mapping[str, Act] = {
    "suspend": Act(
        _l("Suspend the sign-off"),
        _l("It stops counting now, while something is looked into. No fault is recorded, and it can be lifted again."),
        forms.ReasonForm,
        may_stop,
        _suspend,
        _is_held,
    ),
    "lift": Act(
        _l("Lift the suspension"),
        _l("The sign-off is as it was before; no time is added to it."),
        forms.ReasonForm,
        may_stop,
        _lift,
        _is_suspended,
    ),
    "withdraw": Act(
        _l("Withdraw the sign-off for cause"),
        _l("The person may not be left alone at the task from that minute on, and comes back by learning it again."),
        forms.WithdrawForm,
        may_stop,
        _withdraw,
        _is_held,
    ),
    "recognise": Act(
        _l("Recognise prior competence"),
        _l("Evidence from elsewhere cuts the supervised runs that are asked, never the assessment here."),
        forms.RecogniseForm,
        may_assess,
        _recognise,
    ),
    "accept-late": Act(
        _l("Accept a late run"),
        _l("A run that was confirmed too late may count after all. On a critical task it never does."),
        forms.LateRunForm,
        may_correct,
        _accept,
    ),
    **SECOND_LOOKS,
}
PERSON_ACTS: Mapping[str, Act] = {
    "grant": Act(
        _l("Entrust with a role"),
        _l("From that day on the person may do what the role allows, in the area or the whole plant."),
        forms.GrantForm,
        may_manage_people,
        _grant,
    ),
    "end": Act(
        _l("End a role"),
        _l("After the last day the person signs in that role no more. What was signed before stands."),
        forms.EndForm,
        may_manage_people,
        _end,
    ),
    "clear-pin": Act(
        _l("Take the PIN away"),
        _l("The person sets a new PIN with the password before signing again."),
        forms.ActForm,
        may_manage_people,
        _clear_pin,
    ),
    "open-sign-in": Act(
        _l("Give a sign-in"),
        _l("Tell the person the name and the first password yourself; they change it at the first visit."),
        forms.SignInForm,
        may_manage_people,
        _open,
    ),
    "close-sign-in": Act(
        _l("Close the sign-in"),
        _l("Nobody signs in under this name any more; the record stays."),
        forms.ActForm,
        may_manage_people,
        _close,
    ),
    "conflict": CONFLICT_ACT,
    "rename": RENAME_ACT,
    **UNIT_ACTS,
}


@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "POST"])
def person_act(request: ActorRequest, person_id: int, verb: str) -> HttpResponse:
    """Show an act about a person, or sign it."""
    person = person_shown(request, person_id)
    back = reverse("competencies:person-pathway" if verb in UNIT_ACTS else "competencies:person", args=[person.pk])
    return _act_page(request, _act(PERSON_ACTS, verb), person, back)


@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "POST"])
def task_act(request: ActorRequest, person_id: int, task_code: str, verb: str) -> HttpResponse:
    """Show an act about a person on a task, or sign it."""
    person = person_shown(request, person_id)
    plant = own_plant(request.actor)
    task = task_in(plant, task_code)
    scope = place_in(plant, task, request.GET.get("scope", ""))
    back = reverse("competencies:person-task", args=[person.pk, task.code]) + "?" + urlencode({"scope": str(scope)})
    return _act_page(request, _act(TASK_ACTS, verb), person, back, OnTask(person=person, task=task, scope=scope))


def _act(acts: Mapping[str, Act], verb: str) -> Act:
    if verb not in acts:
        raise Http404
    return acts[verb]


def _act_page(
    request: ActorRequest, act: Act, person: Person, back: str, on_task: OnTask | None = None
) -> HttpResponse:
    if not act.may(request.actor):
        raise PermissionDenied
    entries = entries_about(person, on_task.task, on_task.scope) if on_task else []
    initial: dict[str, Any] = {
        "from_on": request.actor.on,
        **dict.fromkeys(("decided_on", "reported_on", "moderated_on", "last_day"), request.actor.on),
        "unit": request.GET.get("unit"),
    }
    initial |= {"happened_at": timezone.localtime(), "entry": request.GET.get("entry")}
    form = act.form(request.POST or None, initial=initial, person=person, entries=entries)
    if request.method == "POST" and form.is_valid() and was_done(request, act, form, person, on_task, entries):
        messages.success(request, _("%(act)s: done for %(name)s.") % {"act": act.title, "name": person.name})
        return redirect(back)
    context: dict[str, Any] = {
        "act": act,
        "person": person,
        "on_task": on_task,
        "form": form,
        "back_url": back,
        "entries": entries,
    }
    now = timezone.now()
    doing = Doing(
        person,
        Signer(person_at_keyboard(request.actor), ""),
        When(happened_at=now, on=request.actor.on, now=now),
        {**initial, **request.POST.dict()},
        on_task,
        tuple(entries),
    )
    if request.method == "GET":
        context["refused"] = act.against(doing)
    context |= beside(act, doing)
    return render(request, "competencies/act.html", context)
