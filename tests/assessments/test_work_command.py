"""`manage.py work`: one calculation from the command line."""

import json
import subprocess
import sys
from io import StringIO

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

from assessments.calculations import calculations
from assessments.generation import problem
from assessments.management.commands.work import worked


def run(*arguments):
    output = StringIO()
    call_command("work", *arguments, stdout=output)
    return output.getvalue()


def test_without_a_code_the_codes_and_their_givens_are_listed():
    listing = run()

    for code, kind in calculations().items():
        assert code in listing
        assert all(f"{given.name}=" in listing for given in kind.givens)


def test_a_calculation_is_worked_to_json():
    document = json.loads(run("C03-strike", "mash=65 degC", "grist=18 °C", "ratio=3 L/kg"))

    assert document["answer"] == {"value": pytest.approx(71.4233, abs=1e-4), "unit": "°C", "kind": "quantity"}
    assert document["rounded"] == {"value": 71.4, "text": "71.4", "unit": "°C"}
    assert [step["result"] for step in document["steps"]] == ["47.0", "71.4"]
    assert {slip["name"]: slip["rounded"] for slip in document["slips"]}["sign of the difference"] == 58.6
    assert document["source"]
    assert document["cautions"]


def test_givens_come_in_any_unit_of_their_kind():
    metric = json.loads(run("C05-pressure", "temperature=4 degC", "pressure=0.82737 bar"))
    other = json.loads(run("C05-pressure", "temperature=39.2 degF", "pressure=12 psi"))

    assert other["answer"]["value"] == pytest.approx(metric["answer"]["value"], rel=1e-5)


def test_the_air_pressure_is_the_usual_one_unless_given():
    sea = json.loads(run("C05-pressure", "temperature=4 degC", "pressure=12 psi"))
    high = json.loads(run("C05-pressure", "temperature=4 degC", "pressure=12 psi", "atmosphere=0.835 bar"))

    assert sea["answer"]["value"] > high["answer"]["value"]
    assert {given["name"]: given["value"] for given in sea["givens"]}["atmosphere"] == 1.01325


def test_an_absolute_pressure_is_told_as_a_gauge_reading():
    gauge = json.loads(run("C05-pressure", "temperature=4 degC", "pressure=1 bar gauge", "atmosphere=0.9 bar"))
    absolute = json.loads(run("C05-pressure", "temperature=4 degC", "pressure=1.9 bar abs", "atmosphere=0.9 bar"))

    assert absolute["answer"]["value"] == pytest.approx(gauge["answer"]["value"])


def test_a_framework_code_finds_its_calculation_by_the_names():
    assert json.loads(run("C05", "volumes=2.6 vol"))["code"] == "C05-volumes"
    assert json.loads(run("C05", "temperature=4 degC", "pressure=12 psi"))["code"] == "C05-pressure"


@pytest.mark.parametrize(
    ("arguments", "answer"),
    [
        (["C15", "digits=2000 1234 5678"], 2),
        (["C14", "packed=31 Aug 2025", "months=6"], "2026-02-28"),
        (["C02", "sample=cooled", "drop=clear", "colour=red to violet"], "large dextrins left"),
        (["C16", "units=52000", "case=24", "pallet=56"], 39),
    ],
)
def test_answers_of_every_kind_are_printed(arguments, answer):
    assert json.loads(run(*arguments))["rounded"]["value"] == answer


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["C99", "mash=1"], "no calculation C99"),
        (["C03", "mash=65 °C"], "C03-strike takes"),
        (["C03", "mash=65 °C", "grist=18 °C", "ratio=3 L/kg", "salt=1 g"], "C03-strike takes"),
        (["C03", "mash", "grist=18 °C", "ratio=3 L/kg"], "not name=value"),
        (["C03", "mash=65", "grist=18 °C", "ratio=3 L/kg"], "mash needs a unit"),
        (["C03", "mash=65 kg", "grist=18 °C", "ratio=3 L/kg"], "mash is measured in °C"),
        (["C03", "mash=warm", "grist=18 °C", "ratio=3 L/kg"], "mash: "),
        (["C03", "mash=65 °C", "grist=18 °C", "ratio=30 L/kg"], "between 1.5 and 8"),
        (["C06", "volume=1,500 hL", "dose=100 g/hL"], "two numbers"),
        (["C15", "digits=12ab"], "7 to 17 digits"),
        (["C14", "packed=yesterday", "months=6"], "packed: "),
        (["C14", "packed=2025-08-31", "months=6.5"], "whole numbers"),
        (["C02", "sample=warm", "drop=clear", "colour=red to violet"], "sample: "),
    ],
)
def test_bad_input_exits_2_with_a_message(arguments, message):
    with pytest.raises(CommandError, match=message) as refused:
        run(*arguments)

    assert refused.value.returncode == 2


def test_bad_input_leaves_the_program_with_2_and_no_traceback():
    command = [sys.executable, settings.BASE_DIR / "manage.py", "work", "C03", "mash=65"]
    finished = subprocess.run(command, capture_output=True, text=True, check=False)

    assert finished.returncode == 2
    assert "Traceback" not in finished.stderr
    assert "C03-strike takes" in finished.stderr


@pytest.mark.parametrize(
    ("code", "typed", "expected"),
    [
        ("C34-from_week", "2025-W01-1", "2024-12-30"),
        ("C34-from_week", " 2020-w53-7 ", "2021-01-03"),
        ("C34-from_day_code", "24366", "2024-12-31"),
    ],
)
def test_a_code_on_a_pack_is_read(code, typed, expected):
    assert json.loads(run(code, f"code={typed}"))["answer"]["value"] == expected


@pytest.mark.parametrize(
    ("code", "typed", "message"),
    [
        ("C34-from_week", "2025-01-01", "like 2025-W01-1"),
        ("C34-from_week", "2025-W53-1", "no such week"),
        ("C34-from_day_code", "25366", "no such day"),
        ("C34-from_day_code", "366", "five digits"),
    ],
)
def test_a_code_that_no_pack_bears_is_refused(code, typed, message):
    with pytest.raises(CommandError, match=message):
        run(code, f"code={typed}")


def test_a_word_that_is_never_set_can_be_worked():
    document = json.loads(run("C32-lowest", "market=United States: spirits", "label=40 % vol"))

    assert document["rounded"] == {"value": 39.7, "text": "39.7", "unit": "% vol"}


@pytest.mark.parametrize("code", sorted(calculations()))
def test_every_calculation_can_be_printed(code):
    document = worked(problem(code, 9))

    assert json.loads(json.dumps(document))["code"] == code
    assert document["slips"]
    assert document["steps"]
