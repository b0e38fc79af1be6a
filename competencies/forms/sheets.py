"""What is asked for a sheet of the desk: which task, line, shift or person, and for which day."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.forms.fields import offer
from competencies.forms.records import DAY
from competencies.models import Line, Machine, Person, Plant, Shift, Task
from competencies.vocabulary import ScopeKind

FIRST_DAY, LAST_DAY = date(1950, 1, 1), date(2150, 12, 31)


def sheet_day() -> forms.DateField:
    """Return the field of the day a sheet is for."""
    return forms.DateField(label=gettext_lazy("Day"), widget=DAY)


class SheetForm(forms.Form):
    """The base of all: things of one plant, and days within reason."""

    def __init__(self, *args: Any, plant: Plant, today: date, **kwargs: Any) -> None:  # noqa: ANN401 - as the base has them
        super().__init__(*args, **kwargs)
        self.plant = plant
        offers = {
            "line": Line.objects.filter(plant=plant).order_by("code"),
            "shift": Shift.objects.filter(plant=plant).order_by("starts"),
            "task": Task.objects.filter(plant=plant).select_related("plant", "area").order_by("code"),
            "machine": Machine.objects.filter(line__plant=plant).select_related("line").order_by("line__code", "code"),
            "person": Person.objects.filter(plant=plant).employed(today).select_related("plant").order_by("name"),
        }
        labels = {
            "line": lambda line: f"{line.code} {line.title}",
            "machine": lambda machine: f"{machine.line.code}: {machine.title}",
            "person": lambda person: f"{person.name} ({person.works_number})",
        }
        for name in self.fields.keys() & offers.keys():
            offer(self, name, offers[name], labels.get(name))
        if "on" in self.fields:
            self.fields["on"].initial = today

    def clean_on(self) -> date:
        """Refuse a day that nobody can mean."""
        on: date = self.cleaned_data["on"]
        if not FIRST_DAY <= on <= LAST_DAY:
            raise forms.ValidationError(_("Give a day between 1950 and 2150."))
        return on


class TaskCardForm(SheetForm):
    """A task, the machine it is done at, and perhaps the person whose run it is."""

    task = forms.ModelChoiceField(label=gettext_lazy("Task"), queryset=Task.objects.none())
    machine = forms.ModelChoiceField(
        label=gettext_lazy("Machine"),
        queryset=Machine.objects.none(),
        required=False,
        empty_label=gettext_lazy("written by hand"),
        help_text=gettext_lazy("For a task that is signed off by machine. The square code leads to the task there."),
    )
    person = forms.ModelChoiceField(
        label=gettext_lazy("Trainee"),
        queryset=Person.objects.none(),
        required=False,
        empty_label=gettext_lazy("written by hand"),
    )
    on = sheet_day()

    def clean(self) -> dict[str, Any]:
        """Refuse a machine for a task that is not held by machine."""
        chosen = super().clean() or self.cleaned_data
        task, machine = chosen.get("task"), chosen.get("machine")
        if task and machine and task.scope_kind == ScopeKind.SITE:
            self.add_error("machine", _("One sign-off of this task serves the whole site: leave the machine out."))
        return chosen


class MatrixForm(SheetForm):
    """A line on a day."""

    line = forms.ModelChoiceField(label=gettext_lazy("Line"), queryset=Line.objects.none())
    on = sheet_day()


class CoverForm(MatrixForm):
    """A line on a shift of a day."""

    shift = forms.ModelChoiceField(label=gettext_lazy("Shift"), queryset=Shift.objects.none())
    field_order = ("line", "on", "shift")
