"""One entry of the ledger, and its correction: what it changes is shown before it is signed."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from competencies.forms.corrections import Asked, CorrectionForm, causes_of
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.operations.corrections import correct
from competencies.operations.decisions import When
from competencies.operations.pins import PinError, prove_pin
from competencies.operations.recording import RefusedError
from competencies.permissions import may_correct, may_see_ledger, may_see_person
from competencies.queries.corrections import Proposal, proposal
from competencies.queries.entries import entry_page, fact_and_owner
from competencies.queries.facts import own_facts
from competencies.standing.facts import Fact, PeopleJoined, PeopleParted
from competencies.standing.replacing import Correcting, twins_of
from competencies.views.faults import add_refusals
from competencies.views.loading import own_plant, person_at_keyboard


@login_required
@require_safe
def entry(request: ActorRequest, entry_seq: int) -> HttpResponse:
    """Show an entry: to who may see the ledger, and to who may see the person whose it is."""
    plant = own_plant(request.actor)
    page = entry_page(plant, entry_seq)
    if page is None:
        raise Http404
    if not may_see_ledger(request.actor) and not (page.person and may_see_person(request.actor, page.person)):
        raise PermissionDenied
    is_open = page.fact is not None and page.struck_by is None
    context = {
        "page": page,
        "may_see_ledger": may_see_ledger(request.actor),
        "may_correct": is_open
        and may_correct(request.actor)
        and not isinstance(page.fact, PeopleJoined | PeopleParted),
    }
    return render(request, "competencies/entry.html", context)


@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "POST"])
def entry_correct(request: ActorRequest, entry_seq: int) -> HttpResponse:
    """Show what a correction of an entry would change, or sign it."""
    plant = own_plant(request.actor)
    if not may_correct(request.actor):
        raise PermissionDenied
    found = fact_and_owner(plant, entry_seq)
    if found is None:
        raise Http404
    fact, person = found
    twins = twins_of(fact, own_facts([person.pk])[person.pk])
    asked = Asked(entry=fact, plant=plant, twins=twins)
    form, proposed = _form(request, asked, person)
    if (
        proposed
        and not proposed.refusals
        and "pin" in form.fields
        and form.is_bound
        and _was_signed(request, form, person)
    ):
        messages.success(request, _("The entry is corrected, and stays readable."))
        return redirect("competencies:entry", fact.seq)
    now = timezone.now()
    context = {
        "form": form,
        "fact": fact,
        "person": person,
        "causes": causes_of(fact),
        "proposed": proposed,
        "refused": proposed.refusals if proposed else (),
        "changed": proposed.standings(now) if proposed else (),
        "shifts": proposed.shifts(now) if proposed else (),
    }
    return render(request, "competencies/entry_correct.html", context)


def _form(request: ActorRequest, asked: Asked, person: Person) -> tuple[CorrectionForm, Proposal | None]:
    """Return the form with what was typed in it, and what would be written where it is filled in."""
    if request.method != "POST":
        return CorrectionForm(asked=asked), None
    is_signed = "sign" in request.POST
    form = CorrectionForm(request.POST, asked=asked, is_signed=is_signed)
    if not form.is_valid() and set(form.errors) - {"pin"}:
        return form, None
    proposed = _proposed(request, form, asked.entry, person)
    if is_signed:
        return form, proposed
    # Looked at, and not signed yet: what was typed stays, and the PIN is asked for once nothing stands against it.
    typed: dict[str, Any] = {name: value for name, value in request.POST.dict().items() if name != "pin"}
    return CorrectionForm(initial=typed, asked=asked, is_signed=not proposed.refusals), proposed


def _proposed(request: ActorRequest, form: CorrectionForm, entry: Fact, person: Person) -> Proposal:
    now = timezone.now()
    act = Correcting(by=person_at_keyboard(request.actor).pk, on=request.actor.on, happened_at=now, now=now)
    return proposal(entry=entry, person=person, change=form.change(), act=act)


def _was_signed(request: ActorRequest, form: CorrectionForm, person: Person) -> bool:
    """Sign it, or name at the form what stands against it; nothing typed is lost."""
    if not form.is_valid():
        return False
    now = timezone.now()
    try:
        signer = prove_pin(person=person_at_keyboard(request.actor), pin=form.cleaned_data["pin"], now=now)
        when = When(happened_at=now, on=request.actor.on, now=now)
        token = form.cleaned_data["token"]
        correct(entry=form.entry, person=person, by=signer, when=when, change=form.change(), token=token)
    except PinError as error:
        form.add_error("pin", str(error))
    except RefusedError as error:
        add_refusals(form, error)
    else:
        return True
    return False
