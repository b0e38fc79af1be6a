"""What a worked calculation is made of.

A calculation is declared once, in a module of this package: what is given (with unit, sensible range and the
resolution to which the plant reads it), the steps, the formula they must agree with, the usual slips, the range
of validity and the sources. Problems, marking, worked steps and the command line all read that one declaration.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from assessments.formulas.references import REFERENCES, Reference
from assessments.notation import Line, Named, Node, Scope, written
from assessments.vocabulary import AnswerKind, Family, Value

Givens = Mapping[str, Value]
_UNSAID = {"units", "fraction"}


def number_in(givens: Givens, name: str) -> float:
    """Return a given that is a number."""
    value = givens[name]
    if isinstance(value, str | date):
        raise TypeError(f"{name} is no number.")
    return value


def apart(one: str, other: str, *, by: float) -> Callable[[Givens], bool]:
    """Return whether two givens differ by so much at least: where they are alike, no slip could be told."""
    return lambda givens: abs(number_in(givens, one) - number_in(givens, other)) >= by * (1 - 1e-9)


@dataclass(frozen=True, eq=False, kw_only=True)
class Given(Named):
    """Something that the problem states. `name` is what the command line calls it."""

    name: str
    says: str

    @property
    def choices(self) -> int:
        """Return how many values can be drawn."""
        raise NotImplementedError

    def value_at(self, place: int) -> Value:
        """Return the value with that number, counted from 0."""
        raise NotImplementedError

    def evaluate(self, scope: Scope) -> Value:
        """Return the value stated in the problem."""
        return scope.values[self.name]

    @property
    def shown_unit(self) -> str:
        """Return the unit that stands beside the value; empty where the words before it say all."""
        return ""

    def show(self, value: Value) -> str:
        """Return the value as the problem states it, without its unit."""
        return written(value)


@dataclass(frozen=True, eq=False, kw_only=True)
class Measured(Given):
    """A number with a unit, read to a resolution. Counts and set points are exact.

    `usual` is the value taken on the command line when none is given.
    """

    unit: str
    low: float
    high: float
    resolution: float
    is_exact: bool = False
    usual: float | None = None

    @property
    def choices(self) -> int:
        """Return the number of readings between low and high."""
        return round((self.high - self.low) / self.resolution) + 1

    def value_at(self, place: int) -> float:
        """Return a reading, free of binary crumbs."""
        return round(self.low + place * self.resolution, self.decimals)

    @property
    def decimals(self) -> int:
        """Return the decimal places of a reading."""
        text = f"{self.resolution:.9f}".rstrip("0")
        return len(text.partition(".")[2])

    @property
    def shown_unit(self) -> str:
        """Return the unit, save for a count or a plain share."""
        return "" if self.unit in _UNSAID else self.unit

    def show(self, value: Value) -> str:
        """Return the reading with the places that its instrument shows, or all that were typed."""
        plain = written(value)
        places = len(plain.partition(".")[2])
        return written(value, decimals=max(self.decimals, places)) if "e" not in plain else plain


@dataclass(frozen=True, eq=False, kw_only=True)
class Digits(Given):
    """A run of digits, such as the first twelve of a bar code."""

    length: int

    @property
    def choices(self) -> int:
        """Return the number of such runs."""
        return int(10**self.length)

    def value_at(self, place: int) -> str:
        """Return a run of digits, with its leading zeros."""
        return f"{place:0{self.length}d}"


@dataclass(frozen=True, eq=False, kw_only=True)
class Day(Given):
    """A calendar date."""

    first: date
    last: date

    @property
    def choices(self) -> int:
        """Return the number of days."""
        return (self.last - self.first).days + 1

    def value_at(self, place: int) -> date:
        """Return a day."""
        return self.first + timedelta(days=place)


@dataclass(frozen=True, eq=False, kw_only=True)
class Coded(Given):
    """A calendar date as it stands on a pack. `write` makes the code of a day."""

    first: date
    last: date
    write: Callable[[date], str]

    @property
    def choices(self) -> int:
        """Return the number of days."""
        return (self.last - self.first).days + 1

    def value_at(self, place: int) -> str:
        """Return the code of a day."""
        return self.write(self.first + timedelta(days=place))


@dataclass(frozen=True, eq=False, kw_only=True)
class Word(Given):
    """One of a few words, such as a colour. `shares` tells how often each is drawn; evenly when it is empty."""

    options: tuple[str, ...]
    shares: tuple[int, ...] = ()

    @property
    def _drawn(self) -> tuple[str, ...]:
        shares = self.shares or (1,) * len(self.options)
        return tuple(word for word, share in zip(self.options, shares, strict=True) for _ in range(share))

    @property
    def choices(self) -> int:
        """Return the number of words, each counted by its share."""
        return len(self._drawn)

    def value_at(self, place: int) -> str:
        """Return a word."""
        return self._drawn[place]


@dataclass(frozen=True, eq=False)
class Slip:
    """A usual mistake: its name, how to avoid it, and what it puts in place of which part of the working.

    A slip that is only `sometimes` wrong (a month that happens to have thirty days) is left out where it makes
    no difference; every other slip must differ from the right answer in every problem that is set.
    """

    name: str
    advice: str
    replaces: Mapping[Node, Node]
    sometimes: bool = False


@dataclass(frozen=True, eq=False, kw_only=True)
class Calculation:
    """One kind of worked calculation.

    `code` is the code of the framework, a hyphen, and a word, since one code may ask for several kinds. `work`
    takes the givens in their order and returns the answer by the formulas; the last of `steps` must agree with it.
    Without cautions it must be `is_harmless`; `spare` names givens that are stated and not needed, since telling
    them apart is part of the problem. `relative_spread` widens the tolerance by a share of the answer where published
    constants differ by that much; `also_right` lists other workings that are right as well, such as a constant to
    the figures that people use. `accepts` tells which givens make a sensible problem.
    """

    code: str
    title: str
    family: Family
    asks: str
    givens: tuple[Given, ...]
    steps: tuple[Line, ...]
    work: Callable[..., Value]
    slips: tuple[Slip, ...]
    valid_for: str
    sources: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    is_harmless: bool = False
    spare: tuple[str, ...] = ()
    kind: AnswerKind = AnswerKind.QUANTITY
    options: tuple[str, ...] = ()
    must_use_unit: bool = False
    may_be_negative: bool = False
    relative_spread: float = 0.0
    also_right: tuple[Mapping[Node, Node], ...] = ()
    accepts: Callable[[Givens], bool] = lambda givens: True

    @property
    def framework_code(self) -> str:
        """Return the code by which tasks ask for it."""
        return self.code.partition("-")[0]

    @property
    def answer(self) -> Line:
        """Return the last step, which finds the answer."""
        return self.steps[-1]

    @property
    def references(self) -> tuple[Reference, ...]:
        """Return the sources, in the order given."""
        return tuple(REFERENCES[key] for key in self.sources)

    def value(self, givens: Givens, slips: tuple[Slip, ...] = ()) -> Value:
        """Return the answer of the steps, with some slips made on the way."""
        replaced = {old: new for slip in slips for old, new in slip.replaces.items()}
        return Scope(givens, replaced).value_of(self.answer)
