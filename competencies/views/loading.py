"""What the views load first: things of the actor's own plant. What belongs to another plant is not there."""

from django.core.exceptions import PermissionDenied
from django.http import Http404

from competencies.models import Line, Machine, Person, Plant, Task
from competencies.permissions import Actor
from competencies.standing.facts import Scope
from competencies.vocabulary import ScopeKind

# More digits than a person's number has do not fit the database's whole numbers.
NUMBER_DIGITS = 18


def person_at_keyboard(actor: Actor) -> Person:
    """Return the person behind the sign-in; a sign-in without a person sees nothing."""
    if actor.person is None:
        raise PermissionDenied
    return actor.person


def own_plant(actor: Actor) -> Plant:
    """Return the plant of the person at the keyboard."""
    return person_at_keyboard(actor).plant


def person_in(plant: Plant, number: int | str | None) -> Person:
    """Return a person of the plant by number, or answer that there is none.

    The number of a record that was joined to another leads to that one.
    """
    digits = str(number or "")
    if not digits.isdecimal() or len(digits) > NUMBER_DIGITS:
        raise Http404
    person = Person.objects.select_related("plant").filter(plant=plant, pk=int(digits)).first()
    while person is not None and person.joined_into_id is not None:
        person = Person.objects.select_related("plant").filter(pk=person.joined_into_id).first()
    if person is None:
        raise Http404
    return person


def task_in(plant: Plant, code: str | None) -> Task:
    """Return a task of the plant by code, or answer that there is none."""
    task = Task.objects.select_related("area", "plant").filter(plant=plant, code=code or "").first()
    if task is None:
        raise Http404
    return task


def place_in(plant: Plant, task: Task, text: str) -> Scope:
    """Return the scope that "L1/F1" names, if it is one of the task's kind in this plant, or answer that it is not."""
    scope = Scope.parse(text)
    machine = Machine.objects.filter(line__plant=plant, line__code=scope.line, code=scope.machine).exists()
    line = Line.objects.filter(plant=plant, code=scope.line).exists()
    fits = {
        ScopeKind.SITE: scope == Scope(),
        ScopeKind.LINE: line and not scope.machine,
        ScopeKind.MACHINE: machine,
    }
    if not fits[ScopeKind(task.scope_kind)]:
        raise Http404
    return scope
