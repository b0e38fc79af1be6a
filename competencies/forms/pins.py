"""Setting one's own PIN: the password is asked, so that a tablet left open gives no signature away."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Row, Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import pin_field
from competencies.models import Person
from competencies.operations.pins import pin_fault


class PinForm(forms.Form):
    """The password, and the new PIN twice."""

    password = forms.CharField(
        label=_("Your password"),
        strip=False,
        max_length=200,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def __init__(self, *args: Any, person: Person, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Remember whose PIN it is: it must not hold their number."""
        super().__init__(*args, **kwargs)
        self.person = person
        self.fields["pin"] = pin_field(_("New PIN"))
        self.fields["again"] = pin_field(_("New PIN once more"))

    def clean_pin(self) -> str:
        """Return the PIN when it will do."""
        pin = str(self.cleaned_data["pin"])
        if fault := pin_fault(pin, works_number=self.person.works_number):
            raise forms.ValidationError(fault)
        return pin

    def clean(self) -> dict[str, Any]:
        """See that both are the same."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if "pin" in cleaned and cleaned.get("again") not in {None, cleaned["pin"]}:
            self.add_error("again", _("The two are not the same."))
        return cleaned

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.layout = Layout("password", Row("pin", "again"))
        helper.add_input(Submit("save", _("Set the PIN")))
        return helper
