"""The matrix as plain rows of words, for whoever writes it into a file."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from competencies.models import Person, Task
from competencies.queries.matrix import EMPTY, AsOf, Cut, cells_of
from competencies.views.matrix_drawing import cell_words


def matrix_table(
    people: Sequence[Person], tasks: Sequence[Task], cut: Cut, at: AsOf
) -> tuple[list[str], list[list[str]]]:
    """Return the heads and a row a person: name, employee number, crew, then the standing on each task in words.

    One query; the people come with their crew (`people_of_cut(...).select_related("crew")`).
    """
    cells = cells_of(people, tasks, cut, at)
    heads = [_("Name"), _("Employee number"), _("Crew"), *(task.code for task in tasks)]
    rows = [
        [
            person.name,
            person.works_number,
            person.crew.title if person.crew else "",
            *(cell_words(cells.get((person.pk, task.pk), EMPTY)) for task in tasks),
        ]
        for person in people
    ]
    return heads, rows
