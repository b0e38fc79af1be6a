"""What a learner signs alone: that a revision has been read."""

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import pin_field


class AcknowledgementForm(forms.Form):
    """The PIN under "I have read and understood this revision"."""

    pin = pin_field(_("Your PIN"))

    @property
    def helper(self) -> FormHelper:
        """Return how the field is laid out."""
        helper = FormHelper()
        helper.add_input(Submit("acknowledge", _("I have read and understood it")))
        return helper
