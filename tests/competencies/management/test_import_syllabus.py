"""`manage.py import_syllabus`: a dry run by default, 2 for a file with faults."""

import pytest
from django.core.management import CommandError, call_command

from competencies.models import Task, TaskRevision
from competencies.vocabulary import AuthorityKind
from tests.factories import days_ago, grant, make_person, make_plant

pytestmark = pytest.mark.django_db

TEXT = """\
areas: [{code: PK, title: Packaging}]
tasks: [{code: PK-01, title: Start the line, area: PK, criteria: [Looks round]}]
"""


@pytest.fixture
def plant():
    return make_plant()


@pytest.fixture
def coordinator(plant):
    person = make_person(plant)
    grant(person, AuthorityKind.COORDINATE)
    return person


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "syllabus.yaml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def test_dry_run_prints_the_changes_and_writes_nothing(plant, file, capsys):
    call_command("import_syllabus", str(file))

    out = capsys.readouterr().out
    assert "PK-01 Start the line: new task" in out
    assert "2 changes; 0 tasks stay as they are." in out
    assert "Nothing was written." in out
    assert not Task.objects.exists()


def test_apply_takes_the_file_in_the_name_of_the_only_coordinator(coordinator, file, capsys):
    day = days_ago(30).isoformat()

    call_command("import_syllabus", str(file), "--apply", "--effective", day)

    revision = TaskRevision.objects.get()
    assert (revision.approved_by, revision.effective_on.isoformat()) == (coordinator, day)
    assert "Taken." in capsys.readouterr().out


def test_changed_procedure_needs_the_second_person(coordinator, plant, file, capsys):
    call_command("import_syllabus", str(file), "--apply")
    file.write_text(TEXT.replace("Looks round", "Looks round and calls"), encoding="utf-8")

    with pytest.raises(CommandError, match="Two people decide"):
        call_command("import_syllabus", str(file), "--apply")
    second = make_person(plant)
    call_command("import_syllabus", str(file), "--apply", "--with", second.works_number)

    assert "major change as follows from what differs; criteria touched: 1" in capsys.readouterr().out
    assert TaskRevision.objects.get(number=2).second_approved_by == second


def test_stated_class_that_does_not_fit_is_pointed_out(coordinator, plant, file, capsys):
    call_command("import_syllabus", str(file), "--apply")
    changed = TEXT.replace("criteria: [Looks round]", "criteria: [Looks round and calls], change: minor")
    file.write_text(changed, encoding="utf-8")

    call_command("import_syllabus", str(file))

    assert "look again: what differs makes it a major change" in capsys.readouterr().out


def test_every_fault_is_printed_with_its_place_and_the_end_is_two(plant, file, capsys):
    file.write_text(TEXT.replace("area: PK,", "area: QQ, runs: x,"), encoding="utf-8")

    with pytest.raises(SystemExit) as ended:
        call_command("import_syllabus", str(file))

    assert ended.value.code == 2
    assert capsys.readouterr().err.splitlines() == [
        f"{file}:2: tasks[PK-01].runs: a whole number from 0 to 200 was expected",
        f"{file}:2: tasks[PK-01].area: QQ is neither in the file nor at the plant",
    ]


def test_file_that_is_not_there_ends_with_two(plant, tmp_path):
    with pytest.raises(CommandError, match="No such file") as ended:
        call_command("import_syllabus", str(tmp_path / "none.yaml"))

    assert ended.value.returncode == 2


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--apply"], "Say who brings the file"),
        (["--apply", "--by", "99999"], "Nobody here has the employee number 99999"),
        (["--plant", "nowhere"], "There is no plant nowhere"),
        (["--effective", "1/2/2026"], "a day such as 2026-01-31 was expected"),
    ],
)
def test_what_is_missing_is_told(plant, file, arguments, message):
    with pytest.raises(CommandError, match=message):
        call_command("import_syllabus", str(file), *arguments)

    assert not Task.objects.exists()


def test_one_of_several_plants_must_be_named(plant, file, capsys):
    make_plant("other", "Other")

    with pytest.raises(CommandError, match="--plant: alder-quay, other"):
        call_command("import_syllabus", str(file))
    call_command("import_syllabus", str(file), "--plant", "other")

    assert "Nothing was written." in capsys.readouterr().out


def test_without_a_plant_it_says_so(file, db):
    with pytest.raises(CommandError, match="There is no plant yet"):
        call_command("import_syllabus", str(file))
