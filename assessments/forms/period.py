"""The days that a page of figures looks back over."""

from datetime import date, timedelta
from typing import Any, Final

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.forms.people import day_field

USUAL: Final = timedelta(days=365)


class PeriodForm(forms.Form):
    """From when until when; both stand in the address. What is left empty is the year up to today."""

    from_on = day_field(gettext_lazy("From"), required=False)
    until_on = day_field(gettext_lazy("Until"), required=False)

    def clean(self) -> dict[str, Any]:
        """Refuse a period that ends before it begins."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        since, until = cleaned.get("from_on"), cleaned.get("until_on")
        if since and until and since > until:
            self.add_error("until_on", _("This day is before the first one."))
        return cleaned

    def days(self, *, on: date) -> tuple[date, date]:
        """Return the first and the last day; of an address with a fault, those that are usual on the day `on`."""
        asked = self.cleaned_data if self.is_valid() else {}
        until = asked.get("until_on") or on
        since = asked.get("from_on") or max(until, date.min + USUAL) - USUAL
        return min(since, until), until
