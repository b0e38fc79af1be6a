"""Hold the calculations against published figures, and the approximations against better formulas."""

import json
from collections.abc import Iterable, Mapping
from importlib import import_module
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from assessments.calculations import calculations
from assessments.notation import written

_LONGEST = 14
_FIGURE = "{:<20}{:>14}{:>14}{:>12}{:>10}  {:<9}{}"
_APPROXIMATION = "{:<20}{:>14}{:>10} {:<14}{:<24}{:<9}{}"


class Command(BaseCommand):
    """`manage.py agree [CODE...]`; exits 1 when anything lies outside what is allowed."""

    help = __doc__ or ""
    # Arithmetic needs neither the pages nor the database.
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the codes, and the form of the answer."""
        parser.add_argument("codes", nargs="*", metavar="CODE", help="calculations to look at (default: all)")
        parser.add_argument("--json", action="store_true", help="print JSON in place of tables")

    def handle(self, *_args: object, codes: list[str], json: bool, **_options: Any) -> None:  # noqa: ANN401 - as Django gives them
        """Print figures, approximations, and which gathered figures are used."""
        if unknown := [code for code in codes if code not in calculations()]:
            raise CommandError(f"There is no calculation {', '.join(unknown)}. Run `manage.py work` for the list.")
        found = _agreement(set(codes) or set(calculations()))
        self.stdout.write(as_json(found) if json else "\n".join(_tables(found)))
        if outside := _outside(found):
            raise CommandError(f"{outside} outside what is allowed.", returncode=1)


def _agreement(codes: set[str]) -> dict[str, Any]:
    """Return the rows of each table as plain values."""
    agreement, approximations, check_values, published = (
        _outside_module(name) for name in ("agreement", "approximations", "check_values", "published")
    )
    rows = {code: found for code, found in published.PUBLISHED.items() if code in codes}
    nearer = [each for each in approximations.APPROXIMATIONS if each.code in codes]
    return {
        "figures": [_figure_row(row) for row in agreement.agreements(rows)],
        "approximations": [_approximation_row(each) for each in nearer],
        "gathered": {name: len(ids) for name, ids in check_values.coverage(published.PUBLISHED).items()},
    }


def _outside_module(name: str) -> Any:  # noqa: ANN401 - the tests are untyped
    try:
        return import_module(f"tests.outside.{name}")
    except ImportError as error:
        raise CommandError("The published figures are kept with the tests, and those are not here.") from error


def _figure_row(row: Any) -> dict[str, Any]:  # noqa: ANN401 - tests.outside.agreement.Agreement
    published, ours = (
        value if isinstance(value, float | int) else written(value) for value in (row.published, row.ours)
    )
    return {
        "calculation": row.code,
        "published": published,
        "ours": ours,
        "difference": row.difference,
        "allowed": row.allowed,
        "agrees": row.agrees,
        "source": row.source,
    }


def _approximation_row(each: Any) -> dict[str, Any]:  # noqa: ANN401 - tests.outside.approximations.Approximation
    error, point = each.worst
    return {
        "calculation": each.code,
        "title": each.name,
        "error": float(error),
        "unit": each.unit,
        "at": [round(float(value), 6) for value in point],
        "stated": each.stated,
        "range": [list(ends) for ends in each.ranges],
        "agrees": bool(each.holds),
        "better": each.better_name,
    }


def _outside(found: Mapping[str, Any]) -> int:
    return sum(not row["agrees"] for table in ("figures", "approximations") for row in found[table])


def as_json(found: Mapping[str, Any]) -> str:
    """Return the tables as JSON."""
    return json.dumps(found, ensure_ascii=False, indent=2)


def _tables(found: Mapping[str, Any]) -> Iterable[str]:
    yield _FIGURE.format("calculation", "published", "ours", "difference", "allowed", "verdict", "source")
    for row in found["figures"]:
        parts = (_told(row["published"]), _told(row["ours"]), _number(row["difference"]), _number(row["allowed"]))
        yield _FIGURE.format(row["calculation"], *parts, _verdict(row), row["source"])
    yield ""
    yield _APPROXIMATION.format("approximation", "largest error", "stated", "unit", "at", "verdict", "better formula")
    for row in found["approximations"]:
        where = ", ".join(f"{value:g}" for value in row["at"])
        parts = (_number(row["error"]), _number(row["stated"]), row["unit"], where)
        yield _APPROXIMATION.format(row["calculation"], *parts, _verdict(row), row["better"])
    yield ""
    yield "gathered figures: " + ", ".join(f"{count} {name}" for name, count in found["gathered"].items())


def _verdict(row: Mapping[str, Any]) -> str:
    return "agrees" if row["agrees"] else "OUTSIDE"


def _told(value: float | str) -> str:
    text = f"{value:.7g}" if isinstance(value, float | int) else value
    return text if len(text) < _LONGEST else f"{text[: _LONGEST - 2]}…"


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.3g}"
