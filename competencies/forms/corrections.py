"""Correcting an entry: what is wrong with it, what it should have said, and why."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import NOTE_LENGTH, TokenField, new_token, offer, pin_field
from competencies.models import Line, Machine, Person, Plant, Shift, Task
from competencies.standing.facts import Correction, Fact, Run, Scope
from competencies.standing.replacing import GOES_WITH, PLACES, STANDS_ALONE, Change, Instead
from competencies.templatetags.entry_words import fact_label
from competencies.vocabulary import CorrectionCause
from competencies.wording import CORRECTION_CAUSES

MOMENT_FORMAT = "%Y-%m-%dT%H:%M"
OF_THE_ENTRY = (CorrectionCause.DOUBLE_ENTRY, CorrectionCause.ENTERED_IN_ERROR)
# The fields that say what was right, by what was wrong; of what is filled in, only these are taken.
SAYS: Mapping[CorrectionCause, tuple[str, ...]] = {
    CorrectionCause.WRONG_PERSON: ("person",),
    CorrectionCause.WRONG_TASK: ("task", "scope"),
    CorrectionCause.WRONG_SCOPE: ("scope",),
    CorrectionCause.WRONG_DATE: ("happened_at", "on", "shift"),
    CorrectionCause.DOUBLE_ENTRY: ("twin",),
    CorrectionCause.ENTERED_IN_ERROR: (),
}


def causes_of(entry: Fact) -> tuple[CorrectionCause, ...]:
    """Return what can be wrong with an entry of its kind: what cannot be entered anew is only struck."""
    if isinstance(entry, Correction):
        return (CorrectionCause.ENTERED_IN_ERROR,)
    if isinstance(entry, GOES_WITH):
        return (CorrectionCause.WRONG_DATE, *OF_THE_ENTRY)
    if not isinstance(entry, STANDS_ALONE):
        return OF_THE_ENTRY
    return tuple(cause for cause in CorrectionCause if entry.task or cause not in PLACES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Which entry is to be corrected, in which plant, and the entries that it may be a double of."""

    entry: Fact
    plant: Plant
    twins: Sequence[Fact] = ()


class CorrectionForm(forms.Form):
    """What is wrong with an entry, and what is right: the fields start as the entry has them."""

    cause = forms.ChoiceField(label=_("What is wrong with it"))
    person = forms.ModelChoiceField(Person.objects.none(), label=_("The person it is about"), empty_label=None)
    task = forms.ModelChoiceField(
        Task.objects.none(), label=_("The task"), required=False, to_field_name="code", empty_label=None
    )
    scope = forms.ChoiceField(label=_("The place"), required=False)
    happened_at = forms.DateTimeField(
        label=_("When it happened"),
        help_text=_("For a run, within the shift that it was done on."),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=MOMENT_FORMAT),
        input_formats=[MOMENT_FORMAT, "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"],
    )
    on = forms.DateField(
        label=_("The day on which the shift starts"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    shift = forms.ChoiceField(label=_("The shift"), required=False)
    twin = forms.TypedChoiceField(
        label=_("The entry that it is a double of"), required=False, coerce=int, empty_value=None
    )
    reason = forms.CharField(label=_("Why"), max_length=NOTE_LENGTH, widget=forms.Textarea(attrs={"rows": 3}))
    token = TokenField()

    def __init__(self, *args: Any, asked: Asked, is_signed: bool = False, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the people, tasks, places and shifts of the plant, and the entries that may be the other of a pair."""
        entry, plant = asked.entry, asked.plant
        kwargs["initial"] = {**as_it_was(entry, plant), "token": new_token(), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)
        self.entry = entry
        causes = causes_of(entry)
        self._choose("cause", [(cause.value, CORRECTION_CAUSES[cause]) for cause in causes])
        kept = {name for cause in causes for name in SAYS[cause]} - (
            set() if isinstance(entry, Run) else {"on", "shift"}
        )
        for name in {name for names in SAYS.values() for name in names} - kept:
            del self.fields[name]
        offer_if_there(self, "person", Person.objects.filter(plant=plant).single().order_by("name"), person_label)
        offer_if_there(self, "task", Task.objects.filter(plant=plant).order_by("code"))
        self._choose("scope", _places(plant))
        self._choose("shift", Shift.objects.filter(plant=plant).order_by("starts").values_list("name", "title"))
        self._choose("twin", [("", "–"), *((each.seq, fact_label(each)) for each in asked.twins)])
        if is_signed:
            self.fields["pin"] = pin_field(_("Your PIN"))

    def _choose(self, name: str, choices: Iterable[tuple[Any, Any]]) -> None:
        if name in self.fields:
            self.fields[name].choices = list(choices)  # type: ignore[attr-defined]

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out: look first at what it changes, then sign."""
        helper = FormHelper()
        if "pin" in self.fields:
            helper.add_input(Submit("sign", _("Sign the correction")))
        helper.add_input(Submit("look", _("See what it changes"), css_class="button-quiet"))
        return helper

    def change(self) -> Change:
        """Return what is corrected, and how. Of what was filled in, only what the cause asks for is taken."""
        given = self.cleaned_data
        cause = CorrectionCause(given["cause"])
        return Change(
            cause=cause,
            reason=given["reason"],
            instead=self._instead(cause),
            twin=given.get("twin") if cause is CorrectionCause.DOUBLE_ENTRY else None,
        )

    def _instead(self, cause: CorrectionCause) -> Instead | None:
        given = self.cleaned_data
        if cause is CorrectionCause.WRONG_PERSON:
            return Instead(person=given["person"].pk)
        if cause is CorrectionCause.WRONG_TASK:
            return Instead(task=given["task"].code if given.get("task") else None, scope=self._scope())
        if cause is CorrectionCause.WRONG_SCOPE:
            return Instead(scope=self._scope())
        if cause is CorrectionCause.WRONG_DATE:
            on = given.get("on")
            return Instead(
                happened_at=self._moment(), on=None if on == self.entry.on else on, shift=given.get("shift")
            )
        return None

    def _moment(self) -> datetime | None:
        """Return the moment given, or None where it is still the entry's own minute: it then moves with the day."""
        given: datetime = self.cleaned_data["happened_at"]
        same = given == self.entry.happened_at.replace(second=0, microsecond=0)
        return None if same else given

    def _scope(self) -> Scope:
        return Scope.parse(self.cleaned_data.get("scope") or "")


def offer_if_there(
    form: forms.Form, name: str, rows: QuerySet[Any], label: Callable[[Any], str] | None = None
) -> None:
    """Let a field choose among rows, where the form has it."""
    if name in form.fields:
        offer(form, name, rows, label)


def _places(plant: Plant) -> list[tuple[str, Any]]:
    places: list[tuple[str, Any]] = [("", _("the whole site"))]
    places += Line.objects.filter(plant=plant).order_by("code").values_list("code", "title")
    machines = Machine.objects.filter(line__plant=plant).select_related("line").order_by("line__code", "code")
    return places + [(f"{each.line.code}/{each.code}", f"{each.line.title}, {each.title}") for each in machines]


def as_it_was(entry: Fact, plant: Plant) -> dict[str, Any]:
    """Return what the entry says, as the fields take it."""
    return {
        "person": entry.person,
        "task": entry.task,
        "scope": str(entry.scope),
        "happened_at": entry.happened_at.astimezone(ZoneInfo(plant.timezone)),
        "on": entry.on,
        "shift": getattr(entry, "shift", ""),
    }


def person_label(person: Person) -> str:
    """Return name and employee number: people of like name are told apart."""
    return f"{person.name} ({person.works_number})"
