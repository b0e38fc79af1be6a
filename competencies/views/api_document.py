"""The interface for other programs as an OpenAPI 3.1 document."""

from typing import Any, Final

from competencies.forms.reading import BIGGEST, MOST, MOST_DAYS, USUAL
from competencies.vocabulary import Standing

Schema = dict[str, Any]
NUMBER: Final[Schema] = {"type": "integer"}
TEXT: Final[Schema] = {"type": "string"}
FLAG: Final[Schema] = {"type": "boolean"}
DAY: Final[Schema] = {"type": "string", "format": "date"}
MOMENT: Final[Schema] = {"type": "string", "format": "date-time"}
HASH: Final[Schema] = {"type": "string", "pattern": "^[0-9a-f]{64}$"}


def _or_null(schema: Schema) -> Schema:
    return {**schema, "type": [schema["type"], "null"]}


def _object(**fields: Schema) -> Schema:
    return {"type": "object", "properties": fields, "required": list(fields), "additionalProperties": False}


def _list(items: Schema) -> Schema:
    return {"type": "array", "items": items}


PERSON: Final = _object(
    id=NUMBER,
    employee_number=TEXT,
    name=TEXT,
    crew=_or_null(TEXT),
    area=_or_null(TEXT),
    started_on=DAY,
    last_day=_or_null(DAY),
)
HELD: Final = _object(
    person=NUMBER,
    task=TEXT,
    place={**TEXT, "description": "Empty: the whole site. Else a line, or a line and a machine as L1/F1."},
    standing={**TEXT, "enum": [standing.value for standing in Standing]},
    counts={**FLAG, "description": "Counts for cover, apart from the roster."},
    last_valid_on=_or_null(DAY),
    revision=_or_null(NUMBER),
    reasons=_list(_object(rule=TEXT, code=TEXT, text=TEXT)),
    rests_on={**_list(NUMBER), "description": "Entries of the ledger."},
)
STATION: Final = _object(task=TEXT, machine=_or_null(TEXT), stands=_or_null(NUMBER), able=_list(NUMBER), short=FLAG)
COVERED: Final = _object(
    on=DAY,
    shift=TEXT,
    line=TEXT,
    covered=FLAG,
    covered_until=_or_null(MOMENT),
    stations=_list(STATION),
)
ENTRY: Final = _object(
    entry=NUMBER,
    kind=TEXT,
    person=_or_null(NUMBER),
    by=_or_null(NUMBER),
    task=_or_null(TEXT),
    place=TEXT,
    about_entry=_or_null(NUMBER),
    happened_at=MOMENT,
    recorded_at=MOMENT,
    body={**TEXT, "description": "What was hashed, to the letter. It holds no name and no free text."},
    previous=HASH,
    hash={**HASH, "description": "SHA-256 of a zero byte and the body in UTF-8."},
)
PROBLEM: Final[Schema] = {
    "type": "object",
    "properties": {
        "type": TEXT,
        "title": TEXT,
        "status": NUMBER,
        "errors": {"type": "object", "additionalProperties": _list(TEXT)},
        "scope": TEXT,
    },
    "required": ["type", "title", "status"],
    "additionalProperties": False,
}
PAGES: Final[dict[str, Schema]] = {"page": NUMBER, "pages": NUMBER, "people": NUMBER}


def _asked(name: str, schema: Schema, text: str) -> Schema:
    return {"name": name, "in": "query", "required": False, "schema": schema, "description": text}


def _whole(least: int, most: int, usual: int | None = None) -> Schema:
    schema = {"type": "integer", "minimum": least, "maximum": most}
    return schema if usual is None else {**schema, "default": usual}


ON: Final = _asked("on", DAY, "The day asked about; left out, today.")
KNOWN: Final = _asked(
    "known",
    {"anyOf": [DAY, MOMENT]},
    "As the record stood at the end of that day or at that moment; left out, all that is known now.",
)
PAGE: Final = _asked("page", _whole(1, BIGGEST, 1), "A page of people.")
SIZE: Final = _asked("size", _whole(1, MOST, USUAL), "How many on a page.")
LINE: Final = _asked("line", {**TEXT, "maxLength": 10}, "The code of a line.")
TASK: Final = _asked("task", {**TEXT, "maxLength": 20}, "The code of a task.")
ONE: Final = _asked("person", _whole(1, BIGGEST), "The number of a person.")
DAYS: Final = _asked("days", _whole(1, MOST_DAYS, 1), "For how many days.")
AFTER: Final = _asked("after", _whole(-1, BIGGEST), "Only entries after this one.")


def _path(scope: str, summary: str, parameters: list[Schema], answer: Schema) -> Schema:
    refused = {
        str(status): {
            "description": text,
            "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}},
        }
        for status, text in [
            (400, "The question cannot be read; errors names each fault."),
            (401, "No key, or one that is not good."),
            (403, "The key may not read this."),
            (429, "Too many questions; Retry-After says in how many seconds to ask again."),
        ]
    }
    answered = {"description": "The answer.", "content": {"application/json": {"schema": answer}}}
    return {
        "get": {
            "operationId": scope,
            "summary": f"{summary} The key must be allowed to read {scope}.",
            "parameters": parameters,
            "responses": {"200": answered, **refused},
        }
    }


def document() -> Schema:
    """Return the document."""
    clocks = {"on": DAY, "known": _or_null(MOMENT)}
    people = _object(on=DAY, **PAGES, items=_list(PERSON))
    standing = _object(**clocks, **PAGES, items=_list(HELD))
    cover = _object(**clocks, items=_list(COVERED))
    ledger = _object(on=_or_null(DAY), known=_or_null(MOMENT), next_after=_or_null(NUMBER), items=_list(ENTRY))
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Training record",
            "version": "1",
            "description": "Read only. Moments carry their offset; days are the plant's own.",
        },
        "servers": [{"url": "/"}],
        "security": [{"key": []}],
        "components": {
            "schemas": {"Problem": PROBLEM},
            "securitySchemes": {"key": {"type": "http", "scheme": "bearer"}},
        },
        "paths": {
            "/api/1/people/": _path("people", "People employed on a day.", [ON, PAGE, SIZE], people),
            "/api/1/standing/": _path(
                "standing",
                "Where people stand on what they have begun.",
                [ON, KNOWN, ONE, TASK, PAGE, SIZE],
                standing,
            ),
            "/api/1/cover/": _path("cover", "Lines on the shifts of some days.", [ON, KNOWN, DAYS, LINE], cover),
            "/api/1/ledger/": _path(
                "ledger",
                "Entries in their order; on leaves out what happened after that day.",
                [ON, KNOWN, AFTER, SIZE],
                ledger,
            ),
        },
    }
