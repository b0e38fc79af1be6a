"""What the office decides about a task: who is first, another class of a revision, other terms."""

import re
from collections.abc import Sequence
from datetime import date
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Layout, Submit
from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from competencies.forms.fields import offer, pin_field
from competencies.forms.people import day_field
from competencies.forms.two_people import TwoPeopleForm
from competencies.models import Person, Task, TaskRevision
from competencies.standing.facts import Scope
from competencies.standing.framework import Policy, Terms
from competencies.standing.office import AGREEING
from competencies.vocabulary import YoungWorker

MOST_RUNS, MOST_MONTHS, MOST_DAYS = 200, 600, 3660
RANGE_LINE = re.compile(r"(?P<name>[^:]{1,40}):\s*(?P<count>\d{1,3})")
YOUNG = {
    YoungWorker.OPEN: _l("open to them"),
    YoungWorker.TRAINING_ONLY: _l("only in training: they never make cover"),
    YoungWorker.CLOSED: _l("closed to them"),
}


class FirstTrainerForm(forms.Form):
    """Who is first, where, for which revision."""

    person = forms.ModelChoiceField(Person.objects.none(), label=_l("Who"), empty_label=_l("choose"))
    scope = forms.ChoiceField(label=_l("Where"), required=False)
    revision = forms.TypedChoiceField(label=_l("For"), coerce=int, empty_value=None, required=False)
    pin = pin_field(_l("Your PIN"))

    def __init__(
        self,
        *args: Any,  # noqa: ANN401 - Django's own
        task: Task,
        scopes: Sequence[str],
        revisions: Sequence[TaskRevision],
        **kwargs: Any,  # noqa: ANN401 - Django's own
    ) -> None:
        """Offer the people of the plant, the places of the task, and its revisions in force and to come."""
        super().__init__(*args, **kwargs)
        rows = (
            Person.objects.filter(plant=task.plant_id, last_day=None).single().select_related("plant").order_by("name")
        )
        offer(self, "person", rows.select_related("plant"))
        self.fields["scope"].choices = [(each, each) for each in scopes]  # type: ignore[attr-defined]
        if not scopes:
            del self.fields["scope"]
        numbered = [(each.number, _("revision %(number)s") % {"number": each.number}) for each in revisions]
        self.fields["revision"].choices = [("", _("the task, whatever the revision")), *numbered]  # type: ignore[attr-defined]

    def place(self) -> Scope:
        """Return the place that was chosen."""
        return Scope.parse(self.cleaned_data.get("scope") or "")

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Name as a first trainer")))
        return helper


class ReclassifyForm(TwoPeopleForm):
    """Two people make a revision a major one."""

    SECONDS = tuple(AGREEING)

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.add_input(Submit("sign", _("Make it a major revision")))
        return helper


class TermsForm(forms.Form):
    """What a task asks: the simple figures first, the rest unfolds; what it would change is shown before the PIN."""

    validity_months = forms.IntegerField(
        label=_l("Valid for months"), min_value=1, max_value=MOST_MONTHS, required=False
    )
    runs = forms.IntegerField(label=_l("Supervised runs"), min_value=0, max_value=MOST_RUNS)
    effective_on = day_field(_l("These terms hold from"))
    applies_to_held_on = day_field(_l("For sign-offs already given too, from"), required=False)
    distinct_shifts = forms.IntegerField(label=_l("On different shifts"), min_value=0, max_value=MOST_RUNS)
    ranges = forms.CharField(
        label=_l("Range"), required=False, widget=forms.Textarea(attrs={"rows": 2}), max_length=400
    )
    simulated_max = forms.IntegerField(label=_l("Drills that may count"), min_value=0, max_value=MOST_RUNS)
    recency_days = forms.IntegerField(
        label=_l("Longest gap in days"), min_value=1, max_value=MOST_DAYS, required=False
    )
    grace_days = forms.IntegerField(label=_l("Days of grace"), min_value=0, max_value=MOST_DAYS, required=False)
    young_worker = forms.ChoiceField(
        label=_l("Young workers"), choices=[(each.value, capfirst(str(told))) for each, told in YOUNG.items()]
    )
    calculations = forms.CharField(label=_l("Calculations"), required=False, max_length=200)
    prerequisites = forms.ModelMultipleChoiceField(Task.objects.none(), label=_l("In force first"), required=False)
    pin = pin_field(_l("Your PIN"))

    SIMPLE = ("validity_months", "runs", "effective_on", "applies_to_held_on")
    FURTHER = (
        *("distinct_shifts", "ranges", "simulated_max", "recency_days", "grace_days", "young_worker"),
        *("calculations", "prerequisites"),
    )

    def __init__(self, *args: Any, task: Task, terms: Terms, policy: Policy, on: date, **kwargs: Any) -> None:  # noqa: ANN401
        """Show the terms in force, each with its sentence and the plant's default."""
        super().__init__(*args, **{**kwargs, "initial": _initial(terms, on)})
        self.task, self.before = task, terms
        rows = Task.objects.filter(plant=task.plant_id).exclude(pk=task.pk).order_by("code")
        offer(self, "prerequisites", rows)
        self.initial["prerequisites"] = list(rows.filter(code__in=terms.prerequisites).values_list("pk", flat=True))
        for name, told in _sentences(task, policy).items():
            self.fields[name].help_text = told
        self.fields["pin"].required = "sign" in self.data
        self.fields["pin"].help_text = _("Needed only to sign; who is touched is shown without it.")

    def clean_ranges(self) -> dict[str, int]:
        """Return the ranges by name; one a line, such as "bottle size: 2"."""
        found: dict[str, int] = {}
        for line in filter(None, map(str.strip, self.cleaned_data["ranges"].splitlines())):
            match = RANGE_LINE.fullmatch(line)
            if match is None or not int(match["count"]):
                raise ValidationError(_("Write a range a line, such as: bottle size: 2"))
            found[match["name"].strip()] = int(match["count"])
        return found

    def clean_calculations(self) -> tuple[str, ...]:
        """Return the codes of the calculations."""
        codes = tuple(dict.fromkeys(re.split(r"[\s,;]+", self.cleaned_data["calculations"].strip())))
        found = tuple(code for code in codes if code)
        if wrong := [code for code in found if not re.fullmatch(r"[A-Za-z0-9][\w.-]{0,19}", code)]:
            raise ValidationError(_("%(code)s cannot be the code of a calculation.") % {"code": wrong[0]})
        return found

    def terms(self, *, recorded_at: Any) -> Terms:  # noqa: ANN401 - a moment
        """Return the terms that the form asks for."""
        given = self.cleaned_data
        codes = tuple(sorted(task.code for task in given["prerequisites"]))
        return Terms(
            effective_on=given["effective_on"],
            recorded_at=recorded_at,
            runs=given["runs"],
            distinct_shifts=given["distinct_shifts"],
            validity_months=given["validity_months"],
            simulated_max=given["simulated_max"],
            ranges=given["ranges"],
            calculations=given["calculations"],
            prerequisites=codes,
            prerequisite_places={
                code: places for code, places in self.before.prerequisite_places.items() if code in codes
            },
            refreshes=self.before.refreshes,
            young_worker=YoungWorker(given["young_worker"]),
            grace_days=given["grace_days"],
            recency_days=given["recency_days"],
            applies_to_held_on=given["applies_to_held_on"],
        )

    @property
    def helper(self) -> FormHelper:
        """Return the simple figures first; the rest unfolds."""
        helper = FormHelper()
        helper.layout = Layout(
            *self.SIMPLE,
            HTML('<details class="fold"><summary>{}</summary>'.format(_("What else the task asks"))),
            Div(*self.FURTHER),
            HTML("</details>"),
            "pin",
        )
        helper.add_input(Submit("show", _("Show who is touched"), css_class="button-quiet"))
        helper.add_input(Submit("sign", _("Change the terms")))
        return helper


def _initial(terms: Terms, on: date) -> dict[str, Any]:
    return {
        "validity_months": terms.validity_months,
        "runs": terms.runs,
        "effective_on": on,
        "distinct_shifts": terms.distinct_shifts,
        "ranges": "\n".join(f"{name}: {count}" for name, count in terms.ranges.items()),
        "simulated_max": terms.simulated_max,
        "recency_days": terms.recency_days,
        "grace_days": terms.grace_days,
        "young_worker": terms.young_worker.value,
        "calculations": ", ".join(terms.calculations),
    }


def _sentences(task: Task, policy: Policy) -> dict[str, str]:
    """Return one sentence for each figure, with the plant's own where the task leaves it open."""
    is_critical = task.criticality != "none"
    recency, grace = policy.recency_days, policy.grace_days
    gap = (recency.critical if is_critical else recency.other) if recency else None
    kept = grace.critical if is_critical else grace.other
    gap_words = _("nobody is asked") if gap is None else _("%(days)s days") % {"days": gap}
    return {
        "validity_months": _("So long after the assessment a sign-off is valid; empty: without an end."),
        "runs": _("So many performances under a trainer's eyes come before the assessment."),
        "effective_on": _("Sign-offs given from that day on come under them."),
        "applies_to_held_on": _(
            "Empty: earlier sign-offs keep the terms they were given under. With a day: from then on their last valid "
            "day is worked out anew; nobody loses a day before it, and what has lapsed does not come back."
        ),
        "distinct_shifts": _("The runs lie on at least so many different shifts."),
        "ranges": _("What the runs must show different values of, one a line, such as: bottle size: 2"),
        "simulated_max": _("So many of the runs may be drills; they count toward the runs and toward use."),
        "recency_days": _(
            "Whoever has not done the task for longer shows it once more. Empty: the plant's own, %(usual)s."
        )
        % {"usual": gap_words},
        "grace_days": _("So long after the last valid day it still counts. Empty: the plant's own, %(days)s days.")
        % {"days": kept}
        + (" " + _("A critical task has only the plant's.") if is_critical else ""),
        "young_worker": _("Whoever is under the bar of age; the law of the place comes first."),
        "calculations": _("Codes of the worked calculations of which a check must have been passed."),
        "prerequisites": _("Tasks that must be in force, or this one does not count."),
    }
