"""Work one calculation from given values and print it as JSON."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from assessments.calculations import calculations, for_framework_code
from assessments.calculations.cautions import BEYOND_RULES
from assessments.calculations.frame import Calculation, Given, Measured
from assessments.generation import Problem
from assessments.given_values import GivenValueError, read_givens, usual_value
from assessments.notation import rounded, written
from assessments.vocabulary import AnswerKind, Value


class Command(BaseCommand):
    """`manage.py work CODE name=value...`; without a code, the codes and their givens."""

    help = __doc__ or ""
    # Arithmetic needs neither the pages nor the database.
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        """Take a code and its given values."""
        parser.add_argument("code", nargs="?", help="a code, such as C05 or C05-pressure; leave it out for a list")
        parser.add_argument("givens", nargs="*", metavar="name=value", help='such as temperature="4 degC"')

    def handle(self, *args: Any, **options: Any) -> None:  # noqa: ANN401 - the signature is Django's
        """Print the list, or the worked calculation."""
        if options["code"] is None:
            self.stdout.write(_listing())
            return
        try:
            pairs = dict(_pair(text) for text in options["givens"])
            kind = _choose(options["code"], set(pairs))
            document = worked(Problem(kind, read_givens(kind.givens, pairs)))
        except (GivenValueError, ValueError, ArithmeticError) as error:
            raise CommandError(str(error), returncode=2) from error
        self.stdout.write(json.dumps(document, ensure_ascii=False, indent=2))


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals or not value.strip():
        raise GivenValueError(f"{text!r} is not name=value.")
    return name.strip(), value.strip()


def _choose(code: str, names: set[str]) -> Calculation:
    """Return the calculation of that code, or the one of a framework code whose givens have these names."""
    if code in calculations():
        candidates: tuple[Calculation, ...] = (calculations()[code],)
    else:
        candidates = for_framework_code(code)
    if not candidates:
        raise GivenValueError(f"There is no calculation {code}. Run `manage.py work` for the list.")
    for kind in candidates:
        known = {given.name for given in kind.givens}
        needed = {given.name for given in kind.givens if usual_value(given) is None}
        if needed <= names <= known:
            return kind
    wanted = "; ".join(f"{kind.code} takes {_names(kind)}" for kind in candidates)
    raise GivenValueError(f"Given: {', '.join(sorted(names)) or 'nothing'}. {wanted}.")


def _names(kind: Calculation) -> str:
    return ", ".join(_example(given) for given in kind.givens)


def _example(given: Given) -> str:
    value = given.show(given.value_at(given.choices // 2))
    unit = f" {given.shown_unit}" if given.shown_unit else ""
    return f'{given.name}="{value}{unit}"'


def _listing() -> str:
    lines = []
    for kind in calculations().values():
        lines.append(f"{kind.code:<18}{kind.title}")
        lines.append(f"{'':<18}{' '.join(_example(given) for given in kind.givens)}")
    return "\n".join(lines)


def worked(problem: Problem) -> dict[str, object]:
    """Return a worked problem as plain JSON values."""
    kind = problem.calculation
    answer = problem.answer
    return {
        "code": kind.code,
        "title": kind.title,
        "givens": [
            {
                "name": given.name,
                "symbol": given.symbol,
                "value": _plain(problem.givens[given.name]),
                "unit": given.unit if isinstance(given, Measured) else "",
            }
            for given in kind.givens
        ],
        "answer": {"value": _plain(answer), "unit": kind.answer.unit, "kind": kind.kind.value},
        "rounded": {**_rounded(kind, answer), "unit": kind.answer.unit},
        "tolerance": problem.tolerance if kind.kind is AnswerKind.QUANTITY else 0,
        "steps": [
            {
                "says": step.says,
                "formula": step.symbols_text,
                "substituted": step.numbers_text,
                "result": step.result,
                "unit": step.unit,
                "mathml": step.symbols,
            }
            for step in problem.steps()
        ],
        "slips": [
            {
                "name": slip.name,
                "value": _plain(problem.slip_value(slip)),
                "rounded": _rounded(kind, problem.slip_value(slip))["value"],
                "unit": kind.answer.unit,
                "advice": slip.advice,
            }
            for slip in problem.slips
        ],
        "valid_for": kind.valid_for,
        "source": [str(reference) for reference in kind.references],
        "cautions": [*kind.cautions, BEYOND_RULES] if kind.cautions else [],
    }


def _rounded(kind: Calculation, value: Value) -> dict[str, object]:
    """Return a value as the trade rounds it, as a number where it is one, and as it is written."""
    shown = kind.answer.show(value)
    if not isinstance(value, float | int):
        return {"value": shown, "text": shown}
    number = rounded(value, kind.answer.decimals, round_up=kind.answer.round_up)
    return {"value": float(number) if kind.answer.decimals else int(number), "text": shown}


def _plain(value: Value) -> object:
    return value if isinstance(value, float | int) else written(value)
