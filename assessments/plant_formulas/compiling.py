"""From what was told to a calculation that can be practised, or to every fault in it, each at its place."""

import math
import re
from dataclasses import dataclass, replace
from itertools import product

from assessments.calculations import calculations
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas.references import Reference
from assessments.notation import Line, Node, Number, Scope
from assessments.plant_formulas.balance import Size, require_balance, require_known, size_of_unit
from assessments.plant_formulas.building import SHORT_PI, node_of
from assessments.plant_formulas.described import CAUTIONS, LEAST_SLIPS, Described, GivenTold, SlipTold, StepTold
from assessments.plant_formulas.faults import DescriptionError, Fault
from assessments.plant_formulas.reading import CONSTANTS, FUNCTIONS, SYMBOL, FormulaError, read_formula
from assessments.plant_formulas.syntax import Part, symbols_in
from assessments.vocabulary import AnswerKind, Value, gettext_noop

MAX_CHOICES = 1_000_000
#: No step of a plant's working goes beyond this, in whatever unit.
MAX_RESULT = 1e12
CODE = re.compile(r"[A-Z][A-Z0-9]{1,5}")
RESERVED = {*FUNCTIONS, *CONSTANTS, "pi"}
#: Stands for a formula that could not be read, so that the faults after it can still be found.
_UNREAD = Number(0.0)

_CODE = gettext_noop("A code has 2 to 6 capital letters and digits, such as X01.")
_CODE_TAKEN = gettext_noop("%(code)s is a code of the library: take another letter, such as X01.")
_SYMBOL = gettext_noop("A symbol has one to three letters, Latin or Greek, and may go on with _ and a word, as V_w.")
_RESERVED = gettext_noop("%(symbol)s means something else in a formula: take another symbol.")
_SYMBOL_TWICE = gettext_noop("%(symbol)s stands for something else already.")
_RANGE = gettext_noop("The lowest value must lie below the highest.")
_RESOLUTION = gettext_noop("The resolution must be above 0.")
_PLACES = gettext_noop("From lowest to highest there must be a whole number of such steps, a million at most.")
_NO_GIVEN = gettext_noop("Name at least one given.")
_UNUSED = gettext_noop("No formula uses %(symbol)s.")
_NO_STEP = gettext_noop("Write at least one formula: the last one finds the answer.")
_WHOLE = gettext_noop("Without a unit the answer is a whole number, with 0 decimals.")
_SLIPS = gettext_noop("Name at least two usual slips.")
_SLIP_TWICE = gettext_noop("Another slip has this name.")
_REPLACES = gettext_noop("%(symbol)s is neither given nor found by a step.")
_SLIP_LATER = gettext_noop("In place of %(symbol)s a slip cannot use %(later)s, which is found later.")


@dataclass(frozen=True, eq=False, kw_only=True)
class PlantCalculation(Calculation):
    """A calculation of one plant, with the source that its coordinator named."""

    reference: Reference

    @property
    def references(self) -> tuple[Reference, ...]:
        """Return the source."""
        return (self.reference,)


def compiled(described: Described) -> PlantCalculation:
    """Return the calculation that was told.

    Raises
    ------
    DescriptionError
        With every fault that can be found at once.
    """
    return _Compiling(described).result()


class _Compiling:
    """Gathers the parts of one calculation, and the faults on the way."""

    def __init__(self, told: Described) -> None:
        self.told = told
        self.faults: list[Fault] = []
        self.named: dict[str, Node] = {}
        self.sizes: dict[str, Size] = {}
        self.used: set[str] = set()

    def result(self) -> PlantCalculation:
        self._check_code()
        self._require(self.told.givens, "givens", _NO_GIVEN)
        givens = [self._given(place, told) for place, told in enumerate(self.told.givens)]
        self._require(self.told.steps, "steps", _NO_STEP)
        steps = [self._step(place, told) for place, told in enumerate(self.told.steps)]
        self._check_answer()
        self._check_all_used()
        if len(self.told.slips) < LEAST_SLIPS:
            self._fault("slips", message=_SLIPS)
        slips = [self._slip(place, told) for place, told in enumerate(self.told.slips)]
        if self.faults:
            raise DescriptionError(tuple(self.faults))
        made = _joined(self.told, tuple(givens), tuple(steps), tuple(slips))
        return replace(made, also_right=(SHORT_PI,)) if CONSTANTS.keys() & self.used else made

    def _fault(self, *where: str | int, message: str, **params: str) -> None:
        self.faults.append(Fault(where, message, params))

    def _require(self, rows: tuple[object, ...], name: str, message: str) -> None:
        if not rows:
            self._fault(name, message=message)

    def _check_code(self) -> None:
        code = self.told.code
        if not CODE.fullmatch(code):
            self._fault("code", message=_CODE)
        elif re.fullmatch(r"C\d+", code) or any(kind.framework_code == code for kind in calculations().values()):
            self._fault("code", message=_CODE_TAKEN, code=code)

    def _given(self, place: int, told: GivenTold) -> Measured:
        self._check_symbol("givens", place, told.symbol)
        self._check_range(place, told)
        made = Measured(
            told.symbol,
            name=told.symbol,
            says=told.says,
            unit=told.unit,
            low=told.low,
            high=told.high,
            resolution=told.resolution,
            is_exact=told.is_exact,
        )
        self._name(told.symbol, made, self._size_of_unit("givens", place, told.unit))
        return made

    def _check_range(self, place: int, told: GivenTold) -> None:
        if not told.low < told.high:
            self._fault("givens", place, "high", message=_RANGE)
            return
        if told.resolution <= 0:
            self._fault("givens", place, "resolution", message=_RESOLUTION)
            return
        choices = (told.high - told.low) / told.resolution
        if choices > MAX_CHOICES or abs(choices - round(choices)) > 1e-6:  # noqa: PLR2004 - binary crumbs
            self._fault("givens", place, "resolution", message=_PLACES)

    def _check_symbol(self, rows: str, place: int, symbol: str) -> None:
        if not re.fullmatch(SYMBOL, symbol):
            self._fault(rows, place, "symbol", message=_SYMBOL)
        elif symbol in RESERVED:
            self._fault(rows, place, "symbol", message=_RESERVED, symbol=symbol)
        elif symbol in self.named:
            self._fault(rows, place, "symbol", message=_SYMBOL_TWICE, symbol=symbol)

    def _size_of_unit(self, rows: str, place: int, spelling: str) -> Size:
        try:
            return size_of_unit(spelling)
        except FormulaError as error:
            self._fault(rows, place, "unit", message=error.message, **error.params)
            return Size()

    def _name(self, symbol: str, node: Node, size: Size) -> None:
        self.named.setdefault(symbol, node)
        self.sizes.setdefault(symbol, size)

    def _step(self, place: int, told: StepTold) -> Line:
        self._check_symbol("steps", place, told.symbol)
        size = self._size_of_unit("steps", place, told.unit)
        tree = self._read("steps", place, told.formula)
        if tree is not None:
            self._balance(place, tree, told.unit)
        made = Line(
            symbol=told.symbol,
            body=_UNREAD if tree is None or self.faults else node_of(tree, self.named),
            says=told.says,
            unit=told.unit,
            decimals=told.decimals,
            round_up=self.told.round_up and place == len(self.told.steps) - 1,
        )
        self._name(told.symbol, made, size)
        return made

    def _read(self, rows: str, place: int, formula: str) -> Part | None:
        """Return the tree of a formula all of whose symbols and units are known here."""
        try:
            tree = read_formula(formula)
            self.used |= symbols_in(tree)
            require_known(tree, self.sizes)
        except FormulaError as error:
            self._fault(rows, place, "formula", message=error.message, **error.params)
            return None
        return tree

    def _balance(self, place: int, tree: Part, unit: str) -> None:
        # Where a unit is unknown there is a fault at it already, and nothing to balance.
        if any(fault.where[-1] == "unit" for fault in self.faults):
            return
        try:
            require_balance(tree, self.sizes, unit)
        except FormulaError as error:
            self._fault("steps", place, "formula", message=error.message, **error.params)

    def _check_answer(self) -> None:
        if self.told.steps and not self.told.steps[-1].unit and self.told.steps[-1].decimals:
            self._fault("steps", len(self.told.steps) - 1, "decimals", message=_WHOLE)

    def _check_all_used(self) -> None:
        # What a formula that could not be read would have used is not known.
        if any(fault.where[-1] == "formula" for fault in self.faults):
            return
        symbols = {
            "givens": [each.symbol for each in self.told.givens],
            "steps": [each.symbol for each in self.told.steps[:-1]],
        }
        for rows, named in symbols.items():
            for place, symbol in enumerate(named):
                if symbol not in self.used:
                    self._fault(rows, place, "symbol", message=_UNUSED, symbol=symbol)

    def _slip(self, place: int, told: SlipTold) -> Slip:
        if told.name in [each.name for each in self.told.slips[:place]]:
            self._fault("slips", place, "name", message=_SLIP_TWICE)
        tree = self._read("slips", place, told.formula)
        if told.replaces not in self.named:
            self._fault("slips", place, "replaces", message=_REPLACES, symbol=told.replaces)
        elif tree is not None:
            self._check_order(place, told.replaces, tree)
        if tree is None or self.faults:
            return Slip(told.name, told.advice, {})
        return Slip(told.name, told.advice, {self.named[told.replaces]: node_of(tree, self.named)})

    def _check_order(self, place: int, replaces: str, tree: Part) -> None:
        """Let a slip in a step lean on what was found up to there; one in a given lean on every given."""
        order = list(self.named)
        last = max(order.index(replaces), len(self.told.givens) - 1)
        for later in order[last + 1 :]:
            if later in symbols_in(tree):
                self._fault("slips", place, "formula", message=_SLIP_LATER, symbol=replaces, later=later)
                return


def _joined(
    told: Described, givens: tuple[Measured, ...], steps: tuple[Line, ...], slips: tuple[Slip, ...]
) -> PlantCalculation:
    def work(*values: Value) -> Value:
        return _worked(steps, {given.name: value for given, value in zip(givens, values, strict=True)})

    return PlantCalculation(
        code=told.full_code,
        title=told.title,
        family=told.family,
        asks=told.asks,
        givens=givens,
        steps=steps,
        work=work,
        slips=slips,
        valid_for=told.valid_for,
        sources=(),
        reference=Reference(f"{told.full_code}", told.source, told.how_known),
        cautions=tuple(CAUTIONS[key] for key in told.cautions if key in CAUTIONS),
        kind=AnswerKind.QUANTITY if told.steps[-1].unit else AnswerKind.WHOLE,
        may_be_negative=_may_be_negative(givens, steps),
    )


def _worked(steps: tuple[Line, ...], values: dict[str, Value]) -> float:
    """Return the last step's value. Raises ArithmeticError or ValueError where a step gives none that can be shown."""
    scope, value = Scope(values), math.nan
    for step in steps:
        value = scope.number_of(step)
        if not abs(value) <= MAX_RESULT:
            raise ValueError(f"{step.symbol} is beyond anything in a plant.")
    return value


def _may_be_negative(givens: tuple[Measured, ...], steps: tuple[Line, ...]) -> bool:
    for corner in product(*((given.low, given.high) for given in givens)):
        try:
            if _worked(steps, {given.name: value for given, value in zip(givens, corner, strict=True)}) < 0:
                return True
        except (ArithmeticError, ValueError):
            continue
    return False
