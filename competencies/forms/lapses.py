"""What to show of what runs out; everything stands in the address."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import offer
from competencies.models import Area, Crew, Line, Plant
from competencies.queries.lapses import Cut, Narrowed


class LapseFilter(forms.Form):
    """Area, crew and line, and by what the months are split."""

    area = forms.ModelChoiceField(Area.objects.none(), label=_("Area"), required=False, empty_label=_("any"))
    crew = forms.ModelChoiceField(Crew.objects.none(), label=_("Crew"), required=False, empty_label=_("any"))
    line = forms.ModelChoiceField(Line.objects.none(), label=_("Line"), required=False, empty_label=_("any"))
    by = forms.ChoiceField(
        label=_("Split by"),
        required=False,
        choices=[(Cut.AREA, _("area")), (Cut.CREW, _("crew")), (Cut.LINE, _("line"))],
    )

    def __init__(self, *args: Any, plant: Plant, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the plant's own areas, crews and lines."""
        super().__init__(*args, **kwargs)
        offer(self, "area", Area.objects.filter(plant=plant).order_by("title"))
        offer(self, "crew", Crew.objects.filter(plant=plant).order_by("title"))
        offer(self, "line", Line.objects.filter(plant=plant).order_by("code"))

    def narrowed(self) -> Narrowed:
        """Return what is asked for; all of it where the address names what is not there."""
        asked = self.cleaned_data if self.is_valid() else {}
        return Narrowed(area=asked.get("area"), crew=asked.get("crew"), line=asked.get("line"))

    def cut(self) -> Cut:
        """Return by what the months are split: by area unless asked otherwise."""
        return Cut(self.cleaned_data["by"] or Cut.AREA) if self.is_valid() else Cut.AREA
