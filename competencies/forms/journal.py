"""Narrowing the journal of the ledger."""

from django import forms
from django.utils.translation import gettext_lazy as _

from competencies.forms.people import day_field
from competencies.templatetags.entry_words import KINDS


class JournalFilter(forms.Form):
    """Which entries; everything stands in the address."""

    text = forms.CharField(label=_("Name or employee number"), required=False, max_length=120)
    kind = forms.ChoiceField(
        label=_("Kind"), required=False, choices=[("", _("any")), *((kind.value, KINDS[kind]) for kind in KINDS)]
    )
    from_on = day_field(_("From"), required=False)
    until_on = day_field(_("Until"), required=False)
    known_on = day_field(_("As known on"), required=False)
