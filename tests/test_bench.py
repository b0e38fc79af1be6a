"""The bench command: finds the benchmarks, refuses other names, and tells each figure with its baseline and ratio."""

import json

import pytest
from django.core.management import CommandError, call_command

from competencies.management.commands.bench import as_json, benchmarks, figure_row
from tests.benchmarks.figure import Figure, medians_ms
from tests.benchmarks.record import bare_page, cells_of

FIGURE = Figure(name="page", unit="ms", measured=30.0, baseline_name="bare", baseline=20.0, goal=2.0)


def test_record_is_among_the_benchmarks():
    assert callable(benchmarks()["record"].figures)


def test_name_that_is_none_is_refused_with_those_there_are():
    with pytest.raises(CommandError, match=r"No benchmark speed; there are .*record"):
        call_command("bench", "speed")


def test_figure_is_told_with_baseline_and_ratio():
    [row] = json.loads(as_json({"x": [figure_row("x", FIGURE)]}))["x"]

    assert (row["measured"], row["baseline"], row["ratio"], row["goal"]) == (30.0, 20.0, 1.5, 2.0)
    assert (row["benchmark"], row["figure"], row["unit"], row["baseline_name"]) == ("x", "page", "ms", "bare")


def test_each_function_is_measured_as_often():
    calls = []

    medians = medians_ms(lambda: calls.append("a"), lambda: calls.append("b"), rounds=3)

    assert calls == ["a", "b"] * 4
    assert len(medians) == 2


def test_bare_page_has_the_same_cells_and_words():
    page = '<table><tr><th class="x">A &amp; b</th><td><p>one <b>two</b></p></td></tr></table>'

    assert cells_of(page) == ["A & b", "one two"]
    assert cells_of(bare_page(page)) == cells_of(page)
