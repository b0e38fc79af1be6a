"""The gathered figures are each used, and no row names one that is not there."""

import pytest

from tests.outside.check_values import CHECK_VALUES, LEFT_OUT, coverage, ids_of
from tests.outside.published import PUBLISHED

NAMED = [(code, name) for code, rows in PUBLISHED.items() for *_, source in rows for name in ids_of(source)]


@pytest.mark.parametrize(
    ("source", "ids"),
    [
        ("[3.6a] mass balance of cells", ["3.6a"]),
        ("[8.5c, 7.10b] two at once", ["8.5c", "7.10b"]),
        ("arithmetic, see [3.6a]", []),
        ("[from memory] no id", []),
    ],
)
def test_ids_are_read_from_the_start_of_a_source(source, ids):
    assert ids_of(source) == ids


@pytest.mark.parametrize(("code", "name"), NAMED)
def test_row_names_a_figure_that_is_there(code, name):
    assert name in CHECK_VALUES, code


def test_figure_says_where_it_comes_from():
    for value in CHECK_VALUES.values():
        assert value["source"]
        assert value["provenance"] in {"seen", "derived", "library", "from memory"}


def test_every_gathered_figure_is_used_or_left_out_with_a_reason():
    found = coverage(PUBLISHED)

    assert found["not looked at"] == set()
    assert found["left out with a reason"].isdisjoint(found["used in published rows"] | found["used in other tests"])
    assert all(reason.strip() for reason in LEFT_OUT)


def test_a_figure_that_nobody_uses_is_noticed():
    assert "3.6a" in coverage({})["not looked at"]
