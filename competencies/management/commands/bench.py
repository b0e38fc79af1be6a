"""Measures the site against baselines taken in the same run, so that the machine does not matter."""

import json
import pkgutil
from argparse import ArgumentParser
from collections.abc import Iterable, Mapping
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any, Final

from django.core.management.base import BaseCommand, CommandError
from django.db import connection, transaction

# Each module there with a NAME and a function figures() is a benchmark. One that names how many PROBLEMS it tries
# takes `problems` and `workers`.
SHELF: Final = "tests.benchmarks"
# Below this a ratio is a share of mistakes, told to two figures however small.
SMALL_RATIO: Final = 0.1


class Command(BaseCommand):
    """Run benchmarks in a database of their own that is thrown away."""

    help = "Runs benchmarks and prints each figure with its baseline, measured in the same run, and the ratio."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the names and the file."""
        parser.add_argument("names", nargs="*", metavar="NAME", help="benchmarks to run (default: all)")
        parser.add_argument("--json", type=Path, metavar="FILE", help="write the figures there too")
        parser.add_argument("--problems", type=_count, metavar="N", help="problems to try for each calculation")
        parser.add_argument("--workers", type=_count, default=1, metavar="N", help="processes that share them")

    def handle(self, *_args: object, names: list[str], json: Path | None, **options: Any) -> None:  # noqa: ANN401 - as Django gives them
        """Measure, print, and write down."""
        found = benchmarks()
        if unknown := [name for name in names if name not in found]:
            raise CommandError(f"No benchmark {', '.join(unknown)}; there are {', '.join(sorted(found))}.")
        effort = {name: options[name] for name in ("problems", "workers") if options.get(name)}
        measured = {name: self._measure(found[name], effort) for name in names or sorted(found)}
        rows = [row for figures in measured.values() for row in figures]
        self._print(rows)
        if json is not None:
            json.write_text(as_json(measured))

    def _measure(self, benchmark: ModuleType, effort: Mapping[str, int]) -> list[dict[str, Any]]:
        """Return the figures of one benchmark, measured in a fresh database."""
        database = connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
        try:
            with transaction.atomic():
                taken = effort if hasattr(benchmark, "PROBLEMS") else {}
                figures = [figure_row(benchmark.NAME, figure) for figure in benchmark.figures(**taken)]
                transaction.set_rollback(True)
        finally:
            connection.creation.destroy_test_db(database, verbosity=0)
        return figures

    def _print(self, rows: Iterable[Mapping[str, Any]]) -> None:
        self.stdout.write(f"{'figure':<44}{'measured':>14}{'baseline':>14}{'ratio':>8}{'goal':>7}  baseline is")
        for row in rows:
            goal = "" if row["goal"] is None else f"{row['goal']:.2f}"
            self.stdout.write(
                f"{row['benchmark']}: {row['figure']}".ljust(44)
                + f"{row['measured']:>10.1f} {row['unit']:<3}{row['baseline']:>10.1f} {row['unit']:<3}"
                + f"{_ratio(row['ratio']):>8}{goal:>7}  {row['baseline_name']}"
            )
        for line in [line for row in rows for line in row["detail"]]:
            self.stdout.write(line)


def _count(text: str) -> int:
    number = int(text)
    if number < 1:
        raise ValueError(text)
    return number


def _ratio(ratio: float) -> str:
    return f"{ratio:.2g}" if 0 < ratio < SMALL_RATIO else f"{ratio:.2f}"


def benchmarks() -> dict[str, ModuleType]:
    """Return the benchmarks by name."""
    try:
        shelf = import_module(SHELF)
    except ImportError as error:
        raise CommandError("The benchmarks are kept with the tests, and those are not here.") from error
    try:
        modules = [import_module(f"{SHELF}.{each.name}") for each in pkgutil.iter_modules(shelf.__path__)]
    except ModuleNotFoundError as error:
        words = f"The benchmarks need what the tests need, and {error.name} is missing: "
        raise CommandError(f"{words}pip install -r .ci/requirements-dev.txt") from error
    return {module.NAME: module for module in modules if hasattr(module, "NAME")}


def figure_row(benchmark: str, figure: Any) -> dict[str, Any]:  # noqa: ANN401 - tests.benchmarks.figure.Figure
    """Return a figure as a row of the table."""
    return {
        "benchmark": benchmark,
        "figure": figure.name,
        "unit": figure.unit,
        "measured": figure.measured,
        "baseline_name": figure.baseline_name,
        "baseline": figure.baseline,
        "ratio": figure.ratio,
        "goal": figure.goal,
        "detail": list(figure.detail),
    }


def as_json(measured: Mapping[str, Iterable[Mapping[str, Any]]]) -> str:
    """Return the figures by benchmark."""
    return json.dumps({name: list(rows) for name, rows in measured.items()}, indent=2) + "\n"
