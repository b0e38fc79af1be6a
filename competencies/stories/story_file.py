"""A story file in, a story out, or every fault with its file, line and field. The format: README.md beside. Pure."""

from collections.abc import Callable
from datetime import date, datetime, time
from fractions import Fraction
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from competencies.importing.faults import Faults, SyllabusFileError
from competencies.importing.fields import Section
from competencies.importing.nodes import Mapping, Scalar, Sequence, parse_nodes
from competencies.standing.facts import Scope
from competencies.standing.framework import Policy
from competencies.stories.moments import read_clock, read_moment
from competencies.stories.other_words import in_usual_words
from competencies.stories.references import note_twins, note_unknown_names
from competencies.stories.story import (
    SECOND_GRANTS,
    Story,
    StoryEvent,
    StoryGrant,
    StoryHold,
    StoryLine,
    StoryPathway,
    StoryPerson,
    StoryPolicy,
    StoryQuestion,
    StoryRevision,
    StoryRoster,
    StoryShift,
    StorySlot,
    StoryTask,
    StoryTerms,
    StoryTraining,
    StoryUnit,
)
from competencies.vocabulary import AuthorityKind, ChangeClass, Criticality, ScopeKind, SecondRole, YoungWorker

LONGEST = 80
END_OF_DAY = time(23, 59, 59)
ALWAYS = date(1990, 1, 1)
USUAL_CRITERIA = 5
PAIR = 2
USUAL_SHIFTS = (("day", 6 * 60, 14 * 60), ("late", 14 * 60, 22 * 60), ("night", 22 * 60, 6 * 60))
STORY_KEYS = (
    *(
        "story",
        "timezone",
        "policy",
        "policies",
        "shifts",
        "tasks",
        "terms",
        "revisions",
        "units",
        "pathways",
        "people",
    ),
    *("lines", "roster", "training", "holds", "events", "ask"),
)
EVENT_KEYS: dict[str, tuple[str, ...]] = {
    "run": ("shift", "revision", "range", "simulated", "stopped", "confirmed"),
    "run_accepted": ("of",),
    "check": ("calculation", "passed"),
    "assessment": ("outcome", "judged", "revision", "delta"),
    "second_signature": ("of", "role", "roles"),
    "acknowledgement": ("revision",),
    "recognition": ("evidence_on", "ends_on", "criteria", "runs"),
    "performance": (),
    "suspension": ("reason",),
    "lifting": ("of", "reason"),
    "withdrawal": ("reason",),
    "check_owed": ("cause",),
    "annulment": ("of", "cause", "unentitled_from", "reason"),
    "review": ("of",),
    "reverification": ("of",),
    "correction": ("of", "reason", "cause", "instead", "twin"),
    "join": ("into", "reason", "confirmed"),
    "part": ("into", "of", "reason"),
    "rename": ("name",),
    "employment": ("started_on", "last_day", "restricted_until"),
    "absence": ("back",),
    "authority": ("assesses", "signs", "trains", "supervises", "coordinates", "audits"),
    "authority_ended": ("grant", "area", "last_day"),
    "initial_trainer": ("revision",),
    "attempts_reviewed": (),
    "outcome_seen": ("of",),
    "appeal": ("of", "reason"),
    "conflict": ("with", "cause", "from", "until"),
    "unit_decision": ("unit", "version", "elsewhere"),
    "unit_reported": ("of", "unit", "version"),
    "moderation": ("of", "unit", "version", "agrees", "moderator", "reason"),
    "hold": ("incident", "people", "line", "from", "until"),
    "hold_ended": ("of",),
    "enrolment": ("pathway", "version"),
}
COMMON_EVENT_KEYS = (
    *("id", "kind", "person", "task", "scope", "line", "machine", "on", "at", "recorded", "by", "refused", "reason"),
)
QUESTION_KEYS = (
    *("person", "task", "scope", "on", "at", "known", "standing", "counts", "last_valid", "reasons", "way_back"),
    *("ready", "runs", "revision", "line", "shift", "cover", "short", "depth", "pathway", "credits", "awarded"),
    *("awarded_on", "missing", "version", "distance", "surplus", "disputed", "held", "flagged"),
    *("machine", "placed", "relief", "hangs_on", "covered_until", "warnings", "without"),
)


class StoryFileError(ValueError):
    """A file that is not a story; `faults` holds every fault found."""

    def __init__(self, faults: Faults) -> None:
        self.faults = sorted(faults.found, key=lambda fault: fault.line)
        super().__init__("\n".join(str(fault) for fault in self.faults))


def read_story(text: str, file_name: str) -> Story:
    """Return the story that a file's text tells. Raises StoryFileError with every fault at once."""
    faults = Faults(file_name)
    try:
        root = parse_nodes(text, faults)
    except SyllabusFileError:
        root = None
    if not isinstance(root, Mapping):
        if not faults.found:
            faults.add(1, "", "a story starts with `story:` and what it is about")
        raise StoryFileError(faults)
    section = Section(in_usual_words(root), "", faults)
    story = _Reader(section, file_name).story()
    note_twins(section)
    note_unknown_names(story)
    if faults.found:
        raise StoryFileError(faults)
    return story


class _Reader:
    """Reads one story, section by section."""

    def __init__(self, root: Section, file_name: str) -> None:
        root.expect(STORY_KEYS)
        self.root = root
        self.file_name = file_name
        self.zone = self._zone()

    def _zone(self) -> ZoneInfo:
        name = self.root.text("timezone", longest=60) or "Europe/Dublin"
        try:
            return ZoneInfo(name)
        except (ZoneInfoNotFoundError, ValueError):
            self.root.note("timezone", "there is no such time zone")
            return ZoneInfo("UTC")

    def story(self) -> Story:
        """Return the whole story."""
        root = self.root
        return Story(
            faults=root.faults,
            title=root.text("story", longest=200, required=True),
            file=self.file_name,
            timezone=self.zone.key,
            policy=self._policy(),
            shifts=self._shifts(),
            tasks=tuple(_task(section) for section in root.sections("tasks")),
            policies=tuple(self._policy_change(section) for section in root.sections("policies")),
            terms=tuple(self._terms(section) for section in root.sections("terms")),
            revisions=tuple(each for each in map(self._revision, root.sections("revisions")) if each.number > 1),
            people=tuple(_person(section) for section in root.sections("people")),
            holds=tuple(_hold(section) for section in root.sections("holds")),
            events=self._events(),
            units=tuple(_unit(section) for section in root.sections("units")),
            pathways=tuple(_pathway(section) for section in root.sections("pathways")),
            slots=tuple(slot for section in root.sections("lines") for slot in _slots(section)),
            lines=tuple(_line(section) for section in root.sections("lines")),
            roster=tuple(_roster(section) for section in root.sections("roster")),
            training=tuple(_training(section) for section in root.sections("training")),
            questions=tuple(self._question(section) for section in root.sections("ask")),
        )

    def _policy(self) -> dict[str, object]:
        """Return the settings; recency is off where the story tells nothing of it: what is not told is in order."""
        settings = _policy(self.root)
        return settings if self._tells_of_recency() else {"recency_days": None, **settings}

    def _tells_of_recency(self) -> bool:
        events, questions = self.root.sections("events"), self.root.sections("ask")
        return (
            any(section.has("recency_days") for section in self.root.sections("tasks"))
            or any(section.text("kind", longest=30) in {"performance", "absence"} for section in events)
            or any(_mentions(section, key, "stale") for section in questions for key in ("standing", "reasons"))
        )

    def _shifts(self) -> tuple[StoryShift, ...]:
        given = tuple(
            StoryShift(
                name=section.text("name", longest=20, required=True),
                starts=read_clock(section, "starts", 0),
                ends=read_clock(section, "ends", 0),
            )
            for section in self.root.sections("shifts")
        )
        return given or tuple(StoryShift(name=name, starts=starts, ends=ends) for name, starts, ends in USUAL_SHIFTS)

    def _terms(self, section: Section) -> StoryTerms:
        section.expect(("task", "effective", "recorded", *TERMS_KEYS))
        return StoryTerms(
            task=section.text("task", longest=20, required=True),
            effective_on=_day(section, "effective"),
            changes={key: _TERMS_READERS[key](section, key) for key in TERMS_KEYS if section.has(key)},
            recorded_at=read_moment(section, "recorded", self.zone),
        )

    def _policy_change(self, section: Section) -> StoryPolicy:
        section.expect(("effective", "recorded", *_POLICY_KEYS))
        settings = {key: _policy_value(section, key) for key in section.nodes if key in _POLICY_KEYS}
        return StoryPolicy(
            effective_on=_day(section, "effective"),
            settings=settings,
            recorded_at=read_moment(section, "recorded", self.zone),
        )

    def _revision(self, section: Section) -> StoryRevision:
        section.expect(
            (
                *("task", "number", "approved", "effective", "class", "touches", "criteria", "carries_runs"),
                *("recorded", "reclassified"),
            )
        )
        approved_on = _day(section, "approved", default=section.day("effective"))
        return StoryRevision(
            task=section.text("task", longest=20, required=True),
            number=section.whole("number", low=1, high=999, default=2),
            approved_on=approved_on,
            effective_on=_day(section, "effective", default=approved_on),
            change=section.choice("class", ChangeClass, ChangeClass.MAJOR),
            touches=section.wholes("touches", low=1, high=99),
            criteria=section.whole_or_none("criteria", low=1, high=99),
            carries_runs=_fraction(section, "carries_runs"),
            recorded_at=read_moment(section, "recorded", self.zone),
            reclassified_at=self._reclassified(section),
        )

    def _reclassified(self, section: Section) -> datetime | None:
        """Return when a revision was made a major one: `{on: DAY, to: major}`."""
        inner = section.map_of("reclassified")
        if inner is None:
            return None
        inner.expect(("on", "at", "to"))
        if inner.choice("to", ChangeClass, ChangeClass.MAJOR) is not ChangeClass.MAJOR:
            inner.note("to", "a revision is only ever made a major one")
        return read_moment(inner, "at" if inner.has("at") else "on", self.zone)

    def _events(self) -> tuple[StoryEvent, ...]:
        found = [self._event(section) for section in self.root.sections("events")]
        seen: set[str] = set()
        for event in found:
            if event.id and event.id in seen:
                event.section.note("id", "another event has this id")
            seen.add(event.id)
        return tuple(found)

    def _event(self, section: Section) -> StoryEvent:
        kind = section.text("kind", longest=30, required=True)
        if kind and kind not in EVENT_KEYS:
            section.note("kind", "one of these was expected: %(words)s", words=", ".join(EVENT_KEYS))
        section.expect((*COMMON_EVENT_KEYS, *EVENT_KEYS.get(kind, ())))
        happened_at = read_moment(section, "at" if section.has("at") else "on", self.zone)
        if happened_at is None:
            section.note("on", "an event needs a day (on) or a moment (at)")
            happened_at = datetime.combine(ALWAYS, datetime.min.time(), self.zone)
        recorded_at = read_moment(section, "recorded", self.zone) or happened_at
        is_refused, codes = _refused(section)
        on = section.day("on") if section.has("on") else None
        return StoryEvent(
            id=section.text("id", longest=20),
            kind=kind,
            section=section,
            happened_at=happened_at,
            on=on or happened_at.astimezone(self.zone).date(),
            recorded_at=recorded_at,
            is_refused=is_refused,
            refused=codes,
        )

    def _question(self, section: Section) -> StoryQuestion:
        section.expect(QUESTION_KEYS)
        if not any(section.has(key) for key in ("person", "line")):
            section.note("person", "a question is about a person or a line")
        return StoryQuestion(
            line=section.line,
            section=section,
            at=read_moment(section, "at", self.zone),
            on=section.day("on"),
            known_at=read_moment(section, "known", self.zone, clock=END_OF_DAY),
        )


def _mentions(section: Section, key: str, word: str) -> bool:
    """Return whether a field is a word or a list that holds it."""
    if not section.has(key):
        return False
    node = section.nodes[key][1]
    items = node.items if isinstance(node, Sequence) else (node,)
    return any(isinstance(item, Scalar) and item.text == word for item in items)


def _refused(section: Section) -> tuple[bool, tuple[str, ...]]:
    if not section.has("refused"):
        return False, ()
    node = section.nodes["refused"][1]
    if not isinstance(node, Scalar):
        return True, section.texts("refused", longest=40)
    if node.text.lower() in {"yes", "true"}:
        return True, ()
    return (False, ()) if node.text.lower() in {"no", "false"} else (True, (node.text,))


def _day(section: Section, key: str, *, default: date | None = None) -> date:
    found = section.day(key) or default
    if found is None:
        section.note(key, "a day such as 2026-01-31 was expected")
        return ALWAYS
    return found


def _policy(root: Section) -> dict[str, object]:
    section = root.map_of("policy")
    if section is None:
        return {}
    section.expect(_POLICY_KEYS)
    return {key: _policy_value(section, key) for key in section.nodes}


def _policy_value(section: Section, key: str) -> object:
    """Return a setting; a pair (non-critical, critical) may be given as one figure, which is the non-critical one."""
    default = getattr(_USUAL, key, None)
    if section.text(key, longest=LONGEST).lower() == "none" if _is_scalar(section, key) else False:
        return None
    if isinstance(default, Fraction):
        return section.text(key, longest=20)
    if isinstance(default, bool):
        return section.flag(key)
    if isinstance(default, int):
        return section.whole(key, low=0, high=10000, default=default)
    return _pair(section, key, getattr(default, "other", 0), getattr(default, "critical", 0))


def _pair(section: Section, key: str, other: int, critical: int) -> dict[str, int]:
    if _is_scalar(section, key):
        return {"other": section.whole(key, low=0, high=10000, default=other), "critical": critical}
    pair = section.map_of(key)
    if pair is None:
        return {"other": other, "critical": critical}
    pair.expect(("other", "critical"))
    return {
        "other": pair.whole("other", low=0, high=10000, default=other),
        "critical": pair.whole("critical", low=0, high=10000, default=critical),
    }


def _is_scalar(section: Section, key: str) -> bool:
    return isinstance(section.nodes[key][1], Scalar)


def _whole_map(section: Section, key: str) -> dict[str, int]:
    inner = section.map_of(key)
    return {name: inner.whole(name, low=0, high=1000, default=0) for name in inner.nodes} if inner else {}


def _fraction(section: Section, key: str) -> str:
    """Return a part of the runs as "1/2"; "all" and "none" are words for 1 and 0. Empty: the policy says."""
    text = section.text(key, longest=9)
    text = {"all": "1", "none": "0"}.get(text, text)
    try:
        return str(Fraction(text)) if text else ""
    except (ValueError, ZeroDivisionError):
        section.note(key, "a fraction such as 1/2, all or none was expected")
        return ""


def _texts(section: Section, key: str) -> tuple[str, ...]:
    return section.texts(key, longest=42)


def _young_worker(section: Section, key: str) -> YoungWorker:
    return section.choice(key, YoungWorker, YoungWorker.OPEN)


def _count(section: Section, key: str) -> int | None:
    return section.whole_or_none(key, low=0, high=10000)


# What later terms may change, with how each is read.
_TERMS_READERS: dict[str, Callable[[Section, str], object]] = {
    **dict.fromkeys(("runs", "distinct_shifts", "simulated_max", "validity_months"), _count),
    **dict.fromkeys(("grace_days", "recency_days"), _count),
    "range": _whole_map,
    "young_worker": _young_worker,
    **dict.fromkeys(("requires", "refreshes", "calculations"), _texts),
}
_TERMS_READERS["applies_to_held"] = _day
TERMS_KEYS = tuple(_TERMS_READERS)
_USUAL = Policy()
_POLICY_KEYS = tuple(name for name in Policy.__dataclass_fields__ if name not in {"effective_on", "recorded_at"})


def _task(section: Section) -> StoryTask:
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
        ranges=_whole_map(section, "range"),
        validity_months=section.whole_or_none("validity_months", low=1, high=600),
        grace_days=section.whole_or_none("grace_days", low=0, high=1000),
        recency_days=section.whole_or_none("recency_days", low=1, high=10000),
        young_worker=section.choice("young_worker", YoungWorker, YoungWorker.OPEN),
        requires=_texts(section, "requires"),
        refreshes=_texts(section, "refreshes"),
        is_recognisable=section.flag("recognisable", default=True),
        calculations=section.texts("calculations", longest=20),
        criteria=section.whole("criteria", low=1, high=99, default=USUAL_CRITERIA),
        critical_criteria=section.wholes("critical_criteria", low=1, high=99),
        scope_criteria=section.wholes("scope_criteria", low=1, high=99),
        held_at=tuple(Scope.parse(text) for text in section.texts("held_at", longest=21)),
    )


def _person(section: Section) -> StoryPerson:
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


def _hold(section: Section) -> StoryHold:
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


def _unit(section: Section) -> StoryUnit:
    section.expect(("code", "version", "level", "credits", "group", "outcomes", "first_date", "last_date", "min_age"))
    outcomes = section.map_of("outcomes")
    found: dict[int, tuple[str, ...]] = {}
    for key in outcomes.nodes if outcomes else ():
        if outcomes is not None and key.isdigit():
            found[int(key)] = outcomes.texts(key, longest=30)
        elif outcomes is not None:
            outcomes.note(key, "outcomes are numbered")
    return StoryUnit(
        code=section.code(),
        version=section.whole("version", low=1, high=99, default=1),
        level=section.whole("level", low=1, high=10, default=3),
        credits=section.whole("credits", low=0, high=500, default=0),
        group=section.text("group", longest=20) or "core",
        outcomes=found,
        first_date=section.day("first_date"),
        last_date=section.day("last_date"),
        min_age=section.whole_or_none("min_age", low=13, high=25),
    )


def _pathway(section: Section) -> StoryPathway:
    section.expect(
        (
            *("code", "version", "total", "minimum", "maximum", "level", "level_credits", "exclusions"),
            *("last_enrolment", "last_achievement"),
        )
    )
    return StoryPathway(
        code=section.code(),
        version=section.whole("version", low=1, high=99, default=1),
        total=section.whole("total", low=0, high=1000, default=0),
        minimum=_whole_map(section, "minimum"),
        maximum=_whole_map(section, "maximum"),
        level=section.whole("level", low=0, high=10, default=0),
        level_credits=section.whole("level_credits", low=0, high=1000, default=0),
        exclusions=section.texts("exclusions", longest=60),
        last_enrolment=section.day("last_enrolment"),
        last_achievement=section.day("last_achievement"),
    )


def _slots(section: Section) -> list[StorySlot]:
    section.expect(("code", "slots", "combinable", "neighbours", "groups", "relief"))
    line = section.code()
    return [
        StorySlot(
            line=line,
            task=text.partition("@")[0],
            scope=Scope.parse(text.partition("@")[2]) if "@" in text else None,
            section=section,
        )
        for text in section.texts("slots", longest=45)
    ]


def _line(section: Section) -> StoryLine:
    return StoryLine(
        code=section.text("code", longest=20),
        combinable=_task_sets(section, "combinable", PAIR),
        neighbours=_task_sets(section, "neighbours", PAIR),
        groups=_task_sets(section, "groups", None),
        relief=section.flag("relief"),
        section=section,
    )


def _task_sets(section: Section, key: str, size: int | None) -> tuple[tuple[str, ...], ...]:
    """Read a list of lists of tasks; a set may be one text, as "PK-06 + QC-04", and one set alone a plain list."""
    items = section.items(key)
    sets = [item.items if isinstance(item, Sequence) else (item,) for item in items]
    if len(items) > 1 and all(isinstance(item, Scalar) and "+" not in item.text for item in items):
        sets = [items]
    found = []
    for parts in sets:
        words = [part.text for part in parts if isinstance(part, Scalar)]
        if len(words) == 1:
            words = [word.strip() for word in words[0].split("+")]
        if size is not None and len(words) != size:
            section.note(key, "a list of pairs of tasks was expected, such as [[PK-06, QC-04]]")
        else:
            found.append(tuple(words))
    return tuple(found)


def _roster(section: Section) -> StoryRoster:
    section.expect(("person", "line", "date", "until", "overtime_minutes", "shift"))
    return StoryRoster(
        person=section.text("person", longest=20, required=True),
        line=section.text("line", longest=10) or "L1",
        on=_day(section, "date"),
        until_on=section.day("until"),
        overtime_minutes=section.whole("overtime_minutes", low=0, high=1440, default=0),
        shift=section.text("shift", longest=20) or "day",
        section=section,
    )


def _training(section: Section) -> StoryTraining:
    section.expect(("person", "task", "under", "line", "date", "shift"))
    return StoryTraining(
        person=section.text("person", longest=20, required=True),
        task=section.text("task", longest=20, required=True),
        under=section.text("under", longest=20, required=True),
        line=section.text("line", longest=10) or "L1",
        on=_day(section, "date"),
        shift=section.text("shift", longest=20) or "day",
        section=section,
    )
