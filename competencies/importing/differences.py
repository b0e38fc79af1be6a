"""What a syllabus file would change at the plant, in words, with the class of change that follows. Pure.

The classes are those of the trade: a change to a step, a limit, a hazard or protective equipment is major, a change of
wording alone is minor. A changed syllabus (runs, validity, prerequisites) is no change of procedure at all.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, fields
from decimal import Decimal
from enum import StrEnum

from competencies.importing.faults import mark as _
from competencies.importing.syllabus import (
    CalculationAsked,
    CriterionRow,
    LineRow,
    ProcedureRow,
    QualificationRow,
    ReadingRow,
    SyllabusFile,
    TaskRow,
    TermsRow,
    UnitRow,
)
from competencies.vocabulary import ChangeClass

# The coming release date of a unit may always be made known; everything else in a version in use stays as it was.
FREE_IN_UNIT = frozenset({"title", "last_date_for_assessment"})
FREE_IN_QUALIFICATION = frozenset({"title", "last_date_to_enrol", "last_date_to_achieve"})


class ChangeKind(StrEnum):
    """What a change is about."""

    AREA = "area"
    LINE = "line"
    NEW_TASK = "new_task"
    TASK = "task"
    TERMS = "terms"
    PROCEDURE = "procedure"
    UNIT = "unit"
    QUALIFICATION = "qualification"


@dataclass(frozen=True, slots=True)
class Detail:
    """One value that differs; `before` is empty for what is new, `after` for what goes."""

    field: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing that the file would add or change.

    For a procedure, `proposed` is the class that follows from what differs, `stated` the class that the file gives,
    and `touched` the numbers of the criteria to be judged again. A change with a `refusal` cannot be taken.
    """

    kind: ChangeKind
    code: str
    title: str
    is_new: bool = False
    details: tuple[Detail, ...] = ()
    proposed: ChangeClass | None = None
    stated: ChangeClass | None = None
    touched: tuple[int, ...] = ()
    refusal: str = ""

    @property
    def asked(self) -> ChangeClass | None:
        """Return the class to start from: what the file states, else what follows from the differences."""
        return self.stated or self.proposed


@dataclass(frozen=True, slots=True, kw_only=True)
class InUse:
    """What already stands in people's records, so that a change would alter them after the event."""

    tasks: frozenset[str] = frozenset()
    units: frozenset[str] = frozenset()
    qualifications: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Differences:
    """All changes of a file, in its order, and how many tasks it holds that stay as they are."""

    changes: tuple[Change, ...] = ()
    unchanged_tasks: int = 0
    in_use: InUse = field(default_factory=InUse)

    @property
    def refusals(self) -> tuple[Change, ...]:
        """Return the changes that cannot be taken."""
        return tuple(change for change in self.changes if change.refusal)

    @property
    def revised(self) -> tuple[Change, ...]:
        """Return the changed procedures of tasks that the plant already has."""
        return tuple(change for change in self.changes if change.kind is ChangeKind.PROCEDURE)


def differences(file: SyllabusFile, current: SyllabusFile, *, in_use: InUse | None = None) -> Differences:
    """Return what taking the file would change. What the file does not name stays as it is."""
    used = in_use or InUse()
    changed = list(_place_changes(file, current))
    present = {task.code: task for task in current.tasks}
    unchanged = 0
    for task in file.tasks:
        found = list(_task_changes(task, present.get(task.code), used))
        unchanged += not found
        changed.extend(found)
    changed.extend(_pathway_changes(file, current, used))
    return Differences(changes=tuple(changed), unchanged_tasks=unchanged, in_use=used)


def _place_changes(file: SyllabusFile, current: SyllabusFile) -> Iterator[Change]:
    areas = {area.code: area for area in current.areas}
    for area in file.areas:
        before = areas.get(area.code)
        if before != area:
            about = (Detail("title", before.title, area.title),) if before else ()
            yield Change(kind=ChangeKind.AREA, code=area.code, title=area.title, is_new=not before, details=about)
    lines = {line.code: line for line in current.lines}
    for line in file.lines:
        before_line = lines.get(line.code)
        details = _line_details(line, before_line)
        if before_line is None or details:
            yield Change(
                kind=ChangeKind.LINE, code=line.code, title=line.title, is_new=before_line is None, details=details
            )


def _line_details(line: LineRow, before: LineRow | None) -> tuple[Detail, ...]:
    found: list[Detail] = []
    if before is not None and before.title != line.title:
        found.append(Detail("title", before.title, line.title))
    machines = {machine.code: machine.title for machine in before.machines} if before else {}
    # A machine that the file leaves out stays: people may hold tasks at it.
    found.extend(
        Detail(f"machine {machine.code}", machines.get(machine.code, ""), machine.title)
        for machine in line.machines
        if machines.get(machine.code) != machine.title
    )
    return tuple(found)


def _task_changes(task: TaskRow, before: TaskRow | None, used: InUse) -> Iterator[Change]:
    if before is None:
        stated = task.release.change
        yield Change(kind=ChangeKind.NEW_TASK, code=task.code, title=task.title, is_new=True, stated=stated)
        return
    about = _task_details(task, before)
    if about:
        yield Change(
            kind=ChangeKind.TASK,
            code=task.code,
            title=task.title,
            details=about,
            refusal=_task_refusal(task, before, used),
        )
    terms = tuple(_terms_details(task.terms, before.terms))
    if terms:
        yield Change(kind=ChangeKind.TERMS, code=task.code, title=task.title, details=terms)
    if task.procedure != before.procedure:
        yield procedure_change(task, before)


def _task_details(task: TaskRow, before: TaskRow) -> tuple[Detail, ...]:
    names = ("title", "area", "level", "scope", "critical", "places", "recognisable")
    return tuple(_differing(task, before, names))


def _task_refusal(task: TaskRow, before: TaskRow, used: InUse) -> str:
    if task.code in used.tasks and (task.scope != before.scope or task.critical != before.critical):
        return _(
            "People's records rest on what one sign-off serves and on who signs for it. Give the changed task a code "
            "of its own."
        )
    return ""


def _terms_details(after: TermsRow, before: TermsRow) -> Iterator[Detail]:
    yield from _differing(after, before, [item.name for item in fields(TermsRow)])


def _differing(after: object, before: object, names: Iterable[str]) -> Iterator[Detail]:
    for name in names:
        old, new = getattr(before, name), getattr(after, name)
        if old != new:
            yield Detail(name, in_words(old), in_words(new))


def in_words(value: object) -> str:
    """Return a value of a row as it reads in a list of changes.

    >>> in_words({"bottle size": 2}), in_words(frozenset({"HS-02", "HS-01"})), in_words(None)
    ('bottle size: 2', 'HS-01, HS-02', '')
    """
    if isinstance(value, dict):
        return ", ".join(f"{name}: {in_words(item)}" for name, item in sorted(value.items()))
    if isinstance(value, frozenset):
        return ", ".join(sorted(value))
    if isinstance(value, tuple | list):
        return "; ".join(in_words(item) for item in value)
    return "" if value is None else _one_in_words(value)


def _one_in_words(value: object) -> str:
    if isinstance(value, CalculationAsked):
        return f"{value.code} ({value.pass_mark} of {value.problems})"
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    return str(value)


def procedure_change(task: TaskRow, before: TaskRow) -> Change:
    """Return how a task's procedure differs, with the class that follows and the criteria to be judged again."""
    judged = _CriteriaComparison(task.procedure.criteria, before.procedure.criteria)
    readings = tuple(_reading_details(task.procedure.readings, before.procedure.readings))
    lists = tuple(_list_details(task.procedure, before.procedure))
    minor = tuple(_minor_details(task.procedure, before.procedure))
    is_major = bool(judged.touched or judged.gone or readings or any(_is_new_meaning(detail) for detail in lists))
    touched = task.release.touches if task.release.touches is not None else judged.touched
    return Change(
        kind=ChangeKind.PROCEDURE,
        code=task.code,
        title=task.title,
        details=(*judged.details, *readings, *lists, *minor),
        proposed=ChangeClass.MAJOR if is_major else ChangeClass.MINOR,
        stated=task.release.change,
        touched=touched,
    )


def _words(text: str) -> str:
    """Return only the letters, digits and signs that carry meaning, so that punctuation and capitals do not count."""
    return " ".join("".join(sign if sign.isalnum() or sign in "<>=%+-/" else " " for sign in text.casefold()).split())


class _CriteriaComparison:
    """Which criteria are new or say something else (`touched`), which went (`gone`), and every difference in words."""

    def __init__(self, after: tuple[CriterionRow, ...], before: tuple[CriterionRow, ...]) -> None:
        self.details: list[Detail] = []
        old = {_words(criterion.text): (number, criterion) for number, criterion in enumerate(before, start=1)}
        kept: set[str] = set()
        touched: list[int] = []
        for number, criterion in enumerate(after, start=1):
            words = _words(criterion.text)
            if words in old and words not in kept:
                kept.add(words)
                if self._note_kept(number, criterion, *old[words]):
                    touched.append(number)
            else:
                touched.append(number)
        self.touched = tuple(touched)
        self.gone = [place for words, place in old.items() if words not in kept]
        self._note_changed(after, [number for number in touched if _words(after[number - 1].text) not in kept])

    def _note_kept(self, number: int, now: CriterionRow, old_number: int, old: CriterionRow) -> bool:
        name = f"criterion {number}"
        if now.text != old.text:
            self.details.append(Detail(f"{name} wording", old.text, now.text))
        if number != old_number:
            self.details.append(Detail(f"{name} place", str(old_number), str(number)))
        flags = (now.is_critical, now.is_scope_specific)
        if flags == (old.is_critical, old.is_scope_specific):
            return False
        self.details.append(Detail(name, _weight(old), _weight(now)))
        return True

    def _note_changed(self, after: tuple[CriterionRow, ...], new: list[int]) -> None:
        gone = dict(self.gone)
        for number in new:
            before = gone.pop(number, None)
            self.details.append(Detail(f"criterion {number}", before.text if before else "", after[number - 1].text))
        self.details.extend(Detail(f"criterion {number}", old.text, "") for number, old in sorted(gone.items()))


def _weight(criterion: CriterionRow) -> str:
    words = ["one miss decides" if criterion.is_critical else "one miss does not decide"]
    if criterion.is_scope_specific:
        words.append("differs by machine")
    return ", ".join(words)


def _reading_details(after: tuple[ReadingRow, ...], before: tuple[ReadingRow, ...]) -> Iterator[Detail]:
    old = {_words(reading.name): reading for reading in before}
    new = {_words(reading.name): reading for reading in after}
    for words, reading in new.items():
        was, now = _limits(old.get(words)), _limits(reading)
        if was != now:
            yield Detail(f"reading {reading.name}", was, now)
    for words, reading in old.items():
        if words not in new:
            yield Detail(f"reading {reading.name}", _limits(reading), "")


def _limits(reading: ReadingRow | None) -> str:
    if reading is None:
        return ""
    parts = [
        f"target {in_words(reading.target)}" if reading.target is not None else reading.target_text,
        f"at least {in_words(reading.low)}" if reading.low is not None else "",
        f"at most {in_words(reading.high)}" if reading.high is not None else "",
        f"apart at most {in_words(reading.paired_tolerance)}" if reading.paired_tolerance is not None else "",
    ]
    return f"{', '.join(part for part in parts if part)} {reading.unit}".strip()


def _list_details(after: ProcedureRow, before: ProcedureRow) -> Iterator[Detail]:
    for name in ("hazards", "protective_equipment"):
        old, new = getattr(before, name), getattr(after, name)
        if old != new:
            yield Detail(name, "; ".join(old), "; ".join(new))


def _is_new_meaning(detail: Detail) -> bool:
    old, new = (sorted(_words(item) for item in side.split("; ")) for side in (detail.before, detail.after))
    return old != new


def _minor_details(after: ProcedureRow, before: ProcedureRow) -> Iterator[Detail]:
    if after.evidence != before.evidence:
        yield Detail("evidence", before.evidence, after.evidence)
    old = {_words(reading.name): reading for reading in before.readings}
    for reading in after.readings:
        was = old.get(_words(reading.name))
        if was and was.name != reading.name:
            yield Detail(f"reading {reading.name} wording", was.name, reading.name)
        if was and was.source != reading.source:
            yield Detail(f"reading {reading.name} source", was.source, reading.source)
    names = [_words(reading.name) for reading in after.readings]
    if names != list(old) and sorted(names) == sorted(old):
        yield Detail("readings order", ", ".join(old), ", ".join(names))


def _pathway_changes(file: SyllabusFile, current: SyllabusFile, used: InUse) -> Iterator[Change]:
    units = {unit.key: unit for unit in current.units}
    for unit in file.units:
        before = units.get(unit.key)
        if before != unit:
            names = [item.name for item in fields(UnitRow) if item.compare]
            details = () if before is None else tuple(_differing(unit, before, names))
            is_fixed = unit.key in used.units
            yield _version_change(ChangeKind.UNIT, unit, details, FREE_IN_UNIT if is_fixed else None)
    pathways = {pathway.key: pathway for pathway in current.qualifications}
    for pathway in file.qualifications:
        was = pathways.get(pathway.key)
        if was != pathway:
            names = [item.name for item in fields(QualificationRow) if item.compare]
            details = () if was is None else tuple(_differing(pathway, was, names))
            is_fixed = pathway.key in used.qualifications
            free = FREE_IN_QUALIFICATION if is_fixed else None
            yield _version_change(ChangeKind.QUALIFICATION, pathway, details, free)


def _version_change(
    kind: ChangeKind, row: UnitRow | QualificationRow, details: tuple[Detail, ...], free: frozenset[str] | None
) -> Change:
    refusal = ""
    if free is not None and any(detail.field not in free for detail in details):
        refusal = _("Decisions rest on this version. Give the changed one the next version number.")
    return Change(kind=kind, code=row.key, title=row.title, is_new=not details, details=details, refusal=refusal)
