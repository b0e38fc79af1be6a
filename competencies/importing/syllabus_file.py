"""A syllabus file in, rows out, or every fault at once. The format is described in seed_fixtures/README.md. Pure."""

from collections.abc import Iterable

from competencies.importing.cross_checks import check_whole
from competencies.importing.faults import Faults, SyllabusFileError
from competencies.importing.faults import mark as _
from competencies.importing.fields import CODE, Section
from competencies.importing.nodes import Mapping, parse_nodes
from competencies.importing.pathway_section import read_qualification, read_unit
from competencies.importing.syllabus import NO_SYLLABUS, AreaRow, LineRow, MachineRow, SyllabusFile
from competencies.importing.task_section import read_task

FILE_KEYS = ("areas", "lines", "calculations", "tasks", "units", "qualifications")
LONGEST_CODE = 10

__all__ = ["SyllabusFileError", "read_syllabus", "read_syllabus_bytes"]


def read_syllabus(text: str, file_name: str, *, current: SyllabusFile = NO_SYLLABUS) -> SyllabusFile:
    """Return the syllabus that a file's text holds.

    `current` is what the plant already has: a file may name its areas, lines, tasks, units and calculations without
    giving them again.

    Raises
    ------
    SyllabusFileError
        With every fault of the file, each with its line and field.

    """
    faults = Faults(file_name)
    root = parse_nodes(text, faults)
    if root is not None and not isinstance(root, Mapping):
        faults.add(root.line, "", _("the file must start with a name such as `tasks:`"))
    if not isinstance(root, Mapping):
        raise SyllabusFileError(faults.found)
    syllabus = _read_sections(Section(root, "", faults))
    _check_codes_once(syllabus, faults)
    check_whole(syllabus, current, faults)
    faults.raise_if_any()
    return syllabus


def read_syllabus_bytes(content: bytes, file_name: str, *, current: SyllabusFile = NO_SYLLABUS) -> SyllabusFile:
    """Return the syllabus that a file's bytes hold; they must be UTF-8.

    Raises
    ------
    SyllabusFileError
        As `read_syllabus`.

    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        faults = Faults(file_name)
        line = content.count(b"\n", 0, error.start) + 1
        faults.add(line, "", _("this is not UTF-8 text; save the file as UTF-8 and bring it again"))
        raise SyllabusFileError(faults.found) from error
    return read_syllabus(text, file_name, current=current)


def _read_sections(root: Section) -> SyllabusFile:
    root.expect(FILE_KEYS)
    return SyllabusFile(
        areas=tuple(_read_area(section) for section in root.sections("areas")),
        lines=tuple(_read_line(section) for section in root.sections("lines")),
        calculations=_read_calculation_codes(root),
        tasks=tuple(read_task(section) for section in root.sections("tasks")),
        units=tuple(read_unit(section) for section in root.sections("units")),
        qualifications=tuple(read_qualification(section) for section in root.sections("qualifications")),
    )


def _read_area(section: Section) -> AreaRow:
    section.expect(("code", "title"))
    code = section.code(longest=LONGEST_CODE)
    return AreaRow(code=code, title=section.text("title", longest=120, required=True), line=section.line)


def _read_line(section: Section) -> LineRow:
    section.expect(("code", "title", "machines"))
    machines = tuple(_read_machine(machine) for machine in section.sections("machines"))
    _note_repeats(section.faults, section.at("machines"), [(machine.code, machine.line) for machine in machines])
    return LineRow(
        code=section.code(longest=LONGEST_CODE),
        title=section.text("title", longest=120, required=True),
        machines=machines,
        line=section.line,
    )


def _read_machine(section: Section) -> MachineRow:
    section.expect(("code", "title"))
    code = section.code(longest=LONGEST_CODE)
    return MachineRow(code=code, title=section.text("title", longest=120, required=True), line=section.line)


def _read_calculation_codes(root: Section) -> tuple[str, ...]:
    codes = root.lined_texts("calculations", longest=20)
    for code, line in codes:
        if not CODE.fullmatch(code):
            root.faults.add(line, "calculations", _("a code holds only letters, digits, dots and dashes"))
    _note_repeats(root.faults, "calculations", codes)
    return tuple(code for code, _line in codes)


def _check_codes_once(syllabus: SyllabusFile, faults: Faults) -> None:
    _note_repeats(faults, "areas", [(area.code, area.line) for area in syllabus.areas])
    _note_repeats(faults, "lines", [(line.code, line.line) for line in syllabus.lines])
    _note_repeats(faults, "tasks", [(task.code, task.line) for task in syllabus.tasks])
    _note_repeats(faults, "units", [(unit.key, unit.line) for unit in syllabus.units])
    _note_repeats(faults, "qualifications", [(row.key, row.line) for row in syllabus.qualifications])


def _note_repeats(faults: Faults, field: str, codes: Iterable[tuple[str, int]]) -> None:
    first: dict[str, int] = {}
    for code, line in codes:
        if code and code in first:
            faults.add(line, f"{field}[{code}]", _("%(code)s is given twice"), code=code)
        first.setdefault(code, line)
