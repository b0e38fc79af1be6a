"""Other words for the same thing: a story may be told in them, and is read in the usual ones. Pure.

Only what can mean one thing is taken; everything else stays as it was written and is named as a fault.
"""

import re
from collections.abc import Mapping as Map

from competencies.importing.nodes import Mapping, Node, Scalar, Sequence

TIMED = re.compile(r"\d{4}-\d\d-\d\d[T ].+")
DAY = re.compile(r"\d{4}-\d\d-\d\d")
NO = frozenset({"no", "false"})

KEYS: Map[str, Map[str, str]] = {
    "tasks": {
        "name": "title",
        "prerequisites": "requires",
        "validity": "validity_months",
        "months": "validity_months",
        "grace": "grace_days",
        "shifts": "distinct_shifts",
        "criticality": "critical",
        "under_18": "young_worker",
        "drills": "simulated_max",
    },
    "revisions": {"revision": "number", "change": "class", "kind": "class", "touched": "touches"},
    "people": {"person": "id", "starts": "started_on", "first_day": "started_on", "last_working_day": "last_day"},
    "holds": {
        "on": "assessed",
        "assessed_on": "assessed",
        "last_valid_on": "last_valid",
        "last_valid_day": "last_valid",
        "valid_until": "last_valid",
    },
    "events": {
        "date": "on",
        "trainee": "person",
        "holder": "person",
        "supervisor": "by",
        "assessor": "by",
        "signatory": "by",
        "signed_by": "by",
        "result": "outcome",
        "recorded_at": "recorded",
        "confirmed_at": "confirmed",
        "drill": "simulated",
    },
    "ask": {
        "date": "on",
        "known_at": "known",
        "as_known": "known",
        "last_valid_on": "last_valid",
        "last_valid_day": "last_valid",
        "valid_until": "last_valid",
        "covered": "cover",
        "runs_missing": "missing",
        "runs_counted": "runs",
    },
}
KINDS: Map[str, str] = {
    "supervised_run": "run",
    "drill": "run",
    "accept_run": "run_accepted",
    "run_acceptance": "run_accepted",
    "calculation_check": "check",
    "assess": "assessment",
    "reassessment": "assessment",
    "renewal": "assessment",
    "delta": "assessment",
    "signature": "second_signature",
    "second_sign": "second_signature",
    "countersignature": "second_signature",
    "acknowledge": "acknowledgement",
    "acknowledgment": "acknowledgement",
    "recognise": "recognition",
    "prior_competence": "recognition",
    "work": "performance",
    "work_log": "performance",
    "log": "performance",
    "suspend": "suspension",
    "lift": "lifting",
    "suspension_lifted": "lifting",
    "withdraw": "withdrawal",
    "extra_check": "check_owed",
    "annul": "annulment",
    "reverify": "reverification",
    "re_verification": "reverification",
    "correct": "correction",
    "review_of_attempts": "attempts_reviewed",
    "unit": "unit_decision",
    "enrol": "enrolment",
}
# What a kind of its own name says besides.
SAID_BY_KIND: Map[str, tuple[str, str]] = {"delta": ("delta", "yes"), "drill": ("simulated", "yes")}
CODES: Map[str, str] = {
    "expired": "lapsed",
    "grace": "in_grace",
    "too_young": "age",
    "young_worker": "age",
    "leaver": "left",
    "review": "under_review",
    "revision": "out_of_revision",
    "own_entry": "own",
}
# The fields whose words may be written with spaces or dashes.
WORDED: Map[str, Map[str, str]] = {
    "kind": KINDS,
    "standing": {
        "due_for_renewal": "renewal_due",
        "ready_for_assessment": "ready",
        "awaiting_second_signature": "awaiting_signature",
        "awaiting_the_new_revision": "awaiting_revision",
        "new_revision_to_learn": "out_of_revision",
        "restricted_by_age": "restricted",
        "grace": "in_grace",
        "expired": "lapsed",
    },
    "outcome": {"nyc": "not_yet_competent"},
    "reasons": CODES,
    "refused": CODES,
    "young_worker": {},
    "class": {},
    "way_back": {},
}


def in_usual_words(story: Mapping) -> Mapping:
    """Return the story's nodes with other names of fields, and other words in them, replaced by the usual ones."""
    pairs = []
    for key, node in story.pairs:
        entries = key.text in KEYS and isinstance(node, Sequence)
        pairs.append((key, _entries(node, key.text) if entries and isinstance(node, Sequence) else node))
    return Mapping(tuple(pairs), story.line)


def _entries(node: Sequence, part: str) -> Sequence:
    return Sequence(tuple(_entry(item, part) if isinstance(item, Mapping) else item for item in node.items), node.line)


def _entry(entry: Mapping, part: str) -> Mapping:
    present = {key.text for key, _node in entry.pairs}
    pairs: list[tuple[Scalar, Node]] = []
    for key, node in entry.pairs:
        name = _name(key.text, part, node, present)
        pairs.append((Scalar(name, key.line), _value(name, node)))
        said = SAID_BY_KIND.get(_underscored(node.text)) if name == "kind" and isinstance(node, Scalar) else None
        if said and said[0] not in present:
            pairs.append((Scalar(said[0], key.line), Scalar(said[1], key.line)))
    return Mapping(tuple(pairs), entry.line)


def _name(key: str, part: str, node: Node, present: set[str]) -> str:
    """Return the usual name of a field, unless the entry has a field of that name as well."""
    usual = KEYS[part].get(key, key)
    if usual in present and usual != key:
        return key
    if part == "events" and key == "criteria" and isinstance(node, Mapping):
        usual = "judged"
    text = node.text if isinstance(node, Scalar) else ""
    if usual == "on" and part in {"events", "ask"} and TIMED.fullmatch(text) and "at" not in present:
        return "at"
    if usual == "at" and part == "ask" and DAY.fullmatch(text) and "on" not in present:
        return "on"
    return usual


def _value(key: str, node: Node) -> Node:
    if key == "critical":
        return _criticality(node)
    if key == "judged" and isinstance(node, Mapping):
        return Mapping(tuple((number, _worded(each, {})) for number, each in node.pairs), node.line)
    return _worded(node, WORDED[key]) if key in WORDED else node


def _worded(node: Node, other: Map[str, str]) -> Node:
    if isinstance(node, Sequence):
        return Sequence(tuple(_worded(item, other) for item in node.items), node.line)
    if not isinstance(node, Scalar) or node.is_nothing:
        return node
    word = _underscored(node.text)
    return Scalar(other.get(word, word), node.line)


def _underscored(text: str) -> str:
    return re.sub(r"[ -]+", "_", text.strip().lower())


def _criticality(node: Node) -> Node:
    """Return none for a no, and both for a list of the two roles."""
    if isinstance(node, Sequence):
        roles = {item.text for item in node.items if isinstance(item, Scalar)}
        found = {frozenset(): "none", frozenset({"food", "safety"}): "both"}.get(frozenset(roles))
        return Scalar(found or " ".join(sorted(roles)), node.line)
    if isinstance(node, Scalar) and node.text.lower() in NO:
        return Scalar("none", node.line)
    return node
