"""Pasteurisation units, framework code C11."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import pasteurisation as formulas
from assessments.formulas.constants import LETHAL_RATE_BASE, LETHAL_REFERENCE
from assessments.notation import Fixed, Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_time_held = Measured(
    "t", name="minutes", says=_("time held"), unit="min", low=5, high=25, resolution=0.5, is_exact=True
)
_temperature = Measured("T", name="temperature", says=_("beer"), unit="°C", low=61.5, high=66, resolution=0.1)
_base = Fixed("", value=LETHAL_RATE_BASE.value)
_above = Line.of("ΔT", _temperature - LETHAL_REFERENCE.value, _("degrees above 60"), unit="°C difference", decimals=1)
_units = Line.of("PU", _time_held * _base**_above, _("pasteurisation units"), unit="PU", decimals=1)
PASTEURISATION = Calculation(
    code="C11-units",
    title=_("Pasteurisation units"),
    family=Family.PACKAGING,
    asks=_("How many pasteurisation units did the hold give?"),
    givens=(_time_held, _temperature),
    steps=(_above, _units),
    work=formulas.pasteurisation_units_pu,
    slips=(
        Slip(
            _("exponent times instead of power"),
            _("Each degree multiplies the rate by 1.393 again: raise to the power, do not multiply."),
            {_units: _time_held * _base * _above},
        ),
        Slip(
            _("sign of T − 60"),
            _("Hotter than 60 °C kills faster: temperature less 60."),
            {_above: LETHAL_REFERENCE.value - _temperature},
        ),
        Slip(
            _("left the time out"),
            _("Units grow with time: multiply by the minutes."),
            {_units: _base**_above},
        ),
    ),
    valid_for=_("beer from 50 to 75 °C at a steady temperature"),
    sources=("DEL-VECCHIO",),
    cautions=(cautions.HOT_LIQUOR, cautions.GLASS),
)
