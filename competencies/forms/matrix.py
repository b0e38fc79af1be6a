"""What the matrix shows: which people by which tasks. Everything stands in the address."""

import re
from typing import Any, Final

from django import forms
from django.utils.translation import gettext_lazy as _

from competencies.forms.fields import offer
from competencies.models import Area, Crew, Line, Plant, Qualification, Task
from competencies.queries.matrix import BEGUN
from competencies.vocabulary import AuthorityKind, Standing
from competencies.wording import AUTHORITIES, STANDINGS

# People on a page and tasks side by side.
SIZES: Final = {"small": (25, 20), "": (50, 40), "large": (100, 80)}
# Some five hundred codes of seven letters.
MOST_CODES_TEXT: Final = 4000


class MatrixFilter(forms.Form):
    """The cut; what cannot be read is told at its field and narrows nothing."""

    area = forms.ModelChoiceField(
        Area.objects.none(), label=_("Tasks of the area"), required=False, to_field_name="code", empty_label=_("any")
    )
    line = forms.ModelChoiceField(
        Line.objects.none(), label=_("At the line"), required=False, to_field_name="code", empty_label=_("any")
    )
    crew = forms.ModelChoiceField(
        Crew.objects.none(), label=_("People of the crew"), required=False, to_field_name="code", empty_label=_("any")
    )
    role = forms.ChoiceField(
        label=_("People entrusted as"),
        required=False,
        choices=[("", _("any")), *((kind.value, AUTHORITIES[kind]) for kind in AuthorityKind)],
    )
    pathway = forms.ModelChoiceField(
        Qualification.objects.none(), label=_("People and tasks of the pathway"), required=False, empty_label=_("any")
    )
    tasks = forms.CharField(
        label=_("Only these tasks"),
        required=False,
        max_length=MOST_CODES_TEXT,
        widget=forms.TextInput(attrs={"placeholder": "PK-01, PK-02"}),
    )
    text = forms.CharField(label=_("Name or employee number"), required=False, max_length=120)
    holding = forms.ChoiceField(
        label=_("People who stand there as"),
        required=False,
        choices=[
            ("", _("any")),
            (BEGUN, _("begun at all")),
            *((each.value, STANDINGS[each]) for each in Standing if each is not Standing.NOT_STARTED),
        ],
    )
    size = forms.ChoiceField(
        label=_("On one page"),
        required=False,
        choices=[
            (name, _("%(people)s people, %(tasks)s tasks") % {"people": people, "tasks": tasks})
            for name, (people, tasks) in SIZES.items()
        ],
    )

    def __init__(self, *args: Any, plant: Plant, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the plant's own areas, lines, crews and pathways."""
        super().__init__(*args, **kwargs)
        self.plant = plant
        for name, model in (("area", Area), ("line", Line), ("crew", Crew)):
            offer(self, name, model._default_manager.filter(plant=plant).order_by("title"))  # noqa: SLF001
        offer(self, "pathway", Qualification.objects.filter(plant=plant).order_by("title", "-version"))

    def clean_tasks(self) -> tuple[str, ...]:
        """Return the codes as the plant writes them; refuse those that are no task's."""
        given = [code for code in re.split(r"[\s,;]+", self.cleaned_data["tasks"]) if code]
        if not given:
            return ()
        codes = Task.objects.filter(plant=self.plant).values_list("code", flat=True)
        known = {code.casefold(): code for code in codes}
        if unknown := [code for code in given if code.casefold() not in known]:
            raise forms.ValidationError(_("No task has this code: %(codes)s") % {"codes": ", ".join(unknown[:9])})
        return tuple(dict.fromkeys(known[code.casefold()] for code in given))


class SavedViewForm(forms.Form):
    """The name of a saved view, and who sees it."""

    name = forms.CharField(label=_("Name of the view"), max_length=60)
    is_shared = forms.BooleanField(label=_("Everybody who may see the matrix may open it"), required=False)
