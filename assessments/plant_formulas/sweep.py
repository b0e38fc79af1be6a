"""Try a calculation over the whole range of its givens, every corner of it, before it is published.

An answer must come out everywhere. Every slip must lie further from the answer than both tolerances together, or it
would be marked as right; and two slips must not give the same, or the wrong one would be named.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from itertools import combinations, product

from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.generation import Problem
from assessments.vocabulary import AnswerKind, Value, gettext_noop

DRAWS = 200
#: A slip may be taken for another in so many draws: ninety-nine in a hundred are to be named rightly.
MOST_CONFUSED = DRAWS // 100
_WHOLE_WITHIN = 1e-9

_NO_ANSWER = gettext_noop("With %(givens)s there is no answer, or one beyond anything in a plant.")
_NOT_WHOLE = gettext_noop("With %(givens)s the answer is no whole number: use ceil or floor.")
_NOT_APART = gettext_noop("With %(givens)s “%(slip)s” gives no number, or one that passes for the right answer.")
_CONFUSED = gettext_noop("“%(slip)s” and “%(other)s” come to the same, as with %(givens)s.")


@dataclass(frozen=True, slots=True)
class Found:
    """What does not hold, and with which givens."""

    message: str
    params: tuple[tuple[str, str], ...]

    def __str__(self) -> str:
        """Return it in words."""
        return self.message % dict(self.params)


@dataclass(frozen=True, slots=True)
class Swept:
    """What came of the sweep: how many problems were tried, corners and draws, and one finding of each kind."""

    tried: int
    findings: tuple[Found, ...]


def swept(kind: Calculation) -> Swept:
    """Return what does not hold somewhere in the range."""
    findings: dict[tuple[str, ...], Found] = {}
    confused: dict[tuple[Slip, Slip], list[Problem]] = {}
    tried = 0
    for givens in _samples(kind):
        tried += 1
        made = Problem(kind, givens)
        for key, found in _findings(made):
            findings.setdefault(key, found)
        for pair in _same(made):
            confused.setdefault(pair, []).append(made)
    for (one, other), problems in confused.items():
        if len(problems) > MOST_CONFUSED:
            findings[(_CONFUSED, one.name, other.name)] = _found(
                _CONFUSED, problems[0], slip=one.name, other=other.name
            )
    return Swept(tried, tuple(findings.values()))


def _samples(kind: Calculation) -> Iterator[dict[str, Value]]:
    """Yield the corners of the range, then draws all over it, the same at every time."""
    measured = [given for given in kind.givens if isinstance(given, Measured)]
    for corner in product(*((0, given.choices - 1) for given in measured)):
        yield {given.name: given.value_at(place) for given, place in zip(measured, corner, strict=True)}
    for draw in range(DRAWS):
        yield {given.name: given.value_at(_place(kind, given, draw)) for given in measured}


def _place(kind: Calculation, given: Measured, draw: int) -> int:
    digest = sha256(f"sweep:{kind.code}:{draw}:{given.name}".encode()).digest()
    return int.from_bytes(digest[:8], "big") % given.choices


def _findings(made: Problem) -> Iterator[tuple[tuple[str, ...], Found]]:
    try:
        answer = made.answer
    except (ArithmeticError, ValueError):
        yield (_NO_ANSWER,), _found(_NO_ANSWER, made)
        return
    if made.calculation.kind is AnswerKind.WHOLE and not _is_whole(answer):
        yield (_NOT_WHOLE,), _found(_NOT_WHOLE, made)
    for slip in made.calculation.slips:
        if not made.is_told_apart(slip):
            yield (_NOT_APART, slip.name), _found(_NOT_APART, made, slip=slip.name)


def _is_whole(value: Value) -> bool:
    return isinstance(value, float | int) and abs(value - round(value)) <= _WHOLE_WITHIN


def _same(made: Problem) -> Iterator[tuple[Slip, Slip]]:
    values = {}
    for slip in made.calculation.slips:
        try:
            values[slip] = (float(made.slip_value(slip)), made.tolerance_with((slip,)).total)  # type: ignore[arg-type]  # ours are numbers
        except (ArithmeticError, ValueError):
            continue
    for one, other in combinations(values, 2):
        (value, margin), (second, second_margin) = values[one], values[other]
        if abs(value - second) <= max(margin, second_margin):
            yield one, other


def _found(message: str, made: Problem, **params: str) -> Found:
    pairs = [
        f"{given.symbol} = {given.show(made.givens[given.name])} {given.unit}".strip()
        for given in made.calculation.givens
        if isinstance(given, Measured)
    ]
    return Found(message, (("givens", ", ".join(pairs)), *params.items()))
