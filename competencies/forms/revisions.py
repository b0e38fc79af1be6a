"""A new revision of a procedure: what it asks, its class, its days, and the two people who issue it."""

import re
from datetime import date, timedelta
from typing import Any, Final

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Submit
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from competencies.forms import procedures
from competencies.forms.fields import NOTE_LENGTH
from competencies.forms.people import day_field
from competencies.forms.two_people import TwoPeopleForm
from competencies.importing.differences import Change, procedure_change
from competencies.importing.syllabus import CriterionRow, ProcedureRow, ReadingRow, TaskRow
from competencies.models import Person, Task
from competencies.queries.revisions import IssueAsked
from competencies.standing.office import AGREEING
from competencies.vocabulary import ChangeClass

CARRIES: Final = [("", _l("as the plant's policy says")), ("0", _l("none")), ("1/2", _l("half")), ("1", _l("all"))]
CLASSES: Final = [
    ("", _l("as the comparison proposes")),
    (ChangeClass.MAJOR.value, _l("Major: its changes are shown and judged")),
    (ChangeClass.MINOR.value, _l("Minor: it is read and acknowledged")),
]
# Time to show the changes before they are in force; the form only starts from it.
USUAL_NOTICE_DAYS: Final = 14
NUMBERS: Final = re.compile(r"[\d\s,;]*")


def _lines(label: Any, rows: int, **more: Any) -> forms.CharField:  # noqa: ANN401 - a lazy text, Django's own
    return forms.CharField(label=label, widget=forms.Textarea(attrs={"rows": rows}), max_length=20_000, **more)


class IssueForm(TwoPeopleForm):
    """What the next revision asks. What it would do is shown before the PINs are asked for."""

    SECONDS = tuple(AGREEING)

    base = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=100_000)
    criteria = _lines(
        _l("What is judged"),
        8,
        help_text=_l("One a line. Write (one miss decides) or (differs by machine) behind it where that holds."),
    )
    readings = _lines(
        _l("Readings"),
        4,
        required=False,
        help_text=_l(
            "One a line: name | unit | target | low limit | high limit | most between the two | source. Leave a part "
            "empty that does not apply, such as: fill height | mm | 40 | 38 | 42 | 1 | PLANT"
        ),
    )
    hazards = _lines(_l("Hazards"), 3, required=False, help_text=_l("One a line."))
    protective_equipment = _lines(_l("Protective equipment"), 3, required=False, help_text=_l("One a line."))
    evidence = forms.CharField(label=_l("Where the evidence lies"), max_length=procedures.LONGEST, required=False)
    note = forms.CharField(
        label=_l("What changed and why"), widget=forms.Textarea(attrs={"rows": 2}), max_length=NOTE_LENGTH
    )
    change = forms.ChoiceField(
        label=_l("Class"),
        choices=CLASSES,
        required=False,
        help_text=_l("Major is any change to a step, a limit, a hazard, protective equipment, or who may do it."),
    )
    touches = forms.CharField(
        label=_l("Criteria touched"),
        max_length=200,
        required=False,
        help_text=_l("Their numbers, such as: 1, 3. Empty: those that the comparison finds."),
    )
    carries_runs = forms.ChoiceField(label=_l("Runs made before that carry over"), choices=CARRIES, required=False)
    approved_on = day_field(_l("Approved on"))
    effective_on = day_field(_l("In force from"))

    def __init__(
        self,
        *args: Any,  # noqa: ANN401 - Django's own
        task: Task,
        base: int,
        before: ProcedureRow,
        on: date,
        first: Person,
        **kwargs: Any,  # noqa: ANN401 - Django's own
    ) -> None:
        """Start from the newest revision; nobody proves who they are before the form is signed."""
        kwargs["initial"] = _initial(before, base=base, on=on)
        super().__init__(*args, plant=task.plant, first=first, **kwargs)
        self.task, self.before = task, before
        for name in ("pin", "second", "second_pin"):
            self.fields[name].required = "issue" in self.data
        self.fields["pin"].help_text = _("Needed only to issue it; what it would do is shown without.")

    def clean_criteria(self) -> tuple[CriterionRow, ...]:
        """Return what is judged."""
        return procedures.criteria(self.cleaned_data["criteria"])

    def clean_readings(self) -> tuple[ReadingRow, ...]:
        """Return the readings."""
        return procedures.readings(self.cleaned_data["readings"])

    def clean_hazards(self) -> tuple[str, ...]:
        """Return the hazards."""
        return procedures.things(self.cleaned_data["hazards"])

    def clean_protective_equipment(self) -> tuple[str, ...]:
        """Return what is worn."""
        return procedures.things(self.cleaned_data["protective_equipment"])

    def clean_touches(self) -> tuple[int, ...] | None:
        """Return the numbers that were typed; None leaves them to the comparison."""
        text = self.cleaned_data["touches"]
        if not NUMBERS.fullmatch(text):
            raise ValidationError(_("Write the numbers of criteria, such as: 1, 3"))
        # More digits than a count of lines has name no criterion.
        numbers = [int(each[:4]) for each in re.findall(r"\d+", text)]
        return tuple(sorted(set(numbers))) if numbers else None

    def clean(self) -> dict[str, Any]:
        """Refuse a revision that changes nothing."""
        given: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors and self.procedure() == self.before:
            raise ValidationError(_("Nothing differs from the last revision: there is nothing to issue."))
        return given

    def procedure(self) -> ProcedureRow:
        """Return what the revision asks."""
        given = self.cleaned_data
        return ProcedureRow(
            criteria=given["criteria"],
            readings=given["readings"],
            hazards=given["hazards"],
            protective_equipment=given["protective_equipment"],
            evidence=" ".join(given["evidence"].split()),
        )

    def compared(self) -> Change:
        """Return what the comparison proposes: the class, and the criteria to be judged again."""
        after, before = (
            TaskRow(code=self.task.code, title=self.task.title, area="", procedure=each)
            for each in (self.procedure(), self.before)
        )
        return procedure_change(after, before)

    def asked(self) -> IssueAsked:
        """Return what is to be issued."""
        given, found = self.cleaned_data, self.compared()
        touches = given["touches"]
        return IssueAsked(
            procedure=self.procedure(),
            base=given["base"],
            change=ChangeClass(given["change"]) if given["change"] else found.proposed or ChangeClass.MAJOR,
            touches=found.touched if touches is None else touches,
            approved_on=given["approved_on"],
            effective_on=given["effective_on"],
            note=given["note"],
            carries_runs=given["carries_runs"],
        )

    @property
    def helper(self) -> FormHelper:
        """Return what it asks first, then how it is issued, then who issues it."""
        helper = FormHelper()
        helper.layout = Layout(
            *("base", "criteria", "readings", "hazards", "protective_equipment", "evidence"),
            *("note", "change", "touches", "carries_runs", "approved_on", "effective_on"),
            *("pin", "second", "second_pin"),
        )
        helper.add_input(Submit("show", _("Show what it would do"), css_class="button-quiet"))
        helper.add_input(Submit("issue", _("Issue the revision")))
        return helper


def _initial(before: ProcedureRow, *, base: int, on: date) -> dict[str, Any]:
    return {
        "base": base,
        "criteria": "\n".join(procedures.criterion_text(row) for row in before.criteria),
        "readings": "\n".join(procedures.reading_text(row) for row in before.readings),
        "hazards": "\n".join(before.hazards),
        "protective_equipment": "\n".join(before.protective_equipment),
        "evidence": before.evidence,
        "approved_on": on,
        "effective_on": on + timedelta(days=USUAL_NOTICE_DAYS),
    }
