"""Joining two records that are one person, parting one that holds two people, and a new name."""

from collections.abc import Sequence
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from competencies.forms.corrections import person_label
from competencies.forms.fields import NOTE_LENGTH, offer, pin_field
from competencies.forms.people import ActForm, day_field
from competencies.models import Person
from competencies.standing.facts import Fact
from competencies.templatetags.entry_words import fact_label


class JoinForm(forms.Form):
    """Which other record is the same person, and why that is known."""

    other = forms.ModelChoiceField(
        Person.objects.none(), label=_("The other record, which is closed"), empty_label=_("choose a record")
    )
    reason = forms.CharField(
        label=_("How it is known that they are one person"),
        max_length=NOTE_LENGTH,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    is_confirmed = forms.BooleanField(
        label=_("What speaks against it was looked into: it is one person all the same"), required=False
    )

    def __init__(self, *args: Any, kept: Person, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer every other record of the plant, and ask for the PIN."""
        super().__init__(*args, **kwargs)
        others = Person.objects.filter(plant=kept.plant_id).single().exclude(pk=kept.pk).select_related("plant")
        offer(self, "other", others.order_by("name", "works_number"), person_label)
        self.fields["pin"] = pin_field(_("Your PIN"))

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Join the records")))
        return helper


class PartForm(forms.Form):
    """Which entries are about another person, who that is, and why it is known."""

    entries = forms.TypedMultipleChoiceField(
        label=_("The entries that are about the other person"),
        help_text=_("What signs or points at an entry goes with it."),
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
    )
    other = forms.ModelChoiceField(
        Person.objects.none(),
        label=_("The other person, if they have a record"),
        required=False,
        empty_label=_("no record yet: open one below"),
    )
    name = forms.CharField(label=_("Name, for a new record"), max_length=120, required=False)
    works_number = forms.CharField(label=_("Employee number, for a new record"), max_length=20, required=False)
    started_on = day_field(_("First working day, for a new record"), required=False)
    reason = forms.CharField(
        label=_("How it is known that they are two people"),
        max_length=NOTE_LENGTH,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, record: Person, entries: Sequence[Fact], **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the record's own entries, and ask for the PIN."""
        super().__init__(*args, **kwargs)
        labels = [(fact.seq, f"{fact_label(fact)} {fact.task} {fact.scope}".strip()) for fact in entries]
        self.fields["entries"].choices = labels  # type: ignore[attr-defined]
        # A record that was joined to this one can have its entries back.
        others = Person.objects.filter(plant=record.plant_id).exclude(pk=record.pk).select_related("plant")
        offer(self, "other", (others.single() | others.filter(joined_into=record)).order_by("name"), person_label)
        self.fields["pin"] = pin_field(_("Your PIN"))

    def clean(self) -> dict[str, Any]:
        """Ask for what a new record needs, where there is none."""
        given = super().clean() or self.cleaned_data
        if not given.get("other"):
            for name in ("name", "works_number", "started_on"):
                if not given.get(name) and name not in self.errors:
                    self.add_error(name, _now("Choose a record above, or say this for a new one."))
        return given

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Part the record")))
        return helper


class RenameForm(ActForm):
    """The name the person goes by from now on."""

    name = forms.CharField(label=_("New name"), max_length=120)

    def prepare(self, entries: list[Any]) -> None:
        """Start with the name as it is."""
        self.fields["name"].initial = self.person.name
