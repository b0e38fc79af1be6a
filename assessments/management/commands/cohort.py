"""Simulates learners who practise by the chooser and by chance, and tells what each way takes."""

from argparse import ArgumentParser
from collections import Counter
from statistics import median
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from assessments.calculations import calculations
from assessments.scheduling.cohort import A_DAY, GOAL, HOLD, Compared, cohort
from assessments.scheduling.learners import LAWS
from assessments.vocabulary import Family

MOST = 1000


class Command(BaseCommand):
    """Compare what comes next by the chooser with uniform chance, under three laws of memory."""

    help = (
        "Simulates cohorts of learners and prints how many problems a kind it takes to hold 90 % recall at 30 days, "
        "by the chooser and by uniform chance. The same seed gives the same table."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the sizes and the seed."""
        parser.add_argument("--kinds", type=int, default=40, help="kinds that each learns (default: 40)")
        parser.add_argument("--learners", type=int, default=10, help="learners in a cohort (default: 10)")
        parser.add_argument("--cohorts", type=int, default=5, help="cohorts under each law (default: 5)")
        parser.add_argument("--seed", type=int, default=1, help="seed of the first cohort (default: 1)")

    def handle(self, *_args: object, **options: Any) -> None:  # noqa: ANN401 - as Django gives them
        """Simulate and print a line for each law."""
        wanted, learners, cohorts, seed = (options[name] for name in ("kinds", "learners", "cohorts", "seed"))
        if not all(0 < number <= MOST for number in (wanted, learners, cohorts)):
            raise CommandError(f"Kinds, learners and cohorts must be between 1 and {MOST}.")
        kinds = _some_of_every_family(wanted)
        self.stdout.write(
            f"{len(kinds)} kinds, {learners} learners in a cohort, {cohorts} cohorts from seed {seed}, up to {A_DAY} "
            f"problems a day.\nProblems a kind until the mean recall {HOLD.days} days on is {GOAL:.0%} "
            f"(median of the cohorts, lowest to highest), and days."
        )
        self.stdout.write(f"{'memory':<13}{'chosen':>22}{'by chance':>22}{'ratio':>20}{'days':>12}  never there")
        for law in LAWS:
            found = [cohort(law, kinds, learners=learners, seed=seed + place) for place in range(cohorts)]
            self.stdout.write(_row(law, found))


def _some_of_every_family(wanted: int) -> dict[str, Family]:
    """Return so many calculations, one of each family after the other: nobody learns the whole library at once."""
    seen: Counter[Family] = Counter()
    turns = []
    for code, kind in calculations().items():
        turns.append((seen[kind.family], code, kind.family))
        seen[kind.family] += 1
    return {code: family for _turn, code, family in sorted(turns)[:wanted]}


def _row(law: str, found: list[Compared]) -> str:
    chosen = _spread([each.chosen for each in found], 1)
    uniform = _spread([each.uniform for each in found], 1)
    ratio = _spread([each.ratio for each in found], 2)
    days = [median(each.chosen_days for each in found), median(each.uniform_days for each in found)]
    unreached = sum(each.unreached for each in found)
    return f"{law:<13}{chosen:>22}{uniform:>22}{ratio:>20}{days[0]:>7.0f} / {days[1]:.0f}  {unreached}"


def _spread(values: list[float], places: int) -> str:
    return f"{median(values):.{places}f} ({min(values):.{places}f} to {max(values):.{places}f})"
