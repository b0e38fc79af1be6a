"""Least size of print on a label, framework code C33."""

from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import print_size as formulas
from assessments.formulas.constants import MM_PER_POINT
from assessments.notation import Line, Number, Rule
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_type = Measured("p", name="type", says=_("size of type"), unit="pt", low=5, high=11, resolution=0.5, is_exact=True)
_share = Measured(
    "f", name="ratio", says=_("height of the x as a share of the size"), unit="fraction", low=0.4, high=0.55,
    resolution=0.005,
)  # fmt: skip
_x_height = Line.of("x", MM_PER_POINT.value * _type * _share, _("x-height"), unit="mm", decimals=2)
#: The older point [mm].
_DIDOT_MM = 0.375
_BODY = Slip(
    _("took the size of type for the x-height"),
    _("The size is that of the whole line; the small x is less than half of it or little more."),
    {_share: Number(1)},
)
_DIDOT = Slip(
    _("took 0.375 mm for a point"),
    _("That is the point of old metal type; the point of today is 0.3528 mm."),
    {_x_height: _DIDOT_MM * _type * _share},
)
X_HEIGHT = Calculation(
    code="C33-x_height",
    title=_("x-height of print"),
    family=Family.LABELLING,
    asks=_("How high is the small x of this print?"),
    givens=(_type, _share),
    steps=(_x_height,),
    work=formulas.x_height_mm,
    slips=(_BODY, _DIDOT),
    valid_for=_(
        "the point of 1/72 inch, within 0.01 %; the share belongs to the typeface, and the print is measured when in "
        "doubt"
    ),
    sources=("POINT", "REG-1169-13"),
    is_harmless=True,
)

_surface = Measured(
    "A", name="surface", says=_("largest surface of the pack"), unit="cm²", low=40, high=160, resolution=1
)
_least_x = Line.of("x_0", Rule("least at {0} cm²", formulas.least_x_height_mm, (_surface,)), _("least x-height"),
                   unit="mm", decimals=1)  # fmt: skip
_spare = Line.of("d", _x_height - _least_x, _("above the least, too small negative"), unit="mm", decimals=2)


def _is_off_the_limits(givens: Givens) -> bool:
    """Return whether print and limit differ enough to be told apart, whichever point and limit are taken."""
    size = number_in(givens, "type") * number_in(givens, "ratio")
    limits = (formulas.LEAST_X_HEIGHT, formulas.LEAST_ON_SMALL)
    if number_in(givens, "surface") == formulas.SMALL_BELOW:
        return False
    return min(abs(point * size - limit) for point in (_DIDOT_MM, MM_PER_POINT.value) for limit in limits) > 0.02


X_HEIGHT_MARGIN = Calculation(
    code="C33-margin",
    title=_("Print against the least x-height"),
    family=Family.LABELLING,
    asks=_("How far above the least x-height is this print? Print that is too small is negative."),
    givens=(_type, _share, _surface),
    steps=(_x_height, _least_x, _spare),
    work=lambda size, ratio, surface: formulas.x_height_mm(size, ratio) - formulas.least_x_height_mm(surface),
    slips=(
        _BODY,
        _DIDOT,
        Slip(
            _("took the other least height"),
            _("0.9 mm is for packs whose largest surface is below 80 cm²; all others have 1.2 mm."),
            {_least_x: formulas.LEAST_X_HEIGHT + formulas.LEAST_ON_SMALL - _least_x},
        ),
    ),
    valid_for=_("particulars on food and drink in the European Union, the quantity apart"),
    sources=("REG-1169-13", "POINT"),
    is_harmless=True,
    may_be_negative=True,
    accepts=_is_off_the_limits,
)

_nominal = Measured(
    "Q_n", name="nominal", says=_("nominal content"), unit="mL", low=20, high=2000, resolution=10, is_exact=True
)
_figures = Line.of("h_0", Rule("row of {0} mL", formulas.figure_height_mm, (_nominal,)), _("least height of figures"),
                   unit="mm", decimals=1)  # fmt: skip


def _next_row(nominal: float) -> float:
    heights = [height for _bound, height in formulas.FIGURE_HEIGHTS]
    place = heights.index(formulas.figure_height_mm(nominal))
    return heights[place + 1] if place + 1 < len(heights) else heights[place - 1]


FIGURES = Calculation(
    code="C33-figures",
    title=_("Height of the figures of the quantity"),
    family=Family.LABELLING,
    asks=_("How high must the figures of the quantity be at least?"),
    givens=(_nominal,),
    steps=(_figures,),
    work=formulas.figure_height_mm,
    slips=(
        Slip(
            _("used the least height of other print"),
            _("1.2 mm is for words; the figures of the quantity have heights of their own."),
            {_figures: Number(formulas.LEAST_X_HEIGHT)},
        ),
        Slip(
            _("took the row beside"),
            _("Up to 50 mL 2 mm, up to 200 mL 3 mm, up to 1000 mL 4 mm, above 6 mm."),
            {_figures: Rule("row beside {0} mL", _next_row, (_nominal,))},
        ),
    ),
    valid_for=_("packs with a nominal quantity in the European Union"),
    sources=("DIR-76-211",),
    is_harmless=True,
)
