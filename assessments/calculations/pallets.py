"""Pallets, framework code C16."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip, number_in
from assessments.formulas import pallets as formulas
from assessments.notation import Line, Number, rounded_down, rounded_up
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
