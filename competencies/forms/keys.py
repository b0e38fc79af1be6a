"""Making a key for another program."""

from datetime import date, timedelta
from typing import Any, Final

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from competencies.forms.fields import pin_field
from competencies.forms.people import day_field
from competencies.vocabulary import ReadScope

LONGEST_DAYS: Final = 366
SCOPES: Final = (
    (ReadScope.PEOPLE.value, _l("People: names, numbers, crews, first and last days")),
    (ReadScope.STANDING.value, _l("Standing: who may do what, and why")),
    (ReadScope.COVER.value, _l("Cover: the lines on their shifts")),
    (ReadScope.LEDGER.value, _l("Ledger: every entry")),
)


class KeyForm(forms.Form):
    """What the key is for, what it may read, and its last day."""

    title = forms.CharField(label=_l("What it is for"), max_length=80, help_text=_l("No person's name."))
    scopes = forms.MultipleChoiceField(
        label=_l("It may read"),
        choices=SCOPES,
        widget=forms.CheckboxSelectMultiple,
        help_text=_l("As little as will do."),
    )
    until_on = day_field(_l("Last day"), help_text=_l("At most a year ahead."))
    pin = pin_field(_l("Your PIN"))

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Remember today."""
        super().__init__(*args, **kwargs)
        self.today = today
        self.helper = FormHelper()
        self.helper.add_input(Submit("make", _("Make the key")))

    def clean_until_on(self) -> date:
        """Return the last day when it lies within a year."""
        day: date = self.cleaned_data["until_on"]
        if not self.today <= day <= self.today + timedelta(days=LONGEST_DAYS):
            raise forms.ValidationError(_("Choose a day from today on, at most a year ahead."))
        return day
