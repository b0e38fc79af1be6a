"""Legal holds, and what two people choose to erase."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l
from django.utils.translation import ngettext

from competencies.forms.fields import offer, pin_field
from competencies.forms.people import day_field
from competencies.forms.two_people import TwoPeopleForm
from competencies.models import Line, Person, Plant, Task
from competencies.operations.erasing import SECONDS, Chosen
from competencies.operations.holds import HoldCover
from competencies.queries.retention import DueEvidence, DueRecord, Retention

INCIDENT = RegexValidator(r"^[A-Za-z0-9][\w./-]{0,39}$", _l("Letters, digits, dots, dashes and slashes only."))


class HoldForm(forms.Form):
    """Which incident, and what must be kept for it; what is left empty covers everything."""

    incident = forms.CharField(
        label=_l("Incident number"),
        max_length=40,
        validators=[INCIDENT],
        help_text=_l("As the plant counts its incidents. No names: the number stays in the ledger for good."),
    )
    people = forms.ModelMultipleChoiceField(
        Person.objects.none(),
        label=_l("People"),
        required=False,
        help_text=_l("None chosen: everybody at that task or line."),
    )
    task = forms.ModelChoiceField(Task.objects.none(), label=_l("Task"), required=False, empty_label=_l("every task"))
    line = forms.ModelChoiceField(Line.objects.none(), label=_l("Line"), required=False, empty_label=_l("every line"))
    from_on = day_field(_l("From"), required=False, help_text=_l("Empty: from the beginning."))
    until_on = day_field(_l("Until"), required=False, help_text=_l("Empty: without an end."))
    pin = pin_field(_l("Your PIN"))

    def __init__(self, *args: Any, plant: Plant, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the plant's people, leavers too, its tasks and its lines."""
        super().__init__(*args, **kwargs)
        offer(self, "people", Person.objects.filter(plant=plant).single().order_by("name", "works_number"))
        offer(self, "task", Task.objects.filter(plant=plant).order_by("code"))
        offer(self, "line", Line.objects.filter(plant=plant).order_by("code"))

    def cover(self) -> HoldCover:
        """Return what the hold covers."""
        given = self.cleaned_data
        return HoldCover(
            incident=given["incident"],
            people=list(given["people"]),
            task=given["task"],
            line=given["line"],
            from_on=given["from_on"],
            until_on=given["until_on"],
        )

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Set the hold")))
        return helper


class EndHoldForm(forms.Form):
    """The PIN of who ends a hold."""

    pin = pin_field(_l("Your PIN"))

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("End the hold")))
        return helper


class ErasureForm(TwoPeopleForm):
    """What is due, each with a box, and the two people who sign that it goes."""

    SECONDS = tuple(SECONDS)
    evidence = forms.TypedMultipleChoiceField(
        label=_l("Notes and feedback that are due"), coerce=int, required=False, widget=forms.CheckboxSelectMultiple
    )
    records = forms.TypedMultipleChoiceField(
        label=_l("Leavers whose name is due"), coerce=int, required=False, widget=forms.CheckboxSelectMultiple
    )
    field_order = ("evidence", "records", "pin", "second", "second_pin")

    def __init__(self, *args: Any, due: Retention, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer what is due."""
        super().__init__(*args, **kwargs)
        self.fields["evidence"].choices = [  # type: ignore[attr-defined]
            (each.person.pk, _evidence_label(each)) for each in due.evidence
        ]
        self.fields["records"].choices = [(each.person.pk, _record_label(each)) for each in due.records]  # type: ignore[attr-defined]
        for name, rows in (("evidence", due.evidence), ("records", due.records)):
            if not rows:
                del self.fields[name]
        self.order_fields(self.field_order)

    def clean(self) -> dict[str, Any]:
        """Refuse a form on which nothing is ticked."""
        given = super().clean() or {}
        if not given.get("evidence") and not given.get("records") and not self.errors:
            raise ValidationError(_("Tick what is to be erased."))
        return given

    def chosen(self) -> Chosen:
        """Return what was ticked."""
        given = self.cleaned_data
        return Chosen(evidence=frozenset(given.get("evidence") or ()), records=frozenset(given.get("records") or ()))

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Erase for good"), css_class="button-stop"))
        return helper


def _evidence_label(due: DueEvidence) -> str:
    texts = ngettext("%(count)s text", "%(count)s texts", due.count) % {"count": due.count}
    days = _("of %(first)s to %(last)s") % {"first": due.first_on, "last": due.last_on}
    return f"{due.person.name} ({due.person.works_number}): {texts}, {days}"


def _record_label(due: DueRecord) -> str:
    told = _("last working day %(last)s, kept until %(until)s") % {"last": due.last_day, "until": due.kept_until}
    return f"{due.person.name} ({due.person.works_number}): {told}"
