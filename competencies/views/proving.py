"""Who signs a form: each by their own PIN, checked before the ledger is opened."""

from datetime import datetime

from django import forms

from competencies.models import Person
from competencies.operations.pins import PinError, Signer, prove_pin


def proven(form: forms.Form, person: Person, *, field: str, now: datetime) -> Signer | None:
    """Return the person as a signer, or name at the field why the PIN was not accepted."""
    try:
        return prove_pin(person=person, pin=form.cleaned_data[field], now=now)
    except PinError as error:
        form.add_error(field, str(error))
        return None


def both_proven(form: forms.Form, first: Person, *, now: datetime) -> tuple[Signer, Signer] | None:
    """Return both signers of a form for two people, or name at their fields what is wrong."""
    by = proven(form, first, field="pin", now=now)
    second = proven(form, form.cleaned_data["second"], field="second_pin", now=now) if by else None
    return (by, second) if by and second else None
