"""The law of the filter cake, framework code C25: a trial at constant pressure, and what follows from its line."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import cake as formulas
from assessments.notation import Line, Number
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_volume = Measured("V", name="volume", says=_("filtrate"), unit="L", low=2, high=8, resolution=0.1, is_exact=True)
_slope = Measured(
    "a", name="slope", says=_("slope of t/V against V"), unit="s/L²", low=6, high=30, resolution=0.1
)  # fmt: skip
_intercept = Measured(
    "b", name="intercept", says=_("t/V at the very start"), unit="s/L", low=20, high=50, resolution=0.1
)  # fmt: skip
_time = Line.of("t", _slope * _volume**2 + _intercept * _volume, _("time for the volume"), unit="s", decimals=0)


def _slips_differ(givens: Givens) -> bool:
    """Return whether leaving the medium out and leaving the square out give times apart from each other."""
    volume, slope, intercept = (number_in(givens, name) for name in ("volume", "slope", "intercept"))
    return abs(slope * volume - (slope + intercept)) > 0.05 * slope * volume


TIME = Calculation(
    code="C25-cake_time",
    title=_("Time through the cake"),
    family=Family.FILTRATION,
    asks=_("A trial at constant pressure gave the line t/V = aV + b. How long does this volume take?"),
    givens=(_volume, _slope, _intercept),
    steps=(_time,),
    work=formulas.cake_time_s,
    slips=(
        Slip(
            _("took t/V for t"),
            _("The line gives the time for each litre: multiply by the volume once more."),
            {_time: _slope * _volume + _intercept},
        ),
        Slip(
            _("left the medium out"),
            _("The cloth and the precoat hold the flow up as well: add b times V."),
            {_time: _slope * _volume**2},
        ),
        Slip(
            _("took the time to grow with the volume"),
            _("The cake grows with every litre, so the time grows with the square of the volume."),
            {_time: _slope * _volume + _intercept * _volume},
        ),
    ),
    valid_for=_("constant pressure, and a cake that does not give way"),
    sources=("RUTH",),
    cautions=(cautions.PRESSURE,),
    accepts=_slips_differ,
)

_area = Measured(
    "A", name="area", says=_("area of the trial filter"), unit="m²", low=0.03, high=0.06, resolution=0.0001
)
_across = Measured("Δp", name="pressure", says=_("pressure across it"), unit="bar", low=0.3, high=1, resolution=0.01)
_solids = Measured("c_s", name="solids", says=_("solids in the beer"), unit="g/L", low=5, high=30, resolution=0.1)
_viscosity = Measured(
    "μ", name="viscosity", says=_("viscosity of the filtrate"), unit="mPa·s", low=0.9, high=2, resolution=0.01
)
_slope_si = Line.of("a_si", _slope * Number(10) ** 6, _("slope in s/m⁶"), unit="s/m⁶", decimals=0)
_intercept_si = Line.of("b_si", _intercept * 1000, _("intercept in s/m³"), unit="s/m³", decimals=0)
_pascals = Line.of("Δp_si", _across * Number(10) ** 5, _("pressure in pascals"), unit="Pa", decimals=0)
_viscosity_si = Line.of("μ_si", _viscosity / 1000, _("viscosity in Pa·s"), unit="Pa·s", decimals=5)
_resistance = Line.of(
    "α", 2 * _slope_si * _area**2 * _pascals / (_viscosity_si * _solids), _("specific resistance"), unit="m/kg",
    decimals=-9,
)  # fmt: skip
RESISTANCE = Calculation(
    code="C25-cake",
    title=_("Resistance of the cake"),
    family=Family.FILTRATION,
    asks=_("A trial at constant pressure gave the line t/V = aV + b. What is the specific resistance of the cake?"),
    givens=(_slope, _area, _across, _solids, _viscosity),
    steps=(_slope_si, _pascals, _viscosity_si, _resistance),
    work=formulas.cake_resistance_m_per_kg,
    slips=(
        Slip(
            _("left the factor 2 out"),
            _("The slope of t/V holds half of the cake's constant: put the 2 back."),
            {_resistance: _slope_si * _area**2 * _pascals / (_viscosity_si * _solids)},
        ),
        Slip(
            _("did not square the area"),
            _("The area acts twice, in the speed and in the thickness of the cake: square it."),
            {_resistance: 2 * _slope_si * _area * _pascals / (_viscosity_si * _solids)},
        ),
        Slip(
            _("multiplied by the solids"),
            _("More solids make the slope steeper by themselves: divide by them."),
            {_resistance: 2 * _slope_si * _area**2 * _pascals * _solids / _viscosity_si},
        ),
    ),
    valid_for=_("constant pressure, and a cake that does not give way; all in metres, kilograms, seconds, pascals"),
    sources=("RUTH",),
    cautions=(cautions.PRESSURE,),
)

_medium = Line.of(
    "R_m", _intercept_si * _area * _pascals / _viscosity_si, _("resistance of the medium"), unit="per m", decimals=-7
)
MEDIUM = Calculation(
    code="C25-medium",
    title=_("Resistance of the filter medium"),
    family=Family.FILTRATION,
    asks=_("A trial at constant pressure gave the line t/V = aV + b. What is the resistance of the medium?"),
    givens=(_intercept, _area, _across, _viscosity),
    steps=(_intercept_si, _pascals, _viscosity_si, _medium),
    work=formulas.medium_resistance_per_m,
    slips=(
        Slip(
            _("divided by the area"),
            _("A larger filter with the same intercept resists more: multiply by the area."),
            {_medium: _intercept_si * _pascals / (_viscosity_si * _area)},
        ),
        Slip(
            _("put the factor 2 in, as for the cake"),
            _("The 2 belongs to the cake, which grows; the medium is whole from the start."),
            {_medium: 2 * _intercept_si * _area * _pascals / _viscosity_si},
        ),
        Slip(
            _("squared the area, as for the cake"),
            _("The medium does not grow thicker on a smaller area: the area stands once."),
            {_medium: _intercept_si * _area**2 * _pascals / _viscosity_si},
        ),
    ),
    valid_for=_("constant pressure; all in metres, seconds, pascals"),
    sources=("RUTH",),
    cautions=(cautions.PRESSURE,),
)
