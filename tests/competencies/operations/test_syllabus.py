"""Taking a syllabus: all or nothing, nothing edited that a sign-off may rest on, everything in the ledger."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.conf import settings

from competencies.importing.syllabus import NO_SYLLABUS, CriterionRow, Release, SyllabusFile, TaskRow, TermsRow
from competencies.importing.syllabus_file import read_syllabus
from competencies.importing.syllabus_text import write_syllabus
from competencies.models import (
    Criterion,
    LedgerIndex,
    Person,
    Qualification,
    Reading,
    Task,
    TaskRevision,
    TaskTerms,
    UnitStandard,
)
from competencies.operations.decisions import When
from competencies.operations.pathways import enrol
from competencies.operations.syllabus import SyllabusDecision, SyllabusError, import_syllabus
from competencies.queries.syllabus import current_syllabus, in_use
from competencies.vocabulary import AuthorityKind, ChangeClass, EntryKind
from tests.factories import at, days_ago, grant, hold, make_person, make_plant, office, today

pytestmark = pytest.mark.django_db
FIXTURES = settings.BASE_DIR / "seed_fixtures"

TEXT = """\
areas: [{code: PK, title: Packaging}]
lines: [{code: L1, title: Bottles, machines: [{code: F1, title: Filler}]}]
calculations: [C09]
tasks:
  - {code: PK-01, title: Start the line, area: PK, criteria: [Looks round]}
  - code: PK-04
    title: Run the filler
    area: PK
    scope: machine
    places: [L1/F1]
    runs: 4
    distinct_shifts: 3
    range: {bottle size: 2}
    prerequisites: [PK-01]
    calculations: [{code: C09, problems: 10, pass_mark: 8}]
    hazards: [bottle burst]
    criteria: [Signs the list, Locks off first]
    critical_criteria: [2]
    readings: [{name: bowl pressure, unit: bar, target: 1.2, low: 1.1, high: 1.4, source: PLANT}]
units:
  - {code: U1, title: Fill, level: 3, credits: 8, group: K, outcomes: {1: [PK-01, PK-04], 2: ["calc:C09"]}}
qualifications:
  - {code: Q1, title: Certificate, min_total_credits: 8, rules: [{group: K, rule: all, credits: 8}]}
"""


@pytest.fixture
def plant():
    return make_plant()


@pytest.fixture
def second(plant) -> Person:
    return make_person(plant, "Second Person")


def read(text: str, current: SyllabusFile = NO_SYLLABUS) -> SyllabusFile:
    return read_syllabus(text, "s.yaml", current=current)


def take(plant, file, *, ago: int = 100, by=None, **decision):
    day = days_ago(ago)
    chosen = SyllabusDecision(file=file, **{"effective_on": day, **decision})
    return import_syllabus(plant=plant, decision=chosen, by=by or office(plant), now=at(day))


def revised(file: SyllabusFile, **changes) -> SyllabusFile:
    """Return only the filler's task, with its procedure changed."""
    (task,) = [task for task in file.tasks if task.code == "PK-04"]
    return SyllabusFile(tasks=(replace(task, procedure=replace(task.procedure, **changes)),))


def test_new_syllabus_stands_field_by_field(plant):
    result = take(plant, read(TEXT))

    task = Task.objects.get(plant=plant, code="PK-04")
    assert (task.title, task.area.code, task.scope_kind, task.criticality) == (
        "Run the filler",
        "PK",
        "machine",
        "none",
    )
    assert [(place.line.code, place.machine.code) for place in task.places.all()] == [("L1", "F1")]
    (terms,) = task.terms.all()
    assert (terms.runs, terms.distinct_shifts, terms.ranges, terms.validity_months) == (4, 3, {"bottle size": 2}, 12)
    assert [needed.code for needed in terms.prerequisites.all()] == ["PK-01"]
    assert [(c.calculation, c.problems, c.pass_mark) for c in terms.calculations.all()] == [("C09", 10, 8)]
    (revision,) = task.revisions.all()
    assert (revision.number, revision.effective_on, revision.approved_on) == (1, days_ago(100), days_ago(100))
    assert list(revision.criteria.order_by("number").values_list("text", "is_critical")) == [
        ("Signs the list", False),
        ("Locks off first", True),
    ]
    assert [(str(r.target), r.unit) for r in revision.readings.all()] == [("1.20000", "bar")]
    unit = UnitStandard.objects.get(plant=plant)
    assert [
        [str(item.task or item.calculation) for item in outcome.items.all()] for outcome in unit.outcomes.all()
    ] == [
        ["PK-01 Start the line", "PK-04 Run the filler"],
        ["C09"],
    ]
    assert len(result.changes) == 6


def test_terms_and_procedures_are_in_the_ledger(plant):
    take(plant, read(TEXT))

    kinds = LedgerIndex.objects.filter(plant=plant).values_list("kind", "task")
    assert sorted(kinds) == [
        *((EntryKind.REVISION, "PK-01"), (EntryKind.REVISION, "PK-04")),
        *((EntryKind.TERMS, "PK-01"), (EntryKind.TERMS, "PK-04")),
    ]
    assert not TaskTerms.objects.filter(entry_seq=None).exists()
    assert not TaskRevision.objects.filter(entry_seq=None).exists()


def test_same_file_again_changes_nothing(plant):
    take(plant, read(TEXT))
    entries = LedgerIndex.objects.count()

    result = take(plant, read(TEXT), ago=90)

    assert (result.changes, result.unchanged_tasks) == ((), 2)
    assert (LedgerIndex.objects.count(), TaskTerms.objects.count(), TaskRevision.objects.count()) == (entries, 2, 2)


def test_export_brought_back_changes_nothing(plant):
    take(plant, read(TEXT))

    again = read(write_syllabus(current_syllabus(plant)))

    assert take(plant, again, ago=90).changes == ()


def test_changed_terms_are_a_new_row_and_the_old_one_stays(plant):
    take(plant, read(TEXT))
    file = read(TEXT.replace("runs: 4", "runs: 6"))

    take(plant, file, ago=50)

    rows = TaskTerms.objects.filter(task__code="PK-04").order_by("effective_on")
    assert list(rows.values_list("runs", "effective_on")) == [(4, days_ago(100)), (6, days_ago(50))]
    assert TaskRevision.objects.filter(task__code="PK-04").count() == 1


def test_changed_procedure_is_the_next_revision_and_the_old_one_stays(plant, second):
    file = read(TEXT)
    take(plant, file)
    criteria = (CriterionRow(text="Signs the list"), CriterionRow(text="Locks off and tags", is_critical=True))

    take(plant, revised(file, criteria=criteria), ago=50, seconded_by=second)

    old, new = TaskRevision.objects.filter(task__code="PK-04").order_by("number")
    assert (new.number, new.change, new.touches) == (2, ChangeClass.MAJOR, [2])
    assert (new.approved_by, new.second_approved_by) == (office(plant).person, second)
    assert [criterion.text for criterion in old.criteria.order_by("number")] == ["Signs the list", "Locks off first"]
    assert [criterion.text for criterion in new.criteria.order_by("number")] == [
        "Signs the list",
        "Locks off and tags",
    ]
    assert new.readings.count() == old.readings.count() == 1


@pytest.mark.parametrize(
    ("stated", "chosen", "expected"),
    [
        pytest.param(None, None, "minor", id="as follows from what differs"),
        pytest.param("major", None, "major", id="as the file says"),
        pytest.param("minor", "major", "major", id="as the two decided"),
    ],
)
def test_class_of_a_change(plant, second, stated, chosen, expected):
    file = read(TEXT)
    take(plant, file)
    changed = revised(file, evidence="line print")
    (task,) = changed.tasks
    changed = SyllabusFile(tasks=(replace(task, release=Release(change=ChangeClass(stated) if stated else None)),))

    classes = {"PK-04": ChangeClass(chosen)} if chosen else {}
    take(plant, changed, ago=50, seconded_by=second, classes=classes)

    assert TaskRevision.objects.get(task__code="PK-04", number=2).change == expected


def test_days_of_the_file_go_before_the_day_that_was_chosen(plant):
    text = TEXT.replace(
        "title: Start the line,", "title: Start the line, approved_on: 2020-01-01, effective_on: 2020-02-01,"
    )

    take(plant, read(text))

    revision = TaskRevision.objects.get(task__code="PK-01")
    assert (revision.approved_on, revision.effective_on) == (date(2020, 1, 1), date(2020, 2, 1))


def by_one_person(plant, file):
    return {}


def by_the_same_twice(plant, file):
    return {"seconded_by": office(plant).person}


def by_a_stranger(plant, file):
    return {"seconded_by": make_person(make_plant("other", "Other"), "Stranger")}


def before_the_old_one(plant, file):
    return {"seconded_by": make_person(plant, "Second"), "effective_on": days_ago(101)}


@pytest.mark.parametrize(
    ("decision", "message"),
    [
        (by_one_person, "Two people decide"),
        (by_the_same_twice, "another than the one"),
        (by_a_stranger, "of this plant"),
        (before_the_old_one, "cannot be in force before the one it follows"),
    ],
)
def test_procedure_changes_only_when_two_decide_and_days_are_in_order(plant, decision, message):
    file = read(TEXT)
    take(plant, file)
    changed = SyllabusFile(
        areas=(replace(file.areas[0], title="Another title"),), tasks=revised(file, hazards=()).tasks
    )

    with pytest.raises(SyllabusError, match=message):
        take(plant, changed, ago=50, **decision(plant, file))

    assert TaskRevision.objects.filter(task__code="PK-04").count() == 1
    assert current_syllabus(plant).areas[0].title == "Packaging"


def test_procedure_cannot_be_in_force_before_it_is_approved(plant):
    (task,) = [task for task in read(TEXT).tasks if task.code == "PK-01"]
    late = SyllabusFile(areas=read(TEXT).areas, tasks=(replace(task, release=Release(approved_on=days_ago(10))),))

    with pytest.raises(SyllabusError, match="before it is approved"):
        take(plant, late)

    assert not Task.objects.exists()


def test_terms_cannot_slip_in_before_later_ones(plant):
    take(plant, read(TEXT))
    take(plant, read(TEXT.replace("runs: 4", "runs: 6")), ago=50, effective_on=today() + timedelta(days=30))

    with pytest.raises(SyllabusError, match="later terms stand already"):
        take(plant, read(TEXT.replace("runs: 4", "runs: 5")), ago=40)


def test_task_that_records_rest_on_keeps_what_a_sign_off_serves(plant):
    file = read(TEXT)
    take(plant, file)
    task = Task.objects.select_related("plant").get(code="PK-01")
    hold(make_person(plant), task)
    changed = SyllabusFile(tasks=tuple(replace(row, critical="food") for row in file.tasks if row.code == "PK-01"))

    assert in_use(plant).tasks == {"PK-01"}
    with pytest.raises(SyllabusError, match="PK-01"):
        take(plant, changed, ago=10)

    task.refresh_from_db()
    assert task.criticality == "none"


def test_pathway_that_people_follow_keeps_its_rules(plant):
    take(plant, read(TEXT))
    row = current_syllabus(plant).qualifications[0]
    pathway = Qualification.objects.get(plant=plant)
    person = make_person(plant)
    coordinator = office(plant)
    grant(coordinator.person, AuthorityKind.COORDINATE)
    enrol(
        person=person,
        qualification=pathway,
        by=coordinator,
        when=When(on=days_ago(20), happened_at=at(days_ago(20)), now=at(days_ago(20))),
    )

    with pytest.raises(SyllabusError, match="next version number"):
        take(plant, SyllabusFile(qualifications=(replace(row, min_total_credits=7),)), ago=10)


def test_holder_keeps_the_sign_off_when_only_the_syllabus_changes(plant):
    # Trade rule R4.11: a changed syllabus is not a changed procedure.
    file = read(TEXT)
    take(plant, file, ago=400)
    task = Task.objects.select_related("plant").get(code="PK-01")
    holder = make_person(plant)
    hold(holder, task, assessed=300)
    row = next(row for row in file.tasks if row.code == "PK-01")

    take(plant, SyllabusFile(tasks=(replace(row, terms=TermsRow(validity_months=1)),)), ago=10)

    last = holder.standing_periods.filter(task=task, standing="in_force", known_to=None).latest("starts_at")
    assert last.last_valid_on > today()


def test_seed_files_give_the_whole_syllabus(plant):
    file = read((FIXTURES / "syllabus.yaml").read_text(encoding="utf-8"))
    take(plant, file)
    pathway = read((FIXTURES / "pathway.yaml").read_text(encoding="utf-8"), current_syllabus(plant))
    take(plant, pathway)

    assert Task.objects.count() == 79
    assert Criterion.objects.count() == 301
    assert Reading.objects.count() == 138
    assert UnitStandard.objects.count() == 25
    again = read(write_syllabus(current_syllabus(plant)))
    assert take(plant, again, ago=90).changes == ()


@pytest.mark.parametrize("size", [1, 12])
def test_current_syllabus_costs_the_same_queries_at_any_size(plant, size, django_assert_num_queries):
    file = read(TEXT)
    rows = [
        TaskRow(code=f"PK-{n}", title="T", area="PK", terms=file.tasks[1].terms, procedure=file.tasks[1].procedure)
        for n in range(10, 10 + size)
    ]
    take(plant, replace(file, tasks=(*file.tasks, *rows)))

    with django_assert_num_queries(16):
        syllabus = current_syllabus(plant)

    assert len(syllabus.tasks) == 2 + size
