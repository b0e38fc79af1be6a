"""What two people decide: both choose their PIN on the same form, one after the other."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import offer, pin_field
from competencies.models import Authority, Person, Plant
from competencies.vocabulary import AuthorityKind


class TwoPeopleForm(forms.Form):
    """The second person, and both PINs; the fields of the decision come before them."""

    SECONDS: tuple[AuthorityKind, ...] = ()

    def __init__(self, *args: Any, plant: Plant, first: Person, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer everybody of the plant who may agree, but the one at the keyboard."""
        super().__init__(*args, **kwargs)
        self.first = first
        self.fields["pin"] = pin_field(_("Your PIN"))
        self.fields["second"] = forms.ModelChoiceField(
            Person.objects.none(), label=_("Second person, who agrees"), empty_label=_("choose")
        )
        self.fields["second_pin"] = pin_field(_("PIN of the second person"))
        entrusted = Authority.objects.filter(person__plant=plant, kind__in=self.SECONDS).values("person")
        rows = Person.objects.filter(pk__in=entrusted, last_day=None).exclude(pk=first.pk).select_related("plant")
        offer(self, "second", rows.order_by("name"))
