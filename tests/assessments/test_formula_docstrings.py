"""Every formula carries its data sheet, and the sheet agrees with the code."""

import importlib
import inspect
import pkgutil
import re
from datetime import date

import pytest

from assessments import formulas
from assessments.formulas import constants
from assessments.formulas.constants import Constant
from assessments.formulas.references import REFERENCES
from assessments.vocabulary import HowKnown

SECTIONS = ["Parameters", "Returns", "Raises", "Notes", "Examples", "References"]
NO_FORMULAS = {"constants", "references"}
# How a name ends, and what the sheet then says in square brackets.
ENDINGS = {
    "_c": "degC", "_f": "degF", "_bar": "bar", "_psi": "psi", "_gal": "US gal", "_l": "L", "_ml": "mL", "_hl": "hL",
    "_kg": "kg", "_g": "g", "_h": "h", "_min": "min", "_mm": "mm", "_m2": "m2", "_p": "degP", "_sg": "1",
    "_fraction": "1", "_count": "1", "_weight": "1", "_months": "months", "_on": "date", "_digits": "digits",
    "_vol": "vol", "_l_per_kg": "L/kg", "_kg_per_kg": "kg/kg", "_g_per_m2": "g/m2", "_g_per_hl": "g/hL",
    "_mg_per_l": "mg/L", "_kg_per_l": "kg/L", "_g_per_ml": "g/mL", "_per_h": "1/h", "_million_per_ml": "million/mL",
    "_million_per_ml_p": "million/mL/degP", "_s": "s", "_days": "days", "_deg": "deg", "_pu": "PU", "_pt": "pt",
    "_cm2": "cm2", "_floz": "US fl oz", "_hl_per_h": "hL/h", "_g_per_l": "g/L", "_g_per_100ml": "g/100 mL",
    "_m": "m", "_kg_per_m3": "kg/m3", "_m3_per_h": "m3/h",
    "_bar_per_h": "bar/h", "_s_per_l2": "s/L2", "_s_per_l": "s/L", "_mpa_s": "mPa s", "_ebc": "EBC", "_ntu": "NTU",
    "_au": "AU", "_fold": "1", "_lb_per_bbl": "lb/US bbl", "_mol_per_l": "mol/L", "_m_per_s": "m/s",
    "_lb": "lb", "_imp_gal": "imp gal", "_imp_bbl": "imp bbl",
    "_mg_per_kg": "mg/kg", "_ug_per_kg": "ug/kg", "_kpa": "kPa", "_mm2": "mm2",
    "_l_deg_per_kg": "L deg/kg", "_ratio": "1",
}  # fmt: skip


def public_formulas():
    for found in pkgutil.iter_modules(formulas.__path__):
        if found.name in NO_FORMULAS:
            continue
        module = importlib.import_module(f"assessments.formulas.{found.name}")
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not name.startswith("_"):
                yield pytest.param(function, id=f"{found.name}.{name}")


def section(function, title):
    text = inspect.getdoc(function)
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\w+\n-+\n|\Z)", text, re.DOTALL | re.MULTILINE)
    return found[1].strip() if found else ""


@pytest.mark.parametrize("function", list(public_formulas()))
def test_docstring_has_every_section_in_order(function):
    headings = re.findall(r"^(\w+)\n-+$", inspect.getdoc(function), re.MULTILINE)

    assert headings == SECTIONS
    assert ".. math::" in inspect.getdoc(function)
    assert inspect.getdoc(function).startswith("Return ")


@pytest.mark.parametrize("function", list(public_formulas()))
def test_docstring_gives_a_unit_for_each_parameter(function):
    described = re.findall(r"^(\w+) : (\w+)\n((?:    .*\n?)+)", section(function, "Parameters") + "\n", re.MULTILINE)

    assert [name for name, _, _ in described] == list(inspect.signature(function).parameters)
    for name, kind, text in described:
        unit = re.search(r"\[([^\]]+)\]\s*$", text.strip())
        assert unit, f"{name} has no unit"
        if unit[1] == "word":
            assert kind == "str"
            continue
        ending = max((end for end in ENDINGS if name.endswith(end)), key=len, default=None)
        if name.endswith("_pct"):
            assert unit[1].startswith("%")
            continue
        assert ending, f"{name} does not end in its unit"
        assert unit[1] == ENDINGS[ending], f"{name} is said to be in {unit[1]}"


@pytest.mark.parametrize("function", list(public_formulas()))
def test_docstring_gives_the_unit_of_the_result(function):
    assert re.search(r"\[[^\]]+\]$", section(function, "Returns"))


@pytest.mark.parametrize("function", list(public_formulas()))
def test_docstring_gives_validity_example_and_known_sources(function):
    assert section(function, "Notes").startswith("Valid ")
    assert f">>> {function.__name__}(" in section(function, "Examples").replace(">>> round(", ">>> ")
    keys = re.findall(r"^\[([\w-]+)\]", section(function, "References"), re.MULTILINE)
    assert keys
    assert set(keys) <= set(REFERENCES)


@pytest.mark.parametrize("function", list(public_formulas()))
def test_formula_refuses_what_is_outside_its_range(function):
    nonsense = {"float": -1e9, "int": -(10**9), "str": "nonsense", "date": date(1, 1, 1)}
    arguments = [
        nonsense[parameter.annotation if isinstance(parameter.annotation, str) else parameter.annotation.__name__]
        for parameter in inspect.signature(function).parameters.values()
        if parameter.default is inspect.Parameter.empty
    ]

    assert "ValueError" in section(function, "Raises")
    with pytest.raises(ValueError, match=r"\w"):
        function(*arguments)


def test_constants_have_a_unit_and_a_known_source():
    found = {name: value for name, value in vars(constants).items() if isinstance(value, Constant)}

    assert len(found) > 10
    for name, constant in found.items():
        assert constant.unit, name
        key = re.match(r"\[([\w-]+)\]", constant.source)
        assert key, name
        assert key[1] in REFERENCES, name


def test_references_say_when_they_come_from_memory():
    for reference in REFERENCES.values():
        if reference.how_known is HowKnown.MEMORY:
            assert "from memory" in str(reference)
