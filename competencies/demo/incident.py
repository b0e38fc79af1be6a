"""The minute at the can line that is looked into: what the check asked for at the seamer goes back to."""

from datetime import timedelta

from competencies.demo.doubts import CAN_OPERATOR
from competencies.demo.history import History
from competencies.models import Incident, Line, RosterDay
from competencies.operations.incidents import Opening, open_incident
from competencies.queries.frame import frame_of
from competencies.queries.incidents.finding import Asked
from competencies.standing.calendar import clock_of

NUMBER, CAN_LINE = "INC-26/3", "L2"
# The check was asked for three days before the day of loading; the shift looked into lies before that.
DAYS_BACK, INTO_THE_SHIFT = 3, timedelta(hours=2, minutes=25)


def open_at_the_can_line(history: History) -> Incident:
    """Open it on the morning of loading, of the operator's last shift before; standing is projected by then."""
    plant, operator = history.floor.plant, history.floor.people[CAN_OPERATOR]
    worked = RosterDay.objects.filter(person=operator, on__lt=history.day(DAYS_BACK)).select_related("shift")
    duty, frame = worked.latest("on"), frame_of(plant)
    start, _end = clock_of(frame.timezone).shift_bounds(frame.shifts[duty.shift.name], duty.on)
    line = Line.objects.select_related("plant").get(plant=plant, code=CAN_LINE)
    asked = Asked(line=line, shift=duty.shift, on=duty.on, moment=start + INTO_THE_SHIFT, now=history.now)
    return open_incident(opening=Opening(asked=asked, number=NUMBER), by=history.office)
