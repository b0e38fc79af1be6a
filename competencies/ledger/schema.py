"""Which keys a body may have, kind by kind: a closed list, and the whole of it.

No key holds a name or anything that a person typed: those are committed to by a digest and kept where they
can be erased. A key that is not listed here is refused when an entry is appended, and found when the ledger
is verified. A new kind of entry is added here, in `vocabulary` and, if the rule reads it, in `standing.facts`.
Pure.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from competencies.ledger.canonical import FORMAT_VERSION, Body, Json
from competencies.ledger.codecs import (
    Amount,
    Choice,
    Codec,
    Day,
    FieldError,
    Flag,
    Label,
    Listed,
    Moment,
    Named,
    Numbered,
    Place,
    Ratio,
    Record,
    Several,
    Whole,
    Word,
)
from competencies.vocabulary import (
    AuthorityKind,
    ChangeClass,
    ConflictCause,
    EntryKind,
    Judgement,
    Meaning,
    Outcome,
    SecondRole,
    YoungWorker,
)

CODE = Word(r"[a-z][a-z0-9_]{0,39}", "a code in small letters")
TASK = Word(r"[A-Za-z0-9][\w.-]{0,19}", "a code of a task, calculation, unit or area")
INCIDENT = Word(r"[A-Za-z0-9][\w./-]{0,39}", "the number of an incident")
DIGEST = Word(r"[0-9a-f]{64}", "a digest of 32 bytes")
TOKEN = Word(r"[A-Za-z0-9_-]{16,64}", "a form's token")
ZONE = Word(r"[A-Za-z][\w+-]*(/[\w+-]+){0,2}", "a time zone's name")
SEQ = Whole()
NUMBER = Whole(1)


class SchemaError(ValueError):
    """The body has a key that is not allowed, lacks one that is needed, or a value that does not fit."""


class PersonRole(StrEnum):
    """The parts a named person can have in an entry; the key of the name is e.g. `subject_name`."""

    SUBJECT = "subject"
    ACTOR = "actor"
    BY = "by"


class TextKind(StrEnum):
    """What a person may type into an entry; the key holds the commitment to it."""

    NOTE = "note"
    FEEDBACK = "feedback"
    REMARK = "remark"
    QUESTIONS = "questions"
    PRACTISE = "practise"
    LIMITS = "limits"
    MODERATOR = "moderator"


NAME_KEYS = {role: f"{role}_name" for role in PersonRole}
COMMITMENT_KEYS = frozenset(NAME_KEYS.values()) | frozenset(TextKind)

# What stands in every body. `at` is the server's moment, `happened_at` the one on the floor, `happened_on` the
# plant's date for it (of a shift: the date it starts).
ALWAYS: Mapping[str, Codec] = {
    "v": Whole(FORMAT_VERSION),
    "seq": SEQ,
    "prev": DIGEST,
    "kind": Choice(EntryKind),
    "at": Moment(),
    "plant": NUMBER,
    "tz": ZONE,
    "happened_at": Moment(),
    "happened_on": Day(),
}
# What may stand in any body. `actor` signs the entry; `by` acted on the floor where that was another person
# (a paper record entered later). `actor_right` is the entry that gave the actor the right, `meaning_digest`
# the digest of the words the meaning was shown in, `files` the digests of files that belong to it. An entry made in
# place of a corrected one names that one, and the place and moment of the first of such a chain.
ANYWHERE: Mapping[str, Codec] = {
    "actor": NUMBER,
    "actor_name": DIGEST,
    "actor_role": CODE,
    "actor_right": SEQ,
    "by": NUMBER,
    "by_name": DIGEST,
    "subject": NUMBER,
    "subject_name": DIGEST,
    "task": TASK,
    "scope": Place(),
    "stands_for": SEQ,
    "first_seq": SEQ,
    "first_recorded_at": Moment(),
    "meaning": Choice(Meaning),
    "meaning_digest": DIGEST,
    "auth": Record({"method": CODE}, {"since": Moment(), "device": CODE}),
    "token": TOKEN,
    "reason": CODE,
    "late": Flag(),
    "clock_back": Flag(),
    "imported": Flag(),
    "shown": DIGEST,
    "files": Listed(DIGEST),
    **dict.fromkeys(TextKind, DIGEST),
}

READING = Record({"number": NUMBER}, {"trainee": Amount(), "assessor": Amount(), "unit": Label(), "met": Flag()})
READINGS = Listed(READING)
JUDGED = Numbered(Choice(Judgement))
CRITERIA = Listed(NUMBER)


@dataclass(frozen=True)
class KindSchema:
    """The keys of one kind beside those of every body: the needed and the allowed."""

    needed: Mapping[str, Codec] = field(default_factory=dict)
    allowed: Mapping[str, Codec] = field(default_factory=dict)


PERSON: Mapping[str, Codec] = {"subject": NUMBER}
ON_TASK: Mapping[str, Codec] = {"subject": NUMBER, "task": TASK}

KINDS: Mapping[EntryKind, KindSchema] = {
    EntryKind.RUN: KindSchema(
        {**ON_TASK, "shift": Label(), "revision": NUMBER},
        {
            "confirmed_at": Moment(),
            "simulated": Flag(),
            "stopped": Flag(),
            "range_values": Named(Label()),
            "aimed_at": CRITERIA,
            "judged": JUDGED,
            "readings": READINGS,
        },
    ),
    EntryKind.RUN_ACCEPTED: KindSchema({**PERSON, "of": SEQ}),
    EntryKind.CHECK: KindSchema(
        {**PERSON, "calculation": TASK, "passed": Flag()},
        {"problems": Whole(), "right": Whole(), "pass_mark": Whole(), "sitting": SEQ, "answers": DIGEST},
    ),
    EntryKind.ASSESSMENT: KindSchema(
        {**ON_TASK, "revision": NUMBER, "outcome": Choice(Outcome)},
        {
            "judged": JUDGED,
            "delta": Flag(),
            "readings": READINGS,
            "purpose": CODE,
            "evidence": Listed(SEQ),
            "second_roles": Several(Choice(SecondRole)),
            "valid_from": Day(),
            "valid_until": Day(),
        },
    ),
    EntryKind.SECOND_SIGNATURE: KindSchema(
        {**PERSON, "of": SEQ, "roles": Several(Choice(SecondRole))},
        {"revision": NUMBER, "valid_from": Day(), "valid_until": Day()},
    ),
    EntryKind.ACKNOWLEDGEMENT: KindSchema({**ON_TASK, "revision": NUMBER}, {"of": SEQ}),
    EntryKind.RECOGNITION: KindSchema(
        {**ON_TASK, "evidence_on": Day()},
        {
            "evidence_ends_on": Day(),
            "criteria": Several(NUMBER),
            "runs_needed": Whole(),
            "range_values": Named(Listed(Label())),
            "revision": NUMBER,
            "evidence": Listed(SEQ),
        },
    ),
    EntryKind.PERFORMANCE: KindSchema(ON_TASK, {"shift": Label(), "of": SEQ}),
    EntryKind.SUSPENSION: KindSchema(PERSON),
    EntryKind.LIFTING: KindSchema({**PERSON, "of": SEQ}),
    EntryKind.WITHDRAWAL: KindSchema(PERSON),
    EntryKind.CHECK_OWED: KindSchema(PERSON, {"cause": CODE}),
    EntryKind.ANNULMENT: KindSchema({**PERSON, "of": SEQ}, {"cause": CODE, "unentitled_from": Day()}),
    EntryKind.REVIEW: KindSchema({**PERSON, "of": SEQ}, {"cause": CODE, "annulment": SEQ}),
    EntryKind.REVERIFICATION: KindSchema({**PERSON, "of": SEQ}),
    EntryKind.CORRECTION: KindSchema({"of": SEQ}, {"instead": SEQ, "twin": SEQ, "other": NUMBER}),
    EntryKind.ATTEMPTS_REVIEWED: KindSchema(PERSON),
    EntryKind.OUTCOME_SEEN: KindSchema({**PERSON, "of": SEQ}),
    EntryKind.APPEAL: KindSchema({**PERSON, "of": SEQ}),
    EntryKind.CONFLICT: KindSchema(
        {**PERSON, "other": NUMBER, "cause": Choice(ConflictCause), "valid_from": Day()}, {"valid_until": Day()}
    ),
    EntryKind.EMPLOYMENT: KindSchema(PERSON, {"started_on": Day(), "last_day": Day(), "restricted_until": Day()}),
    EntryKind.PEOPLE_JOINED: KindSchema({**PERSON, "other": NUMBER}),
    EntryKind.PEOPLE_PARTED: KindSchema({**PERSON, "other": NUMBER, "entries": Several(SEQ)}),
    EntryKind.RENAMED: KindSchema(PERSON),
    EntryKind.ABSENCE: KindSchema(PERSON, {"back_on": Day()}),
    EntryKind.AUTHORITY: KindSchema(
        {**PERSON, "authority": Choice(AuthorityKind), "valid_from": Day()}, {"area": TASK, "valid_until": Day()}
    ),
    EntryKind.AUTHORITY_ENDED: KindSchema({**PERSON, "of": SEQ, "valid_until": Day()}),
    EntryKind.INITIAL_TRAINER: KindSchema(ON_TASK, {"revision": NUMBER}),
    EntryKind.REVISION: KindSchema(
        {"task": TASK, "revision": NUMBER, "approved_on": Day(), "effective_on": Day(), "change": Choice(ChangeClass)},
        {
            "touches": CRITERIA,
            "criteria": CRITERIA,
            "critical_criteria": Several(NUMBER),
            "scope_criteria": CRITERIA,
            "carries_runs": Ratio(),
            "second_approver": NUMBER,
            "of": SEQ,
        },
    ),
    EntryKind.RECLASSIFICATION: KindSchema(
        {"task": TASK, "revision": NUMBER, "change": Choice(ChangeClass), "of": SEQ, "second_approver": NUMBER}
    ),
    EntryKind.TERMS: KindSchema(
        {"task": TASK, "effective_on": Day()},
        {
            "runs": Whole(),
            "distinct_shifts": Whole(),
            "validity_months": Whole(),
            "simulated_max": Whole(),
            "ranges": Named(Whole()),
            "calculations": Listed(TASK),
            "prerequisites": Listed(TASK),
            "prerequisite_places": Named(Listed(Place())),
            "refreshes": Listed(TASK),
            "young_worker": Choice(YoungWorker),
            "min_age": Whole(),
            "grace_days": Whole(),
            "recency_days": Whole(),
            "applies_to_held_on": Day(),
        },
    ),
    EntryKind.POLICY: KindSchema({"effective_on": Day()}, {"settings": Named(Label())}),
    EntryKind.ENROLMENT: KindSchema({**PERSON, "pathway": TASK}, {"version": Whole(), "ended_on": Day(), "of": SEQ}),
    EntryKind.UNIT_DECISION: KindSchema(
        {**PERSON, "unit": TASK, "version": Whole()},
        {"elsewhere": Flag(), "credits": Whole(), "evidence": Listed(SEQ), "outcome": Choice(Outcome)},
    ),
    EntryKind.UNIT_REPORTED: KindSchema({**PERSON, "of": SEQ}),
    EntryKind.MODERATION: KindSchema({**PERSON, "of": SEQ, "agrees": Flag()}),
    EntryKind.HOLD: KindSchema(
        {"incident": INCIDENT},
        {"people": Listed(NUMBER), "covers_from": Day(), "covers_until": Day()},
    ),
    EntryKind.HOLD_ENDED: KindSchema({"of": SEQ}),
    EntryKind.ERASURE: KindSchema(PERSON, {"counts": Named(Whole()), "rule": CODE, "second_approver": NUMBER}),
}

# Most kinds share most keys; joined once here so that reading a body is one look-up a key.
CODECS: Mapping[EntryKind, Mapping[str, Codec]] = {
    kind: {**ALWAYS, **ANYWHERE, **schema.allowed, **schema.needed} for kind, schema in KINDS.items()
}
NEEDED: Mapping[EntryKind, frozenset[str]] = {
    kind: frozenset(ALWAYS) | frozenset(schema.needed) for kind, schema in KINDS.items()
}


def write_field(kind: EntryKind, key: str, value: object) -> Json:
    """Return what stands in a body of this kind for `value` under `key`; SchemaError when it may not."""
    codec = CODECS[kind].get(key)
    if codec is None:
        raise SchemaError(f"{kind}: the key {key!r} is not allowed")
    try:
        return codec.write(value)
    except FieldError as error:
        raise SchemaError(f"{kind}.{key}: {error}") from error


def read_field(kind: EntryKind, key: str, raw: Json) -> Any:  # noqa: ANN401 - each key has its own type
    """Return the value that `raw` stands for under `key`; SchemaError when it stands for none."""
    try:
        return CODECS[kind][key].read(raw)
    except KeyError as error:
        raise SchemaError(f"{kind}: the key {key!r} is not allowed") from error
    except FieldError as error:
        raise SchemaError(f"{kind}.{key}: {error}") from error


def kind_of(body: Body) -> EntryKind:
    """Return the body's kind; SchemaError when there is no such kind."""
    try:
        return EntryKind(str(body.get("kind")))
    except ValueError as error:
        raise SchemaError(f"no such kind of entry: {body.get('kind')!r}") from error


def check_keys(body: Body) -> EntryKind:
    """Return the body's kind; SchemaError when a key is missing or not on the closed list of its kind."""
    kind = kind_of(body)
    if missing := NEEDED[kind] - body.keys():
        raise SchemaError(f"{kind}: missing {', '.join(sorted(missing))}")
    if strange := body.keys() - CODECS[kind].keys():
        raise SchemaError(f"{kind}: not allowed: {', '.join(sorted(strange))}")
    return kind


def read_body(body: Body) -> dict[str, Any]:
    """Return every value of the body in the program's own types; SchemaError when anything does not fit."""
    kind = check_keys(body)
    return {key: read_field(kind, key, raw) for key, raw in body.items()}
