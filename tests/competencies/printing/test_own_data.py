"""The sheets of everything kept about a person, as a reader would say it."""

import pytest
from django.utils import timezone

from competencies.printing.own_data import rows_told
from competencies.queries.own_data import Table


@pytest.mark.parametrize(
    ("column", "value", "told"),
    [
        ("standing", "not_started", "standing: not started"),
        ("counts", "True", "counts: yes"),
        ("is_active", "False", "is active: no"),
        ("last_valid_on", "2027-09-11", "last valid on: 11 Sep 2027"),
        ("starts_at", "2025-08-31T23:00:00+00:00", "starts at: 1 Sep 2025 00:00 +0100"),
        ("note", "2025-13-45", "note: 2025-13-45"),
        ("note", "2025-13-45T10:00", "note: 2025-13-45T10:00"),
        ("note", "", ""),
    ],
)
def test_a_row_is_told_in_words_and_in_the_plants_zone(column, value, told):
    table = Table(label="competencies.Row", title="Rows", columns=("id", column), rows=(("7", value),))

    with timezone.override("Europe/Dublin"):
        assert rows_told(table) == [told]
