"""The whole of the demo: the plant's history, then the plan of the days around the day of loading."""

from datetime import date

from competencies.demo import incident, pathway, tales
from competencies.demo.history import History, begun_history
from competencies.demo.planning import plan
from competencies.demo.signins import make_sign_ins
from competencies.ledger.writer import writing
from competencies.operations.projection import projected_at_the_end
from competencies.queries.facts import ledger_kept_in_memory

SEED = "tidewater"
# Nobody has begun to write on the day of loading yet.
MORNING = 5 * 60


@writing()
def load(*, today: date) -> History:
    """Load the demo plant, all of it or nothing; the same day gives the same story.

    Raises PublicPasswordError unless this is a demo or a workbench.
    """
    with ledger_kept_in_memory():
        history = tell(today=today)
        incident.open_at_the_can_line(history)
        make_sign_ins(history.floor.plant)
    return history


@writing()
def tell(*, today: date, until: date | None = None) -> History:
    """Let the plant live from its first day to the day of loading (or to the morning of `until`)."""
    history = begun_history(today, SEED)
    with projected_at_the_end(plant=history.floor.plant):
        history.begin()
        tales.begin(history)
        pathway.begin(history)
        history.school.schedule.run_until(history.at(until or today, MORNING))
        history.school.schedule.now = history.at(until or today, MORNING)
        if until is None:
            plan(history)
    return history
