"""Pasteurisation units, framework codes C11 and C36."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import pasteurisation as formulas
from assessments.formulas.constants import LETHAL_RATE_BASE, LETHAL_REFERENCE
from assessments.notation import Fixed, Line, Number
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
    valid_for=_("beer from 50 to 75 °C at a steady temperature; 1.393 is rounded, within 0.3 %"),
    sources=("DEL-VECCHIO",),
    cautions=(cautions.PASTEURISER, cautions.GLASS),
)

_rate = Line.of("L", _base**_above, _("units a minute"), unit="PU/min", decimals=3)
_target = Measured("PU", name="target", says=_("units wanted"), unit="PU", low=8, high=30, resolution=1, is_exact=True)
_needed = Line.of("t", _target / _rate, _("time to hold"), unit="min", decimals=1)
_PRODUCT = _("Each degree multiplies the rate by 1.393 again: raise to the power, do not multiply.")
TIME = Calculation(
    code="C36-time",
    title=_("Time for pasteurisation units"),
    family=Family.PACKAGING,
    asks=_("How long must the beer be held at this temperature?"),
    givens=(_target, _temperature),
    steps=(_above, _rate, _needed),
    work=formulas.holding_time_min,
    slips=(
        Slip(
            _("multiplied by the rate"),
            _("The hotter, the shorter: divide the units by the units a minute."),
            {_needed: _target * _rate},
        ),
        Slip(
            _("exponent times instead of power"),
            _PRODUCT,
            {_rate: _base * _above},
        ),
        Slip(
            _("took a minute for each unit"),
            _("Only at 60 °C does a minute give one unit."),
            {_rate: Number(1)},
        ),
    ),
    valid_for=_(
        "beer from 50 to 75 °C at a steady temperature; with z = 7 °C it takes 0.5 % longer at 62 °C, 4 % at 75"
    ),
    sources=("DEL-VECCHIO",),
    cautions=(cautions.PASTEURISER, cautions.GLASS),
)

_seconds = Measured("t", name="seconds", says=_("time in the holding tube"), unit="s", low=20, high=45, resolution=1)
_hot = Measured("T", name="temperature", says=_("beer in the tube"), unit="°C", low=70, high=74, resolution=0.1)
_above_hot = Line.of("ΔT", _hot - LETHAL_REFERENCE.value, _("degrees above 60"), unit="°C difference", decimals=1)
_flash = Line.of("PU", _seconds / 60 * _base**_above_hot, _("pasteurisation units"), unit="PU", decimals=1)
FLASH = Calculation(
    code="C36-flash",
    title=_("Pasteurisation units of a holding tube"),
    family=Family.PACKAGING,
    asks=_("How many pasteurisation units does the holding tube give?"),
    givens=(_seconds, _hot),
    steps=(_above_hot, _flash),
    work=formulas.flash_units_pu,
    slips=(
        Slip(
            _("seconds taken as minutes"),
            _("Units count minutes: divide the seconds by 60."),
            {_flash: _seconds * _base**_above_hot},
        ),
        Slip(
            _("exponent times instead of power"),
            _PRODUCT,
            {_flash: _seconds / 60 * _base * _above_hot},
        ),
    ),
    valid_for=_("beer from 50 to 75 °C; the version with z = 7 °C is 3 % lower at 72 °C"),
    sources=("DEL-VECCHIO",),
    cautions=(cautions.PASTEURISER, cautions.PRESSURE),
)


def _zone(
    number: int, name: str, says: tuple[str, str], *, times: tuple[int, int], warm: tuple[float, float]
) -> tuple[Measured, Measured]:
    minutes = Measured(
        f"t_{number}", name=f"{name}_time", says=says[0], unit="min", low=times[0], high=times[1], resolution=0.5,
        is_exact=True,
    )  # fmt: skip
    temperature = Measured(
        f"T_{number}", name=name, says=says[1], unit="°C", low=warm[0], high=warm[1], resolution=0.1
    )
    return minutes, temperature


_ZONES = (
    _zone(1, "heating", (_("time heating up"), _("beer while heating up")), times=(3, 8), warm=(52, 58)),
    _zone(2, "holding", (_("time holding"), _("beer while holding")), times=(8, 15), warm=(60, 63)),
    _zone(3, "cooling", (_("time cooling down"), _("beer while cooling down")), times=(3, 8), warm=(52, 58)),
)
_parts = tuple(
    Line.of(
        f"PU_{number}",
        minutes * _base ** (warm - LETHAL_REFERENCE.value),
        _("units of the zone"),
        unit="PU",
        decimals=2,
    )
    for number, (minutes, warm) in enumerate(_ZONES, start=1)
)
_sum = Line.of("PU", _parts[0] + _parts[1] + _parts[2], _("pasteurisation units"), unit="PU", decimals=1)
_all_time = _ZONES[0][0] + _ZONES[1][0] + _ZONES[2][0]
_mean = (_ZONES[0][0] * _ZONES[0][1] + _ZONES[1][0] * _ZONES[1][1] + _ZONES[2][0] * _ZONES[2][1]) / _all_time
TUNNEL = Calculation(
    code="C36-tunnel",
    title=_("Pasteurisation units of a tunnel"),
    family=Family.PACKAGING,
    asks=_("How many pasteurisation units do the three zones give together?"),
    givens=tuple(given for zone in _ZONES for given in zone),
    steps=(*_parts, _sum),
    work=formulas.tunnel_units_pu,
    slips=(
        Slip(
            _("used the mean temperature"),
            _("The rate grows faster than the temperature: work out each zone, then add."),
            {_sum: _all_time * _base ** (_mean - LETHAL_REFERENCE.value)},
        ),
        Slip(
            _("all the time at the holding temperature"),
            _("Below 60 °C a minute gives less than a unit: each zone has its own rate."),
            {_sum: _all_time * _base ** (_ZONES[1][1] - LETHAL_REFERENCE.value)},
        ),
        Slip(
            _("sign of T − 60"),
            _("Cooler than 60 °C kills slower: temperature less 60."),
            {_parts[0]: _ZONES[0][0] * _base ** (LETHAL_REFERENCE.value - _ZONES[0][1])},
        ),
    ),
    valid_for=_("beer from 50 to 75 °C, steady in each zone"),
    sources=("DEL-VECCHIO",),
    cautions=(cautions.PASTEURISER, cautions.GLASS),
)
