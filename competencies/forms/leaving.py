"""A last working day, or a move to another area or crew: what goes with it is shown before it is signed."""

from datetime import date
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from competencies.forms.fields import offer, pin_field
from competencies.forms.people import day_field
from competencies.models import Area, Crew, Person
from competencies.operations.leaving import Move


class _ShownFirstForm(forms.Form):
    """Asks for the PIN only when it is signed."""

    SIGN: Any = ""

    def __init__(self, *args: Any, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Put the PIN last."""
        super().__init__(*args, **kwargs)
        self.fields["pin"] = pin_field(_("Your PIN"))
        self.fields["pin"].required = "sign" in self.data
        self.fields["pin"].help_text = _("Needed only to enter it; what goes with it is shown without.")

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("show", _("Show what goes with it"), css_class="button-quiet"))
        helper.add_input(Submit("sign", self.SIGN))
        return helper


class LastDayForm(_ShownFirstForm):
    """The last working day."""

    SIGN = _l("Enter the last working day")
    last_day = day_field(_l("Last working day"), help_text=_l("That day still counts."))

    def __init__(self, *args: Any, person: Person, on: date, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Start from the day that is set."""
        super().__init__(*args, initial={"last_day": person.last_day or on}, **kwargs)
        self.person = person

    def clean_last_day(self) -> date:
        """Refuse a day before the first one."""
        day: date = self.cleaned_data["last_day"]
        if day < self.person.started_on:
            raise forms.ValidationError(_("The last working day cannot lie before the first."))
        return day


class MoveForm(_ShownFirstForm):
    """Where somebody goes, and what of the old area ends."""

    SIGN = _l("Enter the move")
    area = forms.ModelChoiceField(Area.objects.none(), label=_l("Area"), required=False, empty_label=_l("none"))
    crew = forms.ModelChoiceField(Crew.objects.none(), label=_l("Crew"), required=False, empty_label=_l("none"))
    ends_authorities = forms.BooleanField(
        label=_l("End what they are entrusted with in the area they leave, with today"), required=False, initial=True
    )
    drops_asked = forms.BooleanField(
        label=_l("Call off what they are still asked for in the area they leave"), required=False, initial=True
    )

    def __init__(self, *args: Any, person: Person, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the plant's areas and crews."""
        super().__init__(*args, initial={"area": person.area_id, "crew": person.crew_id}, **kwargs)
        offer(self, "area", Area.objects.filter(plant=person.plant_id).order_by("title"))
        offer(self, "crew", Crew.objects.filter(plant=person.plant_id).order_by("title"))

    def move(self) -> Move:
        """Return the move that is asked for."""
        return Move(**{name: self.cleaned_data[name] for name in ("area", "crew", "ends_authorities", "drops_asked")})
