"""Narrowing the list of people, and what is signed about one of them."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import NOTE_LENGTH, offer, pin_field
from competencies.models import Area, Authority, Crew, Person, Plant
from competencies.queries.person_task import Entry
from competencies.templatetags.entry_words import entry_label
from competencies.vocabulary import AuthorityKind, Standing
from competencies.wording import AUTHORITIES, STANDINGS


def day_field(label: Any, *, required: bool = True, help_text: Any = "") -> forms.DateField:  # noqa: ANN401 - lazy texts
    """Return the field of a day."""
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, required=required, widget=widget, help_text=help_text)


class PeopleFilter(forms.Form):
    """What to show of the people; everything stands in the address."""

    text = forms.CharField(label=_("Name or employee number"), required=False, max_length=120)
    crew = forms.ModelChoiceField(Crew.objects.none(), label=_("Crew"), required=False, empty_label=_("any"))
    area = forms.ModelChoiceField(Area.objects.none(), label=_("Area"), required=False, empty_label=_("any"))
    role = forms.ChoiceField(
        label=_("Entrusted as"),
        required=False,
        choices=[("", _("any")), *((k.value, AUTHORITIES[k]) for k in AuthorityKind)],
    )
    standing = forms.ChoiceField(
        label=_("Standing on some task"),
        required=False,
        choices=[("", _("any")), *((each.value, STANDINGS[each]) for each in Standing)],
    )
    left = forms.BooleanField(label=_("Show leavers too"), required=False)

    def __init__(self, *args: Any, plant: Plant, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the plant's own crews and areas."""
        super().__init__(*args, **kwargs)
        offer(self, "crew", Crew.objects.filter(plant=plant).order_by("title"))
        offer(self, "area", Area.objects.filter(plant=plant).order_by("title"))


class ActForm(forms.Form):
    """Something that is signed about a person: the fields of the act, and the signer's PIN last."""

    def __init__(self, *args: Any, person: Person, entries: list[Entry] | None = None, **kwargs: Any) -> None:  # noqa: ANN401
        """Remember whom it is about, and ask for the PIN."""
        super().__init__(*args, **kwargs)
        self.person = person
        self.prepare(entries or [])
        self.fields["pin"] = pin_field(_("Your PIN"))

    def prepare(self, entries: list[Entry]) -> None:
        """Offer what there is to choose from."""

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Sign")))
        return helper


class ReasonForm(ActForm):
    """A reason, and the PIN."""

    reason = forms.CharField(label=_("Why"), max_length=NOTE_LENGTH, widget=forms.Textarea(attrs={"rows": 3}))


class WithdrawForm(ReasonForm):
    """Since when, to the minute, and why."""

    happened_at = forms.DateTimeField(
        label=_("Since when"),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M"],
    )
    field_order = ["happened_at", "reason"]


class LateRunForm(ActForm):
    """Which late run is accepted, and why."""

    entry = forms.TypedChoiceField(label=_("Which run"), coerce=int)
    reason = forms.CharField(
        label=_("Why it is accepted"), max_length=NOTE_LENGTH, widget=forms.Textarea(attrs={"rows": 3})
    )

    def prepare(self, entries: list[Entry]) -> None:
        """Offer the runs that stand."""
        self.fields["entry"].choices = [  # type: ignore[attr-defined]
            (each.fact.seq, entry_label(each)) for each in entries if each.kind == "run" and each.struck_by is None
        ]


class RecogniseForm(ActForm):
    """Evidence from elsewhere, judged adequate."""

    evidence_on = day_field(_("Date of the evidence"))
    evidence_ends_on = day_field(_("Last day of the outside certificate, if it has one"), required=False)
    runs_needed = forms.IntegerField(
        label=_("Supervised runs still wanted here"), min_value=1, max_value=50, initial=1
    )
    reason = forms.CharField(
        label=_("What the evidence is"), max_length=NOTE_LENGTH, widget=forms.Textarea(attrs={"rows": 3})
    )


class GrantForm(ActForm):
    """What a person is entrusted with, from when to when."""

    kind = forms.ChoiceField(
        label=_("Entrusted as"), choices=[(k.value, capfirst(str(AUTHORITIES[k]))) for k in AuthorityKind]
    )
    area = forms.ModelChoiceField(
        Area.objects.none(), label=_("Area"), required=False, empty_label=_("the whole plant")
    )
    from_on = day_field(_("From"))
    until_on = day_field(_("Until"), required=False, help_text=_("Empty: no end known."))

    def prepare(self, entries: list[Entry]) -> None:
        """Offer the plant's areas."""
        offer(self, "area", Area.objects.filter(plant=self.person.plant_id).order_by("title"))


class EndForm(ActForm):
    """Which authority ends, after which day."""

    authority = forms.ModelChoiceField(Authority.objects.none(), label=_("Which authority"), empty_label=None)
    last_day = day_field(_("Last day"))

    def prepare(self, entries: list[Entry]) -> None:
        """Offer those of the person."""
        rows = Authority.objects.filter(person=self.person).select_related("area", "person__plant").order_by("from_on")
        offer(self, "authority", rows, authority_label)


def authority_label(row: Authority) -> str:
    """Return what a person is entrusted with, where, and since when."""
    where = row.area.title if row.area else _("the whole plant")
    return f"{capfirst(str(AUTHORITIES[AuthorityKind(row.kind)]))}, {where}, {row.from_on:%d.%m.%Y}"


class SignInForm(ActForm):
    """A name and a first password to sign in with."""

    username = forms.CharField(label=_("Name to sign in with"), max_length=150)
    password = forms.CharField(
        label=_("First password"),
        strip=False,
        max_length=200,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
