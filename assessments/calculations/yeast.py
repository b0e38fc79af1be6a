"""Pitching yeast, framework codes C17 and C23."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import yeast as formulas
from assessments.notation import Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_wort = Measured("V", name="wort", says=_("wort"), unit="hL", low=40, high=120, resolution=1)
_extract = Measured("P", name="extract", says=_("extract of the wort"), unit="°P", low=10, high=17, resolution=0.1)
_rate = Measured(
    "r",
    name="rate",
    says=_("live cells wanted"),
    unit="million/mL/°P",
    low=0.5,
    high=1.5,
    resolution=0.05,
    is_exact=True,
)
_slurry = Measured(
    "c", name="slurry", says=_("cells in the slurry"), unit="million/mL", low=800, high=1800, resolution=10
)
_viability = Measured(
    "v", name="viability", says=_("share of them alive"), unit="fraction", low=0.75, high=0.94, resolution=0.01
)
_cells = Line.of("N", 100 * _wort * _extract * _rate, _("live cells wanted, in million per mL and litre"), decimals=0)
_live = Line.of("c_v", _slurry * _viability, _("live cells in the slurry"), unit="million/mL", decimals=1)
_pitch = Line.of("V_s", _cells / _live, _("slurry to pitch"), unit="L", decimals=1)
PITCH = Calculation(
    code="C17-pitch",
    title=_("Yeast to pitch"),
    family=Family.YEAST,
    asks=_("How many litres of slurry does the wort need?"),
    givens=(_wort, _extract, _rate, _slurry, _viability),
    steps=(_cells, _live, _pitch),
    work=formulas.slurry_volume_l,
    slips=(
        Slip(
            _("viability left out"),
            _("Dead cells do no work: count only the live share of the slurry."),
            {_live: _slurry},
        ),
        Slip(
            _("multiplied by the viability at the end"),
            _("Fewer live cells mean more slurry: divide by the viability."),
            {_live: _slurry / _viability},
        ),
        Slip(
            _("hL taken as L"),
            _("A hectolitre is 100 litres."),
            {_cells: _wort * _extract * _rate},
        ),
        Slip(
            _("extract left out"),
            _("The rate is for each °P: stronger wort needs more yeast."),
            {_cells: 100 * _wort * _rate},
        ),
    ),
    valid_for=_("slurry counted on the day; the rate is the plant's"),
    sources=("MASS-BALANCE", "PRACTICE"),
    cautions=(cautions.CO2, cautions.PRESSURE),
)

_billions = Line.of("N", 100 * _wort * _extract * _rate, _("live cells wanted"), unit="billion", decimals=0)
CELLS = Calculation(
    code="C23-cells",
    title=_("Yeast cells for a wort"),
    family=Family.YEAST,
    asks=_("How many billion live cells does the wort need?"),
    givens=(_wort, _extract, _rate),
    steps=(_billions,),
    work=formulas.pitch_cells_billion,
    slips=(
        Slip(
            _("hL taken as L"),
            _("A hectolitre is 100 000 mL; 1000 million make a billion. So the factor is 100."),
            {_billions: _wort * _extract * _rate},
        ),
        Slip(
            _("gave millions"),
            _("A billion is 1000 million: divide by 1000."),
            {_billions: 100000 * _wort * _extract * _rate},
        ),
        Slip(
            _("extract left out"),
            _("The rate is for each °P: stronger wort needs more yeast."),
            {_billions: 100 * _wort * _rate},
        ),
    ),
    valid_for=_("live cells; the rate is the plant's"),
    sources=("ARITHMETIC", "PRACTICE"),
    cautions=(cautions.CO2, cautions.PRESSURE),
)
