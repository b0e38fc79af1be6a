"""The syllabus reader: what it takes, and that every fault comes with its line and field, all at once."""

from datetime import date
from decimal import Decimal

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from competencies.importing.cross_checks import find_circles
from competencies.importing.nodes import MAX_BYTES
from competencies.importing.syllabus import SyllabusFile, TermsRow
from competencies.importing.syllabus_file import SyllabusFileError, read_syllabus, read_syllabus_bytes
from competencies.importing.syllabus_text import write_syllabus
from competencies.vocabulary import ChangeClass, Criticality, ScopeKind, YoungWorker

SMALLEST = """\
areas:
  - {code: PK, title: Packaging}
tasks:
  - code: PK-01
    title: Start the bottle washer
    area: PK
    validity_months: 12
    criteria:
      - Checks the guards before the start
"""

FULL = """\
areas:
  - {code: PK, title: Packaging}
lines:
  - code: L1
    title: Bottle line
    machines:
      - {code: F1, title: Filler}
calculations: [C09]
tasks:
  - code: PK-01
    title: Start the line
    area: PK
    criteria: [Looks round]
  - code: PK-04
    title: "Run the filler: bottles"
    area: PK
    level: 3
    scope: machine
    places: [L1/F1]
    critical: both
    young_worker: closed
    min_age: 18
    runs: 8
    distinct_shifts: 6
    simulated_max: 1
    range: {bottle size: 2}
    validity_months: never
    grace_days: 0
    recency_days: 90
    prerequisites: [PK-01]
    calculations:
      - {code: C09, problems: 10, pass_mark: 8}
    hazards: [bottle burst, carbon dioxide]
    ppe: [face shield]
    criteria:
      - Signs the start-up list
      - {text: Sets the guide rails, differs_by_machine: yes}
      - {text: Clears a jam only after lock-off, critical: yes}
    critical_criteria: [1]
    readings:
      - {name: bowl pressure, unit: bar, target: 1.20, low: 1.1, high: 1.4, paired_tolerance: 0.05, source: PLANT}
      - {name: label, unit: match, target: all lines}
    evidence: line log
    change: minor
    approved_on: 2026-01-05
    effective_on: 2026-02-01
    change_note: Clearer words
    touches: [2]
units:
  - code: U1
    title: Fill bottles
    level: 3
    credits: 8
    group: K
    last_date_for_assessment: 2027-12-31
    min_age: 18
    outcomes:
      1: [PK-01, PK-04]
      2: [calc:C09]
qualifications:
  - code: Q1
    title: Certificate
    min_total_credits: 8
    rules:
      - {group: K, rule: all, credits: 8}
"""


TWENTY = (
    "areas: [{code: HS, title: S}]\ntasks:\n"
    + "".join(f"  - {{code: HS-{number:02}, title: T, area: HS, criteria: [x]}}\n" for number in range(1, 20))
    + "  - {code: HS-20, title: T, area: HS, criteria: [x], prerequisites: [needs]}\n"
)


def faults_of(text: str, **known) -> list[str]:
    with pytest.raises(SyllabusFileError) as caught:
        read_syllabus(text, "s.yaml", **known)
    return [str(fault) for fault in caught.value.faults]


def rows_or_faults(content: str | bytes) -> SyllabusFile | list:
    """Return the rows, or the faults where there are any; anything else that is raised gets out."""
    try:
        if isinstance(content, bytes):
            return read_syllabus_bytes(content, "s.yaml")
        return read_syllabus(content, "s.yaml")
    except SyllabusFileError as error:
        return error.faults


def task(extra: str) -> str:
    """Return a file with one sound task and the given lines added to it, which start at line 7."""
    head = "areas: [{code: PK, title: P}]\ntasks:\n  - code: PK-01\n    title: T\n    area: PK\n    criteria: [A, B]\n"
    return head + "".join(f"    {line}\n" for line in extra.splitlines())


def test_smallest_file_asks_one_run_and_twelve_months():
    syllabus = read_syllabus(SMALLEST, "s.yaml")

    (row,) = syllabus.tasks
    assert row.terms == TermsRow(runs=1, distinct_shifts=1, validity_months=12)
    assert (row.scope, row.critical, row.level) == (ScopeKind.SITE, Criticality.NONE, 2)
    assert [criterion.text for criterion in row.procedure.criteria] == ["Checks the guards before the start"]


def test_validity_is_twelve_months_where_nothing_is_said():
    syllabus = read_syllabus(SMALLEST.replace("    validity_months: 12\n", ""), "s.yaml")

    assert syllabus.tasks[0].terms.validity_months == 12


@pytest.mark.parametrize("word", ["never", "null", "~"])
def test_validity_can_be_without_end(word):
    syllabus = read_syllabus(SMALLEST.replace("validity_months: 12", f"validity_months: {word}"), "s.yaml")

    assert syllabus.tasks[0].terms.validity_months is None


def test_full_task_is_read_field_by_field():
    syllabus = read_syllabus(FULL, "s.yaml")

    row = syllabus.tasks[1]
    assert (row.code, row.title, row.scope, row.critical) == (
        "PK-04",
        "Run the filler: bottles",
        ScopeKind.MACHINE,
        Criticality.BOTH,
    )
    assert row.places == {"L1/F1"}
    terms = row.terms
    assert (terms.runs, terms.distinct_shifts, terms.simulated_max, terms.ranges) == (8, 6, 1, {"bottle size": 2})
    assert (terms.validity_months, terms.grace_days, terms.recency_days) == (None, 0, 90)
    assert (terms.young_worker, terms.min_age, terms.prerequisites) == (YoungWorker.CLOSED, 18, {"PK-01"})
    assert [(asked.code, asked.problems, asked.pass_mark) for asked in terms.calculations] == [("C09", 10, 8)]
    criteria = row.procedure.criteria
    assert [criterion.is_critical for criterion in criteria] == [True, False, True]
    assert [criterion.is_scope_specific for criterion in criteria] == [False, True, False]
    pressure, label = row.procedure.readings
    assert (pressure.target, pressure.low, pressure.high) == (Decimal("1.20"), Decimal("1.1"), Decimal("1.4"))
    assert pressure.paired_tolerance == Decimal("0.05")
    assert (label.target, label.target_text) == (None, "all lines")
    assert row.release.change is ChangeClass.MINOR
    assert (row.release.approved_on, row.release.effective_on) == (date(2026, 1, 5), date(2026, 2, 1))
    assert row.release.touches == (2,)


def test_units_and_pathways_are_read():
    syllabus = read_syllabus(FULL, "s.yaml")

    (unit,) = syllabus.units
    assert unit.outcomes == (("PK-01", "PK-04"), ("calc:C09",))
    assert (unit.last_date_for_assessment, unit.min_age, unit.key) == (date(2027, 12, 31), 18, "U1v1")
    assert syllabus.qualifications[0].rules == ({"rule": "all", "group": "K", "credits": 8},)


DATED = FULL.replace(
    "    last_date_for_assessment: 2027-12-31\n",
    "    first_date_for_assessment: 2026-01-01\n    last_date_for_assessment: 2027-12-31\n",
).replace(
    "    min_total_credits: 8\n",
    "    min_total_credits: 8\n    last_date_to_enrol: 2027-06-30\n    last_date_to_achieve: 2028-06-30\n",
)


def test_the_days_of_units_and_pathways_are_read_and_written_the_same():
    syllabus = read_syllabus(DATED, "s.yaml")

    (unit,), (pathway,) = syllabus.units, syllabus.qualifications
    assert unit.first_date_for_assessment == date(2026, 1, 1)
    assert (pathway.last_date_to_enrol, pathway.last_date_to_achieve) == (date(2027, 6, 30), date(2028, 6, 30))
    again = read_syllabus(write_syllabus(syllabus), "again.yaml")
    assert (again.units, again.qualifications) == (syllabus.units, syllabus.qualifications)


@pytest.mark.parametrize(
    ("day", "earlier", "fault"),
    [
        ("first_date_for_assessment: 2026-01-01", "first_date_for_assessment: 2028-01-01", "before the first date"),
        ("last_date_to_achieve: 2028-06-30", "last_date_to_achieve: 2027-06-29", "before the last date to enrol"),
    ],
)
def test_days_of_units_and_pathways_that_are_out_of_order_are_faults(day, earlier, fault):
    assert any(fault in each for each in faults_of(DATED.replace(day, earlier)))


def test_words_that_yaml_takes_for_other_things_stay_words():
    text = SMALLEST.replace("title: Start the bottle washer", "title: No").replace("PK-01", "0101")

    (row,) = read_syllabus(text, "s.yaml").tasks

    assert (row.code, row.title) == ("0101", "No")


def test_part_of_a_syllabus_may_name_what_the_plant_has():
    current = read_syllabus(FULL, "s.yaml")
    text = (
        "tasks:\n  - {code: PK-05, title: T, area: PK, criteria: [A], prerequisites: [PK-04], calculations: [C09]}\n"
    )

    syllabus = read_syllabus(text, "part.yaml", current=current)

    assert syllabus.tasks[0].terms.prerequisites == {"PK-04"}


@pytest.mark.parametrize(
    ("extra", "fault"),
    [
        ("runs: many", "7 runs: a whole number from 0 to 200 was expected"),
        ("runs: -1", "7 runs: a whole number from 0 to 200 was expected"),
        ("distinct_shifts: 3", "7 distinct_shifts: more different shifts than runs (1) are asked"),
        ("simulated_max: 2", "7 simulated_max: more drills than runs (1) may count"),
        ("range: {size: 2}", "7 range: 2 different values of size cannot be seen in 1 runs"),
        ("validity: 12", "7 validity: this name is not known; did you mean validity_months?"),
        ("xyzzy: 12", "7 xyzzy: this name is not known"),
        ("critical: fod", "7 critical: one of these was expected: none, food, safety, both"),
        ("min_age: 18", "7 min_age: a lowest age has no effect while young_worker is open"),
        ("critical_criteria: [3]", "7 critical_criteria: there is no criterion 3; the task has 2"),
        ("critical_criteria: [x]", "7 critical_criteria: a whole number from 1 to 200 was expected"),
        ("touches: [9]", "7 touches: there is no criterion 9"),
        ("prerequisites: PK-02", "7 prerequisites: a list was expected here"),
        (
            "prerequisites: [PK-02]",
            "7 prerequisites: PK-02 is neither in the file nor at the plant; did you mean PK-01?",
        ),
        ("calculations: [C01]", "7 calculations: C01 is neither in the file nor at the plant"),
        ("effective_on: 2026-02-30", "7 effective_on: there is no such day"),
        ("effective_on: 1/2/2026", "7 effective_on: a day such as 2026-01-31 was expected"),
        ("hazards: [a: b]", "7 hazards[1]: a text was expected here"),
        ("readings: [{name: p, low: 2, high: 1}]", "7 readings[1].low: the low limit 2 is above the high limit 1"),
        (
            "readings: [{name: p, target: 3, low: 1, high: 2}]",
            "7 readings[1].target: the target 3 lies outside the limits",
        ),
        ("readings: [{name: p}]", "7 readings[1].target: a reading needs a target or a limit"),
        ("readings: [{name: p, target: 1, low: 1e3}]", "7 readings[1].low: a number such as 4.5 was expected"),
        ("readings: [{target: 1}]", "7 readings[1].name: this is missing"),
        ("readings: [12]", "7 readings[1]: names with values were expected here, such as `code: X1`"),
        ("places: [L1]", "7 places: a task whose sign-off serves the whole site has no places"),
        ("title: again", "7 title: this is given twice"),
        ("hazards: [&a x]", "7 an anchor (&name) stands here; write the value out where it is needed"),
        (
            "evidence: !!python/name:os.system x",
            "7 a tag (tag:yaml.org,2002:python/name:os.system) stands here; write the plain value",
        ),
    ],
)
def test_fault_names_line_field_and_what_is_wrong(extra, fault):
    line, message = fault.split(" ", 1)

    found = [text.removeprefix("s.yaml:").replace("tasks[PK-01].", "") for text in faults_of(task(extra))]

    assert any(text.startswith(f"{line}: {message}") for text in found), found


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "s.yaml:1: the file is empty"),
        ("# nothing\n", "s.yaml:1: the file is empty"),
        ("- a\n- b\n", "s.yaml:1: the file must start with a name such as `tasks:`"),
        ("tasks:\n\t- code: A\n", "s.yaml:2: a tab stands here; indent with spaces"),
        ("tasks: [\n", "s.yaml:2: this is not valid YAML"),
        ("a: 1\n---\nb: 2\n", "s.yaml:2: a second document starts here (---); a syllabus is one document"),
        ("areas: " + "[" * 20 + "]" * 20, "s.yaml:1: the file is nested too deeply here"),
        ("title: \x07\n", "s.yaml:1: a character here cannot stand in a text file"),
        ("{a: b}: c\n", "s.yaml:1: a name was expected before the colon"),
        ("taks: []\n", "s.yaml:1: taks: this name is not known; did you mean tasks?"),
    ],
)
def test_fault_of_the_file_as_a_whole(text, fault):
    assert any(found.startswith(fault) for found in faults_of(text)), faults_of(text)


def test_all_faults_come_at_once_in_the_order_of_the_file():
    text = (
        "areas:\n  - {code: PK, title: P}\n  - {code: PK, title: P}\n"
        "tasks:\n  - {code: A, title: T, area: ZZ, runs: x}\n  - {code: A, area: PK, criteria: [y]}\n"
    )

    found = faults_of(text)

    assert [fault.split(":")[1] for fault in found] == ["3", "5", "5", "5", "6", "6"]
    assert "s.yaml:3: areas[PK]: PK is given twice" in found
    assert "s.yaml:6: tasks[A]: A is given twice" in found


def test_runs_that_cannot_be_read_are_one_fault():
    assert len(faults_of(task("runs: x\ndistinct_shifts: 3\nsimulated_max: 2\nrange: {size: 2}"))) == 1


def test_likeliest_code_starts_alike():
    text = TWENTY.replace("needs", "HS-0l")

    assert faults_of(text)[0].endswith("did you mean HS-01?")


def test_circle_of_prerequisites_is_named():
    rows = "".join(
        f"  - {{code: {code}, title: T, area: PK, criteria: [x], prerequisites: [{needs}]}}\n"
        for code, needs in [("A", "B"), ("B", "C"), ("C", "A"), ("D", "A")]
    )

    found = faults_of("areas: [{code: PK, title: P}]\ntasks:\n" + rows)

    assert found == ["s.yaml:3: tasks[A].prerequisites: the prerequisites form a circle: A -> B -> C -> A"]


def test_circle_through_a_task_of_the_plant_is_found():
    current = read_syllabus(FULL, "s.yaml")
    text = "tasks: [{code: PK-01, title: T, area: PK, criteria: [x], prerequisites: [PK-04]}]"

    assert "the prerequisites form a circle: PK-01 -> PK-04 -> PK-01" in faults_of(text, current=current)[0]


@settings(deadline=None)
@given(st.dictionaries(st.sampled_from("ABCDEF"), st.sets(st.sampled_from("ABCDEF")), max_size=6))
def test_circles_are_found_exactly_when_no_order_exists(needs):
    # Independent check: repeatedly take away what needs nothing that is left.
    left = {code: {need for need in wanted if need in needs} for code, wanted in needs.items()}
    while free := [code for code, wanted in left.items() if not wanted]:
        left = {code: wanted - set(free) for code, wanted in left.items() if code not in free}

    circles = find_circles(needs)

    assert bool(circles) == bool(left)
    for circle in circles:
        assert all(after in needs[code] for code, after in zip(circle, (*circle[1:], circle[0]), strict=True))


UNITS = """\
areas: [{code: PK, title: P}]
tasks: [{code: PK-01, title: T, area: PK, criteria: [x]}]
units:
  - {code: U1, title: One, level: 2, credits: 4, group: core, outcomes: {1: [PK-01]}}
  - {code: U1, version: 2, title: One, level: 2, credits: 5, group: core, outcomes: {1: [PK-01]}}
  - {code: U2, title: Two, level: 3, credits: 8, group: K, outcomes: {1: [PK-01]}}
qualifications:
  - code: Q
    title: C
    min_total_credits: 13
    rules:
"""


@pytest.mark.parametrize(
    ("rule", "fault"),
    [
        ("{group: core, rule: all, credits: 9}", "the units of group core add up to 5 credits, not 9"),
        ("{group: K, rule: min, credits: 9}", "9 credits are asked where the units give only 8"),
        ("{group: Z, rule: min, credits: 1}", "no unit is in the group Z"),
        ("{groups: [K, Z], rule: balance_to_total}", "no unit is in the group Z"),
        ("{rule: min_at_level_or_above, level: 3, credits: 9}", "9 credits are asked where the units give only 8"),
        ("{group: K, rule: most, credits: 9}", "one of these was expected: all, min, max"),
        ("{group: K, rule: max}", "this is missing"),
        (
            "{group: K, rule: min, credits: 4}\n      - {group: K, rule: max, credits: 3}",
            "group K asks for more credits than may count",
        ),
    ],
)
def test_rule_of_a_pathway_must_be_possible(rule, fault):
    assert any(fault in found for found in faults_of(f"{UNITS}      - {rule}\n"))


def test_versions_of_a_unit_count_once_in_the_sum():
    assert read_syllabus(f"{UNITS}      - {{group: core, rule: all, credits: 5}}\n", "s.yaml").qualifications


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (("min_total_credits: 13", "min_total_credits: 14"), "all units together give 13 credits, fewer than asked"),
        (("{1: [PK-01]}", "{1: [PK-09]}"), "PK-09 is neither in the file nor at the plant; did you mean PK-01?"),
        (("{1: [PK-01]}", "{2: [PK-01]}"), "number the outcomes 1, 2, 3 and so on"),
        (("{1: [PK-01]}", "{1: []}"), "an outcome needs at least one task"),
        (("{1: [PK-01]}", "{1: [PK-01, PK-01]}"), "PK-01 stands in the list twice"),
        (("{1: [PK-01]}", "{1: ['calc:C9']}"), "C9 is neither in the file nor at the plant"),
        (("version: 2", "version: 1"), "U1v1 is given twice"),
        (("    rules:", "    exclusions: [[U1v1, U9v1]]\n    rules:"), "U9v1 is neither in the file nor at the plant"),
        (("    rules:", "    exclusions: [[U1v1]]\n    rules:"), "two units that count once were expected"),
    ],
)
def test_unit_or_pathway_that_cannot_be(change, fault):
    text = f"{UNITS}      - {{group: K, rule: min, credits: 1}}\n".replace(*change)

    assert any(fault in found for found in faults_of(text))


def test_file_that_is_too_large_is_not_parsed():
    assert faults_of("#" * (MAX_BYTES + 1)) == ["s.yaml:1: the file is larger than 2000 kB"]


def test_aliases_that_would_swell_are_refused():
    text = "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\ntasks: [*c]\n"

    assert "s.yaml:2: an alias (*name) stands here; write the value out" in faults_of(text)


def test_bytes_that_are_not_utf8_name_their_line():
    with pytest.raises(SyllabusFileError) as caught:
        read_syllabus_bytes(b"areas:\n  - {code: PK, title: Caf\xe9}\n", "s.yaml")

    assert caught.value.faults[0].line == 2


@settings(max_examples=300, deadline=None)
@given(st.text())
def test_reader_gives_rows_or_faults_for_any_text(text):
    outcome = rows_or_faults(text)

    assert isinstance(outcome, SyllabusFile) or all(1 <= fault.line <= len(text) + 1 for fault in outcome)


@settings(max_examples=300, deadline=None)
@given(st.binary())
def test_reader_gives_rows_or_faults_for_any_bytes(content):
    assert rows_or_faults(content)


KEYS = st.sampled_from(
    [
        *(
            "areas",
            "lines",
            "tasks",
            "units",
            "qualifications",
            "code",
            "title",
            "area",
            "runs",
            "criteria",
            "readings",
        ),
        *("rules", "rule", "outcomes", "exclusions", "range", "places", "calculations", "critical_criteria", "group"),
    ]
)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.dates() | KEYS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=5),
    max_leaves=12,
)


@settings(max_examples=300, deadline=None)
@given(st.dictionaries(KEYS, VALUES, max_size=6))
def test_reader_gives_rows_or_faults_for_any_shape(content):
    text = yaml.safe_dump(content, allow_unicode=True)

    assert rows_or_faults(text)


@pytest.mark.parametrize("cut", range(0, len(FULL), 37))
def test_file_that_breaks_off_never_crashes(cut):
    assert rows_or_faults(FULL[:cut])
