"""What a trainer asks for on the floor: several people, several tasks, one day, shift, place and trainer."""

import hashlib
from collections.abc import Collection, Iterable, Sequence
from typing import Any, cast

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Fieldset, Layout, Row, Submit
from django import forms
from django.db.models import QuerySet
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import offer
from competencies.models import Line, Machine, Person, Plant, Shift, Task
from competencies.queries.clashes import Clash, Plan

NOTE_LENGTH = 300
# At which field each clash is named; all others stand at the people.
FIELD_OF = {
    "no_authority": "trainer",
    "trainer_not_in_force": "trainer",
    "no_place": "line",
    "line_full": "line",
}


def clashes_shown(clashes: Iterable[Clash]) -> str:
    """Return a short digest of clashes, so that "I have seen this" is said of these and no others."""
    lines = sorted(f"{each.code} {each.person and each.person.pk} {each.task and each.task.code}" for each in clashes)
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:16] if lines else ""


class PlanForm(forms.Form):
    """People and tasks to tick, the day, the shift, the place, the trainer. Everything of the plant can be chosen."""

    people = forms.MultipleChoiceField(label=_("On that shift"), required=False, widget=forms.CheckboxSelectMultiple)
    more_people = forms.MultipleChoiceField(
        label=_("Everybody else"), required=False, widget=forms.CheckboxSelectMultiple
    )
    tasks = forms.MultipleChoiceField(
        label=_("Tasks near at hand"), required=False, widget=forms.CheckboxSelectMultiple
    )
    more_tasks = forms.MultipleChoiceField(
        label=_("All other tasks"), required=False, widget=forms.CheckboxSelectMultiple
    )
    on = forms.DateField(label=_("Day"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    shift = forms.ModelChoiceField(Shift.objects.none(), label=_("Shift"), empty_label=None, to_field_name="name")
    line = forms.ModelChoiceField(
        Line.objects.none(), label=_("Line"), required=False, empty_label=_("none"), to_field_name="code"
    )
    machine = forms.ModelChoiceField(Machine.objects.none(), label=_("Machine"), required=False, empty_label=_("none"))
    trainer = forms.ModelChoiceField(Person.objects.none(), label=_("Trainer"))
    note = forms.CharField(
        label=_("Note for the floor"), required=False, max_length=NOTE_LENGTH, widget=forms.Textarea(attrs={"rows": 2})
    )
    seen = forms.BooleanField(label=_("I have seen this and want it all the same"), required=False)
    seen_of = forms.CharField(required=False, max_length=16, widget=forms.HiddenInput)

    def __init__(
        self,
        *args: Any,  # noqa: ANN401 - Django's own
        plant: Plant,
        people: QuerySet[Person],
        trainers: QuerySet[Person],
        near: tuple[Collection[str], Collection[str]],
        **kwargs: Any,  # noqa: ANN401 - Django's own
    ) -> None:
        """Offer these people, their plant's tasks and places; `near` are the people and the tasks to show first."""
        super().__init__(*args, **kwargs)
        self.clashes: Sequence[Clash] = ()
        self._choices: dict[str, list[tuple[str, str]]] = {}
        if self.is_bound:
            # A copy, since ticks move between the two lists, and what was shown is remembered in a hidden field.
            self.data = self._sent = cast("QueryDict", self.data).copy()
        self._offer(plant, people, near)
        machines = Machine.objects.filter(line__plant=plant).select_related("line").order_by("line__code", "code")
        lines = Line.objects.filter(plant=plant).order_by("code")
        offer(self, "shift", Shift.objects.filter(plant=plant).order_by("starts"))
        offer(self, "line", lines, lambda line: f"{line.code} {line.title}")
        offer(self, "machine", machines, lambda machine: f"{machine.line.code}/{machine.code} {machine.title}")
        offer(self, "trainer", trainers)

    def _offer(self, plant: Plant, people: Iterable[Person], near: tuple[Collection[str], Collection[str]]) -> None:
        near_people, near_tasks = near
        tasks_of_plant = Task.objects.filter(plant=plant).select_related("area").order_by("code")
        self.people_by_number = {str(person.pk): person for person in people}
        self.tasks_by_code = {task.code: task for task in tasks_of_plant}
        names = [(number, f"{each.name} ({each.works_number})") for number, each in self.people_by_number.items()]
        titles = [(code, f"{code} {each.title}") for code, each in self.tasks_by_code.items()]
        self._split(("people", "more_people"), names, near_people)
        self._split(("tasks", "more_tasks"), titles, near_tasks)

    def _split(self, names: tuple[str, str], choices: Sequence[tuple[str, str]], near_values: Collection[str]) -> None:
        """Put the choices into two fields; what was ticked counts in whichever of the two it stands now."""
        near, far = names
        first = {value for value, _label in choices if value in near_values}
        if not first:
            first = {value for value, _label in choices}
            self.fields[near].label = self.fields[far].label
        self._choices[near] = [choice for choice in choices if choice[0] in first]
        self._choices[far] = [choice for choice in choices if choice[0] not in first]
        ticked = self._ticked(near) | self._ticked(far)
        # What is ticked and no longer there goes with the others, where it is named as a fault.
        for name, here in ((near, sorted(ticked & first)), (far, sorted(ticked - first))):
            cast("forms.MultipleChoiceField", self.fields[name]).choices = self._choices[name]
            if self.is_bound:
                self._sent.setlist(self.add_prefix(name), here)
            else:
                self.initial[name] = here

    def _ticked(self, name: str) -> set[str]:
        if self.is_bound:
            return set(self._sent.getlist(self.add_prefix(name)))
        return {str(value) for value in self.initial.get(name, ())}

    def clean(self) -> dict[str, Any]:
        """Put the ticks together; people and tasks are needed, and a machine names its line."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        numbers = [*cleaned.get("people", ()), *cleaned.get("more_people", ())]
        codes = [*cleaned.get("tasks", ()), *cleaned.get("more_tasks", ())]
        cleaned["everyone"] = [self.people_by_number[number] for number in numbers]
        cleaned["all_tasks"] = [self.tasks_by_code[code] for code in codes]
        if not numbers:
            self.add_error("people", _("Tick at least one person."))
        if not codes:
            self.add_error("tasks", _("Tick at least one task."))
        machine, line = cleaned.get("machine"), cleaned.get("line")
        if machine is not None and line is None:
            cleaned["line"] = machine.line
        elif machine is not None and line is not None and machine.line_id != line.pk:
            self.add_error("machine", _("That machine stands at another line."))
        return cleaned

    def plan(self) -> Plan:
        """Return what was asked for; the form must be valid."""
        cleaned = self.cleaned_data
        return Plan(
            people=cleaned["everyone"],
            tasks=cleaned["all_tasks"],
            on=cleaned["on"],
            shift=cleaned["shift"],
            line=cleaned["line"],
            machine=cleaned["machine"],
            trainer=cleaned["trainer"],
        )

    def has_seen(self, clashes: Iterable[Clash]) -> bool:
        """Whether the trainer ticked that these very clashes were seen."""
        return bool(self.cleaned_data["seen"]) and self.cleaned_data["seen_of"] == clashes_shown(clashes)

    def name_clashes(self, clashes: Sequence[Clash], *, only_looking: bool = False) -> None:
        """Put each clash that blocks at its field; the others ask for a tick, unless they were only looked for."""
        for clash in clashes:
            if clash.blocks:
                self.add_error(self._field_of(clash), clash.message)
        remarks = [clash for clash in clashes if not clash.blocks]
        if remarks and not only_looking and not self.has_seen(clashes):
            self.add_error("seen", _("Look at what stands above, then tick this."))
        self.remember(clashes)

    def _field_of(self, clash: Clash) -> str:
        name = FIELD_OF.get(clash.code, "people")
        if name == "people" and clash.person == self.cleaned_data.get("trainer"):
            return "trainer"
        return name if name != "people" or self._choices["people"] else "more_people"

    def remember(self, clashes: Sequence[Clash]) -> None:
        """Keep what is shown now, so that the tick is said of it."""
        self.clashes = clashes
        self._sent[self.add_prefix("seen_of")] = clashes_shown(clashes)

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out; the long lists are folded away unless something in them is ticked."""
        helper = FormHelper()
        helper.form_class = "form-wide"
        groups = [
            Fieldset(_("When and where"), Row("on", "shift", "line", "machine"), css_class="group-tight"),
            Fieldset(_("Who"), "people", *self._folded("more_people", _("Everybody else")), css_class="unmarked"),
            Fieldset(_("What"), "tasks", *self._folded("more_tasks", _("All other tasks")), css_class="unmarked"),
            Fieldset(_("With whom"), "trainer", "note"),
        ]
        if any(not clash.blocks for clash in self.clashes):
            groups.append(
                Div(HTML("{% include 'components/clash_remarks.html' with clashes=form.clashes only %}"), "seen")
            )
        helper.layout = Layout(*groups, "seen_of")
        helper.add_input(Submit("save", _("Ask for it")))
        helper.add_input(Submit("look", _("Look for clashes first"), css_class="button-quiet"))
        return helper

    def _folded(self, name: str, summary: Any) -> list[Any]:  # noqa: ANN401 - crispy's layout objects
        if not self._choices[name]:
            return []
        is_open = bool(self._ticked(name) or self.errors.get(name)) if self.is_bound else bool(self.initial.get(name))
        opening = "<details class='fold' open>" if is_open else "<details class='fold'>"
        return [HTML(f"{opening}<summary>{summary}</summary>"), name, HTML("</details>")]
