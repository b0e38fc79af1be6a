"""Away from when to when; never why."""

from datetime import date, timedelta
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.core.exceptions import ValidationError
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from competencies.forms.fields import pin_field
from competencies.forms.people import day_field
from competencies.models import Absence
from competencies.operations.absences import Away
from competencies.queries.absences import long_from
from competencies.standing.framework import Frame

LONGEST = timedelta(days=3660)


class AbsenceForm(forms.Form):
    """The first day away and the first day back; a long absence is entered once its warning was seen.

    Given `absence`, its return is moved and the first day away stays.
    """

    from_on = day_field(_l("First day away"))
    back_on = day_field(_l("First day back"))
    seen = forms.BooleanField(label=_l("Enter it as a long absence"), required=False)
    pin = pin_field(_l("Your PIN"))

    def __init__(self, *args: Any, frame: Frame, absence: Absence | None = None, **kwargs: Any) -> None:  # noqa: ANN401
        """Leave out what is not asked."""
        super().__init__(*args, **kwargs)
        self.frame, self.absence = frame, absence
        if absence is not None:
            del self.fields["from_on"]
            self.fields["back_on"].initial = absence.until_on + timedelta(days=1)
        if not self.is_bound:
            del self.fields["seen"]

    def clean(self) -> dict[str, Any]:
        """Refuse days out of order; warn of a long absence until the warning was seen."""
        given = super().clean() or {}
        from_on, back_on = self.absence.from_on if self.absence else given.get("from_on"), given.get("back_on")
        if from_on is None or back_on is None:
            return given
        if not from_on < back_on <= from_on + LONGEST:
            raise ValidationError(_("The first day back lies after the first day away, within ten years."))
        self._warn(from_on, back_on, seen=bool(given.get("seen")))
        return given

    def _warn(self, from_on: date, back_on: date, *, seen: bool) -> None:
        reached_on = long_from(self.frame, from_on, back_on - timedelta(days=1))
        if reached_on is None:
            del self.fields["seen"]
        elif not seen:
            told = {"day": date_format(reached_on, "j F Y")}
            raise ValidationError(
                _(
                    "From %(day)s this is a long absence: every critical task is shown once more on return, whatever "
                    "the log says. Tick the box and sign if the days are right."
                )
                % told
            )

    def away(self) -> Away:
        """Return the first and the last day away."""
        from_on = self.absence.from_on if self.absence else self.cleaned_data["from_on"]
        return Away(from_on=from_on, until_on=self.cleaned_data["back_on"] - timedelta(days=1))

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Move the return") if self.absence else _("Enter the absence")))
        return helper
