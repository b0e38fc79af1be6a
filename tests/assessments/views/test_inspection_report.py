"""What a report says in words: of misses, of false alarms, of what to look at, and when there is too little to say."""

import pytest

from assessments.inspection import INSPECTIONS
from assessments.inspection.judgement import Counts
from assessments.queries.inspection import FaultTally, Report
from assessments.views.inspection_report import figure_row, meaning

LABEL = INSPECTIONS["label"]


def report(*counts, faults=()):
    """Return a report of so many hits, misses, false alarms and right passes."""
    return Report(LABEL, Counts(*counts), tuple(faults))


def tally(code, *, shown, missed, close=0, misnamed=0):
    return FaultTally(LABEL.fault(code), shown, missed, close, misnamed)


@pytest.mark.parametrize(
    ("counts", "sentence"),
    [
        pytest.param((5, 3, 1, 11), "3 of 8 faulty ones went through.", id="some through"),
        pytest.param((8, 0, 1, 11), "All 8 faulty ones were stopped.", id="none through"),
        pytest.param((1, 0, 1, 11), "The one faulty one was stopped.", id="the only one"),
        pytest.param((0, 0, 1, 11), "No faulty one was among them.", id="none faulty"),
        pytest.param((5, 3, 1, 11), "1 of 12 good ones were stopped for nothing.", id="one for nothing"),
        pytest.param((5, 3, 0, 12), "No good one was stopped.", id="none for nothing"),
        pytest.param((5, 3, 0, 0), "No good one was among them.", id="none good"),
        pytest.param((20, 0, 0, 20), "Good and faulty are told apart surely.", id="sure"),
        pytest.param((17, 3, 3, 17), "Good and faulty are told apart well, with some mistakes.", id="well"),
        pytest.param((35, 15, 15, 35), "Good and faulty are told apart, with many mistakes.", id="many mistakes"),
        pytest.param((230, 170, 170, 230), "Good and faulty look nearly the same so far.", id="nearly the same"),
        pytest.param((10, 10, 10, 10), "So far this cannot be told from guessing.", id="guessing"),
        pytest.param((10, 10, 1, 19), "In doubt it goes through: look twice before you accept.", id="lets through"),
        pytest.param((19, 1, 10, 10), "In doubt it is stopped: measure before you reject.", id="stops"),
    ],
)
def test_report_says_what_it_means(counts, sentence):
    assert sentence in meaning(report(*counts))


def test_even_hand_is_said_to_lean_nowhere():
    assert not [line for line in meaning(report(15, 5, 5, 15)) if line.startswith("In doubt")]


@pytest.mark.parametrize(
    ("counts", "more"),
    [((3, 4, 0, 20), 1), ((0, 0, 0, 0), 16), ((8, 0, 4, 3), 1)],
)
def test_too_few_of_either_kind_give_no_figure(counts, more):
    made = report(*counts)

    assert figure_row(made)[-3:] == ["too few yet"] * 3
    assert any(f"{more} more" in line for line in meaning(made))
    assert not any("told apart" in line for line in meaning(made))


def test_eight_of_each_are_enough():
    row = figure_row(report(8, 0, 0, 8))

    assert "too few yet" not in row
    assert row[2:4] == ["0 of 8", "0 of 8"]


def test_most_missed_fault_is_pointed_out_with_its_advice():
    faults = [tally("too_high", shown=4, missed=1), tally("crooked", shown=5, missed=3, close=2)]

    said = meaning(report(5, 4, 0, 10, faults=faults))

    assert said[-1] == LABEL.fault("crooked").advice
    assert said[-2].startswith("Look closer here: a label is crooked (3 of 5 went through).")
    assert "close to the limit" in said[-2]


def test_clear_misses_are_not_put_down_to_the_limit():
    said = meaning(report(5, 4, 0, 10, faults=[tally("crooked", shown=5, missed=4, close=2)]))

    assert "close to the limit" not in said[-2]


def test_nothing_missed_points_at_nothing():
    said = meaning(report(9, 0, 0, 10, faults=[tally("crooked", shown=9, missed=0)]))

    assert not any("Look closer" in line for line in said)
