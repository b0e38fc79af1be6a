"""The plant's figures: each with one sentence and the trade's usual value; the simple ones first."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date
from fractions import Fraction
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Layout, Submit
from django import forms
from django.core.exceptions import ValidationError
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.forms.fields import pin_field
from competencies.forms.people import day_field
from competencies.standing.framework import Pair, Policy

MOST = 3660


@dataclass(frozen=True, slots=True)
class Explained:
    """A figure: its name, what it does in a sentence, its unit."""

    label: Promise
    says: Promise
    unit: Promise


_l = gettext_lazy
DAYS, MONTHS, HOURS, SHARE = _l("days"), _l("months"), _l("hours"), _l("share of 1")
SIMPLE: Mapping[str, Explained] = {
    "due_window_days": Explained(
        _l("Renewal due"), _l("So long before the last valid day a renewal is called due."), DAYS
    ),
    "grace_days": Explained(_l("Grace"), _l("So long after the last valid day a sign-off still counts."), DAYS),
    "run_confirmation_hours": Explained(
        _l("Confirming a run"), _l("Within this time whoever watched confirms the run."), HOURS
    ),
    "run_age_months": Explained(_l("Age of a run"), _l("An older run no longer counts toward an assessment."), MONTHS),
    "second_signature_days": Explained(
        _l("Second signature"), _l("After this time without one the assessment is void."), DAYS
    ),
    "recency_days": Explained(
        _l("Longest gap"), _l("Whoever has not done the task for longer shows it once more."), DAYS
    ),
}
FURTHER: Mapping[str, Explained] = {
    "calculation_months": Explained(_l("Age of a calculation check"), _l("An older pass is taken again."), MONTHS),
    "late_entry_days": Explained(_l("Late entry"), _l("What is written down later is marked as late."), DAYS),
    "long_absence_days": Explained(
        _l("Long absence"), _l("After being away for longer a run is watched first."), DAYS
    ),
    "lapse_first_months": Explained(
        _l("Short lapse"), _l("Up to this long after a lapse the way back is short."), MONTHS
    ),
    "lapse_second_months": Explained(_l("Long lapse"), _l("Beyond this the task is learned as if new."), MONTHS),
    "minor_acknowledgement_days": Explained(
        _l("Reading a minor revision"), _l("Within this time it is read and acknowledged."), DAYS
    ),
    "major_transition_days": Explained(
        _l("Taking up a major revision"), _l("So long the old sign-off still counts."), DAYS
    ),
    "runs_carried": Explained(
        _l("Runs carried over"), _l("So much of the runs made on the old revision still counts."), SHARE
    ),
    "partial_reassessment_days": Explained(
        _l("Partial re-assessment"), _l("Within this time only what was missed is judged again."), DAYS
    ),
    "renewal_run_on_days": Explained(_l("After a failed renewal"), _l("So long the old sign-off runs on."), DAYS),
    "initial_trainer_days": Explained(
        _l("Initial trainers"), _l("A named first trainer may teach for so long."), DAYS
    ),
    "recognition_evidence_months": Explained(
        _l("Evidence from elsewhere"), _l("Older evidence is not recognised."), MONTHS
    ),
    "unit_evidence_months": Explained(
        _l("Evidence for a unit"), _l("Older evidence does not carry a unit standard."), MONTHS
    ),
    "conversion_runs": Explained(
        _l("Runs at another machine"), _l("So much of the runs is asked where the task is held elsewhere."), SHARE
    ),
    "assessor_share_of_runs": Explained(
        _l("Assessor's share of the runs"), _l("On a critical task the assessor watched no more of the runs."), SHARE
    ),
    "annulment_review_days": Explained(
        _l("Review after an annulment"),
        _l("Within this time other sign-offs by the same assessor are looked at again."),
        DAYS,
    ),
}
USUAL: Mapping[str, Any] = {
    each.name: each.default for each in fields(Policy) if each.name not in {"effective_on", "recorded_at"}
}


def usual_words(value: Any, unit: Promise) -> str:  # noqa: ANN401 - a figure of any kind
    """Return the trade's usual figure with its unit."""
    if isinstance(value, Pair):
        return _("%(other)s %(unit)s; critical tasks %(critical)s") % {
            "other": value.other,
            "critical": value.critical,
            "unit": unit,
        }
    return f"{value} {unit}"


class ShareField(forms.CharField):
    """A share such as 1/2 or 0.5."""

    def clean(self, value: Any) -> str:  # noqa: ANN401 - whatever was posted
        """Return the share as a fraction in text."""
        text = str(super().clean(value)).strip()
        try:
            share = Fraction(text)
        except (ValueError, ZeroDivisionError):
            raise ValidationError(_("Give a share such as 1/2 or 0.5.")) from None
        if not 0 <= share <= 1:
            raise ValidationError(_("A share lies between 0 and 1."))
        return str(share)


class PolicyForm(forms.Form):
    """Every figure, the day it holds from, and the PIN."""

    def __init__(self, *args: Any, policy: Policy, on: date, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Show the figures in force."""
        super().__init__(*args, **kwargs)
        for name, told in {**SIMPLE, **FURTHER}.items():
            self._add(name, told, getattr(policy, name))
        self.fields["effective_on"] = day_field(_("These figures hold from"))
        self.fields["effective_on"].initial = on
        self.fields["pin"] = pin_field(_("Your PIN"))

    def _add(self, name: str, told: Explained, now: Any) -> None:  # noqa: ANN401 - a figure of any kind
        help_text = f"{told.says} " + _("Usual: %(usual)s.") % {"usual": usual_words(USUAL[name], told.unit)}
        if isinstance(USUAL[name], Pair):
            kept = now or USUAL[name]
            for part, label in (
                ("other", told.label),
                ("critical", _("%(name)s, critical tasks") % {"name": told.label}),
            ):
                self.fields[f"{name}_{part}"] = forms.IntegerField(
                    label=str(label),
                    min_value=0,
                    max_value=MOST,
                    initial=getattr(kept, part),
                    help_text=help_text if part == "other" else "",
                )
        elif isinstance(USUAL[name], Fraction):
            self.fields[name] = ShareField(label=str(told.label), help_text=help_text, initial=str(now), max_length=20)
        else:
            self.fields[name] = forms.IntegerField(
                label=str(told.label), help_text=help_text, initial=now, min_value=1, max_value=MOST
            )

    def settings(self) -> dict[str, Any]:
        """Return the figures that differ from the usual ones, as a policy keeps them."""
        found: dict[str, Any] = {}
        for name, usual in USUAL.items():
            if isinstance(usual, Pair):
                pair = Pair(other=self.cleaned_data[f"{name}_other"], critical=self.cleaned_data[f"{name}_critical"])
                if pair != usual:
                    found[name] = {"other": pair.other, "critical": pair.critical}
            elif self.cleaned_data[name] != (str(usual) if isinstance(usual, Fraction) else usual):
                found[name] = self.cleaned_data[name]
        return found

    def _names(self, told: Mapping[str, Explained]) -> list[str]:
        return [
            field for name in told for field in (name, f"{name}_other", f"{name}_critical") if field in self.fields
        ]

    @property
    def helper(self) -> FormHelper:
        """Return the simple figures first; the rest unfold."""
        helper = FormHelper()
        helper.layout = Layout(
            *self._names(SIMPLE),
            HTML('<details class="fold"><summary>{}</summary>'.format(_("Further figures"))),
            Div(*self._names(FURTHER)),
            HTML("</details>"),
            "effective_on",
            "pin",
        )
        helper.add_input(Submit("save", _("Set the figures")))
        return helper
