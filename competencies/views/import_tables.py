"""What a read file would do, as rows for the tables of the preview."""

from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.importing.differences import Change, ChangeKind, Detail, Differences
from competencies.importing.faults import Fault
from competencies.importing.people import KnownPlant, PeopleFile, PersonRow, Remark
from competencies.importing.people_file import ROLE_WORDS
from competencies.vocabulary import ChangeClass

KIND_WORDS = {
    ChangeKind.AREA: gettext_lazy("area"),
    ChangeKind.LINE: gettext_lazy("line"),
    ChangeKind.NEW_TASK: gettext_lazy("task"),
    ChangeKind.TASK: gettext_lazy("about the task"),
    ChangeKind.TERMS: gettext_lazy("what the task asks"),
    ChangeKind.PROCEDURE: gettext_lazy("procedure"),
    ChangeKind.UNIT: gettext_lazy("unit standard"),
    ChangeKind.QUALIFICATION: gettext_lazy("pathway"),
}
FIELD_WORDS = {
    "title": gettext_lazy("title"),
    "area": gettext_lazy("area"),
    "level": gettext_lazy("level"),
    "scope": gettext_lazy("one sign-off serves"),
    "critical": gettext_lazy("critical for"),
    "places": gettext_lazy("held at"),
    "recognisable": gettext_lazy("may rest on evidence from elsewhere"),
    "runs": gettext_lazy("supervised runs"),
    "distinct_shifts": gettext_lazy("on different shifts"),
    "simulated_max": gettext_lazy("drills that may count"),
    "ranges": gettext_lazy("range"),
    "validity_months": gettext_lazy("valid for months"),
    "young_worker": gettext_lazy("young workers"),
    "min_age": gettext_lazy("lowest age"),
    "grace_days": gettext_lazy("days of grace"),
    "recency_days": gettext_lazy("longest gap in days"),
    "prerequisites": gettext_lazy("needs first"),
    "prerequisite_places": gettext_lazy("needed at"),
    "refreshes": gettext_lazy("keeps fresh"),
    "calculations": gettext_lazy("calculations"),
    "hazards": gettext_lazy("hazards"),
    "protective_equipment": gettext_lazy("protective equipment"),
    "evidence": gettext_lazy("where the evidence lies"),
    "criterion": gettext_lazy("criterion"),
    "reading": gettext_lazy("reading"),
    "machine": gettext_lazy("machine"),
    "credits": gettext_lazy("credits"),
    "group": gettext_lazy("group"),
    "outcomes": gettext_lazy("outcomes"),
    "first_date_for_assessment": gettext_lazy("first date for assessment"),
    "last_date_for_assessment": gettext_lazy("last date for assessment"),
    "last_date_to_enrol": gettext_lazy("last date to enrol"),
    "last_date_to_achieve": gettext_lazy("last date to achieve"),
    "min_total_credits": gettext_lazy("credits in all"),
    "rules": gettext_lazy("rules"),
    "exclusions": gettext_lazy("pairs that count once"),
}
CLASS_WORDS = {ChangeClass.MINOR: gettext_lazy("minor"), ChangeClass.MAJOR: gettext_lazy("major")}
NOTHING = "–"


def fault_rows(faults: Iterable[Fault]) -> list[list[str]]:
    """Return line, field and message of each fault."""
    return [
        [_("line %(number)s") % {"number": fault.line}, fault.field or NOTHING, _(fault.text) % fault.values]
        for fault in faults
    ]


def remark_rows(remarks: Iterable[Remark]) -> list[list[str]]:
    """Return row, column and message of each fault or warning about a spreadsheet."""
    return [[_row_word(remark.row), remark.column or NOTHING, _(remark.text) % remark.values] for remark in remarks]


def _row_word(row: int) -> str:
    return _("row %(number)s") % {"number": row} if row else _("the file")


def new_rows(found: Differences) -> list[list[str]]:
    """Return code, title and kind of everything that the plant does not have yet."""
    return [[change.code, change.title, str(KIND_WORDS[change.kind])] for change in found.changes if change.is_new]


def changed_blocks(found: Differences) -> list[dict[str, Any]]:
    """Return a block a changed thing: its head, what to look at, and a row a value that differs."""
    return [_changed_block(number, change) for number, change in enumerate(found.changes) if not change.is_new]


def _changed_block(number: int, change: Change) -> dict[str, Any]:
    return {
        "id": f"change-{number}",
        "code": change.code,
        "title": change.title,
        "caption": f"{change.code} {change.title}: {KIND_WORDS[change.kind]}",
        "refusal": _(change.refusal) if change.refusal else "",
        "hints": _hints(change),
        "rows": [[field_word(detail), detail.before or NOTHING, detail.after or NOTHING] for detail in change.details],
    }


def _hints(change: Change) -> list[str]:
    if change.kind is ChangeKind.TERMS:
        return [_("Sign-offs that stand keep the terms they were given under.")]
    if change.kind is not ChangeKind.PROCEDURE or change.proposed is None:
        return []
    hints = []
    if change.touched or change.asked is ChangeClass.MAJOR:
        numbers = ", ".join(str(number) for number in change.touched) or _("none")
        hints.append(_("Criteria to be judged again, if it is major: %(numbers)s.") % {"numbers": numbers})
    if change.stated and change.stated is not change.proposed:
        message = _("The file calls this change %(stated)s; what differs makes it %(proposed)s. Look again.")
        words = {"stated": CLASS_WORDS[change.stated], "proposed": CLASS_WORDS[change.proposed]}
        hints.append(message % words)
    return hints


def field_word(detail: Detail) -> str:
    """Return the name of a field as people say it: "criterion 2" keeps its number."""
    if detail.field in FIELD_WORDS:
        return str(FIELD_WORDS[detail.field])
    first, _space, rest = detail.field.partition(" ")
    return f"{FIELD_WORDS.get(first, first)} {rest}".strip()


def people_rows(file: PeopleFile, known: KnownPlant) -> list[list[str]]:
    """Return a row a person: number, name, crew, area, first and last day, bar, roles, whether new."""
    return [_person_row(row, known) for row in file.rows]


def _person_row(row: PersonRow, known: KnownPlant) -> list[str]:
    words = {kind: word for word, kind in ROLE_WORDS.items()}
    return [
        row.works_number,
        row.name,
        row.crew or NOTHING,
        row.area or NOTHING,
        row.started_on.isoformat() if row.started_on else NOTHING,
        row.last_day.isoformat() if row.last_day else NOTHING,
        row.restricted_until.isoformat() if row.restricted_until else NOTHING,
        "; ".join(f"{words[role.kind]} {role.area}".strip() for role in row.roles) or NOTHING,
        _("here already") if row.works_number in known.names else _("new"),
    ]
