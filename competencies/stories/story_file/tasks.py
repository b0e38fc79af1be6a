"""The tasks of a story, and what later terms may change: `tasks`, `terms`, `revisions`."""

from collections.abc import Callable
from fractions import Fraction

from competencies.importing.fields import Section
from competencies.standing.facts import Scope
from competencies.stories.story import StoryTask
from competencies.stories.story_file.values import day_told, texts, whole_map
from competencies.vocabulary import Criticality, ScopeKind, YoungWorker

USUAL_CRITERIA = 5


def read_fraction(section: Section, key: str) -> str:
    """Return a part of the runs as "1/2"; "all" and "none" are words for 1 and 0. Empty: the policy says."""
    text = section.text(key, longest=9)
    text = {"all": "1", "none": "0"}.get(text, text)
    try:
        return str(Fraction(text)) if text else ""
    except (ValueError, ZeroDivisionError):
        section.note(key, "a fraction such as 1/2, all or none was expected")
        return ""


def _young_worker(section: Section, key: str) -> YoungWorker:
    return section.choice(key, YoungWorker, YoungWorker.OPEN)


def _count(section: Section, key: str) -> int | None:
    return section.whole_or_none(key, low=0, high=10000)


# What later terms may change, with how each is read.
TERMS_READERS: dict[str, Callable[[Section, str], object]] = {
    **dict.fromkeys(("runs", "distinct_shifts", "simulated_max", "validity_months"), _count),
    **dict.fromkeys(("grace_days", "recency_days"), _count),
    "range": whole_map,
    "young_worker": _young_worker,
    **dict.fromkeys(("requires", "refreshes", "calculations"), texts),
}
TERMS_READERS["applies_to_held"] = day_told
TERMS_KEYS = tuple(TERMS_READERS)


def read_task(section: Section) -> StoryTask:
    """Return a task of `tasks`."""
    section.expect(
        (
            *("code", "title", "area", "level", "scope", "critical", "runs", "distinct_shifts", "simulated_max"),
            *("range", "validity_months", "grace_days", "recency_days", "young_worker", "requires", "calculations"),
            *("criteria", "critical_criteria", "scope_criteria", "held_at", "refreshes", "recognisable"),
        )
    )
    runs = section.whole("runs", low=0, high=200, default=1)
    return StoryTask(
        code=section.code(),
        area=section.text("area", longest=10) or "A",
        scope_kind=section.choice("scope", ScopeKind, ScopeKind.SITE),
        criticality=section.choice("critical", Criticality, Criticality.NONE),
        runs=runs,
        distinct_shifts=section.whole("distinct_shifts", low=0, high=200, default=1),
        simulated_max=section.whole("simulated_max", low=0, high=200, default=0),
        ranges=whole_map(section, "range"),
        validity_months=section.whole_or_none("validity_months", low=1, high=600),
        grace_days=section.whole_or_none("grace_days", low=0, high=1000),
        recency_days=section.whole_or_none("recency_days", low=1, high=10000),
        young_worker=section.choice("young_worker", YoungWorker, YoungWorker.OPEN),
        requires=texts(section, "requires"),
        refreshes=texts(section, "refreshes"),
        is_recognisable=section.flag("recognisable", default=True),
        calculations=section.texts("calculations", longest=20),
        criteria=section.whole("criteria", low=1, high=99, default=USUAL_CRITERIA),
        critical_criteria=section.wholes("critical_criteria", low=1, high=99),
        scope_criteria=section.wholes("scope_criteria", low=1, high=99),
        held_at=tuple(Scope.parse(text) for text in section.texts("held_at", longest=21)),
    )
