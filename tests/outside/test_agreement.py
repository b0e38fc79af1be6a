"""The table of agreement: every published figure, every approximation, and a command that fails when one is off."""

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command

from assessments.calculations import calculation
from tests.outside import published
from tests.outside.agreement import Agreement, agreements
from tests.outside.approximations import APPROXIMATIONS
from tests.outside.published import PUBLISHED


def printed(capsys, *arguments):
    """Return what the command prints."""
    call_command("agree", *arguments)
    return capsys.readouterr().out


@pytest.mark.parametrize("nearer", APPROXIMATIONS, ids=[each.code for each in APPROXIMATIONS])
def test_approximation_is_as_near_as_stated(nearer):
    assert nearer.holds, nearer.worst


@pytest.mark.parametrize("nearer", APPROXIMATIONS, ids=[each.code for each in APPROXIMATIONS])
def test_stated_error_is_less_than_three_times_the_largest(nearer):
    # A bound far above the error would hold whatever the formula did.
    assert nearer.stated < 3 * abs(nearer.worst[0])


@pytest.mark.parametrize("nearer", APPROXIMATIONS, ids=[each.code for each in APPROXIMATIONS])
def test_stated_error_is_told_with_the_range_of_validity(nearer):
    stated = f"{Decimal(f'{nearer.stated:g}'):f} {nearer.unit.removesuffix(' gauge')}"
    assert stated in calculation(nearer.code).valid_for


def test_approximation_that_is_off_does_not_hold():
    [extract] = [each for each in APPROXIMATIONS if each.code == "C04-plato"]

    assert not replace(extract, bound=extract.bound / 100).holds
    assert not replace(extract, better=lambda gravity: 1000 * (gravity - 1) / 4).holds


@pytest.mark.parametrize(
    ("figure", "ours", "allowed", "agrees"),
    [
        (2.0, 2.05, 0.1, True),
        (2.0, 2.11, 0.1, False),
        (2.0, 1.89, 0.1, False),
        (date(2024, 2, 29), date(2024, 2, 29), 0, True),
        (date(2024, 2, 29), date(2024, 3, 1), 9, False),
        ("converted", "starch left", 0, False),
    ],
)
def test_figures_agree_within_what_is_allowed(figure, ours, allowed, agrees):
    row = Agreement(code="C01-x", source="s", published=figure, ours=ours, allowed=allowed)

    assert row.agrees is agrees


def test_every_published_row_is_worked():
    rows = agreements(PUBLISHED)

    assert len(rows) == sum(len(of_one) for of_one in PUBLISHED.values())
    assert all(row.agrees for row in rows), [row for row in rows if not row.agrees]


def test_command_prints_figures_approximations_and_what_is_used(capsys):
    lines = printed(capsys, "C04-plato", "C14-best_before").splitlines()

    assert any(line.startswith("C04-plato") and "4" in line and "agrees" in line for line in lines)
    assert any(line.startswith("C14-best_before") and "2024-02-29" in line for line in lines)
    assert any("NBS Circular C440 by its printed cubic fit" in line and "°P" in line for line in lines)
    assert lines[-1].startswith("gathered figures: ")
    assert not any(line.startswith("C03") for line in lines)


def test_command_prints_json(capsys):
    found = json.loads(printed(capsys, "C04-plato", "--json"))

    assert {row["calculation"] for row in found["figures"]} == {"C04-plato"}
    assert all(row["agrees"] and row["source"] for row in found["figures"])
    assert found["approximations"][0]["range"] == [[1.0, 1.083]]


def test_command_fails_when_a_figure_is_off(monkeypatch, capsys):
    off = {"C04-plato": [({"gravity": 1.01569}, 5.0, 0.02, "planted")]}
    monkeypatch.setattr(published, "PUBLISHED", off)

    with pytest.raises(CommandError, match="1 outside") as raised:
        call_command("agree", "C04-plato")

    assert raised.value.returncode == 1
    assert "OUTSIDE  planted" in capsys.readouterr().out


def test_command_refuses_a_code_that_is_none():
    with pytest.raises(CommandError, match="no calculation C99-nothing"):
        call_command("agree", "C99-nothing")
