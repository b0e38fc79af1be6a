"""Right of access: everything kept about a person, from every table that can lead to one (R14)."""

import json

import pytest
from django.apps import apps
from django.db import connection
from django.db.models import ForeignKey, ManyToManyField
from django.test.utils import CaptureQueriesContext

from competencies.models import Person, User
from competencies.operations.absences import Away, record_absence
from competencies.queries.own_data import BY_NUMBER, BY_USERNAME, INDIRECT, NOT_ABOUT, own_data, paths_to_person
from competencies.vocabulary import AuthorityKind
from tests import factories as make
from tests.factories import at, days_ago

DEEP = 4
NUMBERS = {"person", "actor", "subject", "other"}


def leads_to_a_person(model, depth=DEEP):
    """Whether keys lead from a table to a person or a sign-in, or a column names one by number or name."""
    if model in {Person, User}:
        return True
    fields = [*model._meta.concrete_fields, *model._meta.many_to_many]
    if any(field.name in NUMBERS and not isinstance(field, ForeignKey) for field in fields):
        return True
    if any(field.name in {"username", "session_data"} for field in fields):
        return True
    targets = {field.related_model for field in fields if isinstance(field, ForeignKey | ManyToManyField)}
    return depth > 0 and any(leads_to_a_person(target, depth - 1) for target in targets - {model})


@pytest.mark.parametrize("model", apps.get_models(), ids=lambda model: model._meta.label)
def test_no_table_that_can_lead_to_a_person_is_left_out(model):
    label = model._meta.label
    if not leads_to_a_person(model):
        assert label not in NOT_ABOUT
        return

    is_told = bool(paths_to_person(model)) or label in BY_USERNAME
    assert is_told is not (label in NOT_ABOUT), (
        f"{label}: tell it in own_data, or say in NOT_ABOUT why it tells nothing"
    )


def test_the_lists_name_tables_that_are_there():
    labels = {model._meta.label for model in apps.get_models()}

    assert set(INDIRECT) | set(NOT_ABOUT) | set(BY_NUMBER) <= labels
    assert all(why for why in NOT_ABOUT.values())


@pytest.fixture
def floor(db):
    floor = make.make_floor()
    make.run(floor.trainee, floor.task, floor.trainer)
    make.grant(floor.trainee, AuthorityKind.SUPERVISE)
    make.ask(floor.trainee, floor.task, floor.trainer)
    record_absence(
        person=floor.trainee,
        away=Away(from_on=days_ago(9), until_on=days_ago(8)),
        by=make.office(floor.plant),
        now=at(days_ago(9)),
    )
    return floor


def test_everything_about_a_person_is_there(floor):
    data = own_data(floor.trainee, now=at(days_ago(0)), with_private=True)

    tables = {table.label: table for table in data.tables}
    assert {"competencies.Person", "competencies.User", "competencies.Authority", "competencies.Absence"} <= set(
        tables
    )
    assert {"competencies.Assignment", "competencies.StandingPeriod", "competencies.Detached"} <= set(tables)
    person = dict(zip(tables["competencies.Person"].columns, tables["competencies.Person"].rows[0], strict=True))
    assert (person["name"], person["works_number"]) == ("Tove Brandvold", floor.trainee.works_number)
    about = [line for line in data.ledger if line.is_about]
    assert {line.kind for line in about} == {"run", "authority"}
    assert about[0].says["subject_name"] == "Tove Brandvold"


def test_of_another_person_only_ones_own_part_is_told(floor):
    data = own_data(floor.trainer, now=at(days_ago(0)), with_private=True)

    text = json.dumps(data.as_json())
    assert [line.kind for line in data.ledger if not line.is_about] == ["run"]
    assert "Tove Brandvold" not in text
    assert str(floor.trainee.pk) not in json.dumps([line.says for line in data.ledger if not line.is_about])


def test_no_secret_leaves(floor):
    text = json.dumps(own_data(floor.trainer, now=at(days_ago(0)), with_private=True).as_json())

    assert "pin_hash" not in text
    assert "password" not in text
    assert floor.trainer.pin_hash not in text


def test_the_file_holds_what_the_page_holds(floor):
    data = own_data(floor.trainee, now=at(days_ago(0)), with_private=True)

    told = data.as_json()

    sizes: dict[str, int] = {}
    for table in data.tables:
        sizes[table.label] = sizes.get(table.label, 0) + len(table.rows)
    assert {label: len(rows) for label, rows in told["tables"].items()} == sizes
    assert [line["entry"] for line in told["ledger"]] == [line.seq for line in data.ledger]


def test_it_costs_the_same_queries_at_any_size(floor):
    def cost():
        with CaptureQueriesContext(connection) as counted:
            own_data(floor.trainee, now=at(days_ago(0)), with_private=True)
        return len(counted)

    few = cost()
    for number in range(5):
        make.run(floor.trainee, floor.task, floor.trainer, ago=10 + number)

    assert cost() == few
    assert few < 3 * len(apps.get_models())


def test_a_row_of_somebody_else_tells_only_ones_own_part(floor):
    tables = own_data(floor.trainer, now=at(days_ago(0)), with_private=True).tables

    [asked] = [table for table in tables if table.label == "competencies.Assignment"]
    assert "trainer" in asked.columns
    assert "person" not in asked.columns
    assert "note" not in asked.columns
