"""Strength on the label, framework code C32."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, Word, number_in
from assessments.formulas import alcohol_labels as formulas
from assessments.notation import Line, Rule, magnitude
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_market = Word(
    "market",
    name="market",
    says=_("market and drink"),
    options=tuple(formulas.TOLERANCES),
    # Steeped fruit and spirits are far from the strengths drawn here; they can be worked, and are not set.
    shares=(4, 2, 0, 1, 2, 0, 2),
)
_label = Measured(
    "a", name="label", says=_("strength on the label"), unit="% vol", low=3, high=8.5, resolution=0.1, is_exact=True
)
_measured = Measured("b", name="measured", says=_("strength measured"), unit="% vol", low=2, high=9.5, resolution=0.01)
_tolerance = Line.of(
    "Δ",
    Rule("table at {1} % vol", formulas.strength_tolerance_pct, (_market, _label)),
    _("tolerance either way"),
    unit="% vol",
    decimals=1,
)


def _other_tolerance(market: str, label: float) -> float:
    right = formulas.strength_tolerance_pct(market, label)
    beer = formulas.strength_tolerance_pct(formulas.EU_BEER, label)
    return beer if right != beer else formulas.TOLERANCES[formulas.US_MALT]


_OTHER_MARKET = Slip(
    _("tolerance of another market or drink"),
    _("Europe allows beer 0.5 % vol, or 1.0 when labelled above 5.5; the United States and Australia 0.3."),
    {_tolerance: Rule("another row at {1} % vol", _other_tolerance, (_market, _label))},
)
_RELATIVE = Slip(
    _("took the tolerance as a share of the label"),
    _("The tolerance is in % vol, to be added and subtracted as it stands."),
    {_tolerance: _tolerance * _label / 100},
)
_CAUTIONS = (cautions.TASTING,)
_VALID_FOR = _("the markets listed; the figure for Australia and New Zealand is from memory")
_SOURCES = ("REG-1169-XII", "CFR27-7", "CFR27-19", "FSANZ-271")

_lowest = Line.of("a_min", _label - _tolerance, _("lowest strength allowed"), unit="% vol", decimals=1)
LOWEST = Calculation(
    code="C32-lowest",
    title=_("Lowest strength for a label"),
    family=Family.LABELLING,
    asks=_("Down to which measured strength may the drink carry this label?"),
    givens=(_market, _label),
    steps=(_tolerance, _lowest),
    work=lambda market, label: label - formulas.strength_tolerance_pct(market, label),
    slips=(
        _OTHER_MARKET,
        _RELATIVE,
        Slip(
            _("gave the highest strength"),
            _("The lowest is asked for: subtract the tolerance."),
            {_lowest: _label + _tolerance},
        ),
    ),
    valid_for=_VALID_FOR,
    sources=_SOURCES,
    cautions=_CAUTIONS,
)

_room = Line.of("r", _tolerance - magnitude(_measured - _label), _("room left"), unit="% vol", decimals=2)


def _is_near_the_label(givens: Givens) -> bool:
    """Return whether the difference is a likely one, and not just one of the tolerances."""
    difference = abs(number_in(givens, "measured") - number_in(givens, "label"))
    tolerances = {*formulas.TOLERANCES.values(), formulas.STRONG_BEER_TOLERANCE}
    return 0.1 < difference < 1.2 and min(abs(difference - each) for each in tolerances) > 0.02


ROOM = Calculation(
    code="C32-room",
    title=_("Room within the label's tolerance"),
    family=Family.LABELLING,
    asks=_("How much of the tolerance is left? A label that is wrong has less than nothing: negative."),
    givens=(_market, _label, _measured),
    steps=(_tolerance, _room),
    work=formulas.strength_room_pct,
    slips=(
        _OTHER_MARKET,
        _RELATIVE,
        Slip(
            _("gave the difference itself"),
            _("Asked is what the difference leaves of the tolerance."),
            {_room: magnitude(_measured - _label)},
            sometimes=True,
        ),
        Slip(
            _("took the class of the beer by the strength measured"),
            _("What stands on the label says whether a beer is above 5.5 % vol."),
            {_tolerance: Rule("table at {1} % vol", formulas.strength_tolerance_pct, (_market, _measured))},
            sometimes=True,
        ),
    ),
    valid_for=_VALID_FOR,
    sources=_SOURCES,
    cautions=_CAUTIONS,
    may_be_negative=True,
    accepts=_is_near_the_label,
)
