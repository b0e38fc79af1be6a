"""The form that opens a check."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Submit
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assessments.queries.checks import CheckAsked
from competencies.models import Person


class PersonField(forms.ModelChoiceField):  # type: ignore[type-arg]  # generic in the stubs alone
    """A person by name and employee number."""

    def label_from_instance(self, obj: Person) -> str:
        """Return name and number, since names repeat."""
        return f"{obj.name} ({obj.works_number})"


class OpenCheckForm(forms.Form):
    """Who takes a check of what, and the PIN of whoever opens it."""

    person = PersonField(Person.objects.none(), label=gettext_lazy("Who takes the check"))
    calculation = forms.ChoiceField(label=gettext_lazy("Calculation"))
    pin = forms.CharField(
        label=gettext_lazy("Your PIN"),
        max_length=12,
        help_text=gettext_lazy("You answer for it that nobody helps."),
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off", "class": "pin"}),
    )

    def __init__(self, *args: Any, people: QuerySet[Person], asked: list[CheckAsked], **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the people and the calculations that the plant's tasks ask for."""
        super().__init__(*args, **kwargs)
        self.asked = {each.calculation: each for each in asked}
        offered = [("", "---------"), *((each.calculation, _label(each)) for each in asked)]
        self.fields["person"] = PersonField(people, label=_("Who takes the check"))
        self.fields["calculation"] = forms.ChoiceField(label=_("Calculation"), choices=offered)

    def check_asked(self) -> CheckAsked:
        """Return what the chosen check asks."""
        return self.asked[self.cleaned_data["calculation"]]

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.layout = Layout("person", "calculation", "pin")
        helper.add_input(Submit("", _("Open the check")))
        return helper


def _label(asked: CheckAsked) -> str:
    words = _("%(code)s %(title)s: %(problems)s problems, %(needed)s right to pass")
    return words % {
        "code": asked.calculation,
        "title": _(asked.title),
        "problems": asked.problems,
        "needed": asked.pass_mark,
    }
