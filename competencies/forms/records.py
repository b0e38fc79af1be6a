"""Forms of printed records: for which day, as known when, of whom."""

from datetime import date, datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from competencies.models import Crew, Plant, Qualification

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
MOMENT_FORMAT = "%Y-%m-%dT%H:%M"


class PrintForm(forms.Form):
    """The two clocks of a record. Given `now`, neither may lie ahead of it."""

    as_of = forms.DateField(
        label=_("As it stood at the end of"), help_text=_("Today, or a day that has passed."), widget=DAY
    )
    known_at = forms.DateTimeField(
        label=_("As known at"),
        help_text=_("Leave empty for everything known now. For the question what was known then, give the moment."),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=MOMENT_FORMAT),
        input_formats=[MOMENT_FORMAT, "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"],
        required=False,
    )

    def __init__(self, *args: Any, today: date, now: datetime, **kwargs: Any) -> None:  # noqa: ANN401 - as the base has them
        super().__init__(*args, **kwargs)
        self.today, self.now = today, now
        self.fields["as_of"].initial = today

    def clean_as_of(self) -> date:
        """Refuse a day that has not come."""
        as_of: date = self.cleaned_data["as_of"]
        if as_of > self.today:
            raise forms.ValidationError(_("This day has not come yet."))
        return as_of

    def clean_known_at(self) -> datetime | None:
        """Refuse a moment that has not come."""
        known_at: datetime | None = self.cleaned_data["known_at"]
        if known_at is not None and known_at > self.now:
            raise forms.ValidationError(_("This moment has not come yet."))
        return known_at


class RecordFilterForm(forms.Form):
    """Which people of the list."""

    crew = forms.ModelChoiceField(label=_("Crew"), queryset=Crew.objects.none(), required=False, empty_label=_("All"))
    pathway = forms.ModelChoiceField(
        label=_("Pathway"), queryset=Qualification.objects.none(), required=False, empty_label=_("All")
    )

    def __init__(self, *args: Any, plant: Plant, **kwargs: Any) -> None:  # noqa: ANN401 - as the base has them
        super().__init__(*args, **kwargs)
        self.fields["crew"].queryset = Crew.objects.filter(plant=plant).order_by("title")  # type: ignore[attr-defined]
        pathways = Qualification.objects.filter(plant=plant).order_by("code", "version")
        self.fields["pathway"].queryset = pathways  # type: ignore[attr-defined]


class CrewPrintForm(PrintForm, RecordFilterForm):
    """The records of a crew, of a pathway or of everybody, in one file."""

    field_order = ("crew", "pathway", "as_of", "known_at")

    def __init__(self, *args: Any, plant: Plant, today: date, now: datetime, **kwargs: Any) -> None:  # noqa: ANN401 - as the bases have them
        super().__init__(*args, plant=plant, today=today, now=now, **kwargs)
        for name in ("crew", "pathway"):
            self.fields[name].empty_label = _("Everybody")  # type: ignore[attr-defined]
