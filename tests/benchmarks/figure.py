"""What a benchmark tells: a figure beside its baseline, both measured in the same run."""

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One measured figure in `unit` with its baseline in the same unit; `goal` is the highest ratio aimed at.

    `detail` holds lines to be printed below the table, such as the parts of which a sum is made.
    """

    name: str
    unit: str
    measured: float
    baseline_name: str
    baseline: float
    goal: float | None = None
    detail: tuple[str, ...] = ()

    @property
    def ratio(self) -> float:
        """Return the measured figure as a multiple of its baseline."""
        return self.measured / self.baseline


def medians_ms(*measured: Callable[[], object], rounds: int = 5) -> Sequence[float]:
    """Return for each function the median of its processor time in milliseconds; they take turns, one warms up."""
    for each in measured:
        each()
    times: list[list[float]] = [[] for _ in measured]
    for _ in range(rounds):
        for place, each in enumerate(measured):
            started = time.process_time()
            each()
            times[place].append((time.process_time() - started) * 1000)
    return [statistics.median(found) for found in times]
