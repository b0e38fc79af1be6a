"""What a file would change, in words, and the class of change that follows (trade rule R4.1)."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from competencies.importing.differences import ChangeKind, Detail, InUse, differences, in_words
from competencies.importing.syllabus import (
    AreaRow,
    CriterionRow,
    LineRow,
    MachineRow,
    ProcedureRow,
    QualificationRow,
    ReadingRow,
    Release,
    SyllabusFile,
    TaskRow,
    TermsRow,
    UnitRow,
)
from competencies.importing.syllabus_file import read_syllabus
from competencies.importing.syllabus_text import write_syllabus
from competencies.vocabulary import ChangeClass, Criticality, ScopeKind

PROCEDURE = ProcedureRow(
    criteria=(
        CriterionRow(text="Signs the start-up list"),
        CriterionRow(text="Locks off before clearing", is_critical=True),
        CriterionRow(text="Logs the stop"),
    ),
    readings=(ReadingRow(name="pressure", unit="bar", target=Decimal("2.0"), low=Decimal("1.8"), source="CP"),),
    hazards=("glass", "pressure"),
    protective_equipment=("face shield",),
    evidence="line log",
)
TASK = TaskRow(code="PK-04", title="Run the filler", area="PK", procedure=PROCEDURE)
UNIT = UnitRow(code="U1", title="Fill", level=3, credits=8, group="K", outcomes=(("PK-04",),))
PATHWAY = QualificationRow(
    code="Q", title="C", min_total_credits=8, rules=({"rule": "all", "group": "K", "credits": 8},)
)
NOW = SyllabusFile(
    areas=(AreaRow(code="PK", title="Packaging"),),
    lines=(LineRow(code="L1", title="Bottles", machines=(MachineRow(code="F1", title="Filler"),)),),
    tasks=(TASK,),
    units=(UNIT,),
    qualifications=(PATHWAY,),
)


def with_task(task: TaskRow) -> SyllabusFile:
    return replace(NOW, tasks=(task,))


def with_procedure(**changes) -> SyllabusFile:
    return with_task(replace(TASK, procedure=replace(PROCEDURE, **changes)))


def only(file: SyllabusFile, **kwargs):
    (change,) = differences(file, NOW, **kwargs).changes
    return change


def criteria(*texts: str) -> tuple[CriterionRow, ...]:
    return tuple(CriterionRow(text=text, is_critical="Lock" in text) for text in texts)


def test_same_syllabus_changes_nothing():
    found = differences(NOW, NOW)

    assert (found.changes, found.unchanged_tasks) == ((), 1)


def test_everything_is_new_at_an_empty_plant():
    found = differences(NOW, SyllabusFile())

    kinds = [change.kind for change in found.changes]
    assert kinds == [ChangeKind.AREA, ChangeKind.LINE, ChangeKind.NEW_TASK, ChangeKind.UNIT, ChangeKind.QUALIFICATION]
    assert all(change.is_new for change in found.changes)


def test_what_the_file_leaves_out_stays():
    found = differences(SyllabusFile(), NOW)

    assert found.changes == ()


def test_changed_terms_are_no_change_of_procedure():
    change = only(with_task(replace(TASK, terms=TermsRow(runs=4, validity_months=24, prerequisites=frozenset({"A"})))))

    assert (change.kind, change.proposed) == (ChangeKind.TERMS, None)
    assert change.details == (
        Detail("runs", "1", "4"),
        Detail("validity_months", "12", "24"),
        Detail("prerequisites", "", "A"),
    )


@pytest.mark.parametrize(
    ("changes", "proposed", "touched"),
    [
        pytest.param({"evidence": "line print"}, "minor", (), id="evidence"),
        pytest.param(
            {"criteria": criteria("Signs the start-up list.", "Locks off, before clearing", "logs the stop")},
            "minor",
            (),
            id="punctuation and capitals",
        ),
        pytest.param(
            {"criteria": criteria("Locks off before clearing", "Signs the start-up list", "Logs the stop")},
            "minor",
            (),
            id="order only",
        ),
        pytest.param(
            {"criteria": criteria("Signs the start-up list", "Locks off and tags before clearing", "Logs the stop")},
            "major",
            (2,),
            id="a step reworded",
        ),
        pytest.param(
            {"criteria": (CriterionRow(text="Tells the line"), *PROCEDURE.criteria)},
            "major",
            (1,),
            id="a step added in front",
        ),
        pytest.param({"criteria": PROCEDURE.criteria[:2]}, "major", (), id="a step gone"),
        pytest.param(
            {"criteria": tuple(replace(row, is_critical=True) for row in PROCEDURE.criteria)},
            "major",
            (1, 3),
            id="one miss now decides",
        ),
        pytest.param({"hazards": ("glass", "pressure", "steam")}, "major", (), id="a hazard"),
        pytest.param({"hazards": ("Pressure", "glass")}, "minor", (), id="hazards in another order"),
        pytest.param({"protective_equipment": ()}, "major", (), id="equipment gone"),
        pytest.param({"readings": (replace(PROCEDURE.readings[0], low=Decimal("1.7")),)}, "major", (), id="a limit"),
        pytest.param({"readings": (replace(PROCEDURE.readings[0], unit="kPa"),)}, "major", (), id="a unit"),
        pytest.param({"readings": ()}, "major", (), id="a reading gone"),
        pytest.param({"readings": (replace(PROCEDURE.readings[0], source="MAKER"),)}, "minor", (), id="a source"),
        pytest.param({"readings": (replace(PROCEDURE.readings[0], low=Decimal("1.80")),)}, None, (), id="same number"),
    ],
)
def test_class_follows_from_what_differs(changes, proposed, touched):
    found = differences(with_procedure(**changes), NOW).changes

    assert [(change.proposed, change.touched) for change in found] == ([(proposed, touched)] if proposed else [])
    assert all(change.details for change in found)


@pytest.mark.parametrize(
    "text", ["Keeps it above 2 bar", "Keeps it above 3 bar", "Keeps it < 2 bar", "Keeps it > 2 bar"]
)
def test_another_number_or_sign_is_never_mere_wording(text):
    before = with_procedure(criteria=criteria("Keeps it below 2 bar"))

    (change,) = differences(with_procedure(criteria=criteria(text)), before).changes

    assert change.proposed is ChangeClass.MAJOR


def test_reworded_criterion_is_shown_before_and_after():
    change = only(with_procedure(criteria=criteria("Signs the start-up list", "Locks off and tags", "Logs the stop")))

    assert change.details == (Detail("criterion 2", "Locks off before clearing", "Locks off and tags"),)


def test_limits_are_shown_in_words_with_their_unit():
    change = only(with_procedure(readings=(replace(PROCEDURE.readings[0], high=Decimal("2.50")),)))

    assert change.details == (
        Detail("reading pressure", "target 2, at least 1.8 bar", "target 2, at least 1.8, at most 2.5 bar"),
    )


def test_file_states_class_and_touched_criteria():
    release = Release(change=ChangeClass.MINOR, touches=(3,))
    changed = replace(TASK, procedure=replace(PROCEDURE, hazards=()), release=release)

    change = only(with_task(changed))

    assert (change.proposed, change.stated, change.asked) == ("major", "minor", "minor")
    assert change.touched == (3,)


def test_release_alone_is_no_change():
    assert differences(with_task(replace(TASK, release=Release(change=ChangeClass.MAJOR))), NOW).changes == ()


@pytest.mark.parametrize(
    ("changes", "is_refused"),
    [
        ({"title": "Run it"}, False),
        ({"level": 4}, False),
        ({"scope": ScopeKind.LINE}, True),
        ({"critical": Criticality.FOOD}, True),
    ],
)
def test_what_records_rest_on_cannot_change(changes, is_refused):
    file = with_task(replace(TASK, **changes))

    assert not only(file).refusal
    assert bool(only(file, in_use=InUse(tasks=frozenset({"PK-04"}))).refusal) is is_refused


@pytest.mark.parametrize(
    ("changes", "is_refused"),
    [({"title": "Fill it"}, False), ({"credits": 9}, True), ({"outcomes": (("PK-04", "calc:C1"),)}, True)],
)
def test_unit_version_with_decisions_keeps_its_substance(changes, is_refused):
    file = replace(NOW, units=(replace(UNIT, **changes),))

    assert not only(file).refusal
    assert bool(only(file, in_use=InUse(units=frozenset({"U1v1"}))).refusal) is is_refused


def test_pathway_that_people_follow_keeps_its_rules():
    file = replace(NOW, qualifications=(replace(PATHWAY, min_total_credits=7),))

    assert only(file, in_use=InUse(qualifications=frozenset({"Qv1"}))).refusal


def test_new_version_of_a_unit_is_always_welcome():
    file = replace(NOW, units=(replace(UNIT, version=2, credits=9),))

    change = only(file, in_use=InUse(units=frozenset({"U1v1"})))

    assert (change.is_new, change.refusal, change.code) == (True, "", "U1v2")


def test_machine_that_is_left_out_stays_and_a_new_one_is_named():
    lines = (LineRow(code="L1", title="Bottles", machines=(MachineRow(code="P1", title="Packer"),)),)

    change = only(replace(NOW, lines=lines))

    assert change.details == (Detail("machine P1", "", "Packer"),)


def test_values_read_as_words():
    assert in_words(Decimal("0.00010")) == "0.0001"
    assert in_words(Decimal(100)) == "100"
    assert in_words((("A", "B"), ("C",))) == "A; B; C"


TEXTS = st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=30).map(
    lambda text: " ".join(text.split())
)
NUMBERS = st.decimals(min_value=-1000, max_value=1000, places=3)


@st.composite
def readings(draw) -> ReadingRow:
    low, target, high = sorted(draw(st.lists(NUMBERS, min_size=3, max_size=3)))
    return ReadingRow(name=draw(NAMES), unit=draw(NAMES), target=target, low=low, high=high)


NAMES = TEXTS.filter(lambda text: text and text not in {"~", "null", "Null", "NULL"})


@st.composite
def syllabuses(draw) -> SyllabusFile:
    codes = draw(st.lists(st.from_regex(r"[A-Z]{2}-[0-9]{2}", fullmatch=True), unique=True, max_size=4))
    tasks = []
    for place, code in enumerate(codes):
        runs = draw(st.integers(1, 20))
        terms = TermsRow(
            runs=runs,
            distinct_shifts=draw(st.integers(0, runs)),
            simulated_max=draw(st.integers(0, runs)),
            ranges=draw(st.dictionaries(NAMES, st.integers(1, runs), max_size=2)),
            validity_months=draw(st.none() | st.integers(1, 240)),
            grace_days=draw(st.none() | st.integers(0, 365)),
            prerequisites=frozenset(draw(st.sets(st.sampled_from(codes[:place])))) if place else frozenset(),
        )
        procedure = ProcedureRow(
            criteria=tuple(
                draw(st.lists(st.builds(CriterionRow, text=NAMES, is_critical=st.booleans()), min_size=1, max_size=4))
            ),
            readings=tuple(draw(st.lists(readings(), max_size=2))),
            hazards=tuple(draw(st.lists(NAMES, max_size=3))),
            evidence=draw(NAMES | st.just("")),
        )
        tasks.append(TaskRow(code=code, title=draw(NAMES), area="PK", terms=terms, procedure=procedure))
    return SyllabusFile(areas=(AreaRow(code="PK", title=draw(NAMES)),), tasks=tuple(tasks))


@settings(max_examples=50, deadline=None)
@given(syllabuses())
def test_written_syllabus_reads_back_to_the_same(syllabus):
    again = read_syllabus(write_syllabus(syllabus), "again.yaml")

    assert again == syllabus
    assert differences(again, syllabus).changes == ()


@settings(max_examples=50, deadline=None)
@given(syllabuses(), syllabuses())
def test_differences_are_empty_exactly_for_tasks_that_are_equal(file, current):
    found = differences(file, current)

    present = {task.code: task for task in current.tasks}
    same = sum(present.get(task.code) == task for task in file.tasks)
    assert found.unchanged_tasks == same
    touched = {change.code for change in found.changes if change.kind is not ChangeKind.AREA}
    assert touched == {task.code for task in file.tasks if present.get(task.code) != task}
