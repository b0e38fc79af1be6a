"""Unit standards and qualifications of a syllabus file. Pure."""

from collections.abc import Mapping

from competencies.importing.faults import mark as _
from competencies.importing.fields import Section
from competencies.importing.nodes import Scalar, Sequence
from competencies.importing.syllabus import QualificationRow, UnitRow

UNIT_KEYS = (
    *("code", "version", "title", "level", "credits", "group", "outcomes"),
    *("first_date_for_assessment", "last_date_for_assessment", "min_age"),
)
QUALIFICATION_KEYS = (
    *("code", "version", "title", "min_total_credits", "rules", "exclusions"),
    *("last_date_to_enrol", "last_date_to_achieve"),
)
# Each rule by the word that stands behind `rule:`, with the names that it takes beside it.
RULES = {
    "all": ("group", "credits"),
    "min": ("group", "credits"),
    "max": ("group", "credits"),
    "balance_to_total": ("groups",),
    "min_at_level_or_above": ("level", "credits"),
}
CALCULATION_PREFIX = "calc:"


def read_unit(section: Section) -> UnitRow:
    """Return one version of a unit standard; what is wrong in it is noted there."""
    section.expect(UNIT_KEYS)
    return UnitRow(
        code=section.code(),
        version=section.whole("version", low=1, high=999, default=1),
        title=section.text("title", longest=160, required=True),
        level=_required_whole(section, "level", high=10),
        credits=_required_whole(section, "credits", high=500),
        group=section.text("group", longest=20, required=True),
        outcomes=_read_outcomes(section),
        first_date_for_assessment=section.day("first_date_for_assessment"),
        last_date_for_assessment=section.day("last_date_for_assessment"),
        min_age=section.whole_or_none("min_age", low=13, high=25),
        line=section.line,
    )


def _required_whole(section: Section, key: str, *, high: int) -> int:
    if not section.has(key):
        section.note(key, _("this is missing"))
    return section.whole(key, low=1, high=high, default=1)


def _read_outcomes(section: Section) -> tuple[tuple[str, ...], ...]:
    outcomes = section.map_of("outcomes")
    if outcomes is None:
        if not section.has("outcomes"):
            section.note("outcomes", _("a unit needs at least one outcome, such as `1: [HS-01]`"))
        return ()
    if list(outcomes.nodes) != [str(number) for number in range(1, len(outcomes.nodes) + 1)]:
        section.note("outcomes", _("number the outcomes 1, 2, 3 and so on"))
    found = tuple(outcomes.texts(number, longest=25) for number in outcomes.nodes)
    for number, items in zip(outcomes.nodes, found, strict=True):
        if not items:
            outcomes.note(number, _("an outcome needs at least one task"))
    return found


def read_qualification(section: Section) -> QualificationRow:
    """Return a pathway; what is wrong in it is noted there."""
    section.expect(QUALIFICATION_KEYS)
    return QualificationRow(
        code=section.code(),
        version=section.whole("version", low=1, high=999, default=1),
        title=section.text("title", longest=160, required=True),
        min_total_credits=_required_whole(section, "min_total_credits", high=2000),
        rules=tuple(_read_rule(rule) for rule in section.sections("rules")),
        exclusions=_read_exclusions(section),
        last_date_to_enrol=section.day("last_date_to_enrol"),
        last_date_to_achieve=section.day("last_date_to_achieve"),
        line=section.line,
    )


def _read_rule(section: Section) -> Mapping[str, object]:
    kind = section.text("rule", longest=40, required=True)
    if kind not in RULES:
        if kind:
            section.note("rule", _("one of these was expected: %(words)s"), words=", ".join(RULES))
        return {}
    section.expect(("rule", *RULES[kind]))
    return {key: _rule_value(section, key) for key in ("rule", *RULES[kind])}


def _rule_value(section: Section, key: str) -> object:
    if key == "groups":
        return list(section.texts(key, longest=20))
    if key in {"credits", "level"}:
        return _required_whole(section, key, high=2000)
    return section.text(key, longest=40, required=True)


def _read_exclusions(section: Section) -> tuple[tuple[str, ...], ...]:
    found: list[tuple[str, ...]] = []
    for index, node in enumerate(section.items("exclusions"), start=1):
        members = node.items if isinstance(node, Sequence) else ()
        keys = tuple(member.text for member in members if isinstance(member, Scalar))
        if len(set(keys)) < 2 or len(keys) != len(members):  # noqa: PLR2004 - a pair has two
            message = _("two units that count once were expected, such as [U304v1, U304v2]")
            section.faults.add(node.line, section.at(f"exclusions[{index}]"), message)
        found.append(keys)
    return tuple(found)
