"""What a coordinator declares about the stations of a line."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import offer
from competencies.models import Line, Station
from competencies.vocabulary import CoverRuleKind


def station_label(station: Station) -> str:
    """Return the name by which a station is chosen."""
    machine = f" ({station.machine.title})" if station.machine else ""
    return f"{station.task.code} {station.task.title}{machine}"


class DeclarationForm(forms.Form):
    """Something declared about stations of one line. Cleans to the fields of operations.cover_rules.Declaration."""

    def __init__(self, *args: Any, line: Line, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the line's own stations."""
        super().__init__(*args, **kwargs)
        stations = Station.objects.filter(line=line).select_related("task", "machine").order_by("task__code", "pk")
        for name in ("first", "second"):
            if name in self.fields:
                offer(self, name, stations, station_label)


class PairForm(DeclarationForm):
    """Two stations."""

    first = forms.ModelChoiceField(Station.objects.none(), label=_("Station"))
    second = forms.ModelChoiceField(Station.objects.none(), label=_("and station"))


class GroupForm(DeclarationForm):
    """A station's part in a group."""

    group = forms.CharField(label=_("Group"), max_length=60, help_text=_("Such as: entering the tank."))
    first = forms.ModelChoiceField(Station.objects.none(), label=_("Station"))
    role = forms.CharField(
        label=_("Its part"), max_length=60, help_text=_("Such as: entrant, attendant, rescue."), required=False
    )

    def clean_group(self) -> str:
        """Return the name with single spaces, so that one group has one name."""
        return " ".join(str(self.cleaned_data["group"]).split())


class ReliefForm(DeclarationForm):
    """Nothing to choose: relief is asked for at every station."""


FORMS: dict[CoverRuleKind, type[DeclarationForm]] = {
    CoverRuleKind.COMBINABLE: PairForm,
    CoverRuleKind.NEIGHBOURS: PairForm,
    CoverRuleKind.GROUP: GroupForm,
    CoverRuleKind.RELIEF: ReliefForm,
}
