"""The figures gathered from standards, handbooks, worked examples and libraries, and what uses them.

`check_values.json` holds, a line each: the id, what is worked out, the inputs with their units, the figure, its unit,
how far from it an answer may lie, the source, and how it was come by: seen in print, derived by the printed formula,
from a library, or from memory. A figure is used by a published row that starts its source with the id, or by a test
here that names it; one that is not used stands in `LEFT_OUT` with the reason.
"""

import json
import re
from pathlib import Path

CHECK_VALUES = {
    value["id"]: value for value in json.loads(Path(__file__).with_name("check_values.json").read_text("utf-8"))
}
_IDS = re.compile(r"\[(\d+\.\d+[a-z](?:, \d+\.\d+[a-z])*)\]")

_QUOTED = re.compile(r'"(\d+\.\d+[a-z])"')

#: Ids that nothing uses, by the reason.
LEFT_OUT = {}


def ids_of(source):
    """Return the ids in brackets with which the source of a published row starts."""
    found = _IDS.match(source)
    return found[1].split(", ") if found else []


def _named_in_tests():
    tests = set(Path(__file__).parent.glob("test_*.py")) - {Path(__file__).with_name("test_check_values.py")}
    return {name for test in tests for name in _QUOTED.findall(test.read_text("utf-8")) if name in CHECK_VALUES}


def coverage(published):
    """Return the ids that published rows use, that tests use, that are left out with a reason, and that are not."""
    in_rows = {name for rows in published.values() for *_, source in rows for name in ids_of(source)}
    in_tests = _named_in_tests()
    left_out = {name for names in LEFT_OUT.values() for name in names}
    return {
        "used in published rows": in_rows,
        "used in other tests": in_tests - in_rows,
        "left out with a reason": left_out,
        "not looked at": set(CHECK_VALUES) - in_rows - in_tests - left_out,
    }
