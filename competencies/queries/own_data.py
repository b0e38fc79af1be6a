"""Everything that is kept about one person, table by table, and what the ledger holds (R14, right of access)."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from django.apps import apps
from django.db.models import DateField, Field, ForeignKey, ManyToManyField, Model, Q
from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from competencies.ledger.reading import opened, read_entry
from competencies.ledger.schema import NAME_KEYS, TextKind
from competencies.models import LedgerEntry, Person, User
from competencies.queries.facts import facts_of_people
from competencies.standing.belonging import belonging, kin_of

# Tables that belong to a person through another one of theirs.
INDIRECT: Final[Mapping[str, tuple[str, ...]]] = {
    "assessments.CheckAnswer": ("sitting__trainee",),
    "assessments.InspectionAnswer": ("series__person",),
}
# Tables that name a person by number, without a key of the database: an entry is never changed.
BY_NUMBER: Final[Mapping[str, tuple[str, ...]]] = {
    "competencies.Detached": ("person",),
}
# Tables of the sign-in that know a person by the name they sign in with.
BY_USERNAME: Final = frozenset(
    {"axes.AccessAttempt", "axes.AccessAttemptExpiration", "axes.AccessFailureLog", "axes.AccessLog"}
)
# Tables from which a chain of keys leads to a person, and which tell nothing about them; each with why.
NOT_ABOUT: Final[Mapping[str, str]] = {
    "competencies.LedgerIndex": "repeats what the entries say, which are told in full",
    "competencies.Criterion": "the text of a procedure; who approved it is told with the revision",
    "competencies.InductionTask": "a task of a set; who issued the set is told with it",
    "competencies.Reading": "the text of a procedure; who approved it is told with the revision",
    "sessions.Session": "keeps a sign-in open, says no more than its number, and ends by itself",
}
TITLES: Final[Mapping[str, Promise]] = {
    "competencies.User": _("sign-in"),
    "competencies.Person": _("record of the person"),
    "competencies.Detached": _("names and typed texts"),
    "competencies.CoverRule": _("what was declared for a line"),
    "competencies.PlantPolicy": _("settings of the plant"),
    "axes.AccessAttempt": _("attempts to sign in"),
    "axes.AccessAttemptExpiration": _("attempts to sign in that keep it closed for a while"),
    "axes.AccessFailureLog": _("failed attempts to sign in"),
    "axes.AccessLog": _("times of signing in and out"),
    "competencies.StandingPeriod": _("periods of standing, worked out from the entries"),
    "competencies.RosterDay": _("days on the rota"),
    "competencies.TaskRevision": _("revisions of procedures approved"),
    "competencies.RevisionNotice": _("revisions made known"),
    "competencies.InductionIssue": _("induction sets issued"),
    "competencies.PrintedSheet": _("sheets printed"),
    "competencies.Job": _("files made in the background"),
    "competencies.Reminder": _("reminders sent by e-mail"),
    "competencies.CalendarAddress": _("address of the calendar"),
    "competencies.AccessKey": _("keys for other programs"),
    "assessments.CheckSitting": _("calculation checks"),
    "assessments.CheckAnswer": _("answers in calculation checks"),
    "assessments.PlantCalculation": _("calculations of the plant"),
    "assessments.InspectionSeries": _("series of drawings judged in practice"),
    "assessments.InspectionAnswer": _("drawings judged in practice, which nobody else sees"),
    "assessments.PracticeAttempt": _("practice, which nobody else sees"),
    "assessments.PracticeProgress": _("what is next to practise, worked out from the practice"),
    "assessments.PracticeRound": _("rounds of practice"),
    "assessments.StepsAsked": _("steps asked for in a problem that is not answered yet"),
    "assessments.Worksheet": _("worksheets made"),
    "assessments.WorksheetCopy": _("worksheets handed out"),
}
# Practice is nobody else's business: whoever hands the file out for the person gets it without.
PRIVATE: Final = frozenset(
    {
        *("assessments.PracticeAttempt", "assessments.PracticeProgress", "assessments.PracticeRound"),
        *("assessments.StepsAsked", "assessments.InspectionSeries", "assessments.InspectionAnswer"),
    }
)
# What would only help somebody who wants to sign in as this person.
SECRETS: Final = frozenset({"password", "pin_hash", "salt", "digest", "content"})
MOST_TEXT: Final = 2000
# The keys by which a row is a person's own; by any other the person only had a part in it.
OWN: Final = frozenset({"pk", "person", "trainee", "owner", "people", "sitting__trainee", "series__person"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """The rows of one table that tell of a person: names of the columns, and the values as text."""

    label: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerLine:
    """An entry of the ledger about the person (`is_about`), or one that they signed.

    Of an entry about somebody else only what the person did is told: kind, task, day.
    """

    seq: int
    kind: str
    is_about: bool
    happened_at: datetime
    recorded_at: datetime
    task: str
    scope: str
    says: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnData:
    """Everything kept about a person at a moment."""

    person: Person
    at: datetime
    tables: Sequence[Table]
    ledger: Sequence[LedgerLine]

    def as_json(self) -> dict[str, Any]:
        """Return it as a file for machines: the tables by their labels, then the ledger's entries in order."""
        return {
            "format": 1,
            "person": self.person.pk,
            "works_number": self.person.works_number,
            "as_known_at": self.at.isoformat(),
            "tables": _by_label(self.tables),
            "ledger": [
                {
                    "entry": line.seq,
                    "kind": line.kind,
                    "about_this_person": line.is_about,
                    "happened_at": line.happened_at.isoformat(),
                    "recorded_at": line.recorded_at.isoformat(),
                    "task": line.task,
                    "scope": line.scope,
                    **({"says": dict(line.says)} if line.says else {}),
                }
                for line in self.ledger
            ],
        }


def _by_label(tables: Iterable[Table]) -> dict[str, list[dict[str, str]]]:
    found: dict[str, list[dict[str, str]]] = {}
    for table in tables:
        rows = [dict(zip(table.columns, row, strict=True)) for row in table.rows]
        found.setdefault(table.label, []).extend(rows)
    return found


def paths_to_person(model: type[Model]) -> tuple[str, ...]:
    """Return the look-ups by which the rows of a table tell of a person; none where they do not."""
    label = model._meta.label  # noqa: SLF001 - Django's documented way to look at a model
    if label in NOT_ABOUT:
        return ()
    if model is Person:
        return ("pk",)
    if model is User:
        return ("person",)
    if found := INDIRECT.get(label) or BY_NUMBER.get(label):
        return found
    return tuple(
        field.name for field in _fields(model) if isinstance(field, ForeignKey | ManyToManyField) and _leads(field)
    )


def _leads(field: Any) -> bool:  # noqa: ANN401 - a field with a target
    return field.related_model is Person


def _fields(model: type[Model]) -> list["Field[Any, Any]"]:
    meta = model._meta  # noqa: SLF001 - Django's documented way to look at a model
    return [*meta.concrete_fields, *meta.many_to_many]


def own_data(person: Person, *, now: datetime, with_private: bool) -> OwnData:
    """Return everything kept about a person, on every record of theirs. A fixed number of queries, one or two a table.

    Only they themselves get it `with_private`: their practice is in it.

    Records that were joined to the person's are theirs too; entries that were parted off are somebody else's.
    """
    records = _records_of(person)
    models = [model for model in apps.get_models() if with_private or model._meta.label not in PRIVATE]  # noqa: SLF001
    tables = [table for model in models for table in _tables(model, records)]
    return OwnData(
        person=person,
        at=now,
        tables=[table for table in tables if table.rows],
        ledger=_ledger(person, {record.pk for record in records}),
    )


def _records_of(person: Person) -> list[Person]:
    """Return the person's record and every one joined to it, directly or through another. A query for each step."""
    found = waiting = [person]
    while waiting:
        waiting = list(Person.objects.filter(joined_into__in=waiting).select_related("user").order_by("pk"))
        found = [*found, *waiting]
    return found


def _tables(model: type[Model], records: Sequence[Person]) -> Iterator[Table]:
    """Yield the person's own rows in full; of rows that are somebody else's only the person's part and the days."""
    meta = model._meta  # noqa: SLF001 - Django's documented way to look at a model
    columns = [field for field in meta.concrete_fields if field.name not in SECRETS]
    if meta.label in BY_USERNAME:
        usernames = [record.user.get_username() for record in records if record.user]
        if usernames and any(field.name == "username" for field in columns):
            yield _table(model, Q(username__in=usernames), columns)
        return
    paths = paths_to_person(model)
    own = [path for path in paths if path in OWN]
    if own:
        yield _table(model, _any_of(own, records), columns)
    if had_part := [path for path in paths if path not in OWN]:
        told = [field for field in columns if field.primary_key or field.name in had_part or _is_time(field)]
        part = _any_of(had_part, records)
        yield _table(model, part & ~_any_of(own, records) if own else part, told)


def _is_time(field: "Field[Any, Any]") -> bool:
    return isinstance(field, DateField)


def _any_of(paths: Iterable[str], records: Iterable[Person]) -> Q:
    numbers = [record.pk for record in records]
    condition = Q()
    for path in paths:
        condition |= Q(**{f"{path}__in": numbers})
    return condition


def _table(model: type[Model], condition: Q, columns: "Sequence[Field[Any, Any]]") -> Table:
    meta = model._meta  # noqa: SLF001 - Django's documented way to look at a model
    named = [field.name for field in columns if isinstance(field, ForeignKey) and not _is_of_people(field)]
    rows = model._default_manager.filter(condition).select_related(*named).order_by("pk").distinct()  # noqa: SLF001
    return Table(
        label=meta.label,
        title=capfirst(str(TITLES.get(meta.label, meta.verbose_name_plural))),
        columns=tuple(field.name for field in columns),
        rows=tuple(tuple(_value(row, field) for field in columns) for row in rows),
    )


def _is_of_people(field: Any) -> bool:  # noqa: ANN401 - a field with a target
    return field.related_model in {Person, User}


def _value(row: Model, field: "Field[Any, Any]") -> str:
    """Return what stands in a row: things by their names, people by their numbers only."""
    if isinstance(field, ForeignKey) and not _is_of_people(field):
        return _text(getattr(row, field.name))
    return _text(getattr(row, field.attname))


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime | date):
        return value.isoformat()
    return str(value)[:MOST_TEXT]


def _ledger(person: Person, records: Collection[int]) -> list[LedgerLine]:
    """Return the entries about the person and those they signed, oldest first."""
    facts = facts_of_people([person.pk])[person.pk]
    kin = kin_of(person.pk, facts) | set(records)
    concerned = Q(index__person__in=kin) | Q(index__actor__in=records)
    entries = [read_entry(row) for row in LedgerEntry.objects.filter(concerned).order_by("seq")]
    # Whose a fact is follows joinings and partings; what is no fact stays with the record it names.
    told, own = {fact.seq for fact in facts}, {fact.seq for fact in belonging(person.pk, facts)}
    of_kin = [entry for entry in entries if entry.get("subject") in kin]
    about = {entry["seq"] for entry in of_kin if entry["seq"] in own}
    about |= {entry["seq"] for entry in of_kin if entry["seq"] not in told and entry["subject"] in records}
    shown = about | {entry["seq"] for entry in entries if entry.get("actor") in records}
    keys = (*NAME_KEYS.values(), *TextKind)
    values = opened([entry[key] for entry in entries if entry["seq"] in about for key in keys if key in entry])
    return [_line(entry, values, is_about=entry["seq"] in about) for entry in entries if entry["seq"] in shown]


def _line(entry: Mapping[str, Any], values: Mapping[str, str], *, is_about: bool) -> LedgerLine:
    keys = (*NAME_KEYS.values(), *TextKind)
    says = {str(key): values.get(entry[key], "") for key in keys if is_about and key in entry}
    known = {"v", "seq", "prev", "kind", "at", "plant", "tz", "happened_at", "happened_on", "task", "scope", "token"}
    if is_about:
        more = {key: value for key, value in entry.items() if key not in known and key not in keys}
        says |= {key: _told(value) for key, value in more.items()}
    return LedgerLine(
        seq=entry["seq"],
        kind=str(entry["kind"].value),
        is_about=is_about,
        happened_at=entry["happened_at"],
        recorded_at=entry["at"],
        task=str(entry.get("task", "")),
        scope=str(entry.get("scope", "")),
        says=says,
    )


def _told(value: object) -> str:
    if isinstance(value, Mapping):
        return ", ".join(f"{name}: {_told(each)}" for name, each in value.items())
    if isinstance(value, list | tuple | set | frozenset):
        return ", ".join(sorted(_told(each) for each in value))
    return str(value)
