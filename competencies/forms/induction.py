"""An induction set as typed text: a task a line, with the days after the start and whether it is a gate."""

import re
from typing import Any, Final

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from competencies.forms.fields import offer
from competencies.forms.people import day_field
from competencies.forms.procedures import lines_of
from competencies.models import Area, InductionIssue, Plant, Task
from competencies.operations.induction import StepAsked
from competencies.vocabulary import AuthorityKind
from competencies.wording import AUTHORITIES

LINE: Final = re.compile(r"(?P<code>\S{1,20})\s+(?P<days>\d{1,3})(\s+(?P<mark>\S+))?")
MOST_DAYS: Final = 365


class InductionForm(forms.Form):
    """For whom, from when, and the steps."""

    area = forms.ModelChoiceField(
        Area.objects.none(), label=_l("Area"), required=False, empty_label=_l("the whole plant")
    )
    role = forms.ChoiceField(label=_l("Role"), required=False)
    from_on = day_field(_l("For whoever starts from"))
    steps = forms.CharField(
        label=_l("Tasks"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text=_l(
            "One a line: code, days after the start, and the word first where it must be in force before any other "
            "task is asked for or run. Such as: HS-01 1 first"
        ),
    )

    def __init__(self, *args: Any, plant: Plant, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Offer the plant's areas and the roles."""
        super().__init__(*args, **kwargs)
        self.plant = plant
        offer(self, "area", Area.objects.filter(plant=plant).order_by("title"))
        roles = [(kind.value, capfirst(str(AUTHORITIES[kind]))) for kind in AuthorityKind]
        self.fields["role"].choices = [("", _("everybody")), *roles]  # type: ignore[attr-defined]

    def clean_steps(self) -> list[StepAsked]:
        """Return the steps; each fault names its line."""
        tasks = {task.code.casefold(): task for task in Task.objects.filter(plant=self.plant)}
        found: dict[str, StepAsked] = {}
        for number, line in enumerate(lines_of(self.cleaned_data["steps"]), start=1):
            match = LINE.fullmatch(line)
            task = tasks.get(match["code"].casefold()) if match else None
            if match is None or match["mark"] not in {None, _("first")} or int(match["days"]) > MOST_DAYS:
                raise ValidationError(_("Line %(number)s: write it such as: HS-01 1 first") % {"number": number})
            if task is None:
                raise ValidationError(
                    _("Line %(number)s: there is no task %(code)s.") % {"number": number, "code": match["code"]}
                )
            if task.code in found:
                raise ValidationError(
                    _("Line %(number)s: %(code)s stands there already.") % {"number": number, "code": task.code}
                )
            found[task.code] = StepAsked(task=task, due_days=int(match["days"]), is_gate=bool(match["mark"]))
        return list(found.values())

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("issue", _("Issue this set")))
        return helper


def steps_text(issue: InductionIssue) -> str:
    """Return the steps of a set as they are typed."""
    rows = sorted(issue.tasks.all(), key=lambda row: (row.due_days, row.task.code))
    return "\n".join(f"{row.task.code} {row.due_days}" + (f" {_('first')}" if row.is_gate else "") for row in rows)
