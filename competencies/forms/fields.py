"""Fields that several forms share: a measured number, a PIN, a form's token, a choice of the plant's own things."""

import re
import secrets
from collections.abc import Callable
from decimal import Decimal
from typing import Any, cast

from django import forms
from django.db.models import Model, QuerySet

NOTE_LENGTH = 1000
TOKEN = re.compile(r"[A-Za-z0-9_-]{16,64}")


def new_token() -> str:
    """Return a token for one showing of a form: what is sent twice is recorded once."""
    return secrets.token_urlsafe(24)


class TokenField(forms.CharField):
    """The token of one showing of a form; what cannot be one is replaced by a new one."""

    def __init__(self) -> None:
        """Hide it."""
        super().__init__(widget=forms.HiddenInput, required=False)

    def clean(self, value: Any) -> str:  # noqa: ANN401 - whatever was posted
        """Return the token."""
        text = str(super().clean(value))
        return text if TOKEN.fullmatch(text) else new_token()


class MeasuredField(forms.DecimalField):
    """A number read off an instrument: a comma will do for the point; empty means not taken."""

    def __init__(self) -> None:
        """Take what the ledger can keep."""
        super().__init__(
            required=False,
            max_digits=14,
            decimal_places=5,
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        )

    def to_python(self, value: object) -> Decimal | None:  # type: ignore[override]  # the stubs have a whole number
        """Return the number with the digits it was given with."""
        text = str(value).strip() if value not in self.empty_values else ""
        return super().to_python(text.replace(",", ".") if "." not in text else text)


def pin_field(label: Any) -> forms.CharField:  # noqa: ANN401 - a lazy text
    """Return the field of a signer's PIN; it is never shown again."""
    return forms.CharField(
        label=label,
        max_length=12,
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off", "class": "pin"}),
    )


def offer(form: forms.Form, name: str, rows: QuerySet[Any], label: Callable[[Any], str] | None = None) -> None:
    """Let a field of a form choose among these rows, each shown by `label`."""
    field = cast("forms.ModelChoiceField[Model]", form.fields[name])
    field.queryset = rows
    if label is not None:
        field.label_from_instance = label  # type: ignore[assignment, method-assign]  # Django's own way
