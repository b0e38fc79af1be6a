"""Hot water for the brewhouse, framework code C21."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import water as formulas
from assessments.formulas.constants import SPECIFIC_HEAT_OF_WATER
from assessments.notation import Fixed, Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_volume = Measured("V", name="volume", says=_("hot water as metered"), unit="hL", low=20, high=150, resolution=0.5)
_hot = Measured("t", name="temperature", says=_("its temperature"), unit="°C", low=65, high=90, resolution=0.5)
_lighter = Line.of(
    "x", (_hot + 288.9414) * (_hot - 3.9863) ** 2 / (508929.2 * (_hot + 68.12963)),
    _("share by which warmth lightens it"), decimals=5,
)  # fmt: skip
_density = Line.of("ρ", 1000 * (1 - _lighter), _("density of the water, as in its table"), unit="kg/m³", decimals=1)
_mass = Line.of("m", _volume / 10 * _density, _("mass of the water"), unit="kg", decimals=0)
MASS = Calculation(
    code="C21-hot_water",
    title=_("Mass of hot water"),
    family=Family.BREWHOUSE,
    asks=_("The meter counted hot water. How many kilograms went into the mash?"),
    givens=(_volume, _hot),
    steps=(_lighter, _density, _mass),
    work=formulas.hot_water_mass_kg,
    slips=(
        Slip(
            _("a litre of hot water taken as a kilogram"),
            _("Hot water is lighter: at 72 °C a litre weighs 0.977 kg. Use the table."),
            {_mass: 100 * _volume},
        ),
        Slip(
            _("divided by the density"),
            _("Hot water is lighter, so there are fewer kilograms than litres: multiply."),
            {_mass: 100000 * _volume / _density},
        ),
        Slip(
            _("hL taken as L"),
            _("A hectolitre is 100 litres."),
            {_mass: _volume / 1000 * _density},
        ),
    ),
    valid_for=_("0 to 100 °C, within 0.03 % of IAPWS-95; a meter that does not correct for temperature"),
    sources=("MCCUTCHEON", "IAPWS-95"),
    cautions=(cautions.HOT_LIQUOR,),
)

_specific_heat = Fixed("", value=SPECIFIC_HEAT_OF_WATER.value)
_water = Measured("m", name="mass", says=_("water"), unit="kg", low=1000, high=15000, resolution=50)
_start = Measured("t_1", name="start", says=_("temperature before"), unit="°C", low=8, high=25, resolution=0.5)
_end = Measured("t_2", name="end", says=_("temperature wanted"), unit="°C", low=70, high=85, resolution=0.5)
_rise = Line.of("Δt", _end - _start, _("warming"), unit="°C difference", decimals=1)
_kilojoules = Line.of("Q_kJ", _specific_heat * _water * _rise, _("heat in kilojoules"), unit="kJ", decimals=0)
_heat = Line.of("Q", _kilojoules / 3600, _("heat in kilowatt hours"), unit="kWh", decimals=0)
HEAT = Calculation(
    code="C21-heat",
    title=_("Heat for the brewing water"),
    family=Family.BREWHOUSE,
    asks=_("How much heat does the water take up?"),
    givens=(_water, _start, _end),
    steps=(_rise, _kilojoules, _heat),
    work=formulas.heating_kwh,
    slips=(
        Slip(
            _("used the end temperature alone"),
            _("Only the warming costs heat: subtract the temperature before."),
            {_rise: _end},
        ),
        Slip(
            _("gave megajoules"),
            _("A kilowatt hour is 3600 kilojoules: divide by 3600, not by 1000."),
            {_heat: _kilojoules / 1000},
        ),
        Slip(
            _("left 4.19 out"),
            _("A kilogram of water takes 4.19 kJ for each degree."),
            {_kilojoules: _water * _rise},
        ),
    ),
    # 4.18 to 4.2 are in use.
    relative_spread=0.004,
    valid_for=_("water from 0 to 100 °C, within 0.3 % of IAPWS-95; no loss to pipes and tank"),
    sources=("HEAT-BALANCE", "IAPWS-95"),
    cautions=(cautions.HOT_LIQUOR, cautions.PRESSURE),
)
