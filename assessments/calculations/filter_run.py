"""A filter run, framework code C25: the coats, the slurry, the dosing pump, the rise of the pressure."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import filter_run as formulas
from assessments.formulas import filtration
from assessments.formulas.constants import FILTER_AID_DENSITY
from assessments.notation import Fixed, Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_area = Measured("A", name="area", says=_("filter area"), unit="m²", low=10, high=60, resolution=1, is_exact=True)
_first = Measured(
    "d_1", name="first", says=_("first coat"), unit="g/m²", low=500, high=900, resolution=50, is_exact=True
)
_second = Measured(
    "d_2", name="second", says=_("second coat"), unit="g/m²", low=300, high=700, resolution=50, is_exact=True
)
_both = Line.of("m", _area * (_first + _second) / 1000, _("filter aid for both coats"), unit="kg", decimals=1)
TWO_COATS = Calculation(
    code="C25-two_coats",
    title=_("Precoat in two coats"),
    family=Family.FILTRATION,
    asks=_("How much filter aid do both coats take together?"),
    givens=(_area, _first, _second),
    steps=(_both,),
    work=filtration.two_coats_mass_kg,
    slips=(
        Slip(
            _("counted the first coat only"),
            _("Both coats go on the same area: add their doses."),
            {_both: _area * _first / 1000},
        ),
        Slip(
            _("took the area for the first coat only"),
            _("Each coat covers the whole area: add the doses first, then multiply."),
            {_both: (_area * _first + _second) / 1000},
        ),
        Slip(
            _("forgot to divide by 1000"),
            _("Grams come out first: a thousand of them make a kilogram."),
            {_both: _area * (_first + _second)},
        ),
    ),
    valid_for=_("two coats on one area"),
    sources=("ARITHMETIC", "PRACTICE"),
    cautions=(cautions.DUST, cautions.PRESSURE),
)

_dose = Measured("d", name="dose", says=_("precoat"), unit="g/m²", low=500, high=1200, resolution=50, is_exact=True)
_bulk = Measured("ρ_b", name="bulk", says=_("bulk density, dry"), unit="kg/m³", low=250, high=350, resolution=5)
_coat = Line.of("h", _dose / _bulk, _("thickness of the coat"), unit="mm", decimals=2)
THICKNESS = Calculation(
    code="C25-thickness",
    title=_("Thickness of the precoat"),
    family=Family.FILTRATION,
    asks=_("How thick does the precoat lie?"),
    givens=(_area, _dose, _bulk),
    steps=(_coat,),
    spare=("area",),
    work=lambda area, dose, bulk: filtration.coat_thickness_mm(dose, bulk),
    slips=(
        Slip(
            _("divided by the area"),
            _("The dose is for one square metre already: leave the area out."),
            {_coat: _dose / (_area * _bulk)},
        ),
        Slip(
            _("turned dose and density over"),
            _("A looser aid lies thicker: the bulk density goes below the line."),
            {_coat: _bulk / _dose},
        ),
    ),
    valid_for=_("an even coat at its dry bulk density"),
    sources=("GEOMETRY", "COAT-DENSITY", "PRACTICE"),
    cautions=(cautions.DUST, cautions.PRESSURE),
)

_aid = Measured("m", name="aid", says=_("filter aid tipped in"), unit="kg", low=40, high=180, resolution=1)
_water = Measured("V_w", name="water", says=_("water in the vessel"), unit="L", low=400, high=1200, resolution=5)
_room = Line.of(
    "V_m", _aid / Fixed("", value=FILTER_AID_DENSITY.value), _("room the powder takes"), unit="L", decimals=1
)
_strength = Line.of("c", 1000 * _aid / (_water + _room), _("strength of the slurry"), unit="g/L", decimals=1)


def _can_be_pumped(givens: Givens) -> bool:
    return 60 < 1000 * number_in(givens, "aid") / number_in(givens, "water") < 220


STRENGTH = Calculation(
    code="C25-slurry",
    title=_("Strength of the slurry"),
    family=Family.FILTRATION,
    asks=_("How many grams of filter aid are in a litre of slurry? The powder itself weighs 2.3 kg/L."),
    givens=(_aid, _water),
    steps=(_room, _strength),
    work=formulas.slurry_strength_g_per_l,
    slips=(
        Slip(
            _("left out the room that the powder takes"),
            _("The slurry is more than its water: add the powder's own volume."),
            {_strength: 1000 * _aid / _water},
        ),
        Slip(
            _("took a kilogram of powder for a litre"),
            _("The grains weigh 2.3 kg to the litre: divide by that first."),
            {_room: _aid * 1},
        ),
    ),
    valid_for=_("up to 400 g/L; with 2.2 kg/L for the powder the result at 150 g/L is 0.3 % lower"),
    sources=("MASS-BALANCE", "FILTER-AID"),
    cautions=(cautions.DUST, cautions.MACHINE),
    accepts=_can_be_pumped,
)

_flow = Measured("F", name="flow", says=_("beer through the filter"), unit="hL/h", low=60, high=300, resolution=1)
_feed = Measured("d", name="dose", says=_("body feed"), unit="g/hL", low=50, high=160, resolution=5, is_exact=True)
_slurry = Measured("c", name="slurry", says=_("strength of the slurry"), unit="g/L", low=60, high=200, resolution=1)
_stroke = Line.of("Q", _flow * _feed / _slurry, _("rate of the dosing pump"), unit="L/h", decimals=1)


def _is_far_from_one(givens: Givens) -> bool:
    """Return whether dose and strength differ enough for one over the other to show."""
    dose, slurry = number_in(givens, "dose"), number_in(givens, "slurry")
    return abs(dose - slurry) > 0.05 * slurry


PUMP = Calculation(
    code="C25-pump",
    title=_("Rate of the dosing pump"),
    family=Family.FILTRATION,
    asks=_("At what rate must the dosing pump run?"),
    givens=(_flow, _feed, _slurry),
    steps=(_stroke,),
    work=formulas.dosing_rate_l_per_h,
    slips=(
        Slip(
            _("divided by the flow"),
            _("More beer takes more filter aid: multiply by the flow."),
            {_stroke: _feed / (_flow * _slurry)},
        ),
        Slip(
            _("answered for a minute"),
            _("The flow is for an hour, and so is the pump's: do not divide by 60."),
            {_stroke: _flow * _feed / _slurry / 60},
        ),
        Slip(
            _("turned dose and strength over"),
            _("A stronger slurry needs less pumping: the strength goes below the line."),
            {_stroke: _flow * _slurry / _feed},
        ),
        Slip(
            _("took the dose for a litre"),
            _("The dose is for a hectolitre and the flow is in hectolitres: leave the 100 out."),
            {_feed: _feed * 100},
        ),
    ),
    valid_for=_("a steady flow and a stirred slurry"),
    sources=("MASS-BALANCE", "PRACTICE"),
    cautions=(cautions.DUST, cautions.PRESSURE),
    accepts=_is_far_from_one,
)

_start = Measured(
    "p_1", name="start", says=_("inlet at the start"), unit="bar gauge", low=0.8, high=1.6, resolution=0.05
)
_now = Measured("p_2", name="now", says=_("inlet now"), unit="bar gauge", low=2, high=4.2, resolution=0.05)
_minutes = Measured(
    "t", name="time", says=_("time between both"), unit="min", low=150, high=420, resolution=5, is_exact=True
)
_hours = Line.of("h", _minutes / 60, _("the time in hours"), unit="h", decimals=2)
_rise = Line.of("r", (_now - _start) / _hours, _("rise of the pressure"), unit="bar/h", decimals=2)
RISE = Calculation(
    code="C25-rise",
    title=_("Rise of the pressure"),
    family=Family.FILTRATION,
    asks=_("How fast does the pressure at the inlet rise?"),
    givens=(_start, _now, _minutes),
    steps=(_hours, _rise),
    work=formulas.pressure_rise_bar_per_h,
    slips=(
        Slip(
            _("divided the pressure now by the time"),
            _("The filter did not start from zero: take the pressure at the start off first."),
            {_rise: _now / _hours},
        ),
        Slip(
            _("minutes taken for hours"),
            _("The rise is told for an hour: divide the minutes by 60 first."),
            {_hours: _minutes * 1},
        ),
        Slip(
            _("multiplied by the time"),
            _("The rise is for one hour: divide by the hours."),
            {_rise: (_now - _start) * _hours},
        ),
    ),
    valid_for=_("one flow and one dose: then the rise is a straight line"),
    sources=("ARITHMETIC", "MACRON"),
    cautions=(cautions.PRESSURE,),
)

_hourly = Measured("r", name="rise", says=_("rise for an hour"), unit="bar/h", low=0.15, high=0.6, resolution=0.01)
_throughput = Measured(
    "F", name="flow", says=_("beer through the filter"), unit="hL/h", low=150, high=400, resolution=1
)
_by_volume = Line.of("r_V", 100 * _hourly / _throughput, _("rise over 100 hL"), unit="bar/100 hL", decimals=3)
BY_VOLUME = Calculation(
    code="C25-by_volume",
    title=_("Rise of the pressure over 100 hL"),
    family=Family.FILTRATION,
    asks=_("Runs at different flows are compared by volume. How much does the pressure rise over 100 hL?"),
    givens=(_hourly, _throughput),
    steps=(_by_volume,),
    work=formulas.pressure_rise_bar_per_100hl,
    slips=(
        Slip(
            _("gave the rise for an hour"),
            _("In an hour more than 100 hL run through: divide by the flow first."),
            {_by_volume: _hourly * 1},
        ),
        Slip(
            _("multiplied by the flow"),
            _("At a faster flow 100 hL take less time, so the pressure rises less over them: divide."),
            {_by_volume: _hourly * _throughput / 100},
        ),
    ),
    valid_for=_("one flow and one dose"),
    sources=("ARITHMETIC",),
    cautions=(cautions.PRESSURE,),
)

_limit = Measured(
    "p_max", name="limit", says=_("inlet at which the run ends"), unit="bar gauge", low=4, high=6, resolution=0.5,
    is_exact=True,
)  # fmt: skip
_inlet = Measured("p", name="now", says=_("inlet now"), unit="bar gauge", low=1.5, high=3.2, resolution=0.05)
_rate = Measured("r", name="rise", says=_("rise of the pressure"), unit="bar/h", low=0.15, high=0.45, resolution=0.01)
_left = Line.of("t", (_limit - _inlet) / _rate, _("time left"), unit="h", decimals=1)


def _is_not_half_way(givens: Givens) -> bool:
    """Return whether the pressure behind and the pressure ahead differ enough to tell one from the other."""
    return abs(number_in(givens, "limit") - 2 * number_in(givens, "now")) > 0.25


LEFT = Calculation(
    code="C25-left",
    title=_("How long the filter still runs"),
    family=Family.FILTRATION,
    asks=_("In how many hours does the filter reach its limit?"),
    givens=(_limit, _inlet, _rate),
    steps=(_left,),
    work=formulas.run_left_h,
    slips=(
        Slip(
            _("divided the limit by the rise"),
            _("Only the pressure that is left counts: limit less now."),
            {_left: _limit / _rate},
        ),
        Slip(
            _("divided the pressure now by the rise"),
            _("That is the time behind you. Ahead lies limit less now."),
            {_left: _inlet / _rate},
        ),
        Slip(
            _("multiplied by the rise"),
            _("The faster it rises, the sooner it ends: divide by the rise."),
            {_left: (_limit - _inlet) * _rate},
        ),
    ),
    valid_for=_("flow and dose staying as they are"),
    sources=("ARITHMETIC", "MACRON"),
    cautions=(cautions.PRESSURE,),
    accepts=_is_not_half_way,
)
