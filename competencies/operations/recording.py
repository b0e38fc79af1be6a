"""Writes a fact to the ledger and brings the projected standing up to date, in one transaction."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from competencies.ledger.reading import fields_of
from competencies.ledger.writer import Appended, append
from competencies.models import Person, Plant, Task
from competencies.operations.pins import Signer
from competencies.operations.projection import refresh_standing
from competencies.standing import replacing
from competencies.standing.facts import SITE, Fact, Scope
from competencies.standing.refusals import Refusal
from competencies.vocabulary import AuthorityKind, EntryKind, Meaning

UNWRITTEN = replacing.UNWRITTEN


class RefusedError(Exception):
    """The rule refuses the entry; `refusals` are all the reasons at once."""

    def __init__(self, refusals: Iterable[Refusal]) -> None:
        self.refusals = tuple(refusals)
        super().__init__(", ".join(f"{refusal.rule} {refusal.code}" for refusal in self.refusals))


def refuse_if(refusals: Iterable[Refusal]) -> None:
    """Raise RefusedError when there is any reason to refuse."""
    if reasons := tuple(refusals):
        raise RefusedError(reasons)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTask:
    """A person on a task in a scope: what most entries are about."""

    person: Person
    task: Task
    scope: Scope = SITE


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """How an entry is signed: by whom, in what words, in which role, by which right (a ledger place)."""

    signer: Signer
    meaning: Meaning
    role: AuthorityKind | None = None
    right: int | None = None
    token: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Particulars:
    """What an entry holds beyond the fact: typed texts (kept apart, erasable) and further fields of its kind.

    `names` are those of further people in it, by their part: the number and the name.
    """

    texts: Mapping[str, str] = field(default_factory=dict)
    fields: Mapping[str, Any] = field(default_factory=dict)
    names: Mapping[str, tuple[int, str]] = field(default_factory=dict)


def append_fact(
    *, fact: Fact, person: Person, signature: Signature, now: datetime, particulars: Particulars | None = None
) -> Appended:
    """Append `fact` about `person`, and refresh what follows from it. Call inside `ledger.writing()`."""
    more = particulars or Particulars()
    kind, fields = fields_of(fact)
    signer = signature.signer.person
    appended = append(
        kind=kind,
        plant=person.plant,
        at=now,
        fields={**fields, **_signature_fields(signature), **{k: v for k, v in more.fields.items() if v is not None}},
        texts={key: text for key, text in more.texts.items() if text},
        names={"subject": (person.pk, person.name), "actor": (signer.pk, signer.name), **more.names},
    )
    people = {person.pk: person, signer.pk: signer} if fact.task else {person.pk: person}
    if fact.task:
        people |= _others_in(fact, people)
    refresh_standing(people=people.values(), task=fact.task, now=now)
    return appended


def _others_in(fact: Fact, people: Mapping[int, Person]) -> Mapping[int, Person]:
    """Return who else did the task by this entry: who watched what somebody else enters, or what is corrected."""
    watching = {number for number in (fact.by, getattr(fact, "other", None)) if number is not None} - people.keys()
    found = Person.objects.select_related("plant").filter(pk__in=watching) if watching else ()
    return {person.pk: person for person in found}


def append_for_plant(
    *,
    kind: EntryKind,
    plant: Plant,
    signer: Signer,
    now: datetime,
    fields: Mapping[str, Any],
    about: Person | None = None,
) -> Appended:
    """Append an entry that tells the rule no fact: a revision, terms, a policy, or a right of the person `about`."""
    names = {"actor": (signer.person.pk, signer.person.name)}
    if about is not None:
        names["subject"] = (about.pk, about.name)
    signed = _signature_fields(Signature(signer=signer, meaning=Meaning.ADMINISTERED))
    return append(kind=kind, plant=plant, at=now, fields={**fields, **signed}, names=names)


def _signature_fields(signature: Signature) -> dict[str, Any]:
    fields: dict[str, Any] = {
        "actor": signature.signer.person.pk,
        "meaning": signature.meaning,
        "auth": {"method": signature.signer.proof},
    }
    if signature.role is not None:
        fields["actor_role"] = signature.role.value
    if signature.right is not None:
        fields["actor_right"] = signature.right
    if signature.token:
        fields["token"] = signature.token
    return fields
