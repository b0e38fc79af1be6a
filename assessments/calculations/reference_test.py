"""The reference test of fills, framework code C31: weighing in air, the bound of the e mark, kegs."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import fill
from assessments.formulas import reference_test as formulas
from assessments.formulas.constants import AIR_DENSITY, BALANCE_WEIGHTS_DENSITY
from assessments.notation import Fixed, Line, Rule
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_gross = Measured("m_g", name="gross", says=_("full container"), unit="g", low=515, high=545, resolution=0.01)
_tare = Measured("m_t", name="tare", says=_("empty container with closure"), unit="g", low=178, high=205,
                 resolution=0.01)  # fmt: skip
_density = Measured(
    "ρ", name="density", says=_("density at 20 °C"), unit="g/mL", low=1.004, high=1.05, resolution=0.0001
)
_air = Fixed("ρ_a", value=AIR_DENSITY.value)
_weights = Fixed("ρ_w", value=BALANCE_WEIGHTS_DENSITY.value)
_net = Line.of("m", _gross - _tare, _("net reading"), unit="g", decimals=2)
_volume = Line.of("V", _net * (1 - _air / _weights) / (_density - _air), _("volume at 20 °C"), unit="mL", decimals=2)
IN_AIR = Calculation(
    code="C31-in_air",
    title=_("Volume weighed in air"),
    family=Family.PACKAGING,
    asks=_(
        "Air has 0.0012 g/mL, the weights that set the scale 8.0 g/mL. What volume is in the container, the buoyancy "
        "of air taken into account?"
    ),
    givens=(_gross, _tare, _density),
    steps=(_net, _volume),
    work=lambda gross, tare, density: formulas.volume_in_air_ml(gross - tare, density),
    slips=(
        Slip(
            _("buoyancy left out"),
            _("Air bears a little of the drink: without it the volume comes out 0.1 % low."),
            {_volume: _net / _density},
        ),
        Slip(
            _("added the air to the density"),
            _("Air makes the drink seem lighter: subtract its density."),
            {_volume: _net * (1 - _air / _weights) / (_density + _air)},
        ),
        Slip(
            _("multiplied by the density"),
            _("A heavier drink fills less room for the same weight: divide."),
            {_volume: _net * (_density - _air)},
        ),
    ),
    valid_for=_("air of 0.0012 g/mL, weights of 8.0 g/mL; mass over density alone is 0.1 % low"),
    sources=("OIML-BUOYANCY", "DIR-76-211"),
    cautions=(cautions.GLASS,),
)

_nominal = Measured(
    "Q_n", name="nominal", says=_("nominal content"), unit="mL", low=150, high=1500, resolution=10, is_exact=True
)
_error = Line.of(
    "TNE",
    Rule("table, at {0}", fill.tolerable_negative_error_ml, (_nominal,)),
    _("tolerable negative error"),
    unit="mL",
    decimals=1,
)
_bound = Line.of("Q_0", _nominal - 2 * _error, _("least content with the e mark"), unit="mL", decimals=1)
E_MARK = Calculation(
    code="C31-e_mark",
    title=_("Least content with the e mark"),
    family=Family.PACKAGING,
    asks=_("Below which content may no single pack carry the e mark?"),
    givens=(_nominal,),
    steps=(_error, _bound),
    work=formulas.least_with_e_mark_ml,
    slips=(
        Slip(
            _("took the error once"),
            _("Once the error makes a defective, of which a batch may hold a few; twice the error none may pass."),
            {_bound: _nominal - _error},
        ),
        Slip(
            _("added the errors"),
            _("The error is what may be missing: subtract it."),
            {_bound: _nominal + 2 * _error},
        ),
    ),
    valid_for=_("packs of 5 mL to 10 L in the European Union"),
    sources=("DIR-76-211",),
    is_harmless=True,
)

_keg = Measured(
    "Q_n", name="nominal", says=_("nominal content of the keg"), unit="L", low=20, high=60, resolution=5, is_exact=True
)
_keg_error = Line.of(
    "TNE",
    Rule("table, at {0} L", lambda nominal: formulas.keg_error_ml(1000 * nominal) / 1000, (_keg,)),
    _("tolerable negative error"),
    unit="L",
    decimals=2,
)
_least_keg = Line.of(
    "Q_min", _keg - _keg_error, _("least content of a keg that is no defective"), unit="L", decimals=2
)
KEG = Calculation(
    code="C31-keg",
    title=_("Least fill of a keg"),
    family=Family.PACKAGING,
    asks=_("Below which content is a keg of this size a defective?"),
    givens=(_keg,),
    steps=(_keg_error, _least_keg),
    work=lambda nominal: nominal - formulas.keg_error_ml(1000 * nominal) / 1000,
    slips=(
        Slip(
            _("took the percentage of smaller packs"),
            _("1.5 % ends at 10 L. Above 15 L the error is 1 %."),
            {_keg_error: 1.5 * _keg / 100},
        ),
        Slip(
            _("took the fixed step"),
            _("150 mL is for 10 to 15 L. Above 15 L the error is 1 %."),
            {_keg_error: Fixed("", value=0.15)},
        ),
        Slip(
            _("added the error"),
            _("The error is what may be missing: subtract it."),
            {_least_keg: _keg + _keg_error},
        ),
    ),
    valid_for=_("kegs above 10 L, where Directive 76/211/EEC ends; the law of the market says whether it applies"),
    sources=("LC-METROLOGY", "OIML-R87"),
    cautions=(cautions.PRESSURE,),
)
