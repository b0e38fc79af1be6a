"""What a watched performance leaves: each criterion judged, the readings of both people. For runs and assessments."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from crispy_forms.bootstrap import AppendedText, InlineRadios
from crispy_forms.layout import HTML, Div, Fieldset, Row
from django import forms
from django.utils.html import conditional_escape
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.forms.fields import MeasuredField
from competencies.models import Criterion, Reading
from competencies.operations.runs import PairedReading
from competencies.templatetags.units import amount, unit_sign
from competencies.vocabulary import Judgement

WHY_LENGTH = 300
AS_ASKED = "yes"
NOT_AS_ASKED = "no"
JUDGEMENTS = {
    Judgement.MET: gettext_lazy("Met"),
    Judgement.NOT_MET: gettext_lazy("Not met"),
    Judgement.NOT_SEEN: gettext_lazy("Not seen"),
}


def limits_in_words(reading: Reading) -> str:
    """Return target and limits with the unit, e.g. "target 40 mm, from 38 to 42 mm, the two within 1 mm"."""
    unit = unit_sign(reading.unit)
    if reading.target is None and reading.low is None and reading.high is None:
        return _("it should be %(target)s") % {"target": reading.target_text or _("see the procedure")}
    parts = []
    if reading.target is not None:
        parts.append(_("target %(target)s %(unit)s") % {"target": amount(reading.target), "unit": unit})
    if reading.low is not None and reading.high is not None and reading.low != reading.high:
        limits = {"low": amount(reading.low), "high": amount(reading.high), "unit": unit}
        parts.append(_("from %(low)s to %(high)s %(unit)s") % limits)
    elif reading.low is not None and reading.low != reading.high:
        parts.append(_("at least %(low)s %(unit)s") % {"low": amount(reading.low), "unit": unit})
    elif reading.high is not None and reading.low != reading.high:
        parts.append(_("at most %(high)s %(unit)s") % {"high": amount(reading.high), "unit": unit})
    if reading.paired_tolerance is not None:
        between = {"tolerance": amount(reading.paired_tolerance), "unit": unit}
        parts.append(_("the two within %(tolerance)s %(unit)s") % between)
    return ", ".join(parts)


def is_in_words(reading: Reading) -> bool:
    """Whether the reading is a result in words (negative, exact) and no number."""
    return reading.target is None and reading.low is None and reading.high is None


class JudgingForm(forms.Form):
    """A form that asks for a judgement of each criterion and for each reading, the trainee's first."""

    judgements: Sequence[Judgement] = (Judgement.MET, Judgement.NOT_MET)

    def add_criteria(self, criteria: Iterable[Criterion]) -> None:
        """Add a choice for each criterion, and why it was not met."""
        self.criteria = list(criteria)
        choices = [(judgement.value, JUDGEMENTS[judgement]) for judgement in self.judgements]
        for criterion in self.criteria:
            mark = _(" (one miss decides)") if criterion.is_critical else ""
            self.fields[f"judged_{criterion.number}"] = forms.ChoiceField(
                label=f"{criterion.number}. {criterion.text}{mark}",
                choices=choices,
                widget=forms.RadioSelect,
                error_messages={"required": _("Say whether it was met.")},
            )
            self.fields[f"why_{criterion.number}"] = forms.CharField(
                label=_("What was missing at %(number)s?") % {"number": criterion.number},
                max_length=WHY_LENGTH,
                required=False,
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )

    def add_readings(self, readings: Iterable[Reading], *, trainee: str) -> None:
        """Add the fields of each reading: the trainee's, then the watching person's."""
        self.readings = list(readings)
        for reading in self.readings:
            if is_in_words(reading):
                self.fields[f"asked_{reading.number}"] = forms.ChoiceField(
                    label=reading.name,
                    required=False,
                    choices=[(AS_ASKED, _("As it should be")), (NOT_AS_ASKED, _("Not as it should be"))],
                    widget=forms.RadioSelect,
                )
                continue
            for side, who in (("trainee", trainee), ("watcher", _("The one who watched"))):
                self._add_measured(f"{side}_{reading.number}", who)
            if reading.paired_tolerance is not None:
                for side, who in (("trainee", trainee), ("watcher", _("The one who watched"))):
                    label = _("%(who)s, a second time") % {"who": who}
                    self._add_measured(f"{side}_again_{reading.number}", label)

    def _add_measured(self, name: str, label: str) -> None:
        field = MeasuredField()
        field.label = label
        self.fields[name] = field

    @property
    def reading_heads(self) -> list[str]:
        """Return for each reading its name, target and limits: the words over its fields."""
        return [f"{capfirst(each.name)}: {limits_in_words(each)}" for each in self.readings]

    def criteria_layout(self) -> list[Div]:
        """Return the criteria as blocks of choice and reason; the style sheet hides the reason until it is needed."""
        return [
            Div(
                InlineRadios(f"judged_{each.number}"),
                Div(f"why_{each.number}", css_class="why"),
                css_class="criterion",
            )
            for each in self.criteria
        ]

    def readings_layout(self) -> Fieldset:
        """Return the two readings of each quantity side by side under its name, each with its unit.

        Where the task says how far the two may differ, each may be read a second time: that tells how well one person
        repeats a reading, which is not how well two people agree.
        """
        groups = []
        for index, reading in enumerate(self.readings):
            # The words come through the template's variables: a name may hold anything, and is only ever text.
            legend = f"{{{{ form.reading_heads.{index} }}}}"
            groups.append(Fieldset(legend, *self._reading_fields(reading), css_class="reading"))
        return Fieldset(
            _("Readings, the trainee's first"),
            HTML(f"<p class='help'>{_('Leave out what was not taken.')}</p>"),
            *groups,
            css_class="unmarked",
        )

    def _reading_fields(self, reading: Reading) -> list[Any]:
        if is_in_words(reading):
            return [InlineRadios(f"asked_{reading.number}")]
        fields = [self._measured_row(reading, "trainee", "watcher")]
        if reading.paired_tolerance is not None:
            again = self._measured_row(reading, "trainee_again", "watcher_again")
            names = (f"trainee_again_{reading.number}", f"watcher_again_{reading.number}")
            is_open = any(self[name].value() or self[name].errors for name in names)
            summary = _("Read it a second time")
            fields += [HTML(f"<details class='again'{' open' if is_open else ''}><summary>{summary}</summary>"), again]
            fields.append(HTML("</details>"))
        return fields

    def _measured_row(self, reading: Reading, *sides: str) -> Row:
        unit = conditional_escape(unit_sign(reading.unit))
        names = [f"{side}_{reading.number}" for side in sides]
        return Row(*(AppendedText(name, unit) if unit else name for name in names))

    def check_reasons(self, cleaned: Mapping[str, Any]) -> None:
        """Ask for a reason wherever a criterion was not met."""
        for criterion in self.criteria:
            is_missed = cleaned.get(f"judged_{criterion.number}") == Judgement.NOT_MET
            if is_missed and not cleaned.get(f"why_{criterion.number}"):
                self.add_error(f"why_{criterion.number}", _("Say in a few words what was missing."))

    def judged(self) -> dict[int, Judgement]:
        """Return the judgement of each criterion that was judged."""
        given = ((each.number, self.cleaned_data.get(f"judged_{each.number}")) for each in self.criteria)
        return {number: Judgement(value) for number, value in given if value}

    def reasons(self) -> list[str]:
        """Return why criteria were not met, a line each."""
        missed = (number for number, judgement in self.judged().items() if judgement is Judgement.NOT_MET)
        return [f"{number}: {self.cleaned_data[f'why_{number}']}" for number in missed]

    def paired_readings(self) -> list[PairedReading]:
        """Return the readings that were taken, by either or both; what was read again follows the first."""
        pairs = (pair for reading in self.readings for pair in (self._paired(reading), self._again(reading)))
        return [pair for pair in pairs if (pair.trainee, pair.assessor, pair.met) != (None, None, None)]

    def _again(self, reading: Reading) -> PairedReading:
        return PairedReading(
            number=reading.number,
            unit=reading.unit,
            trainee=self.cleaned_data.get(f"trainee_again_{reading.number}"),
            assessor=self.cleaned_data.get(f"watcher_again_{reading.number}"),
        )

    def check_repeats(self, cleaned: Mapping[str, Any]) -> None:
        """Ask for all four readings wherever something was read a second time: fewer compare nothing."""
        for reading in self.readings:
            sides = ("trainee", "watcher")
            again = [f"{side}_again_{reading.number}" for side in sides]
            if all(cleaned.get(name) is None for name in again):
                continue
            for name in [*(f"{side}_{reading.number}" for side in sides), *again]:
                if cleaned.get(name) is None and name not in self.errors:
                    self.add_error(name, _("Both read it a second time, after a first one each, or neither does."))

    def _paired(self, reading: Reading) -> PairedReading:
        cleaned = self.cleaned_data
        asked = cleaned.get(f"asked_{reading.number}")
        return PairedReading(
            number=reading.number,
            unit=reading.unit,
            trainee=cleaned.get(f"trainee_{reading.number}"),
            assessor=cleaned.get(f"watcher_{reading.number}"),
            met=asked == AS_ASKED if asked else None,
        )
