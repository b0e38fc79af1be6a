"""Which minute on which line is asked about, and the number under which what is found is kept."""

from datetime import date, datetime, time
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from competencies.forms.clocks import FIRST_YEAR, LAST_YEAR, moment_of
from competencies.forms.fields import offer, pin_field
from competencies.forms.people import day_field
from competencies.forms.retention import INCIDENT
from competencies.models import Line, Plant


class MinuteForm(forms.Form):
    """A line and a minute; everything stands in the address."""

    line = forms.ModelChoiceField(Line.objects.none(), label=_l("Line"), to_field_name="code")
    on = day_field(_l("Day by the calendar"), help_text=_l("After midnight of a night shift: the next day."))
    at = forms.TimeField(
        label=_l("Time"),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        input_formats=["%H:%M"],
        help_text=_l("To the minute: somebody may have stopped counting in mid-shift."),
    )
    shift = forms.CharField(required=False, max_length=20, widget=forms.HiddenInput)

    def __init__(self, *args: Any, plant: Plant, now: datetime, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the plant's lines."""
        super().__init__(*args, **kwargs)
        self.now = now
        offer(self, "line", Line.objects.filter(plant=plant).select_related("plant").order_by("code"))

    def clean_on(self) -> date:
        """Refuse a day out of every working life."""
        day: date = self.cleaned_data["on"]
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            said = {"first": FIRST_YEAR, "last": LAST_YEAR}
            raise ValidationError(_("Give a day between %(first)s and %(last)s.") % said)
        return day

    def clean(self) -> dict[str, Any]:
        """Refuse a minute that has not come."""
        given = super().clean() or {}
        day, clock = given.get("on"), given.get("at")
        if day is None or clock is None:
            return given
        given["moment"] = moment_of(day, clock)
        if given["moment"] > self.now:
            self.add_error("at", _("This minute has not come yet: nothing can have happened in it."))
        return given

    def address(self) -> str:
        """Return what stands in the address of this question."""
        on, at = self.cleaned_data["on"], self.cleaned_data["at"]
        clock = at.isoformat("minutes") if isinstance(at, time) else ""
        return f"line={self.cleaned_data['line'].code}&on={on.isoformat()}&at={clock}"


class OpenIncidentForm(forms.Form):
    """The number of the incident, and the PIN of who opens it."""

    number = forms.CharField(
        label=_l("Incident number"),
        max_length=40,
        validators=[INCIDENT],
        help_text=_l("As the plant counts its incidents. No names: the number stays in the ledger for good."),
    )
    pin = pin_field(_l("Your PIN"))

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Keep a copy and set the hold")))
        return helper
