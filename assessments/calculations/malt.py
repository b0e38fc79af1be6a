"""Malt in the laboratory: litre degrees, Congress mash, dry basis; framework code C21."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import malt as formulas
from assessments.notation import Line, Scope
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_wort = Measured("V", name="wort", says=_("wort"), unit="L", low=6000, high=7500, resolution=50)
_gravity = Measured(
    "S", name="gravity", says=_("specific gravity of the wort"), unit="SG", low=1.04, high=1.06, resolution=0.001
)
_malt = Measured("m", name="malt", says=_("malt"), unit="kg", low=1300, high=1700, resolution=5)
_degrees = Line.of("G", 1000 * (_gravity - 1), _("degrees above water"), unit="degrees", decimals=0)
_litre_degrees = Line.of("HWE", _wort * _degrees / _malt, _("extract of the malt"), unit="L°/kg", decimals=0)
LITRE_DEGREES = Calculation(
    code="C21-litre_degrees",
    title=_("Extract in litre degrees"),
    family=Family.BREWHOUSE,
    asks=_("The brew made this wort. How many litre degrees did a kilogram of malt give?"),
    givens=(_wort, _gravity, _malt),
    steps=(_degrees, _litre_degrees),
    work=formulas.hot_water_extract_l_deg_per_kg,
    slips=(
        Slip(
            _("used the gravity, not its degrees"),
            _("Only what lies above water counts: 1.048 is 48 degrees."),
            {_degrees: _gravity},
        ),
        Slip(
            _("litres and kilograms swapped"),
            _("Extract is for each kilogram of malt: divide by the malt."),
            {_litre_degrees: _malt * _degrees / _wort},
        ),
        Slip(
            _("used the whole gravity in thousandths"),
            _("Take 1000 off: 1.048 is 48 degrees above water, not 1048."),
            {_degrees: 1000 * _gravity},
        ),
    ),
    valid_for=_("wort at 20 °C, gravity 1.000 to 1.150"),
    sources=("LITRE-DEGREES",),
    cautions=(cautions.HOT_LIQUOR,),
    accepts=lambda givens: 200 <= Scope(givens).number_of(_litre_degrees) <= 310,
)

_extract = Measured(
    "HWE", name="extract", says=_("extract of the malt"), unit="L°/kg", low=280, high=310, resolution=1
)
_wanted = Measured(
    "S", name="gravity", says=_("specific gravity wanted"), unit="SG", low=1.035, high=1.075, resolution=0.001,
    is_exact=True,
)  # fmt: skip
_wanted_degrees = Line.of("G", 1000 * (_wanted - 1), _("degrees above water"), unit="degrees", decimals=0)
_volume = Line.of("V", _extract * _malt / _wanted_degrees, _("wort"), unit="L", decimals=0)
WORT = Calculation(
    code="C21-wort",
    title=_("Wort from malt of known extract"),
    family=Family.BREWHOUSE,
    asks=_("How much wort of this gravity can the malt give at best?"),
    givens=(_extract, _malt, _wanted),
    steps=(_wanted_degrees, _volume),
    work=formulas.wort_volume_l,
    slips=(
        Slip(
            _("used the gravity, not its degrees"),
            _("Only what lies above water counts: 1.048 is 48 degrees."),
            {_wanted_degrees: _wanted},
        ),
        Slip(
            _("multiplied by the degrees"),
            _("Stronger wort means less of it: divide by the degrees."),
            {_volume: _extract * _malt * _wanted_degrees},
        ),
        Slip(
            _("malt left out"),
            _("The extract is for one kilogram: multiply by the malt."),
            {_volume: _extract / _wanted_degrees},
        ),
    ),
    valid_for=_("all the extract that the laboratory found, wort at 20 °C"),
    sources=("LITRE-DEGREES",),
    cautions=(cautions.HOT_LIQUOR,),
)

_lab_wort = Measured(
    "P", name="extract", says=_("extract of the laboratory wort"), unit="°P", low=8, high=9.2, resolution=0.01
)
_moisture = Measured("M", name="moisture", says=_("moisture of the malt"), unit="% w/w", low=3, high=7, resolution=0.1)
_as_is = Line.of(
    "E", _lab_wort * (_moisture + 800) / (100 - _lab_wort), _("extract of the malt as it is"), unit="% w/w", decimals=1
)
CONGRESS = Calculation(
    code="C21-congress",
    title=_("Extract from the laboratory mash"),
    family=Family.BREWHOUSE,
    asks=_("50 g of malt were mashed and made up to 450 g. What extract has the malt, as it is?"),
    givens=(_lab_wort, _moisture),
    steps=(_as_is,),
    work=formulas.congress_extract_pct,
    slips=(
        Slip(
            _("divided by 100 in place of 100 − P"),
            _("The extract is dissolved in 100 − P parts of water: divide by 100 − P."),
            {_as_is: _lab_wort * (_moisture + 800) / 100},
        ),
        Slip(
            _("used 900 in place of 800"),
            _("To each 100 g of malt come 800 g of water; the malt itself is not water."),
            {_as_is: _lab_wort * (_moisture + 900) / (100 - _lab_wort)},
        ),
        Slip(
            _("gave it for the dry malt"),
            _("As it is means with its moisture: do not divide by 100 − M."),
            {_as_is: 100 * _lab_wort * (_moisture + 800) / (100 - _lab_wort) / (100 - _moisture)},
        ),
    ),
    valid_for=_("50 g of malt made up to 450 g, 0 to 12 °P"),
    sources=("EBC-4.5.1", "MASS-BALANCE"),
    is_harmless=True,
)

_laboratory = Measured(
    "E", name="extract", says=_("extract of the malt as it is"), unit="% w/w", low=74, high=80, resolution=0.1
)
_dry = Line.of("E_d", 100 * _laboratory / (100 - _moisture), _("extract of the dry malt"), unit="% w/w", decimals=1)
DRY = Calculation(
    code="C21-dry",
    title=_("Extract on the dry basis"),
    family=Family.BREWHOUSE,
    asks=_("The contract gives extract on the dry basis. What is it for this malt?"),
    givens=(_laboratory, _moisture),
    steps=(_dry,),
    work=formulas.dry_extract_pct,
    slips=(
        Slip(
            _("multiplied by the dry share"),
            _("The same extract comes from less matter, so the figure rises: divide by 100 − M."),
            {_dry: _laboratory * (100 - _moisture) / 100},
        ),
        Slip(
            _("moisture left out"),
            _("As it is, malt holds water: divide by 100 − M, times 100."),
            {_dry: _laboratory},
        ),
    ),
    valid_for=_("moistures up to 20 %"),
    sources=("MASS-BALANCE",),
    is_harmless=True,
)
