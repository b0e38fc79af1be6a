"""The form of a supervised run, and the few questions before it: whose, of what, when and where."""

from collections.abc import Sequence
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Fieldset, Layout, Row, Submit
from django import forms
from django.core.validators import RegexValidator
from django.db.models import QuerySet
from django.utils.html import conditional_escape
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.forms.fields import NOTE_LENGTH, TokenField, offer, pin_field
from competencies.forms.judging import JudgingForm
from competencies.models import Line, Machine, Person, Plant, Shift, Task
from competencies.operations.runs import Observed
from competencies.queries.runs import RangeAsked, RunPlace, RunSheet

VALUE_LENGTH = 40
# A range's value goes into the ledger for good, so it is a short label and no sentence.
VALUE = RegexValidator(r"^[\w][\w .,/%+×-]*\Z", gettext_lazy("Use a few letters and figures, such as 330 mL."))


class PlaceForm(forms.Form):
    """Whose run, of which task, on which day, shift, line and machine; read from the address."""

    person = forms.ModelChoiceField(Person.objects.none(), label=gettext_lazy("Who did it"))
    task = forms.ModelChoiceField(Task.objects.none(), label=gettext_lazy("Task"), to_field_name="code")
    on = forms.DateField(label=gettext_lazy("Day"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    shift = forms.ModelChoiceField(
        Shift.objects.none(), label=gettext_lazy("Shift"), empty_label=None, to_field_name="name"
    )
    line = forms.ModelChoiceField(
        Line.objects.none(), label=gettext_lazy("Line"), required=False, to_field_name="code"
    )
    machine = forms.ModelChoiceField(Machine.objects.none(), label=gettext_lazy("Machine"), required=False)

    def __init__(self, *args: Any, plant: Plant, people: QuerySet[Person], **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer what the plant has."""
        super().__init__(*args, **kwargs)
        tasks = Task.objects.filter(plant=plant).select_related("area", "plant").order_by("code")
        machines = Machine.objects.filter(line__plant=plant).select_related("line").order_by("line__code", "code")
        offer(self, "person", people, lambda each: f"{each.name} ({each.works_number})")
        offer(self, "task", tasks)
        offer(self, "shift", Shift.objects.filter(plant=plant).order_by("starts"))
        offer(self, "line", Line.objects.filter(plant=plant).order_by("code"))
        offer(self, "machine", machines, lambda each: f"{each.line.code}/{each.code} {each.title}")

    def clean(self) -> dict[str, Any]:
        """Ask for the line or the machine that the task is signed off for."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        machine = cleaned.get("machine")
        if machine is not None:
            cleaned["line"] = machine.line
        if cleaned.get("task") and not self.errors and self.place().scope is None:
            name = "machine" if cleaned["task"].scope_kind == "machine" else "line"
            self.add_error(name, _("This task is signed off for a line or a machine: choose which."))
        return cleaned

    def place(self) -> RunPlace:
        """Return the place that the form names."""
        cleaned = self.cleaned_data
        return RunPlace(
            trainee=cleaned["person"],
            task=cleaned["task"],
            on=cleaned["on"],
            shift=cleaned["shift"],
            line=cleaned["line"],
            machine=cleaned["machine"],
        )

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out; the answers go into the address."""
        helper = FormHelper()
        helper.form_method = "get"
        helper.layout = Layout("person", "task", Row("on", "shift"), Row("line", "machine"))
        helper.add_input(Submit("", _("Go on")))
        return helper


class RunForm(JudgingForm):
    """What was seen in one run, who watched it, and that person's PIN."""

    token = TokenField()
    simulated = forms.BooleanField(
        label=gettext_lazy("It was a drill"),
        required=False,
        help_text=gettext_lazy("Practised, not the real thing; only some drills count."),
    )
    stopped = forms.BooleanField(
        label=gettext_lazy("I stopped it"),
        required=False,
        help_text=gettext_lazy(
            "A stopped run is no run and no failed assessment. It is written down and not counted."
        ),
    )
    note = forms.CharField(
        label=gettext_lazy("Note"), required=False, max_length=NOTE_LENGTH, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *args: Any, sheet: RunSheet, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Make the fields that this task's procedure asks for."""
        super().__init__(*args, **kwargs)
        self.sheet = sheet
        self.add_criteria(sheet.criteria)
        self.add_readings(sheet.readings, trainee=sheet.place.trainee.name)
        for number, asked in enumerate(sheet.ranges):
            self.fields[f"range_{number}"] = _range_field(number, asked)
        if not sheet.drills_count:
            del self.fields["simulated"]
        self.fields["watcher"] = forms.TypedChoiceField(
            label=_("Who watched"),
            choices=[(str(each.pk), f"{each.name} ({each.works_number})") for each in sheet.watchers],
            coerce=lambda value: next(each for each in sheet.watchers if str(each.pk) == value),
        )
        self.fields["pin"] = pin_field(_("PIN of the one who watched"))
        if self.is_bound and self._stopped():
            for name, field in self.fields.items():
                if name.startswith(("judged_", "range_")):
                    field.required = False

    def _stopped(self) -> bool:
        return bool(self.data.get(self.add_prefix("stopped")))

    def clean(self) -> dict[str, Any]:
        """Ask why a run was stopped; ask of any other what was missing."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if not cleaned.get("stopped"):
            self.check_reasons(cleaned)
        elif not cleaned.get("note"):
            self.add_error("note", _("Say in a few words why it was stopped."))
        self.check_repeats(cleaned)
        return cleaned

    def range_values(self) -> dict[str, str]:
        """Return the values that the run showed; a word that was used before is written as it was then."""
        found = {}
        for number, asked in enumerate(self.sheet.ranges):
            value = " ".join(self.cleaned_data[f"range_{number}"].split())
            if value:
                found[asked.name] = next(
                    (known for known in asked.known if known.casefold() == value.casefold()), value
                )
        return found

    def observed(self) -> Observed:
        """Return what was seen."""
        notes = [self.cleaned_data["note"]] if self.cleaned_data["note"] else []
        missed = [_("Not met, criterion %(line)s") % {"line": line} for line in self.reasons()]
        return Observed(judged=self.judged(), readings=self.paired_readings(), note="\n".join([*missed, *notes]))

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out: criteria first, with one tap for the usual case."""
        helper = FormHelper()
        helper.form_class = "form-wide"
        groups: list[Any] = [
            Fieldset(
                _("Each criterion"),
                HTML("{% include 'components/tick_all.html' with within='#criteria' value='met' only %}"),
                Div(*self.criteria_layout(), css_id="criteria"),
            )
        ]
        ranges: Sequence[str] = [f"range_{number}" for number in range(len(self.sheet.ranges))]
        if ranges:
            groups.append(Fieldset(_("What this run showed"), *ranges))
        if self.readings:
            groups.append(self.readings_layout())
        extras = [name for name in ("simulated", "stopped", "note") if name in self.fields]
        groups.append(Fieldset(_("Anything else"), *extras))
        says = _("By entering the PIN you say: I watched this run throughout.")
        groups.append(Fieldset(_("Confirmed by"), HTML(f"<p>{conditional_escape(says)}</p>"), Row("watcher", "pin")))
        helper.layout = Layout(*groups, "token")
        helper.add_input(Submit("save", _("Record this run")))
        return helper


def _range_field(number: int, asked: RangeAsked) -> forms.CharField:
    """Return the field of a range's value, with the words that were used before to choose from."""
    shown = ", ".join(asked.shown) or _("none yet")
    return forms.CharField(
        label=asked.name[:1].upper() + asked.name[1:],
        max_length=VALUE_LENGTH,
        validators=[VALUE],
        help_text=conditional_escape(
            _("%(needed)s different ones are asked for; shown so far: %(shown)s.")
            % {"needed": asked.needed, "shown": shown}
        ),
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": f"known-{number}"}),
    )
