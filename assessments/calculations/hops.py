"""Hop weigh-out, framework code C07."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip, apart
from assessments.formulas import hops as formulas
from assessments.notation import Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_recipe = Measured("m_r", name="mass", says=_("hops in the recipe"), unit="kg", low=2, high=12, resolution=0.05)
_recipe_alpha = Measured(
    "α_r", name="recipe_alpha", says=_("alpha acid the recipe counts on"), unit="%", low=6, high=14, resolution=0.1
)
_lot_alpha = Measured(
    "α_l", name="lot_alpha", says=_("alpha acid of the lot in hand"), unit="%", low=6, high=14, resolution=0.1
)
_lot = Line.of("m", _recipe * _recipe_alpha / _lot_alpha, _("hops to weigh out"), unit="kg", decimals=2)
LOT = Calculation(
    code="C07-lot",
    title=_("Hops from another lot"),
    family=Family.HOPS,
    asks=_("The lot in hand has another alpha acid than the recipe. How much do you weigh out?"),
    givens=(_recipe, _recipe_alpha, _lot_alpha),
    steps=(_lot,),
    work=formulas.lot_mass_kg,
    slips=(
        Slip(
            _("ratio inverted"),
            _("A weaker lot needs more hops: recipe alpha above, lot alpha below."),
            {_lot: _recipe * _lot_alpha / _recipe_alpha},
        ),
        Slip(
            _("alpha as a fraction in one place only"),
            _("Write both alphas the same way, both in percent or both as fractions."),
            {_lot_alpha: _lot_alpha / 100},
        ),
        Slip(
            _("changed the mass by the difference of the alphas"),
            _("Alpha changes the mass by a ratio, not by a sum of percents."),
            {_lot: _recipe * (1 + (_recipe_alpha - _lot_alpha) / 100)},
        ),
    ),
    valid_for=_("the same addition with hops of another lot"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.HOT_LIQUOR,),
    accepts=apart("recipe_alpha", "lot_alpha", by=0.5),
)

_wort = Measured("V", name="wort", says=_("cold wort"), unit="hL", low=40, high=240, resolution=1)
_bitterness = Measured(
    "B",
    name="bitterness",
    says=_("bitterness wanted, as iso-alpha acid"),
    unit="mg/L",
    low=12,
    high=45,
    resolution=1,
    is_exact=True,
)
_alpha = Measured("α", name="alpha", says=_("alpha acid of the hops"), unit="%", low=5, high=15, resolution=0.1)
_used = Measured(
    "U",
    name="utilisation",
    says=_("share that reaches the beer"),
    unit="%",
    low=24,
    high=38,
    resolution=1,
    is_exact=True,
)
_iso = Line.of("m_iso", 100 * _wort * _bitterness / 1e6, _("iso-alpha acid wanted"), unit="kg", decimals=4)
_hops = Line.of("m", _iso / (_alpha / 100 * (_used / 100)), _("hops to weigh out"), unit="kg", decimals=2)
BITTERNESS = Calculation(
    code="C07-bitterness",
    title=_("Hops for a target bitterness"),
    family=Family.HOPS,
    asks=_("How much of these hops brings the wort to the bitterness wanted?"),
    givens=(_wort, _bitterness, _alpha, _used),
    steps=(_iso, _hops),
    work=formulas.hop_mass_kg,
    slips=(
        Slip(
            _("utilisation left out"),
            _("Only part of the alpha acid reaches the beer, so you need more hops: divide by the utilisation."),
            {_hops: _iso / (_alpha / 100)},
        ),
        Slip(
            _("multiplied by the utilisation"),
            _("Losses make the amount larger: divide by the utilisation."),
            {_hops: _iso * (_used / 100) / (_alpha / 100)},
        ),
        Slip(
            _("hL taken as L"),
            _("Milligrams per litre go with litres: a hectolitre is 100 of them."),
            {_iso: _wort * _bitterness / 1e6},
        ),
    ),
    valid_for=_("one addition; one bitterness unit taken as 1 mg/L"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.HOT_LIQUOR,),
)
