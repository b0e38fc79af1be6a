"""An act that is signed about a person: what it is, what it works on, and the signing of it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.http import Http404
from django.utils import timezone

from competencies.forms import people as forms
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.operations import joining, rights, signins
from competencies.operations.decisions import When
from competencies.operations.pins import PinError, Signer, prove_pin
from competencies.operations.recording import OnTask, RefusedError
from competencies.permissions import Actor
from competencies.queries.person_task import Entry
from competencies.standing.entitlement import Refusal
from competencies.standing.timeline import Period
from competencies.views.faults import add_refusals
from competencies.views.loading import person_at_keyboard

FAULTS = (rights.RightsError, signins.SignInError, joining.RecordError)


def _nothing(_doing: "Doing") -> Sequence[Refusal]:
    return ()


@dataclass(frozen=True, slots=True)
class Doing:
    """What an act works on: the person, the task where it has one, the entries there, who signs and when."""

    person: Person
    signer: Signer
    when: When
    given: Mapping[str, Any]
    on_task: OnTask | None = None
    entries: tuple[Entry, ...] = ()

    @property
    def place(self) -> OnTask:
        """Return the task that the act is about."""
        if self.on_task is None:
            raise Http404
        return self.on_task

    def entry(self) -> Entry:
        """Return the entry that was chosen."""
        return next(each for each in self.entries if each.fact.seq == self.given["entry"])


@dataclass(frozen=True, slots=True)
class Act:
    """One act: its title, what it does in a sentence, its form, who may, the doing, and when it is worth offering.

    `against` is what is known to stand against it before anything is filled in.
    """

    title: Any
    says: Any
    form: type[forms.ActForm]
    may: Callable[[Actor], bool]
    do: Callable[[Doing], object]
    fits: Callable[[Period], bool] = lambda _period: True
    against: Callable[[Doing], Sequence[Refusal]] = _nothing


def was_done(
    request: ActorRequest,
    act: Act,
    form: forms.ActForm,
    person: Person,
    on_task: OnTask | None,
    entries: list[Entry],
) -> bool:
    """Do it, or name at the form what stands against it; nothing typed is lost."""
    now = timezone.now()
    try:
        signer = prove_pin(person=person_at_keyboard(request.actor), pin=form.cleaned_data["pin"], now=now)
        when = When(happened_at=now, on=request.actor.on, now=now)
        act.do(Doing(person, signer, when, form.cleaned_data, on_task, tuple(entries)))
    except PinError as error:
        form.add_error("pin", str(error))
    except RefusedError as error:
        add_refusals(form, error)
    except FAULTS as error:
        form.add_error(None, str(error))
    except ValidationError as error:
        form.add_error(None, error)
    else:
        return True
    return False
