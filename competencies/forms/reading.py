"""What another program may ask in an address: the two clocks, how much, of whom. Unknown names are refused."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any, Final

from django import forms
from django.utils import timezone
from django.utils.dateparse import parse_date, parse_datetime
from django.utils.translation import gettext as _

MOST: Final = 500
USUAL: Final = 100
MOST_DAYS: Final = 7
BIGGEST: Final = 2**62


class KnownField(forms.Field):
    """A moment with its offset, or a day, which means its end."""

    def to_python(self, value: str | None) -> date | datetime | None:
        """Return the day or the moment. Raises ValidationError."""
        if not value:
            return None
        try:
            found = parse_date(value) or parse_datetime(value)
        except ValueError:
            found = None
        if found is None:
            raise forms.ValidationError(_("Give a day as 2026-01-31 or a moment as 2026-01-31T06:00:00Z."))
        if isinstance(found, datetime) and timezone.is_naive(found):
            raise forms.ValidationError(_("A moment needs its offset, as in 2026-01-31T06:00:00Z."))
        return found


class DayForm(forms.Form):
    """The day asked about: today if left out."""

    on = forms.DateField(required=False, input_formats=["%Y-%m-%d"])

    def clean(self) -> dict[str, Any]:
        """Refuse names that nothing here reads: a slip of the pen must not widen an answer."""
        given: Mapping[str, Any] = super().clean() or self.cleaned_data
        for name in set(self.data) - set(self.fields):
            self.add_error(None, _("%(name)s is not asked here.") % {"name": name})
        return dict(given)


class AskedForm(DayForm):
    """With what was known when: all that is known now if left out."""

    known = KnownField(required=False)


class PeopleAsked(DayForm):
    """People employed on a day. Their records are kept as they are now, so there is no `known` for them."""

    page = forms.IntegerField(required=False, min_value=1, max_value=BIGGEST)
    size = forms.IntegerField(required=False, min_value=1, max_value=MOST)


class StandingAsked(AskedForm):
    """Standing by pages of people, of one person or on one task where these are named."""

    page = forms.IntegerField(required=False, min_value=1, max_value=BIGGEST)
    size = forms.IntegerField(required=False, min_value=1, max_value=MOST)
    person = forms.IntegerField(required=False, min_value=1, max_value=BIGGEST)
    task = forms.CharField(required=False, max_length=20)


class CoverAsked(AskedForm):
    """Cover from a day on, for some days, of one line where it is named."""

    days = forms.IntegerField(required=False, min_value=1, max_value=MOST_DAYS)
    line = forms.CharField(required=False, max_length=10)


class LedgerAsked(AskedForm):
    """Entries after a place in the ledger."""

    after = forms.IntegerField(required=False, min_value=-1, max_value=BIGGEST)
    size = forms.IntegerField(required=False, min_value=1, max_value=MOST)
