"""Change of units: pressure, gauge and absolute, framework code C01."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import pressure as formulas
from assessments.formulas.constants import PSI_PER_BAR, STANDARD_ATMOSPHERE
from assessments.notation import Fixed, Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_psi_per_bar = Fixed("", value=PSI_PER_BAR.value)
_psi = Measured(
    "p_psi", name="pressure", says=_("reading of the gauge"), unit="psi", low=5, high=60, resolution=0.5, is_exact=True
)
_bar = Line.of("p", _psi / _psi_per_bar, _("pressure"), unit="bar", decimals=2)
PRESSURE = Calculation(
    code="C01-pressure",
    title=_("Psi to bar"),
    family=Family.CONVERSION,
    asks=_("A gauge reads in psi. What is that in bar?"),
    givens=(_psi,),
    steps=(_bar,),
    work=formulas.bar_from_psi,
    slips=(
        Slip(
            _("multiplied instead of divided"),
            _("One bar is 14.5 psi, so there are fewer bar than psi: divide."),
            {_bar: _psi * _psi_per_bar},
        ),
        Slip(
            _("added an atmosphere"),
            _("Changing the unit leaves the datum alone: a gauge reading stays a gauge reading."),
            {_bar: _psi / _psi_per_bar + STANDARD_ATMOSPHERE.value},
        ),
        Slip(
            _("multiplied by 6.895"),
            _("That gives kilopascal. A bar is 100 kPa."),
            {_bar: _psi * 6.894757},
        ),
    ),
    # 14.5 in place of 14.5038.
    relative_spread=0.0005,
    valid_for=_("gauge or absolute pressure; the datum stays what it was"),
    sources=("SP811",),
    cautions=(cautions.PRESSURE,),
    must_use_unit=True,
)

_in_bar = Measured(
    "p", name="pressure", says=_("reading of the gauge"), unit="bar", low=1, high=6, resolution=0.05, is_exact=True
)
_in_psi = Line.of("p_psi", _psi_per_bar * _in_bar, _("pressure"), unit="psi", decimals=1)
PSI = Calculation(
    code="C01-psi",
    title=_("Bar to psi"),
    family=Family.CONVERSION,
    asks=_("The manual of a machine asks for psi, the gauge reads bar. What is that in psi?"),
    givens=(_in_bar,),
    steps=(_in_psi,),
    work=formulas.psi_from_bar,
    slips=(
        Slip(
            _("divided instead of multiplied"),
            _("One bar is 14.5 psi, so there are more psi than bar: multiply."),
            {_in_psi: _in_bar / _psi_per_bar},
        ),
        Slip(
            _("added an atmosphere"),
            _("Changing the unit leaves the datum alone: a gauge reading stays a gauge reading."),
            {_in_psi: _psi_per_bar * (_in_bar + STANDARD_ATMOSPHERE.value)},
        ),
        Slip(
            _("multiplied by 6.895"),
            _("That figure is kilopascal in one psi. A bar is 14.5 psi."),
            {_in_psi: 6.894757 * _in_bar},
        ),
    ),
    # 14.5 in place of 14.5038.
    relative_spread=0.0005,
    valid_for=_("gauge or absolute pressure; the datum stays what it was"),
    sources=("SP811",),
    cautions=(cautions.PRESSURE,),
    must_use_unit=True,
)

_gauge = Measured(
    "p_g",
    name="gauge",
    says=_("reading of the gauge"),
    unit="bar gauge",
    low=0.5,
    high=4,
    resolution=0.05,
    is_exact=True,
)
_air = Measured(
    "p_atm", name="atmosphere", says=_("pressure of the air"), unit="bar absolute", low=0.92, high=1.03,
    resolution=0.001, is_exact=True, usual=STANDARD_ATMOSPHERE.value,
)  # fmt: skip
_sum = Line.of("p_abs", _gauge + _air, _("absolute pressure"), unit="bar absolute", decimals=3)
_kpa = Line.of("p", 100 * _sum, _("absolute pressure in kilopascal"), unit="kPa absolute", decimals=0)
ABSOLUTE = Calculation(
    code="C01-absolute",
    title=_("Gauge pressure to absolute pressure"),
    family=Family.CONVERSION,
    asks=_("What is the absolute pressure in the tank, in kilopascal?"),
    givens=(_gauge, _air),
    steps=(_sum, _kpa),
    work=formulas.absolute_pressure_kpa,
    slips=(
        Slip(
            _("took gauge for absolute"),
            _("A gauge shows zero in open air. Add the pressure of the air."),
            {_sum: _gauge},
        ),
        Slip(
            _("subtracted the atmosphere"),
            _("Absolute pressure is always more than the gauge shows: add."),
            {_sum: _gauge - _air},
        ),
        Slip(
            _("took a bar for ten kilopascal"),
            _("One bar is 100 kPa."),
            {_kpa: 10 * _sum},
        ),
    ),
    valid_for=_("gauges that read zero in open air"),
    sources=("SI", "USSA1976"),
    cautions=(cautions.PRESSURE,),
    must_use_unit=True,
)

_gauge_psi = Measured(
    "p_psi", name="gauge", says=_("reading of the gauge"), unit="psi gauge", low=18, high=60, resolution=0.5,
    is_exact=True,
)  # fmt: skip
_gauge_bar = Line.of("p_g", _gauge_psi / _psi_per_bar, _("gauge pressure in bar"), unit="bar gauge", decimals=3)
_absolute_bar = Line.of("p_abs", _gauge_bar + _air, _("absolute pressure"), unit="bar absolute", decimals=2)
PSI_ABSOLUTE = Calculation(
    code="C01-psi_absolute",
    title=_("Gauge psi to absolute bar"),
    family=Family.CONVERSION,
    asks=_("A gauge reads in psi. What is the absolute pressure in bar?"),
    givens=(_gauge_psi, _air),
    steps=(_gauge_bar, _absolute_bar),
    work=formulas.absolute_bar_from_psi,
    slips=(
        Slip(
            _("took gauge for absolute"),
            _("A gauge shows zero in open air. Add the pressure of the air."),
            {_absolute_bar: _gauge_bar},
        ),
        Slip(
            _("subtracted the atmosphere"),
            _("Absolute pressure is always more than the gauge shows: add."),
            {_absolute_bar: _gauge_bar - _air},
        ),
        Slip(
            _("multiplied instead of divided"),
            _("One bar is 14.5 psi, so there are fewer bar than psi: divide."),
            {_gauge_bar: _gauge_psi * _psi_per_bar},
        ),
    ),
    # 14.5 in place of 14.5038.
    relative_spread=0.0005,
    valid_for=_("gauges that read zero in open air"),
    sources=("SP811", "USSA1976"),
    cautions=(cautions.PRESSURE,),
    must_use_unit=True,
)

_absolute_kpa = Measured(
    "p_abs", name="absolute", says=_("absolute pressure"), unit="kPa absolute", low=150, high=500, resolution=1,
    is_exact=True,
)  # fmt: skip
_absolute_in_bar = Line.of(
    "p_bar", _absolute_kpa / 100, _("absolute pressure in bar"), unit="bar absolute", decimals=2
)
_reads = Line.of("p_g", _absolute_in_bar - _air, _("what the gauge reads"), unit="bar gauge", decimals=3)
GAUGE = Calculation(
    code="C01-gauge",
    title=_("Absolute pressure to gauge"),
    family=Family.CONVERSION,
    asks=_("The controller works in absolute kilopascal. What does the gauge beside it read in bar?"),
    givens=(_absolute_kpa, _air),
    steps=(_absolute_in_bar, _reads),
    work=formulas.gauge_bar_from_kpa,
    slips=(
        Slip(
            _("added the atmosphere"),
            _("A gauge leaves the air out, so it reads less than the absolute pressure: subtract."),
            {_reads: _absolute_in_bar + _air},
        ),
        Slip(
            _("took absolute for gauge"),
            _("A gauge shows zero in open air. Take the pressure of the air off."),
            {_reads: _absolute_in_bar},
        ),
        Slip(
            _("took a bar for ten kilopascal"),
            _("One bar is 100 kPa."),
            {_absolute_in_bar: _absolute_kpa / 10},
        ),
    ),
    valid_for=_("gauges that read zero in open air"),
    sources=("SI", "USSA1976"),
    cautions=(cautions.PRESSURE,),
    must_use_unit=True,
)
