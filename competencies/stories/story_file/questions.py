"""What may be asked: `ask`."""

from competencies.importing.fields import Section
from competencies.importing.nodes import Scalar, Sequence

QUESTION_KEYS = (
    *("person", "task", "scope", "on", "at", "known", "standing", "counts", "last_valid", "reasons", "way_back"),
    *("ready", "runs", "revision", "line", "shift", "cover", "short", "depth", "pathway", "credits", "awarded"),
    *("awarded_on", "missing", "version", "distance", "surplus", "disputed", "held", "flagged"),
    *("machine", "placed", "relief", "hangs_on", "covered_until", "warnings", "without"),
)


def mentions(section: Section, key: str, word: str) -> bool:
    """Return whether a field is a word or a list that holds it."""
    if not section.has(key):
        return False
    node = section.nodes[key][1]
    items = node.items if isinstance(node, Sequence) else (node,)
    return any(isinstance(item, Scalar) and item.text == word for item in items)
