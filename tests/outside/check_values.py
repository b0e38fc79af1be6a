"""The figures gathered from standards, handbooks, worked examples and libraries, and what uses them.

`check_values.json` holds, a line each: the id, what is worked out, the inputs with their units, the figure, its unit,
how far from it an answer may lie, the source, and how it was come by: seen in print, derived by the printed formula,
from a library, or from memory. A figure is used by a published row that starts its source with the id, or by a test
named in `ELSEWHERE`; one that is not used stands in `LEFT_OUT` with the reason.
"""

import json
import re
from pathlib import Path

CHECK_VALUES = {
    value["id"]: value for value in json.loads(Path(__file__).with_name("check_values.json").read_text("utf-8"))
}
_IDS = re.compile(r"\[(\d+\.\d+[a-z](?:, \d+\.\d+[a-z])*)\]")

#: Ids by the test of `tests/outside` that uses them.
ELSEWHERE = {
    "test_carbonation.py": ["4.3a", "4.3b", "4.3d", "4.3f", "4.3g", "4.3h", "4.3i"],
    "test_hops_and_colour.py": ["6.2a", "6.2b"],
    "test_cleaning.py": ["7.10e", "7.10f"],
}

#: Ids that nothing uses, by the reason.
LEFT_OUT = {}


def ids_of(source):
    """Return the ids in brackets with which the source of a published row starts."""
    found = _IDS.match(source)
    return found[1].split(", ") if found else []


def coverage(published):
    """Return the ids that published rows use, that tests use, that are left out with a reason, and that are not."""
    in_rows = {name for rows in published.values() for *_, source in rows for name in ids_of(source)}
    in_tests = {name for names in ELSEWHERE.values() for name in names}
    left_out = {name for names in LEFT_OUT.values() for name in names}
    return {
        "used in published rows": in_rows,
        "used in other tests": in_tests - in_rows,
        "left out with a reason": left_out,
        "not looked at": set(CHECK_VALUES) - in_rows - in_tests - left_out,
    }
