"""The two clocks of a question about the past: the minute asked about, and the moment whose knowledge is used."""

from datetime import date, datetime, time, timedelta
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

# A working life; nothing lies before or after it.
FIRST_YEAR, LAST_YEAR = 1950, 2150


def _day(label: Any) -> forms.DateField:  # noqa: ANN401 - a lazy text
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, required=False)


def _clock(label: Any, help_text: Any = "") -> forms.TimeField:  # noqa: ANN401 - lazy texts
    widget = forms.TimeInput(attrs={"type": "time", "step": "any"}, format="%H:%M")
    return forms.TimeField(
        label=label, help_text=help_text, widget=widget, required=False, input_formats=["%H:%M", "%H:%M:%S"]
    )


class ClocksForm(forms.Form):
    """Everything stands in the address. Empty: the day that it is now, and all that is known now.

    A day without a clock time means its end, since a loss acts from its minute.
    """

    on = _day(_("On"))
    at = _clock(_("At"), _("Empty: the end of the day."))
    known = _day(_("As known on"))
    known_at = _clock(_("Known at"), _("Empty: the end of the day; no day: all that is known now."))

    def __init__(self, *args: Any, today: date, now: datetime, **kwargs: Any) -> None:  # noqa: ANN401 - as the base has them
        super().__init__(*args, **kwargs)
        self.today, self.now = today, now

    def clean_on(self) -> date | None:
        """Refuse a day out of every working life."""
        return self._in_a_working_life("on")

    def clean_known(self) -> date | None:
        """Refuse a day that has not come."""
        day = self._in_a_working_life("known")
        if day is not None and day > self.today:
            raise forms.ValidationError(_("This day has not come yet: nobody knows what will be recorded."))
        return day

    def clean_known_at(self) -> time | None:
        """Refuse a clock time without its day, or one that has not come."""
        clock: time | None = self.cleaned_data["known_at"]
        day = self.cleaned_data.get("known")
        if clock is None or "known" in self.errors:
            return clock
        if day is None:
            raise forms.ValidationError(_("Give the day as well."))
        if moment_of(day, clock) > self.now:
            raise forms.ValidationError(_("This moment has not come yet."))
        return clock

    def _in_a_working_life(self, name: str) -> date | None:
        day: date | None = self.cleaned_data[name]
        if day is not None and not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise forms.ValidationError(
                _("Give a day between %(first)s and %(last)s.") % {"first": FIRST_YEAR, "last": LAST_YEAR}
            )
        return day


def moment_of(day: date, clock: time | None) -> datetime:
    """Return a minute of the current zone's day; without a clock time its last instant."""
    if clock is None:
        return moment_of(day + timedelta(days=1), time()) - timedelta(microseconds=1)
    return datetime.combine(day, clock, timezone.get_current_timezone())
