"""What is signed after a sign-off: annulment, review, a second look, a check owed, a conflict, an appeal."""

from collections.abc import Collection
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import NOTE_LENGTH, offer, pin_field
from competencies.forms.people import ActForm, ReasonForm, day_field
from competencies.models import Person
from competencies.queries.person_task import Entry
from competencies.standing.facts import Annulment, Assessment, Reverification, Review
from competencies.templatetags.entry_words import entry_label
from competencies.vocabulary import AnnulmentCause, CheckCause, ConflictCause, Outcome
from competencies.wording import ANNULMENT_CAUSES, CHECK_CAUSES, CONFLICT_CAUSES


def standing_signoffs(entries: Collection[Entry]) -> list[Entry]:
    """Return the entries that are sign-offs, neither corrected nor annulled, newest first."""
    annulled = {each.fact.of for each in entries if isinstance(each.fact, Annulment) and each.struck_by is None}
    found = [
        each
        for each in entries
        if isinstance(each.fact, Assessment)
        and each.fact.outcome is Outcome.COMPETENT
        and each.struck_by is None
        and each.fact.seq not in annulled
    ]
    return sorted(found, key=lambda each: each.fact.seq, reverse=True)


def doubted_signoffs(entries: Collection[Entry]) -> list[Entry]:
    """Return the sign-offs that are under review, newest first."""
    standing = [each.fact for each in entries if each.struck_by is None]
    looked_at = {fact.of: fact.seq for fact in standing if isinstance(fact, Reverification)}
    doubted = {fact.of for fact in standing if isinstance(fact, Review) and looked_at.get(fact.of, -1) < fact.seq}
    return [each for each in standing_signoffs(entries) if each.fact.seq in doubted]


class SignOffForm(ReasonForm):
    """Which sign-off, and why."""

    entry = forms.TypedChoiceField(label=_("Which sign-off"), coerce=int)
    field_order = ["entry", "reason"]

    def prepare(self, entries: list[Entry]) -> None:
        """Offer the sign-offs there are, the newest first."""
        self.offered = self.choosable(entries)
        choices = [(each.fact.seq, entry_label(each)) for each in self.offered]
        self.fields["entry"].choices = choices  # type: ignore[attr-defined]

    def choosable(self, entries: list[Entry]) -> list[Entry]:
        """Return the entries to choose from."""
        return standing_signoffs(entries)


class VerifyForm(SignOffForm):
    """Which sign-off under review stands, and what was looked at."""

    def choosable(self, entries: list[Entry]) -> list[Entry]:
        """Return the sign-offs under review."""
        return doubted_signoffs(entries)

    def prepare(self, entries: list[Entry]) -> None:
        """Ask what was looked at in place of why."""
        super().prepare(entries)
        self.fields["reason"].label = _("What was looked at")


class AnnulForm(SignOffForm):
    """Which sign-off was never in force, why, and since when its assessor is in doubt; `shown` is what it covers."""

    cause = forms.ChoiceField(
        label=_("What is wrong"),
        choices=[(each.value, capfirst(str(ANNULMENT_CAUSES[each]))) for each in AnnulmentCause],
    )
    unentitled_from = day_field(
        _("First day in doubt"),
        required=False,
        help_text=_("Empty: worked out from what the assessor was entrusted with."),
    )
    shown = forms.CharField(widget=forms.HiddenInput, required=False)
    field_order = ["entry", "cause", "unentitled_from", "reason"]

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out: one may look again before signing."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Sign")))
        helper.add_input(
            Submit("look", _("Show what it does"), css_class="button-quiet", formnovalidate="formnovalidate")
        )
        return helper

    def chosen(self) -> Assessment | None:
        """Return the sign-off that is chosen, or the newest; None where there is none."""
        wanted = str(self["entry"].value() or "")
        facts = [each.fact for each in self.offered if isinstance(each.fact, Assessment)]
        return next((fact for fact in facts if str(fact.seq) == wanted), facts[0] if facts else None)


class OweCheckForm(ActForm):
    """Why an extra check is owed."""

    cause = forms.ChoiceField(
        label=_("What called for it"), choices=[(each.value, capfirst(str(CHECK_CAUSES[each]))) for each in CheckCause]
    )
    reason = forms.CharField(
        label=_("What happened, in a sentence"),
        max_length=NOTE_LENGTH,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class ConflictForm(ActForm):
    """Between whom beside the person, why, and from when to when."""

    other = forms.ModelChoiceField(Person.objects.none(), label=_("The other person"), empty_label=None)
    cause = forms.ChoiceField(
        label=_("Why"), choices=[(each.value, capfirst(str(CONFLICT_CAUSES[each]))) for each in ConflictCause]
    )
    from_on = day_field(_("From"))
    until_on = day_field(_("Until, if it ends (only a coordinator says so)"), required=False)

    def prepare(self, entries: list[Entry]) -> None:
        """Offer the people of the plant."""
        others = Person.objects.filter(plant=self.person.plant_id).single().exclude(pk=self.person.pk)
        offer(self, "other", others.order_by("name", "works_number"), lambda row: f"{row.name} ({row.works_number})")


class OutcomeForm(forms.Form):
    """What the trainee says to an outcome: seen, or an appeal; a remark; and the PIN."""

    remark = forms.CharField(
        label=_("Remark, if you have one"),
        max_length=NOTE_LENGTH,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    pin = pin_field(_("Your PIN"))

    def __init__(self, *args: Any, may_see: bool, may_appeal: bool, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Remember what there is to say."""
        super().__init__(*args, **kwargs)
        self.may_see, self.may_appeal = may_see, may_appeal

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out: a button for each thing there is to say."""
        helper = FormHelper()
        if self.may_see:
            helper.add_input(Submit("seen", _("I have seen it")))
        if self.may_appeal:
            helper.add_input(Submit("appeal", _("I appeal against it"), css_class="button-quiet"))
        return helper
