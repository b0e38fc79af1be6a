"""Annulling a sign-off, with what goes under review shown first; and the sign-offs that are under review."""

from datetime import date
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from competencies.forms.second_looks import AnnulForm
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.operations.annulments import AnnulledWith, Ruling, annul, annulment_refusals
from competencies.operations.decisions import When
from competencies.operations.pins import PinError, Signer, prove_pin
from competencies.operations.recording import OnTask, RefusedError
from competencies.permissions import may_annul, may_assess, may_see_reviews
from competencies.queries.annulments import AnnulmentPreview, annulment_preview
from competencies.queries.person_task import entries_about
from competencies.queries.reviews import review_lines, under_review
from competencies.standing.facts import Assessment
from competencies.views.faults import add_refusals
from competencies.views.list_tables import reviews_table
from competencies.views.loading import own_plant, person_at_keyboard, place_in, task_in
from competencies.views.people import person_shown
from competencies.views.second_looks import ANNUL, SECOND_LOOKS
from competencies.views.table_files import file_asked, table_file
from competencies.vocabulary import AnnulmentCause

PAGE_SIZE = 30


@login_required
@require_safe
def reviews(request: ActorRequest) -> HttpResponseBase:
    """Show the sign-offs under review, those that stopped first."""
    plant = own_plant(request.actor)
    if not may_see_reviews(request.actor):
        raise PermissionDenied
    found = under_review(plant, now=timezone.now())
    if file := file_asked(request):
        return table_file(request, file, reviews_table(found, plant))
    page = Paginator(found, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "lines": review_lines(list(page), plant),
        "may_annul": may_annul(request.actor),
        "may_verify": may_assess(request.actor),
        "reader": request.actor.person,
    }
    return render(request, "competencies/reviews.html", context)


@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "POST"])
def annulment(request: ActorRequest, person_id: int, task_code: str) -> HttpResponse:
    """Show what annulling a sign-off would put under review, or annul it."""
    person, plant = person_shown(request, person_id), own_plant(request.actor)
    task = task_in(plant, task_code)
    scope = place_in(plant, task, request.GET.get("scope", ""))
    if not may_annul(request.actor):
        raise PermissionDenied
    form = _form(request, OnTask(person=person, task=task, scope=scope))
    signoff = form.chosen()
    preview = _preview(request, form, signoff) if signoff else None
    back = reverse("competencies:person-task", args=[person.pk, task.code]) + "?" + urlencode({"scope": str(scope)})
    if signoff and preview and form.is_bound and form.is_valid() and _annulled(request, form, signoff, preview):
        return redirect(back)
    _show(request, form, preview)
    context = {
        "act": SECOND_LOOKS[ANNUL],
        "person": person,
        "task": task,
        "form": form,
        "preview": preview,
        "back_url": back,
        "refused": [] if form.is_bound or not signoff else _against(request, person, signoff),
    }
    return render(request, "competencies/annul.html", context)


def _form(request: ActorRequest, on_task: OnTask) -> AnnulForm:
    """Return the form: bound when it is signed, filled with what was typed when one only looks at what it does."""
    entries = entries_about(on_task.person, on_task.task, on_task.scope)
    if request.method == "POST" and "look" not in request.POST:
        return AnnulForm(request.POST, person=on_task.person, entries=entries)
    initial: dict[str, Any] = {"entry": request.GET.get("entry"), **request.POST.dict()}
    initial.pop("pin", None)
    return AnnulForm(initial=initial, person=on_task.person, entries=entries)


def _day(form: AnnulForm) -> date | None:
    """Return the first day in doubt as it was given; a day that no calendar has is told at the field."""
    try:
        return parse_date(str(form["unentitled_from"].value() or ""))
    except ValueError:
        return None


def _preview(request: ActorRequest, form: AnnulForm, signoff: Assessment) -> AnnulmentPreview:
    plant = own_plant(request.actor)
    return annulment_preview(signoff, plant, since=_day(form), now=timezone.now(), on=request.actor.on)


def _covers(preview: AnnulmentPreview) -> str:
    """Return what a signature under the page covers: the first day in doubt and every sign-off it touches."""
    return ",".join([preview.since.isoformat(), *map(str, preview.seqs)])


def _show(request: ActorRequest, form: AnnulForm, preview: AnnulmentPreview | None) -> None:
    """Let the form cover what is shown now."""
    covered = _covers(preview) if preview else ""
    if form.is_bound:
        sent = request.POST.copy()
        sent["shown"] = covered
        form.data = sent
    else:
        form.initial["shown"] = covered


def _against(request: ActorRequest, holder: Person, signoff: Assessment) -> object:
    now = timezone.now()
    signer = Signer(person_at_keyboard(request.actor), "")
    ruling = Ruling(cause=AnnulmentCause.NOT_ENTITLED, reason="-")
    when = When(happened_at=now, on=request.actor.on, now=now)
    return annulment_refusals(signoff=signoff, holder=holder, ruling=ruling, by=signer, when=when)


def _annulled(request: ActorRequest, form: AnnulForm, signoff: Assessment, preview: AnnulmentPreview) -> bool:
    """Annul, or name at the form what stands against it; nothing typed is lost."""
    given, now = form.cleaned_data, timezone.now()
    if given["shown"] != _covers(preview):
        form.add_error(None, _("What goes under review is not what was shown before. Look at it, and sign again."))
        return False
    ruling = Ruling(
        cause=AnnulmentCause(given["cause"]), reason=given["reason"], unentitled_from=given["unentitled_from"]
    )
    try:
        signer = prove_pin(person=person_at_keyboard(request.actor), pin=given["pin"], now=now)
        when = When(happened_at=now, on=request.actor.on, now=now)
        done = annul(signoff=signoff, holder=form.person, ruling=ruling, by=signer, when=when)
    except PinError as error:
        form.add_error("pin", str(error))
    except RefusedError as error:
        add_refusals(form, error)
    else:
        messages.success(request, _said(form.person, done))
        return True
    return False


def _said(holder: Person, done: AnnulledWith) -> str:
    count = len(done.reviews)
    followed = ngettext("%(count)s other sign-off is", "%(count)s other sign-offs are", count) % {"count": count}
    return _("%(name)s: the sign-off is annulled. %(followed)s under review.") % {
        "name": holder.name,
        "followed": followed,
    }
