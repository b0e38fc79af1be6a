"""One task of a syllabus file, field by field. Pure."""

from decimal import Decimal
from fractions import Fraction

from competencies.importing.faults import mark as _
from competencies.importing.fields import NEVER, NUMBER, Section
from competencies.importing.nodes import Mapping, Scalar
from competencies.importing.syllabus import (
    CalculationAsked,
    CriterionRow,
    ProcedureRow,
    ReadingRow,
    Release,
    TaskRow,
    TermsRow,
)
from competencies.vocabulary import ChangeClass, Criticality, ScopeKind, YoungWorker

TASK_KEYS = (
    *("code", "title", "area", "level", "scope", "critical", "places", "recognisable"),
    *("runs", "distinct_shifts", "simulated_max", "range", "validity_months", "young_worker", "min_age"),
    *("grace_days", "recency_days", "prerequisites", "refreshes", "calculations"),
    *("criteria", "critical_criteria", "readings", "hazards", "ppe", "evidence"),
    *("change", "approved_on", "effective_on", "change_note", "touches", "carries_runs"),
)
# What names something else, which is judged once the whole file is read.
NAMING_KEYS = ("area", "places", "prerequisites", "refreshes", "calculations")
READING_KEYS = ("name", "unit", "target", "low", "high", "paired_tolerance", "source")
CRITERION_KEYS = ("text", "critical", "differs_by_machine")
CALCULATION_KEYS = ("code", "problems", "pass_mark")
LONGEST_SENTENCE = 500
LONGEST_LABEL = 40
USUAL_MONTHS = 12


def read_task(section: Section) -> TaskRow:
    """Return the task of a section; what is wrong in it is noted there."""
    section.expect(TASK_KEYS)
    return TaskRow(
        code=section.code(),
        title=section.text("title", longest=160, required=True),
        area=section.text("area", longest=10, required=True),
        level=section.whole("level", low=1, high=10, default=2),
        scope=section.choice("scope", ScopeKind, ScopeKind.SITE),
        critical=section.choice("critical", Criticality, Criticality.NONE),
        places=frozenset(section.texts("places", longest=21)),
        recognisable=section.flag("recognisable", default=True),
        terms=_read_terms(section),
        procedure=_read_procedure(section),
        release=_read_release(section),
        line=section.line,
        field_lines={name: section.line_of(name) for name in NAMING_KEYS},
    )


def _read_terms(section: Section) -> TermsRow:
    runs = section.whole("runs", low=0, high=200, default=1)
    needed = _read_prerequisites(section)
    terms = TermsRow(
        runs=runs,
        distinct_shifts=section.whole("distinct_shifts", low=0, high=200, default=min(1, runs)),
        simulated_max=section.whole("simulated_max", low=0, high=200, default=0),
        ranges=_read_ranges(section),
        validity_months=_read_validity(section),
        young_worker=section.choice("young_worker", YoungWorker, YoungWorker.OPEN),
        min_age=section.whole_or_none("min_age", low=13, high=25),
        grace_days=section.whole_or_none("grace_days", low=0, high=365),
        recency_days=section.whole_or_none("recency_days", low=1, high=3650),
        prerequisites=frozenset(needed),
        prerequisite_places={code: frozenset(places) for code, places in needed.items() if places},
        refreshes=frozenset(section.texts("refreshes", longest=20)),
        calculations=_read_calculations(section),
    )
    if terms.min_age is not None and terms.young_worker is YoungWorker.OPEN:
        section.note("min_age", _("a lowest age has no effect while young_worker is open"))
    _check_runs(section, terms)
    return terms


def _read_prerequisites(section: Section) -> dict[str, set[str]]:
    """Return the places named for each prerequisite: "HS-03@L1/F1" asks for it at that machine."""
    needed: dict[str, set[str]] = {}
    for text in section.texts("prerequisites", longest=42):
        code, _at, place = text.partition("@")
        needed.setdefault(code, set()).update({place} - {""})
    return needed


def _check_runs(section: Section, terms: TermsRow) -> None:
    # A number of runs that cannot be read is one fault, not four.
    if section.has("runs") and not section.is_whole("runs"):
        return
    if terms.distinct_shifts > terms.runs:
        section.note("distinct_shifts", _("more different shifts than runs (%(runs)s) are asked"), runs=terms.runs)
    if terms.simulated_max > terms.runs:
        section.note("simulated_max", _("more drills than runs (%(runs)s) may count"), runs=terms.runs)
    for name, values in terms.ranges.items():
        if values > terms.runs:
            message = _("%(values)s different values of %(name)s cannot be seen in %(runs)s runs")
            section.note("range", message, values=values, name=name, runs=terms.runs)


def _read_ranges(section: Section) -> dict[str, int]:
    ranges = section.map_of("range")
    if ranges is None:
        return {}
    found: dict[str, int] = {}
    for name in ranges.nodes:
        label = " ".join(name.split())
        if not label or len(label) > LONGEST_LABEL or not label.isprintable():
            ranges.note(name, _("a name of at most %(longest)s characters was expected"), longest=LONGEST_LABEL)
        found[label] = ranges.whole(name, low=1, high=50, default=1)
    return found


def _read_validity(section: Section) -> int | None:
    if "validity_months" not in section.nodes:
        return USUAL_MONTHS
    if section.text("validity_months", longest=20) == NEVER or not section.has("validity_months"):
        return None
    return section.whole("validity_months", low=1, high=240, default=USUAL_MONTHS)


def _read_calculations(section: Section) -> tuple[CalculationAsked, ...]:
    found: dict[str, CalculationAsked] = {}
    for node in section.items("calculations"):
        if isinstance(node, Mapping):
            asked = _read_calculation(Section(node, section.at("calculations"), section.faults))
        elif isinstance(node, Scalar) and node.text:
            asked = CalculationAsked(code=node.text)
        else:
            section.note("calculations", _("a calculation's code was expected"))
            continue
        if asked.code in found:
            section.note("calculations", _("%(code)s stands in the list twice"), code=asked.code)
        found[asked.code] = asked
    return tuple(found[code] for code in sorted(found))


def _read_calculation(section: Section) -> CalculationAsked:
    section.expect(CALCULATION_KEYS)
    problems = section.whole("problems", low=1, high=50, default=5)
    pass_mark = section.whole("pass_mark", low=1, high=50, default=min(problems, 4))
    if pass_mark > problems:
        section.note("pass_mark", _("more right answers than problems (%(problems)s) are asked"), problems=problems)
    return CalculationAsked(code=section.code(), problems=problems, pass_mark=pass_mark)


def _read_procedure(section: Section) -> ProcedureRow:
    criteria = _read_criteria(section)
    if not criteria:
        section.note("criteria", _("a task needs at least one thing that the person can be seen to do"))
    return ProcedureRow(
        criteria=criteria,
        readings=tuple(_read_reading(reading) for reading in section.sections("readings")),
        hazards=section.texts("hazards", longest=200),
        protective_equipment=section.texts("ppe", longest=200),
        evidence=section.text("evidence", longest=LONGEST_SENTENCE),
    )


def _read_criteria(section: Section) -> tuple[CriterionRow, ...]:
    critical = section.wholes("critical_criteria", low=1, high=200)
    found: list[CriterionRow] = []
    for number, node in enumerate(section.items("criteria"), start=1):
        path = section.at(f"criteria[{number}]")
        if isinstance(node, Mapping) and _is_criterion(node):
            found.append(_read_criterion(Section(node, path, section.faults), is_critical=number in critical))
        elif isinstance(node, Scalar) and node.text.strip():
            found.append(CriterionRow(text=" ".join(node.text.split()), is_critical=number in critical))
        else:
            message = _("a sentence was expected here; put one that holds a colon in quotes")
            section.faults.add(node.line, path, message)
            found.append(CriterionRow(text=""))
    _check_criteria(section, found, critical)
    return tuple(found)


def _is_criterion(node: Mapping) -> bool:
    return any(key.text in CRITERION_KEYS for key, _value in node.pairs)


def _read_criterion(section: Section, *, is_critical: bool) -> CriterionRow:
    section.expect(CRITERION_KEYS)
    return CriterionRow(
        text=section.text("text", longest=LONGEST_SENTENCE, required=True),
        is_critical=section.flag("critical") or is_critical,
        is_scope_specific=section.flag("differs_by_machine"),
    )


def _check_criteria(section: Section, criteria: list[CriterionRow], critical: tuple[int, ...]) -> None:
    for number in critical:
        if number > len(criteria):
            message = _("there is no criterion %(number)s; the task has %(count)s")
            section.note("critical_criteria", message, number=number, count=len(criteria))
    for number, criterion in enumerate(criteria, start=1):
        if len(criterion.text) > LONGEST_SENTENCE:
            section.note("criteria", _("criterion %(number)s is too long for one glance"), number=number)


def _read_reading(section: Section) -> ReadingRow:
    section.expect(READING_KEYS)
    target = section.text("target", longest=80)
    is_number = bool(NUMBER.fullmatch(target))
    reading = ReadingRow(
        name=section.text("name", longest=120, required=True),
        unit=section.text("unit", longest=40),
        target=Decimal(target) if is_number else None,
        target_text="" if is_number else target,
        low=section.decimal("low"),
        high=section.decimal("high"),
        paired_tolerance=section.decimal("paired_tolerance"),
        source=section.text("source", longest=20),
    )
    _check_reading(section, reading)
    return reading


def _check_reading(section: Section, reading: ReadingRow) -> None:
    low, high, target = reading.low, reading.high, reading.target
    limits = [limit for limit in (low, high) if limit is not None]
    if not (limits or section.has("target")):
        section.note("target", _("a reading needs a target or a limit"))
    if low is not None and high is not None and low > high:
        section.note("low", _("the low limit %(low)s is above the high limit %(high)s"), low=low, high=high)
    elif target is not None and _is_outside(target, low, high):
        section.note("target", _("the target %(target)s lies outside the limits"), target=target)
    if reading.target_text and limits:
        section.note("target", _("a target in words cannot have limits in numbers"))
    if reading.paired_tolerance is not None and reading.paired_tolerance <= 0:
        section.note("paired_tolerance", _("this must be more than 0"))


def _is_outside(target: Decimal, low: Decimal | None, high: Decimal | None) -> bool:
    return (low is not None and target < low) or (high is not None and target > high)


def _read_part(section: Section, key: str) -> str:
    """Return a part between none and all of them as "1/2", or nothing where the file does not say."""
    text = section.text(key, longest=9)
    text = {"all": "1", "none": "0"}.get(text, text)
    try:
        part = Fraction(text) if text else None
    except (ValueError, ZeroDivisionError):
        part = Fraction(-1)
    if part is not None and not 0 <= part <= 1:
        section.note(key, _("a part such as 1/2, all or none was expected"))
        part = None
    return "" if part is None else str(part)


def _read_release(section: Section) -> Release:
    release = Release(
        change=section.choice_or_none("change", ChangeClass),
        approved_on=section.day("approved_on"),
        effective_on=section.day("effective_on"),
        note=section.text("change_note", longest=LONGEST_SENTENCE),
        touches=section.wholes("touches", low=1, high=200) if section.has("touches") else None,
        carries_runs=_read_part(section, "carries_runs"),
    )
    if release.approved_on and release.effective_on and release.approved_on > release.effective_on:
        section.note("approved_on", _("a procedure cannot be approved after it is in force"))
    count = len(section.items("criteria"))
    if release.touches and max(release.touches) > count:
        section.note("touches", _("there is no criterion %(number)s"), number=max(release.touches))
    return release
