"""Records that may be one person: looking at them, joining them, parting one that holds two, and a new name."""

from collections.abc import Sequence

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from competencies.forms.joining import JoinForm, PartForm, RenameForm
from competencies.ledger.writer import writing
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.operations import joining
from competencies.operations.decisions import When
from competencies.operations.pins import PinError, Signer, prove_pin
from competencies.operations.recording import RefusedError
from competencies.permissions import may_manage_people
from competencies.queries.facts import is_mirrored, own_facts
from competencies.queries.joining import changing, joining_refused, possible_doubles
from competencies.standing.facts import Fact, Performance
from competencies.standing.joining import may_part
from competencies.standing.refusals import Refusal
from competencies.views.doing import Act, Doing
from competencies.views.faults import add_refusals
from competencies.views.loading import own_plant, person_at_keyboard, person_in

PAGE_SIZE = 25


def _rename(doing: Doing) -> object:
    return joining.rename_person(person=doing.person, name=doing.given["name"], by=doing.signer, when=doing.when)


RENAME_ACT = Act(
    gettext_lazy("Change the name"),
    gettext_lazy("The record stays the same person's. What was signed before keeps the name that was true then."),
    RenameForm,
    may_manage_people,
    _rename,
)


@login_required
@require_http_methods(["GET", "POST"])
def doubles(request: ActorRequest) -> HttpResponse:
    """Show the records that may be one person, or keep that two of them are two people."""
    plant = own_plant(request.actor)
    if not may_manage_people(request.actor):
        raise PermissionDenied
    if request.method == "POST":
        first, second = (person_in(plant, request.POST.get(name)) for name in ("first", "second"))
        when = _now(request)
        try:
            # Nothing is signed by it, and it can be looked at again at any time: the sign-in is proof enough.
            joining.keep_apart(
                first=first, second=second, by=Signer(person_at_keyboard(request.actor), "password"), when=when
            )
        except joining.RecordError as error:
            messages.error(request, str(error))
        else:
            messages.success(request, _("Kept: these are two people."))
        return redirect("competencies:doubles")
    page = Paginator(possible_doubles(plant), PAGE_SIZE).get_page(request.GET.get("page"))
    return render(request, "competencies/doubles.html", {"page": page})


@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "POST"])
def join(request: ActorRequest, person_id: int) -> HttpResponse:
    """Join another record to a person's, or show what stands against it."""
    kept = _managed(request, person_id)
    form = JoinForm(request.POST or None, kept=kept, initial={"other": request.GET.get("other")})
    if request.method == "POST" and form.is_valid() and _was_joined(request, form, kept):
        messages.success(request, _("The two records are one now."))
        return redirect("competencies:person", kept.pk)
    refused = () if form.is_bound else _known_against(request, kept)
    return render(request, "competencies/join.html", {"form": form, "person": kept, "refused": refused})


def _known_against(request: ActorRequest, kept: Person) -> Sequence[Refusal]:
    """Return what stands against joining the record that the address names, before anything is filled in."""
    if not request.GET.get("other"):
        return ()
    other = person_in(own_plant(request.actor), request.GET.get("other"))
    act = changing(person_at_keyboard(request.actor), request.actor.on, "-")
    return joining_refused(kept, other, act=act, is_confirmed=False)


def _was_joined(request: ActorRequest, form: JoinForm, kept: Person) -> bool:
    given = form.cleaned_data
    why = joining.Why(reason=given["reason"], is_confirmed=given["is_confirmed"])
    try:
        signer = _proven(request, given["pin"])
        joining.join_people(kept=kept, other=given["other"], by=signer, when=_now(request), why=why)
    except PinError as error:
        form.add_error("pin", str(error))
    except RefusedError as error:
        add_refusals(form, error)
    else:
        return True
    return False


@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "POST"])
def part(request: ActorRequest, person_id: int) -> HttpResponse:
    """Part the entries of a record that are about somebody else."""
    record = _managed(request, person_id)
    entries = _that_may_go(record)
    form = PartForm(request.POST or None, record=record, entries=entries)
    if request.method == "POST" and form.is_valid() and _was_parted(request, form, record):
        messages.success(request, _("The entries are the other person's now."))
        return redirect("competencies:person", record.pk)
    return render(request, "competencies/part.html", {"form": form, "person": record, "entries": entries})


def _that_may_go(record: Person) -> list[Fact]:
    """Return the record's own entries that can be told to be another's, newest first."""
    facts = [fact for fact in own_facts([record.pk])[record.pk] if may_part(fact) and not is_mirrored(fact)]
    watched = [fact for fact in facts if isinstance(fact, Performance) and fact.by == record.pk]
    return [fact for fact in reversed(facts) if fact not in watched]


def _was_parted(request: ActorRequest, form: PartForm, record: Person) -> bool:
    try:
        _part(form, record, signer=_proven(request, form.cleaned_data["pin"]), when=_now(request))
    except PinError as error:
        form.add_error("pin", str(error))
    except RefusedError as error:
        add_refusals(form, error)
    except joining.RecordError as error:
        form.add_error("works_number", str(error))
    else:
        return True
    return False


@writing()
def _part(form: PartForm, record: Person, *, signer: Signer, when: When) -> None:
    """Open a record where the other person has none, and part: both or neither."""
    given = form.cleaned_data
    other = given["other"]
    if other is None:
        new = joining.NewRecord(
            works_number=given["works_number"], name=given["name"], started_on=given["started_on"], area=record.area
        )
        other = joining.open_record(plant=record.plant, new=new, by=signer, when=when)
    why = joining.Why(reason=given["reason"])
    joining.part_people(record=record, other=other, entries=given["entries"], by=signer, when=when, why=why)


def _managed(request: ActorRequest, person_id: int) -> Person:
    if not may_manage_people(request.actor):
        raise PermissionDenied
    return person_in(own_plant(request.actor), person_id)


def _now(request: ActorRequest) -> When:
    now = timezone.now()
    return When(happened_at=now, on=request.actor.on, now=now)


def _proven(request: ActorRequest, pin: str) -> Signer:
    return prove_pin(person=person_at_keyboard(request.actor), pin=pin, now=timezone.now())
