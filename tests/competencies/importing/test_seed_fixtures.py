"""The invented plant's files: complete, without a fault, and in step with each other."""

import re
from datetime import date

import pytest
import yaml
from django.conf import settings

from competencies.importing.people import KnownPlant
from competencies.importing.people_file import read_people
from competencies.importing.syllabus import place_codes
from competencies.importing.syllabus_file import read_syllabus
from competencies.importing.syllabus_text import write_syllabus
from competencies.vocabulary import AuthorityKind, Criticality, YoungWorker

FIXTURES = settings.BASE_DIR / "seed_fixtures"
DAY = date(2026, 11, 25)


def text_of(name: str) -> str:
    return (FIXTURES / name).read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def syllabus():
    return read_syllabus(text_of("syllabus.yaml"), "syllabus.yaml")


@pytest.fixture(scope="module")
def pathway(syllabus):
    return read_syllabus(text_of("pathway.yaml"), "pathway.yaml", current=syllabus)


@pytest.fixture(scope="module")
def plant():
    return yaml.safe_load(text_of("plant.yaml"))


@pytest.fixture(scope="module")
def people(syllabus, plant):
    known = KnownPlant(
        crews=frozenset(crew["code"] for crew in plant["crews"]), areas=frozenset(area.code for area in syllabus.areas)
    )
    return read_people((FIXTURES / "people.csv").read_bytes(), on=DAY, known=known)


def test_syllabus_holds_what_it_says_it_holds(syllabus):
    assert len(syllabus.areas) == 11
    assert len(syllabus.tasks) == 79
    assert sum(len(task.procedure.criteria) for task in syllabus.tasks) == 301
    assert sum(len(task.procedure.readings) for task in syllabus.tasks) == 138
    assert len(syllabus.calculations) == 19


def test_critical_tasks_are_the_counts_of_the_design(syllabus):
    counts = {kind: sum(task.critical is kind for task in syllabus.tasks) for kind in Criticality}

    assert counts == {Criticality.SAFETY: 20, Criticality.FOOD: 25, Criticality.BOTH: 6, Criticality.NONE: 28}


def test_closed_tasks_shut_others_through_their_prerequisites(syllabus):
    needs = {task.code: task.terms.prerequisites for task in syllabus.tasks}
    closed = {task.code for task in syllabus.tasks if task.terms.young_worker is YoungWorker.CLOSED}
    reached = set(closed)
    while more := {code for code, wanted in needs.items() if wanted & reached} - reached:
        reached |= more

    assert len(closed) == 17
    assert reached - closed == {
        *("RM-04", "FB-02", "FB-04", "FB-05", "FB-06", "FB-07", "CP-02", "CP-03", "PK-04", "PK-05", "PK-06", "PK-08"),
    }


def test_every_line_and_machine_task_says_where_it_is_held(syllabus):
    assert [task.code for task in syllabus.tasks if (task.scope != "site") != bool(task.places)] == []


def test_reader_agrees_with_a_plain_yaml_reading(syllabus):
    # PyYAML's own loader is the independent reading here.
    plain = {task["code"]: task for task in yaml.safe_load(text_of("syllabus.yaml"))["tasks"]}

    for task in syllabus.tasks:
        other = plain[task.code]
        assert [row.text for row in task.procedure.criteria] == other["criteria"]
        assert [n for n, row in enumerate(task.procedure.criteria, 1) if row.is_critical] == other.get(
            "critical_criteria", []
        )
        assert (task.terms.runs, task.terms.distinct_shifts) == (other["runs"], other["distinct_shifts"])
        assert task.terms.validity_months == other["validity_months"]
        assert task.terms.prerequisites == set(other.get("prerequisites", []))
        assert list(task.procedure.hazards) == other.get("hazards", [])
        for reading, written in zip(task.procedure.readings, other.get("readings", []), strict=True):
            for name in ("low", "high"):
                value = getattr(reading, name)
                assert (None if value is None else float(value)) == written.get(name)


def test_every_source_word_is_explained(syllabus):
    words = {reading.source for task in syllabus.tasks for reading in task.procedure.readings}

    explained = set(re.findall(r"^\| ([A-Z0-9]+) \|", text_of("SOURCES.md"), re.MULTILINE))
    assert words == explained


def test_tolerable_negative_error_of_the_fill_check(syllabus):
    # Directive 76/211/EEC, annex I, 2.4: 3 percent for nominal quantities of 300 to 500 mL. No pack may be short by
    # more than twice that (2.5, from memory).
    (task,) = [task for task in syllabus.tasks if task.code == "QC-03"]
    limits = [float(reading.low) for reading in task.procedure.readings if reading.source == "TNE"]

    assert limits == pytest.approx([330 - 0.03 * 330, 330 - 2 * 0.03 * 330])


def test_oxygen_limits_are_those_of_the_permit_rule(syllabus):
    # 29 CFR 1910.146(b): a hazardous atmosphere is below 19.5 or above 23.5 percent oxygen.
    rows = [row for task in syllabus.tasks for row in task.procedure.readings if row.source == "O2"]

    assert rows
    assert {(str(row.low), str(row.high)) for row in rows} == {("19.5", "23.5")}


def test_pathway_has_its_units_and_core_credits(pathway):
    assert len(pathway.units) == 25
    assert sum(unit.credits for unit in pathway.units if unit.group == "core") == 27
    assert [row.key for row in pathway.qualifications] == ["Q-DRINKS-3v1"]


@pytest.mark.parametrize("name", ["syllabus", "pathway"])
def test_written_again_it_reads_the_same(name, request, syllabus):
    file = request.getfixturevalue(name)

    assert read_syllabus(write_syllabus(file), "again.yaml", current=syllabus) == file


def test_stations_name_tasks_at_places_where_they_are_held(plant, syllabus):
    tasks = {task.code: task for task in syllabus.tasks}

    for station in plant["stations"]:
        place = f"{station['line']}/{station['machine']}" if "machine" in station else station["line"]
        assert place in place_codes(syllabus)
        assert place in tasks[station["task"]].places, station


def test_shifts_meet_around_the_clock(plant):
    shifts = plant["shifts"]

    assert [shift["name"] for shift in shifts] == ["day", "late", "night"]
    assert [shift["ends"] for shift in shifts] == [shift["starts"] for shift in (*shifts[1:], shifts[0])]


def test_people_are_read_without_a_fault_or_a_warning(people):
    assert (people.faults, people.warnings) == ((), ())
    assert 40 <= len(people.rows) <= 55
    assert {row.crew for row in people.rows} >= {"A", "B", "C", "D"}


def test_people_hold_every_role_and_every_area_has_an_assessor(people, syllabus):
    roles = {role for row in people.rows for role in row.roles}

    assert {role.kind for role in roles} == set(AuthorityKind)
    assessed = {role.area for role in roles if role.kind is AuthorityKind.ASSESS}
    assert {area.code for area in syllabus.areas} <= assessed


def test_examples_of_the_format_are_sound(syllabus):
    blocks = re.findall(r"```yaml\n(.*?)```", text_of("README.md"), re.DOTALL)

    smallest, _readings, _calculations, pathway = blocks
    assert len(read_syllabus(smallest, "README.md").tasks) == 1
    # Units that the example's rules name live beside it; the shape must be right.
    with_units = pathway.split("qualifications:")[0]
    assert read_syllabus(with_units, "README.md", current=syllabus).units[0].key == "U305v1"


def test_format_describes_every_name_of_a_task():
    from competencies.importing.task_section import READING_KEYS, TASK_KEYS  # noqa: PLC0415 - the lists themselves

    text = text_of("README.md")

    assert [name for name in (*TASK_KEYS, *READING_KEYS) if f"`{name}`" not in text] == []
