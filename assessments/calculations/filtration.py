"""Filter aid, framework code C06."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import filtration as formulas
from assessments.notation import Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_area = Measured("A", name="area", says=_("filter area"), unit="m²", low=10, high=60, resolution=1, is_exact=True)
_coat = Measured("d", name="dose", says=_("precoat"), unit="g/m²", low=500, high=1000, resolution=50, is_exact=True)
_precoat = Line.of("m", _area * _coat / 1000, _("filter aid for the precoat"), unit="kg", decimals=1)
PRECOAT = Calculation(
    code="C06-precoat",
    title=_("Precoat"),
    family=Family.FILTRATION,
    asks=_("How much filter aid does the precoat take?"),
    givens=(_area, _coat),
    steps=(_precoat,),
    work=formulas.precoat_mass_kg,
    slips=(
        Slip(
            _("forgot to divide by 1000"),
            _("Grams come out first: a thousand of them make a kilogram."),
            {_precoat: _area * _coat},
        ),
        Slip(
            _("used the area twice"),
            _("Area times dose, once: the dose is already for each square metre."),
            {_precoat: _area * _area * _coat / 1000},
        ),
        Slip(
            _("divided by the dose"),
            _("Each square metre needs its dose: multiply."),
            {_precoat: _area / _coat},
        ),
    ),
    valid_for=_("one coat"),
    sources=("ARITHMETIC", "PRACTICE"),
    cautions=(cautions.DUST, cautions.PRESSURE),
)

_volume = Measured("V", name="volume", says=_("beer to filter"), unit="hL", low=100, high=900, resolution=5)
_feed = Measured("d", name="dose", says=_("body feed"), unit="g/hL", low=50, high=160, resolution=5, is_exact=True)
_body_feed = Line.of("m", _volume * _feed / 1000, _("filter aid for the run"), unit="kg", decimals=1)
BODY_FEED = Calculation(
    code="C06-bodyfeed",
    title=_("Body feed"),
    family=Family.FILTRATION,
    asks=_("How much filter aid does the run take as body feed?"),
    givens=(_volume, _feed),
    steps=(_body_feed,),
    work=formulas.body_feed_mass_kg,
    slips=(
        Slip(
            _("forgot to divide by 1000"),
            _("Grams come out first: a thousand of them make a kilogram."),
            {_body_feed: _volume * _feed},
        ),
        Slip(
            _("hL taken as L"),
            _("The dose is for each hectolitre, and the volume is in hectolitres: leave the 100 out."),
            {_volume: 100 * _volume},
        ),
        Slip(
            _("divided by the dose"),
            _("Each hectolitre needs its dose: multiply."),
            {_body_feed: _volume / _feed},
        ),
    ),
    valid_for=_("a run at one dose"),
    sources=("ARITHMETIC", "PRACTICE"),
    cautions=(cautions.DUST, cautions.PRESSURE),
)
