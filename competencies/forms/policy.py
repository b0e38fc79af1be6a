"""The plant's figures: each with one sentence and the trade's usual value; the simple ones first."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date
from fractions import Fraction
from typing import Any

from crispy_forms.bootstrap import AppendedText
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


_l = gettext_lazy
DAYS, MONTHS, HOURS, MINUTES, SHARE = _l("days"), _l("months"), _l("hours"), _l("minutes"), _l("share of 1")
PAIRS, JUDGEMENTS, YES_OR_NO = _l("pairs"), _l("judgements"), _l("yes or no")
COMMON_PRACTICE = _l("common practice, no source")


@dataclass(frozen=True, slots=True)
class Explained:
    """A figure: its name, what it does in a sentence, its unit, and where the usual figure comes from.

    `switch` is the label of the box that says whether the plant asks for it at all, where it need not.
    """

    label: Promise
    says: Promise
    unit: Promise
    source: Promise = COMMON_PRACTICE
    switch: Promise | None = None


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
        _l("Longest gap"),
        _l("Whoever has not done the task for longer shows it once more."),
        DAYS,
        _l("common practice; loss without use after Arthur and others, 1998, from memory"),
        switch=_l("Ask who has not done a task for long to show it again"),
    ),
}
SHIFT_DESIGN = _l("shift-design guidelines of the UK Health and Safety Executive, HSG256, from memory")
HOURS_OF_WORK: Mapping[str, Explained] = {
    "longest_hours": Explained(
        _l("Longest stretch at work"),
        _l("More at a stretch, overtime and a second shift counted, is warned of."),
        HOURS,
        SHIFT_DESIGN,
    ),
    "longest_hard_hours": Explained(
        _l("Longest stretch at night or at safety-critical work"),
        _l("More at a stretch with a night shift in it, or at a safety-critical task, is warned of."),
        HOURS,
        SHIFT_DESIGN,
    ),
    "long_shift_hours": Explained(_l("Long shift"), _l("A stretch of more than this is long."), HOURS, SHIFT_DESIGN),
    "early_start_hour": Explained(
        _l("Early shift"), _l("A shift that starts before this hour of the clock is early."), _l("o'clock")
    ),
    "hard_shifts_running": Explained(
        _l("Nights, long or early shifts running"), _l("More of one kind running is warned of."), DAYS, SHIFT_DESIGN
    ),
    "days_running": Explained(_l("Days running"), _l("More without a day off is warned of."), DAYS, SHIFT_DESIGN),
    "nights_of_sleep": Explained(
        _l("Sleep before nights"),
        _l("Fewer full nights between the last shift by day and the first at night are warned of."),
        _l("nights"),
        SHIFT_DESIGN,
    ),
    "rest_hours": Explained(
        _l("Rest between shifts"),
        _l("Less between two shifts is warned of."),
        HOURS,
        _l("Directive 2003/88/EC, article 3, from memory"),
    ),
    "tired_is_no_cover": Explained(
        _l("Warnings about hours block safety-critical work"),
        _l("Whoever is against one of these limits makes no cover at a safety-critical task. The law comes first."),
        YES_OR_NO,
        _l("plant policy"),
    ),
}
TIME_OF_TRAINING: Mapping[str, Explained] = {
    "run_minutes": Explained(
        _l("A supervised run takes"), _l("Used to weigh what training brings against its time."), MINUTES
    ),
    "assessment_minutes": Explained(
        _l("An assessment takes"), _l("With its second signature, where the task asks for one."), MINUTES
    ),
    "delta_minutes": Explained(
        _l("Showing the changes of a revision takes"), _l("The run and the judging of what changed."), MINUTES
    ),
    "reading_minutes": Explained(
        _l("Reading a minor revision takes"), _l("Until it is read and acknowledged."), MINUTES
    ),
    "rare_performances": Explained(
        _l("A task is rare"),
        _l("Done fewer times than this in twelve months at the plant: it is offered before it goes by."),
        _l("times a year"),
    ),
}
AHEAD: Mapping[str, Explained] = {
    "renewal_minutes": Explained(
        _l("Time for a renewal"), _l("So long an assessor is taken up by one renewal, papers included."), MINUTES
    ),
    "second_signature_minutes": Explained(
        _l("Time for a second signature"), _l("So long the review behind a second signature takes."), MINUTES
    ),
    "assessor_week_hours": Explained(
        _l("Assessor's time"), _l("So much of a whole week an assessor has for renewals."), HOURS
    ),
    "remind_first_days": Explained(
        _l("First reminder"), _l("So long before the last valid day the holder is told by e-mail."), DAYS
    ),
    "remind_second_days": Explained(_l("Second reminder"), _l("So long before it the holder is told again."), DAYS),
    "remind_last_days": Explained(_l("Last reminder"), _l("So long before it the holder is told once more."), DAYS),
}
FURTHER: Mapping[str, Explained] = {
    "calculation_months": Explained(_l("Age of a calculation check"), _l("An older pass is taken again."), MONTHS),
    "late_entry_days": Explained(_l("Late entry"), _l("What is written down later is marked as late."), DAYS),
    "long_absence_days": Explained(
        _l("Long absence"), _l("After being away for longer a run is watched first."), DAYS
    ),
    "lapse_first_months": Explained(
        _l("Short lapse"),
        _l("Up to this long after the last valid day one run and an assessment bring it back."),
        MONTHS,
        _l("common practice; loss without use after Arthur and others, 1998, from memory"),
    ),
    "lapse_second_months": Explained(_l("Long lapse"), _l("Beyond this the task is learned as if new."), MONTHS),
    "minor_acknowledgement_days": Explained(
        _l("Reading a minor revision"), _l("Within this time it is read and acknowledged."), DAYS
    ),
    "major_transition_days": Explained(
        _l("Taking up a major revision"), _l("So long the old sign-off still counts."), DAYS
    ),
    "runs_carried": Explained(
        _l("Runs carried over"),
        _l("So much of the runs made on the old revision still counts; none on a critical task."),
        SHARE,
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
    "agreement_pairs": Explained(
        _l("Pairs to show agreement"),
        _l("From so many pairs of readings on, it is told whether trainee and assessor measure alike."),
        PAIRS,
    ),
    "statistics_from_judgements": Explained(
        _l("Judgements before statistics"), _l("No figure about an assessor rests on fewer judgements."), JUDGEMENTS
    ),
    "evidence_months": Explained(
        _l("Keeping evidence"),
        _l("So long after a judgement its notes and feedback are kept; a legal hold keeps them longer."),
        MONTHS,
        _l("plant policy; the Australian regulator asks for six months at least (ASQA)"),
    ),
    "evidence_awaits_moderation": Explained(
        _l("Keep evidence through the next moderation"),
        _l("Evidence stays until a moderation has been recorded after the judgement."),
        YES_OR_NO,
        _l("plant policy"),
    ),
    "record_after_leaving_months": Explained(
        _l("Keeping a leaver's record"),
        _l("So long after the last working day the sign-offs are kept with the name. Local law may ask for more."),
        MONTHS,
        _l("plant policy"),
    ),
    **HOURS_OF_WORK,
    **TIME_OF_TRAINING,
    **AHEAD,
}
USUAL: Mapping[str, Any] = {
    each.name: each.default for each in fields(Policy) if each.name not in {"effective_on", "recorded_at"}
}


SWITCH = "_asked"


def usual_words(value: Any, unit: Promise) -> str:  # noqa: ANN401 - a figure of any kind
    """Return the trade's usual figure with its unit."""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
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
        self.on = on
        for name, told in {**SIMPLE, **FURTHER}.items():
            self._add(name, told, getattr(policy, name))
        self.fields["effective_on"] = day_field(_("These figures hold from"))
        self.fields["effective_on"].initial = on
        self.fields["pin"] = pin_field(_("Your PIN"))

    def _add(self, name: str, told: Explained, now: Any) -> None:  # noqa: ANN401 - a figure of any kind
        usual = USUAL[name]
        help_text = f"{told.says} " + _("Usual: %(usual)s (%(source)s).") % {
            "usual": usual_words(usual, told.unit),
            "source": told.source,
        }
        if told.switch is not None:
            self.fields[f"{name}{SWITCH}"] = forms.BooleanField(
                label=str(told.switch), required=False, initial=now is not None
            )
        if isinstance(usual, Pair):
            self._add_pair(name, told, now or usual, help_text)
        elif isinstance(usual, bool):
            self.fields[name] = forms.BooleanField(
                label=str(told.label), help_text=help_text, initial=now, required=False
            )
        elif isinstance(usual, Fraction):
            self.fields[name] = ShareField(label=str(told.label), help_text=help_text, initial=str(now), max_length=20)
        else:
            self.fields[name] = forms.IntegerField(
                label=str(told.label), help_text=help_text, initial=now, min_value=1, max_value=MOST
            )

    def _add_pair(self, name: str, told: Explained, now: Pair, help_text: str) -> None:
        critical = _("%(name)s, critical tasks") % {"name": told.label}
        for part, label in (("other", str(told.label)), ("critical", critical)):
            self.fields[f"{name}_{part}"] = forms.IntegerField(
                label=label,
                min_value=0,
                max_value=MOST,
                initial=getattr(now, part),
                help_text=help_text if part == "other" else "",
            )

    def clean_effective_on(self) -> date:
        """Return the day; settings work forward, so it is today or later."""
        day: date = self.cleaned_data["effective_on"]
        if day < self.on:
            raise ValidationError(_("Settings work forward: choose today or a later day."))
        return day

    def settings(self) -> dict[str, Any]:
        """Return the figures that differ from the usual ones, as a policy keeps them; None where one is not asked."""
        found: dict[str, Any] = {}
        for name in (*SIMPLE, *FURTHER):
            usual, given = USUAL[name], self._given(name, USUAL[name])
            if given != (str(usual) if isinstance(usual, Fraction) else usual):
                is_pair = isinstance(given, Pair)
                found[name] = {"other": given.other, "critical": given.critical} if is_pair else given
        return found

    def _given(self, name: str, usual: Any) -> Any:  # noqa: ANN401 - a figure of any kind
        if not self.cleaned_data.get(f"{name}{SWITCH}", True):
            return None
        if isinstance(usual, Pair):
            return Pair(other=self.cleaned_data[f"{name}_other"], critical=self.cleaned_data[f"{name}_critical"])
        return self.cleaned_data[name]

    def _rows(self, told: Mapping[str, Explained]) -> list[Any]:
        """Return the fields in order, each figure with its unit behind it."""
        return [
            field if isinstance(self.fields[field], forms.BooleanField) else AppendedText(field, str(each.unit))
            for name, each in told.items()
            for field in (f"{name}{SWITCH}", name, f"{name}_other", f"{name}_critical")
            if field in self.fields
        ]

    @property
    def helper(self) -> FormHelper:
        """Return the simple figures first; the rest unfold."""
        helper = FormHelper()
        helper.layout = Layout(
            *self._rows(SIMPLE),
            HTML('<details class="fold"><summary>{}</summary>'.format(_("Further figures"))),
            Div(*self._rows(FURTHER)),
            HTML("</details>"),
            "effective_on",
            "pin",
        )
        helper.add_input(Submit("save", _("Set the figures")))
        return helper
