"""The people of a story, what they are entrusted with, and what they hold: `people`, `holds`."""

from collections.abc import Callable

from competencies.importing.fields import Section
from competencies.importing.nodes import Mapping, Scalar
from competencies.stories.story import SECOND_GRANTS, StoryGrant, StoryHold, StoryPerson
from competencies.stories.story_file.values import ALWAYS
from competencies.vocabulary import AuthorityKind, SecondRole


def read_person(section: Section) -> StoryPerson:
    """Return a person of `people`."""
    section.expect(
        (
            *("id", "name", "restricted_until", "last_day", "started_on"),
            *("assesses", "signs", "trains", "supervises", "coordinates", "audits"),
        )
    )
    return StoryPerson(
        id=section.text("id", longest=20, required=True),
        grants=read_grants(section),
        restricted_until=section.day("restricted_until"),
        last_day=section.day("last_day"),
        started_on=section.day("started_on"),
    )


GRANT_KEYS = {
    "assesses": AuthorityKind.ASSESS,
    "trains": AuthorityKind.TRAIN,
    "supervises": AuthorityKind.SUPERVISE,
    "coordinates": AuthorityKind.COORDINATE,
    "audits": AuthorityKind.AUDIT,
}


def read_grants(section: Section) -> tuple[StoryGrant, ...]:
    """Return the authorities that a person's or an event's section names."""
    found = [grant for key, kind in GRANT_KEYS.items() for grant in _grants_under(section, key, _always(kind))]
    found += _grants_under(section, "signs", _second_kind)
    return tuple(found)


def _always(kind: AuthorityKind) -> Callable[[str], AuthorityKind | None]:
    return lambda _word: kind


def _second_kind(text: str) -> AuthorityKind | None:
    return SECOND_GRANTS[SecondRole(text)] if text in set(SecondRole) else None


def _grants_under(section: Section, key: str, kind_of: Callable[[str], AuthorityKind | None]) -> list[StoryGrant]:
    """Read `yes`, a list of words (areas; for `signs` roles), or a list of maps with from and to."""
    if not section.has(key):
        return []
    node = section.nodes[key][1]
    if isinstance(node, Scalar):
        return _worded_grant(section, key, node.text, kind_of)
    found: list[StoryGrant] = []
    for index, item in enumerate(section.items(key), start=1):
        if isinstance(item, Scalar):
            found += _worded_grant(section, key, item.text, kind_of)
        elif isinstance(item, Mapping):
            found += _dated_grant(Section(item, section.at(f"{key}[{index}]"), section.faults), kind_of)
    return found


def _worded_grant(
    section: Section, key: str, word: str, kind_of: Callable[[str], AuthorityKind | None]
) -> list[StoryGrant]:
    """Read one word: yes, an area, or (for `signs`) a role."""
    if word.lower() in {"no", "false"}:
        return []
    kind = kind_of(word)
    if kind is None:
        section.note(key, "food or safety was expected")
        return []
    area = "" if key == "signs" or word.lower() in {"yes", "true"} else word
    return [StoryGrant(kind=kind, area=area, from_on=ALWAYS, until_on=None)]


def _dated_grant(inner: Section, kind_of: Callable[[str], AuthorityKind | None]) -> list[StoryGrant]:
    inner.expect(("area", "role", "from", "to"))
    kind = kind_of(inner.text("role", longest=20))
    if kind is None:
        inner.note("role", "food or safety was expected")
        return []
    return [
        StoryGrant(
            kind=kind,
            area=inner.text("area", longest=10),
            from_on=inner.day("from") or ALWAYS,
            until_on=inner.day("to"),
        )
    ]


def read_hold(section: Section) -> StoryHold:
    """Return a sign-off of `holds`."""
    section.expect(("person", "task", "scope", "line", "machine", "assessed", "last_valid", "revision"))
    assessed_on, last_valid_on = section.day("assessed"), section.day("last_valid")
    if assessed_on is None and last_valid_on is None:
        section.note("assessed", "when it was assessed, or its last valid day, was expected")
    return StoryHold(
        person=section.text("person", longest=20, required=True),
        task=section.text("task", longest=20, required=True),
        assessed_on=assessed_on,
        last_valid_on=last_valid_on,
        revision=section.whole_or_none("revision", low=1, high=999),
        section=section,
    )
