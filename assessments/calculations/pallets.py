"""Pallets, framework codes C16 and C38."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import pallets as formulas
from assessments.notation import Line, Number, Scope, rounded_down, rounded_up
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _


def _count(symbol: str, name: str, says: str, low: int, high: int) -> Measured:
    return Measured(symbol, name=name, says=says, unit="units", low=low, high=high, resolution=1, is_exact=True)


_full = _count("f", "full", _("full pallets"), 3, 30)
_layers = _count("l", "layers", _("layers on a pallet"), 5, 9)
_cases = _count("c", "cases", _("cases in a layer"), 7, 14)
_units = _count("u", "units", _("units in a case"), 6, 24)
_part = _count("k", "part_cases", _("cases on the part pallet"), 3, 60)
_all_cases = Line.of("n", _full * _layers * _cases + _part, _("cases in all"))
_stock = Line.of("N", _all_cases * _units, _("units in all"))
STOCK = Calculation(
    code="C16-stock",
    title=_("Units on pallets"),
    family=Family.LABELLING,
    asks=_("How many units stand on the floor?"),
    givens=(_full, _layers, _cases, _units, _part),
    steps=(_all_cases, _stock),
    work=formulas.units_on_pallets,
    slips=(
        Slip(
            _("layers left out"),
            _("Cases in a layer times layers makes a pallet."),
            {_all_cases: _full * _cases + _part},
        ),
        Slip(
            _("part pallet counted as full"),
            _("Count the cases on the part pallet one by one."),
            {_part: _layers * _cases},
        ),
        Slip(
            _("part pallet left out"),
            _("The cases on the part pallet are stock too."),
            {_part: Number(0)},
        ),
        Slip(
            _("gave cases, not units"),
            _("Multiply by the units in a case."),
            {_stock: _all_cases},
        ),
    ),
    valid_for=_("whole cases, one part pallet"),
    sources=("ARITHMETIC",),
    cautions=(cautions.FORKLIFT,),
    kind=AnswerKind.WHOLE,
    accepts=lambda givens: number_in(givens, "part_cases") < number_in(givens, "layers") * number_in(givens, "cases"),
)

_order = _count("N", "units", _("units ordered"), 5000, 90000)
_per_case = _count("u", "case", _("units in a case"), 6, 24)
_per_pallet = _count("c", "pallet", _("cases on a pallet"), 40, 108)
_needed_cases = Line.of("n", rounded_up(_order / _per_case), _("cases, the last one begun counted"))
_needed = Line.of("p", rounded_up(_needed_cases / _per_pallet), _("pallets, the last one begun counted"))
PALLETS = Calculation(
    code="C16-pallets",
    title=_("Pallets for an order"),
    family=Family.LABELLING,
    asks=_("How many pallets does the order take, a part pallet counted as one?"),
    givens=(_order, _per_case, _per_pallet),
    steps=(_needed_cases, _needed),
    work=formulas.pallets_needed,
    slips=(
        Slip(
            _("rounded down"),
            _("The last few cases need a pallet too: round up."),
            {_needed: rounded_down(_needed_cases / _per_pallet)},
            sometimes=True,
        ),
        Slip(
            _("divided units by cases on a pallet"),
            _("Turn units into cases first."),
            {_needed_cases: _order},
        ),
    ),
    valid_for=_("whole cases on one size of pallet"),
    sources=("ARITHMETIC",),
    cautions=(cautions.FORKLIFT,),
    kind=AnswerKind.WHOLE,
)

_in_layer = _count("c", "layer", _("cases in a layer"), 7, 14)
_on_pallet = _count("l_p", "layers", _("layers on a full pallet"), 5, 9)
_full_pallet = _in_layer * _on_pallet
_left_over = Line.of(
    "k", _needed_cases - rounded_down(_needed_cases / _full_pallet) * _full_pallet, _("cases on the last pallet")
)
_begun = Line.of("l", rounded_up(_left_over / _in_layer), _("layers begun on it"))


def _has_begun_a_layer(givens: Givens) -> bool:
    left_over = Scope(givens).number_of(_left_over)
    return left_over > 1 and left_over % number_in(givens, "layer") != 0


LAYERS = Calculation(
    code="C38-layers",
    title=_("Layers on the last pallet"),
    family=Family.LABELLING,
    asks=_("How many layers of the last, part pallet are begun?"),
    givens=(_order, _per_case, _in_layer, _on_pallet),
    steps=(_needed_cases, _left_over, _begun),
    work=formulas.layers_on_last,
    slips=(
        Slip(
            _("rounded down"),
            _("A layer with one case is begun: round up."),
            {_begun: rounded_down(_left_over / _in_layer)},
        ),
        Slip(
            _("left the full pallets in"),
            _("Take the full pallets off: only what is over stands on the last one."),
            {_left_over: _needed_cases},
        ),
        Slip(
            _("gave the cases over"),
            _("Divide the cases that are over by the cases in a layer."),
            {_begun: _left_over},
        ),
    ),
    valid_for=_("whole cases, laid layer by layer"),
    sources=("ARITHMETIC",),
    cautions=(cautions.FORKLIFT,),
    kind=AnswerKind.WHOLE,
    accepts=_has_begun_a_layer,
)

_case_mass = Measured("m_c", name="case", says=_("full case"), unit="kg", low=8, high=19, resolution=0.1)
_empty = Measured("m_p", name="empty", says=_("empty pallet"), unit="kg", low=18, high=28, resolution=0.5)
_load = Line.of("m_l", _full_pallet * _case_mass, _("load"), unit="kg", decimals=1)
_mass = Line.of("m", _load + _empty, _("full pallet"), unit="kg", decimals=0)
MASS = Calculation(
    code="C38-mass",
    title=_("Mass of a full pallet"),
    family=Family.LABELLING,
    asks=_("What does a full pallet weigh?"),
    givens=(_in_layer, _on_pallet, _case_mass, _empty),
    steps=(_load, _mass),
    work=formulas.pallet_mass_kg,
    slips=(
        Slip(
            _("empty pallet forgotten"),
            _("The truck lifts the wood too: add the empty pallet."),
            {_mass: _load},
        ),
        Slip(
            _("one layer only"),
            _("Cases in a layer times layers make the load."),
            {_load: _in_layer * _case_mass},
        ),
    ),
    valid_for=_("cases of one mass; sheets and wrap are left out"),
    sources=("ARITHMETIC",),
    cautions=(cautions.FORKLIFT,),
)
