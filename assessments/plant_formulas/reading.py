"""Read a formula in ordinary arithmetic notation.

    m = V * 100 [L/hL] * c / 1000 [g/kg]

Signs: + - * / ^ and brackets; × · ÷ − ² ³ will do as well. A power binds first and from the right, a minus before it
comes after. Numbers take a decimal comma or point and may carry a unit in square brackets. Functions of one number:
sqrt, exp, ln, log10, ceil, floor. The constant pi. What a grammar of 15 lines does not name does not exist.
"""

import math
import re
import unicodedata
from functools import cache

from lark import Lark, Token, Transformer, UnexpectedCharacters, UnexpectedInput, UnexpectedToken, v_args

from assessments.plant_formulas.syntax import Call, Figure, Operation, Part, Symbol, parts_of
from assessments.vocabulary import gettext_noop

MAX_LENGTH, MAX_PARTS, MAX_DEPTH, MAX_DIGITS, MAX_EXPONENT = 200, 80, 40, 15, 12
#: A figure lies between one over this and this.
MAX_FIGURE = 1e12
FUNCTIONS = ("sqrt", "exp", "ln", "log10", "ceil", "floor")
CONSTANTS = {"π": math.pi}
#: Greek letters that nobody takes for a Latin one; π is the constant.
GREEK = "αβγδεζηθλμρστφψωΔΘΛΣΦΨΩ"
SYMBOL = rf"[A-Za-z{GREEK}]{{1,3}}(?:_[A-Za-z0-9]{{1,10}})?"

_GRAMMAR = rf"""
?start: sum
?sum: product | sum "+" product -> plus | sum "-" product -> minus
?product: signed | product "*" signed -> times | product "/" signed -> over
?signed: power | "-" signed -> negative
?power: atom | atom "^" signed -> raised
?atom: "(" sum ")"
     | FUNCTION "(" sum ")" -> call
     | NUMBER UNIT? -> figure
     | NAME -> symbol
FUNCTION.2: /({"|".join(FUNCTIONS)})(?=\s*\()/
NUMBER: /(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?/
UNIT: /\[[^\[\]]*\]/
NAME: /{SYMBOL.replace("{1,3}", "+").replace("{1,10}", "+")}/
%ignore " "
"""
#: Signs that people type, and the one that is read.
_TIDY = str.maketrans(
    {"×": "*", "·": "*", "⋅": "*", "÷": "/", "−": "-", "–": "-", "µ": "μ", "π": "pi", "²": "^2", "³": "^3"}
)

_EMPTY = gettext_noop("Write a formula, such as V * c / 1000 [g/kg].")
_TOO_LONG = gettext_noop("A formula has at most 200 characters: break it up into steps.")
_TOO_LARGE = gettext_noop("This formula is too large: break it up into steps.")
_SIGN = gettext_noop(
    "“%(piece)s” cannot stand in a formula. Use numbers, symbols, + - * / ^ and brackets, sqrt, exp, ln, log10, "
    "ceil, floor and pi."
)
_BREAKS_OFF = gettext_noop("The formula breaks off: something is missing at its end.")
_NO_SIGN = gettext_noop("Put a sign before “%(piece)s”, such as * to multiply.")
_NO_FUNCTION = gettext_noop("“%(piece)s” is no function here. There are sqrt, exp, ln, log10, ceil and floor.")
_POWER = gettext_noop("Write a power with ^, as in d^2.")
_MISPLACED = gettext_noop("“%(piece)s” cannot stand at place %(place)s.")
_TWO_MEANINGS = gettext_noop("“%(piece)s” can mean two numbers. Write it with a point, or as a whole number.")
_FIGURE = gettext_noop("“%(piece)s” is beyond anything in a plant, or has more than 15 digits.")
_EXPONENT = gettext_noop("A power goes up to 12.")


class FormulaError(ValueError):
    """The formula cannot be used. `message` is for the field, with %(name)s places for `params`."""

    def __init__(self, message: str, **params: str) -> None:
        super().__init__(message % params if params else message)
        self.message = message
        self.params = params


@v_args(inline=True)
class _Tree(Transformer[Token, Part]):
    """Builds the tree while the text is read, so that no deep nesting is ever walked by recursion."""

    def plus(self, left: Part, right: Part) -> Part:
        return Operation("+", left, right)

    def minus(self, left: Part, right: Part) -> Part:
        return Operation("-", left, right)

    def times(self, left: Part, right: Part) -> Part:
        return Operation("*", left, right)

    def over(self, left: Part, right: Part) -> Part:
        return Operation("/", left, right)

    def raised(self, left: Part, right: Part) -> Part:
        if isinstance(right, Figure) and right.value > MAX_EXPONENT:
            raise FormulaError(_EXPONENT)
        return Operation("^", left, right)

    def negative(self, of: Part) -> Part:
        return Call("-", of)

    def call(self, function: Token, of: Part) -> Part:
        return Call(str(function), of)

    def figure(self, number: Token, unit: str = "") -> Part:
        return Figure(_figure(str(number)), unit.strip("[] "))

    def symbol(self, name: Token) -> Part:
        return Symbol("π" if name == "pi" else str(name))


def _figure(text: str) -> float:
    # A comma before three digits parts thousands for some and decimals for others: here nobody can be asked later.
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", text):
        raise FormulaError(_TWO_MEANINGS, piece=text)
    digits = sum(character.isdigit() for character in re.split("[eE]", text)[0])
    value = float(text.replace(",", ".")) if digits <= MAX_DIGITS else math.inf
    if value and not 1 / MAX_FIGURE <= value <= MAX_FIGURE:
        raise FormulaError(_FIGURE, piece=text[:20])
    # Too small to be told from nothing is not what was typed.
    if not value and re.search("[1-9]", re.split("[eE]", text)[0]):
        raise FormulaError(_FIGURE, piece=text[:20])
    return value


@cache
def _parser() -> Lark:
    return Lark(_GRAMMAR, parser="lalr", transformer=_Tree())


def tidied(text: str) -> str:
    """Return a formula with one kind of each sign and of space; letters stay as they are."""
    plain = "".join(" " if character.isspace() else character for character in text)
    return unicodedata.normalize("NFC", plain).translate(_TIDY).strip()


def read_formula(text: str) -> Part:
    """Return the tree of a typed formula.

    Raises
    ------
    FormulaError
        With a message for the field, when it is no formula, or a larger one than is allowed.
    """
    if len(text) > MAX_LENGTH:
        raise FormulaError(_TOO_LONG)
    plain = tidied(text)
    if not plain:
        raise FormulaError(_EMPTY)
    try:
        tree: Part = _parser().parse(plain)  # type: ignore[assignment]  # our transformer's, not lark's own tree
    except UnexpectedInput as error:
        raise _said(error, plain) from None
    sizes = list(parts_of(tree))
    if len(sizes) > MAX_PARTS or max(depth for _, depth in sizes) > MAX_DEPTH:
        raise FormulaError(_TOO_LARGE)
    return tree


def _said(error: UnexpectedInput, plain: str) -> FormulaError:
    """Return in words what is wrong where the reader had to stop."""
    place = error.pos_in_stream or 0
    if isinstance(error, UnexpectedCharacters):
        return FormulaError(_SIGN, piece=plain[place])
    if not isinstance(error, UnexpectedToken) or error.token.type == "$END":
        return FormulaError(_BREAKS_OFF)
    piece, before = str(error.token), plain[:place].rstrip()
    if piece == "*" and before.endswith("*"):
        return FormulaError(_POWER)
    if piece == "(" and (name := re.search(rf"[A-Za-z{GREEK}_0-9]+$", before)) and not name[0].isdigit():
        return FormulaError(_NO_FUNCTION, piece=name[0])
    if error.token.type in {"NAME", "NUMBER", "FUNCTION", "LPAR"} and before and before[-1] not in "+-*/^(":
        return FormulaError(_NO_SIGN, piece=piece[:20])
    return FormulaError(_MISPLACED, piece=piece[:20], place=str(place + 1))
