"""A story file in, a story out, or every fault with its file, line and field."""

from datetime import datetime, time
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from competencies.importing.faults import Faults, SyllabusFileError
from competencies.importing.fields import Section
from competencies.importing.nodes import Mapping, parse_nodes
from competencies.stories.moments import read_clock, read_moment
from competencies.stories.other_words import in_usual_words
from competencies.stories.references import note_twins, note_unknown_names
from competencies.stories.story import (
    Story,
    StoryEvent,
    StoryPolicy,
    StoryQuestion,
    StoryRevision,
    StoryShift,
    StoryTerms,
)
from competencies.stories.story_file.events import COMMON_EVENT_KEYS, EVENT_KEYS, read_refused
from competencies.stories.story_file.lines import read_line, read_roster, read_slots, read_training
from competencies.stories.story_file.pathways import read_pathway, read_unit
from competencies.stories.story_file.people import read_hold, read_person
from competencies.stories.story_file.questions import QUESTION_KEYS, mentions
from competencies.stories.story_file.settings import POLICY_KEYS, read_policy, read_setting
from competencies.stories.story_file.tasks import TERMS_KEYS, TERMS_READERS, read_fraction, read_task
from competencies.stories.story_file.values import ALWAYS, day_told
from competencies.vocabulary import ChangeClass

END_OF_DAY = time(23, 59, 59)
USUAL_SHIFTS = (("day", 6 * 60, 14 * 60), ("late", 14 * 60, 22 * 60), ("night", 22 * 60, 6 * 60))
STORY_KEYS = (
    *("story", "timezone", "policy", "policies", "shifts", "tasks", "terms", "revisions", "units", "pathways"),
    *("people", "lines", "roster", "training", "holds", "events", "ask"),
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
            tasks=tuple(read_task(section) for section in root.sections("tasks")),
            policies=tuple(self._policy_change(section) for section in root.sections("policies")),
            terms=tuple(self._terms(section) for section in root.sections("terms")),
            revisions=tuple(each for each in map(self._revision, root.sections("revisions")) if each.number > 1),
            people=tuple(read_person(section) for section in root.sections("people")),
            holds=tuple(read_hold(section) for section in root.sections("holds")),
            events=self._events(),
            units=tuple(read_unit(section) for section in root.sections("units")),
            pathways=tuple(read_pathway(section) for section in root.sections("pathways")),
            slots=tuple(slot for section in root.sections("lines") for slot in read_slots(section)),
            lines=tuple(read_line(section) for section in root.sections("lines")),
            roster=tuple(read_roster(section) for section in root.sections("roster")),
            training=tuple(read_training(section) for section in root.sections("training")),
            questions=tuple(self._question(section) for section in root.sections("ask")),
        )

    def _policy(self) -> dict[str, object]:
        """Return the settings; recency is off where the story tells nothing of it: what is not told is in order."""
        settings = read_policy(self.root)
        return settings if self._tells_of_recency() else {"recency_days": None, **settings}

    def _tells_of_recency(self) -> bool:
        events, questions = self.root.sections("events"), self.root.sections("ask")
        return (
            any(section.has("recency_days") for section in self.root.sections("tasks"))
            or any(section.text("kind", longest=30) in {"performance", "absence"} for section in events)
            or any(mentions(section, key, "stale") for section in questions for key in ("standing", "reasons"))
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
            effective_on=day_told(section, "effective"),
            changes={key: TERMS_READERS[key](section, key) for key in TERMS_KEYS if section.has(key)},
            recorded_at=read_moment(section, "recorded", self.zone),
        )

    def _policy_change(self, section: Section) -> StoryPolicy:
        section.expect(("effective", "recorded", *POLICY_KEYS))
        settings = {key: read_setting(section, key) for key in section.nodes if key in POLICY_KEYS}
        return StoryPolicy(
            effective_on=day_told(section, "effective"),
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
        approved_on = day_told(section, "approved", default=section.day("effective"))
        return StoryRevision(
            task=section.text("task", longest=20, required=True),
            number=section.whole("number", low=1, high=999, default=2),
            approved_on=approved_on,
            effective_on=day_told(section, "effective", default=approved_on),
            change=section.choice("class", ChangeClass, ChangeClass.MAJOR),
            touches=section.wholes("touches", low=1, high=99),
            criteria=section.whole_or_none("criteria", low=1, high=99),
            carries_runs=read_fraction(section, "carries_runs"),
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
        is_refused, codes = read_refused(section)
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
