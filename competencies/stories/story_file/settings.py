"""The settings of a story's plant: `policy` and `policies`."""

from fractions import Fraction

from competencies.importing.fields import Section
from competencies.standing.framework import Policy
from competencies.stories.story_file.values import is_scalar

LONGEST = 80


def read_policy(root: Section) -> dict[str, object]:
    """Return the settings that a story tells of, by name."""
    section = root.map_of("policy")
    if section is None:
        return {}
    section.expect(POLICY_KEYS)
    return {key: read_setting(section, key) for key in section.nodes}


def read_setting(section: Section, key: str) -> object:
    """Return a setting; a pair (non-critical, critical) may be given as one figure, which is the non-critical one."""
    default = getattr(_USUAL, key, None)
    if section.text(key, longest=LONGEST).lower() == "none" if is_scalar(section, key) else False:
        return None
    if isinstance(default, Fraction):
        return section.text(key, longest=20)
    if isinstance(default, bool):
        return section.flag(key)
    if isinstance(default, int):
        return section.whole(key, low=0, high=10000, default=default)
    return _pair(section, key, getattr(default, "other", 0), getattr(default, "critical", 0))


def _pair(section: Section, key: str, other: int, critical: int) -> dict[str, int]:
    if is_scalar(section, key):
        return {"other": section.whole(key, low=0, high=10000, default=other), "critical": critical}
    pair = section.map_of(key)
    if pair is None:
        return {"other": other, "critical": critical}
    pair.expect(("other", "critical"))
    return {
        "other": pair.whole("other", low=0, high=10000, default=other),
        "critical": pair.whole("critical", low=0, high=10000, default=critical),
    }


_USUAL = Policy()
POLICY_KEYS = tuple(name for name in Policy.__dataclass_fields__ if name not in {"effective_on", "recorded_at"})
