"""The form of the plant's own calculation: what it asks, and a row for each given, step and slip.

Rows that are left blank are ignored, so that there can always be one more. Whatever is wrong is said at its field,
and everything typed stays as it was typed.
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Row
from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from assessments.plant_formulas.described import (
    CAUTIONS,
    LEAST_SLIPS,
    MOST_GIVENS,
    MOST_SLIPS,
    MOST_STEPS,
    Described,
    GivenTold,
    SlipTold,
    StepTold,
)
from assessments.plant_formulas.faults import Fault
from assessments.plant_formulas.reading import MAX_LENGTH
from assessments.quantities import MAX_UNIT_LENGTH
from assessments.vocabulary import Family, HowKnown, gettext_noop
from competencies.forms.fields import MeasuredField, pin_field

MOST_DECIMALS = 6
NEAREST, UP = "nearest", "up"
HOW_KNOWN = {
    HowKnown.READ: _l("read in the source named"),
    HowKnown.MEMORY: _l("from memory"),
    HowKnown.PRACTICE: _l("common practice, no source"),
    HowKnown.DERIVED: _l("derived here"),
}
_FORMULA = {"autocomplete": "off", "spellcheck": "false", "autocapitalize": "off", "class": "formula-typed"}
_SYMBOL = {"autocomplete": "off", "spellcheck": "false", "autocapitalize": "off"}


def _words(label: Any, length: int, *, rows: int = 0) -> forms.CharField:  # noqa: ANN401 - a lazy text
    widget = forms.Textarea(attrs={"rows": rows}) if rows else forms.TextInput(attrs={"autocomplete": "off"})
    return forms.CharField(label=label, max_length=length, widget=widget)


def _unit(label: Any) -> forms.CharField:  # noqa: ANN401 - a lazy text
    return forms.CharField(
        label=label, max_length=MAX_UNIT_LENGTH, required=False, widget=forms.TextInput(attrs=_SYMBOL)
    )


def _symbol(label: Any, *, required: bool = True) -> forms.CharField:  # noqa: ANN401 - a lazy text
    return forms.CharField(label=label, max_length=20, required=required, widget=forms.TextInput(attrs=_SYMBOL))


def _formula(label: Any) -> forms.CharField:  # noqa: ANN401 - a lazy text
    return forms.CharField(label=label, max_length=MAX_LENGTH, widget=forms.TextInput(attrs=_FORMULA))


class WholeForm(forms.Form):
    """What the calculation as a whole is."""

    #: The page names the faults of all its parts once, at its top.
    is_part = True

    code = forms.CharField(
        label=_l("Code"),
        max_length=6,
        help_text=_l("By this tasks ask for it: capital letters and digits, such as X01."),
        widget=forms.TextInput(attrs=_SYMBOL),
    )
    title = _words(_l("Title"), 80)
    family = forms.ChoiceField(label=_l("Family"), choices=[(each.value, _l(each.heading)) for each in Family])
    asks = _words(_l("The question"), 300, rows=2)
    round_up = forms.ChoiceField(
        label=_l("The answer is rounded"), choices=[(NEAREST, _l("to the nearest")), (UP, _l("up"))], required=False
    )
    valid_for = _words(_l("Holds for"), 300, rows=2)
    source = _words(_l("Source"), 300, rows=2)
    how_known = forms.ChoiceField(
        label=_l("How it is known"), choices=[(each.value, told) for each, told in HOW_KNOWN.items()]
    )
    cautions = forms.MultipleChoiceField(
        label=_l("Cautions to show, where the work can hurt someone"),
        required=False,
        choices=[(key, _l(text)) for key, text in CAUTIONS.items()],
        widget=forms.CheckboxSelectMultiple,
    )

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.form_tag, helper.disable_csrf = False, True
        helper.layout = Layout(Row("code", "family"), "title", "asks")
        return helper

    @property
    def foot_helper(self) -> FormHelper:
        """Return how the fields after the rows are laid out."""
        helper = FormHelper()
        helper.form_tag, helper.disable_csrf = False, True
        helper.layout = Layout("round_up", "valid_for", Row("source", "how_known"), "cautions")
        return helper


class RowForm(forms.Form):
    """One row; a blank one is no row."""

    is_part = True

    def has_changed(self) -> bool:
        """Whether anything was typed into it."""
        if not self.is_bound:
            return False
        return any(str(self.data.get(self.add_prefix(name), "")).strip() for name in self.fields)

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.form_tag, helper.disable_csrf = False, True
        helper.layout = Layout(*self.ROWS)
        return helper

    ROWS: tuple[Any, ...] = ()


class GivenRow(RowForm):
    """One given."""

    symbol = _symbol(_l("Symbol"))
    says = _words(_l("What it is"), 80)
    unit = _unit(_l("Unit"))
    low = MeasuredField()
    high = MeasuredField()
    resolution = MeasuredField()
    is_exact = forms.BooleanField(label=_l("Counted or set, so it is exact"), required=False)

    ROWS = (Row("symbol", "says", "unit"), Row("low", "high", "resolution"), "is_exact")

    def __init__(self, *args: Any, **kwargs: Any) -> None:  # noqa: ANN401 - Django's own
        """Ask for the numbers too."""
        super().__init__(*args, **kwargs)
        labels = {"low": _("Lowest"), "high": _("Highest"), "resolution": _("Read to")}
        for name, label in labels.items():
            self.fields[name].label, self.fields[name].required = label, True

    def told(self) -> GivenTold:
        """Return the given."""
        numbers = {name: float(self.cleaned_data[name]) for name in ("low", "high", "resolution")}
        return GivenTold(**{**self.cleaned_data, **numbers})


class StepRow(RowForm):
    """One step of the working."""

    symbol = _symbol(_l("Symbol"))
    says = _words(_l("What it finds"), 80)
    formula = _formula(_l("Formula"))
    unit = _unit(_l("Unit"))
    decimals = forms.IntegerField(label=_l("Decimals"), min_value=0, max_value=MOST_DECIMALS)

    ROWS = (Row("symbol", "says"), "formula", Row("unit", "decimals"))

    def told(self) -> StepTold:
        """Return the step."""
        return StepTold(**self.cleaned_data)


class SlipRow(RowForm):
    """One usual slip."""

    name = _words(_l("The slip in a few words"), 80)
    advice = _words(_l("How to avoid it, in a sentence"), 300)
    replaces = _symbol(_l("In place of"), required=False)
    formula = _formula(_l("Formula, as it is done wrongly"))

    ROWS = ("name", "advice", Row("replaces", "formula"))

    def told(self, answer: str) -> SlipTold:
        """Return the slip; it stands in place of the answer unless it says of what."""
        return SlipTold(**{**self.cleaned_data, "replaces": self.cleaned_data["replaces"] or answer})


class _Rows(forms.BaseFormSet):  # type: ignore[type-arg]  # not generic at run time
    """Rows of one kind, all of them alike, so that a blank one may stand anywhere."""

    def initial_form_count(self) -> int:
        """Return none: what was there before is posted like anything else."""
        return 0

    def filled(self) -> list[tuple[int, Any]]:
        """Return the rows that are not blank, with their places."""
        return [(place, form) for place, form in enumerate(self.forms) if form.has_changed()]


MOST = {"givens": MOST_GIVENS, "steps": MOST_STEPS, "slips": MOST_SLIPS}
ROW_WORDS = {
    "givens": gettext_noop("Given %(number)s,"),
    "steps": gettext_noop("Step %(number)s,"),
    "slips": gettext_noop("Slip %(number)s,"),
}
LEAST_SHOWN = {"givens": 2, "steps": 1, "slips": LEAST_SLIPS}
_ROWS: Mapping[str, type[RowForm]] = {"givens": GivenRow, "steps": StepRow, "slips": SlipRow}
_SETS = {
    name: forms.formset_factory(row, formset=_Rows, extra=0, max_num=MOST[name], absolute_max=MOST[name] + 1)
    for name, row in _ROWS.items()
}


class CalculationForms:
    """The whole form: `whole`, and the sets of rows `givens`, `steps` and `slips`.

    `code` is fixed once the calculation exists.
    """

    def __init__(
        self, data: QueryDict | None = None, *, initial: Mapping[str, Any] | None = None, code: str = ""
    ) -> None:
        """Fill the form with what was posted, or show it with what was there before."""
        start = dict(initial or {})
        self.code = code
        self.whole = WholeForm(data, initial={**start, "code": code or start.get("code", "")})
        if code:
            self.whole.fields["code"].disabled = True
        self.sets = {name: self._rows(name, data, start.get(name, [])) for name in _SETS}

    def _rows(self, name: str, data: QueryDict | None, initial: Iterable[Mapping[str, Any]]) -> Any:  # noqa: ANN401 - a class made above
        rows = list(initial)
        made = _SETS[name](data, initial=rows, prefix=name)
        made.extra = max(len(rows), LEAST_SHOWN[name])
        return made

    @classmethod
    def with_one_more(cls, data: QueryDict, name: str, *, code: str = "") -> "CalculationForms":
        """Return the form as it was typed, unchecked, with one more row of a kind."""
        start: dict[str, Any] = {key: data.get(key, "") for key in WholeForm.base_fields}
        start["cautions"] = data.getlist("cautions")
        for each, row in _ROWS.items():
            typed = [
                {field: data.get(f"{each}-{place}-{field}", "") for field in row.base_fields}
                for place in range(MOST[each])
                if f"{each}-{place}-formula" in data or f"{each}-{place}-low" in data
            ]
            start[each] = [*typed, {}][: MOST[each]] if each == name else typed
        return cls(initial=start, code=code)

    def is_valid(self) -> bool:
        """Return whether every field can be read; whether it makes a calculation is judged afterwards."""
        return all([self.whole.is_valid(), *(rows.is_valid() for rows in self.sets.values())])

    @property
    def wrong(self) -> list[tuple[str, str]]:
        """Return what is wrong anywhere: the id of the field, "" for the form as a whole, and what is said."""
        parts = [("", self.whole)]
        for name, rows in self.sets.items():
            parts += [(_(ROW_WORDS[name]) % {"number": place}, form) for place, form in enumerate(rows.forms, start=1)]
        return [("", str(error)) for error in self.whole.non_field_errors()] + [
            (field.id_for_label, f"{words} {field.label}: {error}".strip())
            for words, part in parts
            for field in part
            for error in field.errors
        ]

    def described(self, *, version: int) -> Described:
        """Return what was told. Only after `is_valid`."""
        given = dict(self.whole.cleaned_data)
        steps = tuple(form.told() for _place, form in self.sets["steps"].filled())
        answer = steps[-1].symbol if steps else ""
        return Described(
            **{
                **given,
                "version": version,
                "family": Family(given["family"]),
                "how_known": HowKnown(given["how_known"]),
                "cautions": tuple(given["cautions"]),
                "round_up": given["round_up"] == UP,
                "givens": tuple(form.told() for _place, form in self.sets["givens"].filled()),
                "steps": steps,
                "slips": tuple(form.told(answer) for _place, form in self.sets["slips"].filled()),
            }
        )

    def say(self, faults: Iterable[Fault]) -> None:
        """Say each fault at its field."""
        for fault in faults:
            message = _(fault.message) % {name: _(text) if text else "" for name, text in fault.params.items()}
            self._form_at(fault.where).add_error(self._field_at(fault.where), message)

    def _form_at(self, where: tuple[str | int, ...]) -> forms.Form:
        name = str(where[0])
        if name not in self.sets:
            return self.whole
        filled: list[forms.Form] = [form for _place, form in self.sets[name].filled()]
        if len(where) > 1:
            return filled[int(where[1])]
        # Something is missing there: the first blank row is where it belongs.
        blank: list[forms.Form] = [form for form in self.sets[name].forms if form not in filled]
        return (blank or filled or [self.whole])[0]

    def _field_at(self, where: tuple[str | int, ...]) -> str | None:
        if len(where) == 1 and str(where[0]) in self.sets:
            return next(iter(_ROWS[str(where[0])].base_fields)) if self.sets[str(where[0])].forms else None
        return str(where[-1])


def initial_of(told: Described) -> dict[str, Any]:
    """Return what was told as the form shows it."""
    answer = told.steps[-1].symbol
    return {
        "code": told.code,
        "title": told.title,
        "family": told.family.value,
        "asks": told.asks,
        "round_up": UP if told.round_up else NEAREST,
        "valid_for": told.valid_for,
        "source": told.source,
        "how_known": told.how_known.value,
        "cautions": list(told.cautions),
        "givens": [{name: _plain(getattr(each, name)) for name in GivenRow.base_fields} for each in told.givens],
        "steps": [{name: getattr(each, name) for name in StepRow.base_fields} for each in told.steps],
        "slips": [
            {**{name: getattr(each, name) for name in SlipRow.base_fields}, "replaces": _unless(each.replaces, answer)}
            for each in told.slips
        ],
    }


def _plain(value: Any) -> Any:  # noqa: ANN401 - a field of any kind
    """Return a number without the noughts that a float shows."""
    return f"{Decimal(str(value)).normalize():f}" if isinstance(value, float) else value


def _unless(symbol: str, answer: str) -> str:
    return "" if symbol == answer else symbol


class DecideForm(forms.Form):
    """The PIN of whoever publishes or withdraws."""

    pin = pin_field(_l("Your PIN"))

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out; the page has the button."""
        helper = FormHelper()
        helper.form_tag, helper.disable_csrf = False, True
        return helper
