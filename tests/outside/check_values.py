"""The figures gathered from standards, handbooks, worked examples and libraries, and which rows use them.

`check_values.json` holds, a line each: the id, what is worked out, the inputs with their units, the figure, its unit,
how far from it an answer may lie, the source, and how it was come by: seen in print, derived by the printed formula,
from a library, or from memory.
"""

import json
import re
from pathlib import Path

CHECK_VALUES = {
    value["id"]: value for value in json.loads(Path(__file__).with_name("check_values.json").read_text("utf-8"))
}
_IDS = re.compile(r"\[(\d+\.\d+[a-z](?:, \d+\.\d+[a-z])*)\]")


def ids_of(source):
    """Return the ids in brackets with which the source of a published row starts."""
    found = _IDS.match(source)
    return found[1].split(", ") if found else []
