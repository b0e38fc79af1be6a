"""Puts what the domain refuses at the form, in words."""

from django import forms
from django.utils.text import capfirst

from competencies.operations.recording import RefusedError
from competencies.wording import sentence


def add_refusals(form: forms.Form, error: RefusedError) -> None:
    """Name every reason for the refusal at the top of the form."""
    for refusal in error.refusals:
        form.add_error(None, f"{capfirst(sentence(refusal))}.")
