"""What is asked for a sheet of the desk: which task, line, shift or person, and for which day."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.forms.fields import offer
from competencies.forms.records import DAY
from competencies.models import Line, Machine, Person, Plant, Shift, Task
from competencies.vocabulary import ScopeKind

FIRST_DAY, LAST_DAY = date(1950, 1, 1), date(2150, 12, 31)
LONGEST_AUDIT = timedelta(days=91)


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


class AuditForm(SheetForm):
    """A line and a period that has begun, and the seed of the sample."""

    line = forms.ModelChoiceField(label=gettext_lazy("Line"), queryset=Line.objects.none())
    from_on = forms.DateField(label=gettext_lazy("From"), widget=DAY)
    until_on = forms.DateField(label=gettext_lazy("To, that day in"), widget=DAY)
    seed = forms.IntegerField(
        label=gettext_lazy("Seed of the sample"),
        min_value=0,
        max_value=999_999,
        initial=1,
        help_text=gettext_lazy("Any number: from the same number anybody draws the same ten sign-offs again."),
    )

    def __init__(self, *args: Any, plant: Plant, today: date, **kwargs: Any) -> None:  # noqa: ANN401 - as the base has them
        super().__init__(*args, plant=plant, today=today, **kwargs)
        self.today = today
        self.fields["from_on"].initial = today - timedelta(days=6)
        self.fields["until_on"].initial = today

    def clean(self) -> dict[str, Any]:
        """Refuse a period that runs backwards, is longer than a quarter, or lies ahead."""
        chosen = super().clean() or self.cleaned_data
        first, last = chosen.get("from_on"), chosen.get("until_on")
        if first is None or last is None:
            return chosen
        if not FIRST_DAY <= first <= self.today:
            self.add_error("from_on", _("Give a day that has begun, from 1950 on."))
        elif last < first:
            self.add_error("until_on", _("The last day lies before the first."))
        elif last - first > LONGEST_AUDIT:
            self.add_error("until_on", _("A pack holds 92 days at most: ask for the rest in another."))
        return chosen
