"""The whole of the demo: its history, then the plan of the days around the day of loading."""

from datetime import date

from competencies.demo import pathway, tales
from competencies.demo.history import History, begun_history

SEED = "tidewater"


def tell(today: date, *, until: date | None = None) -> History:
    """Let the plant live from its first day to the day of loading (or to the morning of `until`)."""
    history = begun_history(today, SEED)
    history.begin()
    tales.begin(history)
    pathway.begin(history)
    history.school.schedule.run_until(history.at(until or today, 5 * 60))
    return history
