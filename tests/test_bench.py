"""The bench command: finds the benchmarks, refuses other names, and tells each figure with its baseline and ratio."""

import json
import sys

import pytest
from django.core.management import CommandError, call_command

from assessments.calculations import calculations
from competencies.management.commands.bench import Command, as_json, benchmarks, figure_row
from tests.benchmarks import marking
from tests.benchmarks.figure import Figure, medians_ms
from tests.benchmarks.record import bare_page, cells_of

FIGURE = Figure(name="page", unit="ms", measured=30.0, baseline_name="bare", baseline=20.0, goal=2.0)


def test_record_is_among_the_benchmarks():
    assert callable(benchmarks()["record"].figures)


def test_name_that_is_none_is_refused_with_those_there_are():
    with pytest.raises(CommandError, match=r"No benchmark speed; there are .*record"):
        call_command("bench", "speed")


def test_missing_library_of_the_tests_is_named_with_what_to_do(monkeypatch):
    monkeypatch.setitem(sys.modules, "tests.benchmarks.record", None)

    with pytest.raises(CommandError, match=r"tests\.benchmarks\.record is missing: pip install -r \.ci/requirements"):
        call_command("bench", "speed")


def test_figure_is_told_with_baseline_and_ratio():
    [row] = json.loads(as_json({"x": [figure_row("x", FIGURE)]}))["x"]

    assert (row["measured"], row["baseline"], row["ratio"], row["goal"]) == (30.0, 20.0, 1.5, 2.0)
    assert (row["benchmark"], row["figure"], row["unit"], row["baseline_name"]) == ("x", "page", "ms", "bare")


@pytest.mark.parametrize(("ratio", "told"), [(1.5, "1.50"), (0.00012, "0.00012"), (0.0, "0.00")])
def test_small_ratio_is_told_to_its_figures(ratio, told):
    command = Command()
    lines = []
    command.stdout.write = lines.append

    command._print(
        [
            figure_row(
                "x", Figure(name="f", unit="ms", measured=ratio, baseline_name="b", baseline=1.0, detail=("more",))
            )
        ]
    )

    assert told in lines[1].split()
    assert lines[2] == "more"


@pytest.mark.parametrize("problems", ["0", "-1", "many"])
def test_number_of_problems_that_is_none_is_refused(problems):
    with pytest.raises(CommandError, match="--problems"):
        call_command("bench", "marking", f"--problems={problems}")


def test_marking_tells_a_line_for_each_calculation():
    slips, worst, wrong, *speeds = marking.figures(problems=2)

    assert slips.ratio <= slips.goal
    assert worst.ratio <= worst.goal
    assert (wrong.measured, wrong.goal) == (0, 0.0)
    assert all(figure.measured > 0 for figure in speeds)
    codes = [line.split()[0] for line in slips.detail[1:] if not line.startswith(" ")]
    assert codes == list(calculations())


def test_each_function_is_measured_as_often():
    calls = []

    medians = medians_ms(lambda: calls.append("a"), lambda: calls.append("b"), rounds=3)

    assert calls == ["a", "b"] * 4
    assert len(medians) == 2


def test_bare_page_has_the_same_cells_and_words():
    page = '<table><tr><th class="x">A &amp; b</th><td><p>one <b>two</b></p></td></tr></table>'

    assert cells_of(page) == ["A & b", "one two"]
    assert cells_of(bare_page(page)) == cells_of(page)
