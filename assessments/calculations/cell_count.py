"""Yeast under the microscope: count and viability, framework code C23."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip, number_in
from assessments.formulas import yeast as formulas
from assessments.notation import Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_LARGE_MM2, _SMALL_MM2 = 1.0, 0.04

_dilution = Measured(
    "D", name="dilution", says=_("dilution"), unit="fold", low=10, high=200, resolution=10, is_exact=True
)
_cells = Measured(
    "N", name="cells", says=_("cells in all squares"), unit="units", low=150, high=600, resolution=1, is_exact=True
)
_large = Measured(
    "n", name="squares", says=_("squares of 1 mm² counted"), unit="units", low=4, high=5, resolution=1, is_exact=True
)
_each = Line.of("q", _cells / _large, _("cells in a square"), unit="cells", decimals=1)
_sample = Line.of("c", _each * _dilution / 100, _("cells in the sample"), unit="million/mL", decimals=1)
LARGE_SQUARES = Calculation(
    code="C23-large_squares",
    title=_("Cell count in squares of 1 mm²"),
    family=Family.YEAST,
    asks=_("The diluted slurry was counted in a chamber 0.1 mm deep. How many cells are in a millilitre of slurry?"),
    givens=(_cells, _large, _dilution),
    steps=(_each, _sample),
    work=lambda cells, squares, dilution: formulas.counted_cells_million_per_ml(cells, squares, _LARGE_MM2, dilution),
    slips=(
        Slip(
            _("took the squares for small ones"),
            _("A square of 1 mm² holds 25 of the small ones: 10 000 squares make a millilitre, not 250 000."),
            {_sample: _each * _dilution / 4},
        ),
        Slip(
            _("not averaged over the squares"),
            _("Divide by the number of squares first."),
            {_each: _cells},
        ),
        Slip(
            _("dilution left out"),
            _("You counted the diluted sample: multiply by how many times it was diluted."),
            {_sample: _each / 100},
        ),
    ),
    valid_for=_("a chamber 0.1 mm deep; 75 cells or more, or the count is too uncertain"),
    sources=("CHAMBER", "PRACTICE"),
    cautions=(cautions.CO2, cautions.PRESSURE),
)

_fewer = Measured(
    "N", name="cells", says=_("cells in all squares"), unit="units", low=100, high=400, resolution=1, is_exact=True
)
_small = Measured(
    "n", name="squares", says=_("small squares counted, 25 of them make 1 mm²"), unit="units", low=5, high=10,
    resolution=1, is_exact=True,
)  # fmt: skip
_in_small = Line.of("q", _fewer / _small, _("cells in a small square"), unit="cells", decimals=1)
_of_small = Line.of("c", _in_small * _dilution / 4, _("cells in the sample"), unit="million/mL", decimals=0)
SMALL_SQUARES = Calculation(
    code="C23-small_squares",
    title=_("Cell count in small squares"),
    family=Family.YEAST,
    asks=_("The diluted slurry was counted in a chamber 0.1 mm deep. How many cells are in a millilitre of slurry?"),
    givens=(_fewer, _small, _dilution),
    steps=(_in_small, _of_small),
    work=lambda cells, squares, dilution: formulas.counted_cells_million_per_ml(cells, squares, _SMALL_MM2, dilution),
    slips=(
        Slip(
            _("took the squares for large ones"),
            _("25 small squares make 1 mm²: 250 000 of them make a millilitre, not 10 000."),
            {_of_small: _in_small * _dilution / 100},
        ),
        Slip(
            _("not averaged over the squares"),
            _("Divide by the number of squares first."),
            {_in_small: _fewer},
        ),
        Slip(
            _("dilution left out"),
            _("You counted the diluted sample: multiply by how many times it was diluted."),
            {_of_small: _in_small / 4},
        ),
    ),
    valid_for=_("a chamber 0.1 mm deep; 75 cells or more, or the count is too uncertain"),
    sources=("CHAMBER", "PRACTICE"),
    cautions=(cautions.CO2, cautions.PRESSURE),
)

_total = Measured(
    "N", name="cells", says=_("cells counted"), unit="units", low=200, high=240, resolution=1, is_exact=True
)
_unstained = Measured(
    "L", name="unstained", says=_("cells without colour"), unit="units", low=180, high=230, resolution=1, is_exact=True
)
_alive = Line.of("v", 100 * _unstained / _total, _("viability"), unit="%", decimals=1)
VIABILITY = Calculation(
    code="C23-viability",
    title=_("Viability of yeast"),
    family=Family.YEAST,
    asks=_("Methylene blue was added; dead cells turn blue. What share is alive?"),
    givens=(_unstained, _total),
    steps=(_alive,),
    work=formulas.viability_pct,
    slips=(
        Slip(
            _("gave the dead ones"),
            _("Dead cells let the stain in. The ones without colour are alive."),
            {_alive: 100 * (_total - _unstained) / _total},
        ),
        Slip(
            _("divided live by dead"),
            _("A share is of all cells counted: divide by the total."),
            {_alive: 100 * _unstained / (_total - _unstained)},
        ),
    ),
    valid_for=_("methylene blue, 90 % and more alive; below that it flatters (a textbook rule, from memory)"),
    sources=("ARITHMETIC",),
    cautions=(cautions.STAIN,),
    accepts=lambda givens: 80 <= 100 * number_in(givens, "unstained") / number_in(givens, "cells") <= 99,
)

_slurry = Measured(
    "c", name="slurry", says=_("cells in the slurry"), unit="million/mL", low=700, high=1800, resolution=10
)
_all = Measured(
    "N", name="cells", says=_("cells counted"), unit="units", low=150, high=400, resolution=1, is_exact=True
)
_blue = Measured("B", name="stained", says=_("blue cells"), unit="units", low=8, high=60, resolution=1, is_exact=True)
_live_share = Line.of("v", 1 - _blue / _all, _("share alive"), decimals=3)
_live = Line.of("c_v", _slurry * _live_share, _("live cells in the slurry"), unit="million/mL", decimals=0)
LIVE = Calculation(
    code="C23-live",
    title=_("Live cells in a slurry"),
    family=Family.YEAST,
    asks=_("How many live cells are in a millilitre of the slurry?"),
    givens=(_slurry, _blue, _all),
    steps=(_live_share, _live),
    work=formulas.live_cells_million_per_ml,
    slips=(
        Slip(
            _("gave the dead ones"),
            _("Blue cells are dead: take their share from 1."),
            {_live_share: _blue / _all},
        ),
        Slip(
            _("divided by the share alive"),
            _("Only a part of the cells is alive: multiply."),
            {_live: _slurry / _live_share},
        ),
        Slip(
            _("viability left out"),
            _("Dead cells do no work: count only the live share of the slurry."),
            {_live: _slurry},
            sometimes=True,
        ),
    ),
    valid_for=_("dead cells take the stain; 75 cells or more counted"),
    sources=("ARITHMETIC",),
    cautions=(cautions.STAIN, cautions.CO2),
)
