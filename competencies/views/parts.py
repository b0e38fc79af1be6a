"""A page of all the parts that pages are built of, with invented people and figures."""

from datetime import date
from typing import Any

from crispy_forms.bootstrap import AppendedText, InlineRadios
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Fieldset, Layout, Row, Submit
from django import forms
from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from competencies.permissions import may_manage_people
from competencies.queries.band import Band, Window, band_of
from competencies.standing.calendar import clock_of
from competencies.standing.facts import SITE
from competencies.standing.timeline import Period, Timeline
from competencies.vocabulary import Judgement, Standing

PEOPLE = [("41207", "Maren Oduya (41207)"), ("41377", "Iolo Castellan (41377)"), ("41398", "Tove Brandvold (41398)")]
SHIFTS = [
    ("day", _("Day, 06:00 to 14:00")),
    ("late", _("Late, 14:00 to 22:00")),
    ("night", _("Night, 22:00 to 06:00")),
]
JUDGEMENTS = [
    (Judgement.MET.value, _("Met")),
    (Judgement.NOT_MET.value, _("Not met")),
    (Judgement.NOT_SEEN.value, _("Not seen")),
]


class SpecimenForm(forms.Form):
    """One field of each sort."""

    name = forms.CharField(label=_("Name on the record"), max_length=120, help_text=_("As it should be printed."))
    people = forms.MultipleChoiceField(label=_("Who was there"), choices=PEOPLE, widget=forms.CheckboxSelectMultiple)
    shift = forms.ChoiceField(label=_("Shift"), choices=SHIFTS, widget=forms.RadioSelect)
    happened_on = forms.DateField(label=_("Day"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    started_at = forms.TimeField(label=_("Start"), widget=forms.TimeInput(attrs={"type": "time"}), required=False)
    line = forms.ChoiceField(label=_("Line"), choices=[("L1", _("Bottle line 1")), ("L2", _("Can line 2"))])
    oxygen = forms.DecimalField(
        label=_("Dissolved oxygen in the filled can"),
        help_text=_("From the meter, after it has settled."),
        min_value=0,
        max_value=500,
    )
    volume = forms.DecimalField(
        label=_("Volume in the tank"), widget=forms.TextInput(attrs={"inputmode": "decimal", "data-read-back": "L"})
    )
    rinsed = forms.ChoiceField(
        label=_("Rinsed until the conductivity fell to that of the water"),
        choices=JUDGEMENTS,
        widget=forms.RadioSelect,
    )
    missing = forms.CharField(label=_("What was missing"), required=False)
    purged = forms.ChoiceField(
        label=_("Purged the seamer with CO₂ before the first can"), choices=JUDGEMENTS, widget=forms.RadioSelect
    )
    remarks = forms.CharField(label=_("Remarks"), widget=forms.Textarea(attrs={"rows": 3}), required=False)
    file = forms.FileField(label=_("Photograph of the seam"), required=False)
    agreed = forms.BooleanField(label=_("I was there throughout"))
    pin = forms.CharField(
        label=_("PIN"),
        help_text=_("Six digits, your own."),
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off", "class": "pin"}),
    )

    @property
    def helper(self) -> FormHelper:
        """Return how the fields are laid out."""
        helper = FormHelper()
        helper.layout = Layout(
            Fieldset(_("Who, when and where"), "name", "people", "shift", Row("happened_on", "started_at", "line")),
            Fieldset(_("Readings"), AppendedText("oxygen", "µg/L"), AppendedText("volume", "L")),
            Div(
                Fieldset(
                    _("Criteria"),
                    Div(InlineRadios("rinsed"), Div("missing", css_class="why"), css_class="criterion"),
                    Div(InlineRadios("purged"), css_class="criterion"),
                ),
                css_id="criteria",
            ),
            Fieldset(_("To end with"), "remarks", "file", "agreed", "pin"),
        )
        helper.add_input(Submit("sign", _("Sign and save")))
        helper.add_input(Submit("draft", _("Keep as a draft"), css_class="button-quiet"))
        return helper


class ReadingRow(forms.Form):
    """One row of a table to fill in."""

    reading = forms.CharField(label=_("Reading"))
    value = forms.DecimalField(label=_("Value"), help_text=_("mm"))
    seen = forms.ChoiceField(label=_("Judged"), choices=JUDGEMENTS, widget=forms.RadioSelect)


class NarrowForm(forms.Form):
    """A filter as lists have it."""

    name = forms.CharField(label=_("Name or number"), required=False)
    line = forms.ChoiceField(label=_("Line"), choices=[("", _("All lines")), ("L2", _("Can line 2"))], required=False)


def specimen_forms() -> dict[str, Any]:
    """Return the forms of the page: an empty one, one with faults, a table of rows, a filter."""
    rows = forms.formset_factory(ReadingRow, extra=2)
    faulty = {
        "faulty-people": ["1"],
        "faulty-volume": "1250000",
        "faulty-oxygen": "900",
        "faulty-name": "Tove Brandvold",
    }
    table = FormHelper()
    table.template = "plant/table_inline_formset.html"
    table.caption = _("Seam readings")
    table.form_tag = False
    faulty_form = SpecimenForm(faulty, prefix="faulty")
    return {
        "form": SpecimenForm(),
        "faulty": faulty_form,
        "rows": rows(prefix="rows"),
        "rows_helper": table,
        "filters": NarrowForm(),
    }


def specimen_band() -> Band:
    """Return a story of one sign-off, as a band of three years."""
    turns = [
        (Standing.LEARNING, date(2025, 1, 6)),
        (Standing.IN_FORCE, date(2025, 3, 3)),
        (Standing.RENEWAL_DUE, date(2026, 1, 2)),
        (Standing.LAPSED, date(2026, 3, 4)),
        (Standing.IN_FORCE, date(2026, 4, 20)),
        (Standing.RENEWAL_DUE, date(2027, 2, 19)),
    ]
    clock = clock_of("Europe/Dublin")
    starts = [None, *(clock.midnight(day) for _standing, day in turns)]
    standings = [Standing.NOT_STARTED, *(standing for standing, _day in turns)]
    periods = tuple(
        Period(start=start, end=end, standing=standing, counts=standing.is_in_force)
        for standing, start, end in zip(standings, starts, [*starts[1:], None], strict=True)
    )
    moment = clock.midnight(date(2026, 11, 25))
    return band_of(
        Timeline(person=0, task="HS-03", scope=SITE, periods=periods),
        Window(from_on=date(2025, 1, 1), until_on=date(2027, 12, 31)),
        clock,
        moment=moment,
        now=moment,
        entries=[(1, clock.midnight(date(2025, 3, 3)), False), (2, clock.midnight(date(2026, 4, 20)), True)],
    )


def specimen_table() -> list[list[Any]]:
    """Return the rows of the table: a task, a standing, a number with its unit."""
    return [
        [
            {"text": _("Cut a can apart and measure the double seam"), "code": "PK-07", "url": "#"},
            {"standing": Standing.IN_FORCE, "note": _("until 19 Apr 2027")},
            {"number": "3", "unit": _("runs")},
            _("Can line 2"),
        ],
        [
            {"text": _("Change a filler valve with the line locked off"), "code": "PK-02", "url": "#"},
            {"standing": Standing.BLOCKED, "note": _("by HS-04")},
            {"number": "12", "unit": _("runs")},
            _("Bottle line 1"),
        ],
        [
            {"text": _("Take a sample for dissolved oxygen"), "code": "QC-04", "url": "#"},
            {"standing": Standing.AWAITING_SIGNATURE},
            {"number": "1", "unit": _("run")},
            _("Cellar"),
        ],
    ]


def specimen_texts() -> dict[str, Any]:
    """Return what is written on the parts."""
    return {
        "table_heads": [_("Task"), _("Standing"), {"text": _("Done"), "number": True}, _("Where")],
        "table_rows": specimen_table(),
        "matrix_heads": ["PK-02", "PK-07", "QC-04", "CP-02", "WH-02"],
        "matrix_rows": [
            ("Maren Oduya", ["in_force", "learning", "ready", "not_started", "renewal_due"]),
            ("Iolo Castellan", ["in_grace", "lapsed", "suspended", "blocked", "under_review"]),
            ("Tove Brandvold", ["stale", "in_force", "out_of_revision", "withdrawn", "restricted"]),
        ],
        "links": [(_("Now"), "#now", True), (_("Way so far"), "#way", False), (_("Papers"), "#papers", False)],
        "actions": [{"label": _("Print"), "url": "#"}, {"label": _("Change"), "url": "#", "kind": "quiet"}],
        "buttons": [
            {"label": _("Sign and save")},
            {"label": _("Go back"), "kind": "quiet"},
            {"label": _("Withdraw the sign-off"), "kind": "stop"},
        ],
        "hazards": [
            _("CO₂ gathers low down and gives no warning: test the air before you go in, and never go in alone."),
            _("Hot caustic burns skin and eyes: the line is at 80 °C while it circulates."),
        ],
        "wear": [_("face shield"), _("long gloves"), _("CO₂ alarm")],
        "steps": [
            {"say": _("Strength by volume, from the density"), "work": "32 % × 1.35 kg/L = 43.2 % w/v"},
            {"say": _("Volume of concentrate"), "work": "2.0 % × 800 L ÷ 43.2 %", "result": "37.0", "unit": "L"},
        ],
        "pairs": [
            (_("Task"), "PK-07"),
            (_("Revision"), _("4, in effect since 1 September 2026")),
            (_("Line"), _("Can line 2")),
        ],
    }


@require_safe
def parts(request: HttpRequest) -> HttpResponse:
    """Show every part once; open in the demo and to coordinators."""
    actor = getattr(request, "actor", None)
    if not (settings.DEBUG or settings.DEMO or (actor is not None and may_manage_people(actor))):
        raise PermissionDenied
    messages.success(request, _("Run 3 of 4 is recorded for Maren Oduya."))
    band = specimen_band()
    context = {
        **specimen_forms(),
        **specimen_texts(),
        "standings": list(Standing),
        "band": band,
        "pieces": [(piece, "#") for piece in band.pieces],
        "ticks": [(tick, "#") for tick in band.ticks],
        "page": Paginator(range(83), 20).page(2),
        "day": date(2026, 11, 25),
    }
    return render(request, "competencies/parts.html", context)
