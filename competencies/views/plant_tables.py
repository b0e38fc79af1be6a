"""What the files of the plant's two large pages hold: people by tasks, and the lines week by week."""

from collections.abc import Iterable, Iterator
from typing import Final

from django.core.paginator import Paginator
from django.utils.translation import gettext as _

from competencies.models import Plant, Task
from competencies.queries.line_ahead import LineAhead
from competencies.queries.matrix import AsOf, Cut, people_of_cut, tasks_of_cut
from competencies.views.matrix_table import matrix_table
from competencies.views.table_files import ListTable

#: So many people are read at a time.
PART: Final = 200


def matrix_file(plant: Plant, cut: Cut, at: AsOf) -> ListTable:
    """Return the whole cut, a row for each person and a column for each task. Two queries for each part of people."""
    tasks = list(tasks_of_cut(plant, cut, at))
    heads, _none = matrix_table([], tasks, cut, at)
    return ListTable(name=f"matrix-{at.on:%Y%m%d}", heads=heads, rows=_parts(plant, cut, at, tasks))


def _parts(plant: Plant, cut: Cut, at: AsOf, tasks: list[Task]) -> Iterator[list[str]]:
    for part in Paginator(people_of_cut(plant, cut, at).select_related("crew"), PART):
        yield from matrix_table(list(part.object_list), tasks, cut, at)[1]


def ahead_table(lines: Iterable[LineAhead]) -> ListTable:
    """Return a row for each line and run of weeks with the same figures."""
    heads = [_("Line"), _("From"), _("Until"), _("By"), _("Shifts covered"), _("Shifts in all")]
    heads += [_("Covered if planned assignments pass"), _("Fewest people at each station")]
    rows = [
        [
            *(line.line.title, week.days.from_on, week.days.until_on),
            _("roster") if week.is_rostered else _("crews"),
            *(week.covered, week.of, week.planned),
            "; ".join(f"{station.task.code}: {have}" for station, have in zip(line.stations, week.have, strict=True)),
        ]
        for line in lines
        for week in line.runs
    ]
    return ListTable(name="cover-ahead", heads=heads, rows=rows)
