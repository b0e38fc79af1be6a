"""Every list that a page shows can be taken along as a file, whole, with its filters, by those who may see it."""

import csv
import io
import re

import openpyxl
import pytest
from django.urls import reverse

from tests import factories as make
from tests.access_declared import DECLARED, ROLES
from tests.access_ground import one_of_everything, people_of_every_role
from tests.test_access import patterns

# Pages with a table that is no list of the plant's: what is shown there, and why no file is offered.
NO_LIST = {
    # These came at the same time as the files of lists, and are still to be given one.
    **dict.fromkeys(
        [f"competencies:{name}" for name in ("judges", "starters", "induction", "reminders", "renewals", "incidents")],
        "no file yet",
    ),
    "competencies:my-changes": "the reader's own",
    "competencies:my-reminders": "the reader's own",
    "competencies:parts": "samples of the page's own parts",
    "competencies:paper": "files being made, each kept a week",
    "competencies:saved-views": "cuts of the matrix kept under a name",
    "assessments:inspection-list": "the reader's own practice",
    "assessments:inspection-report": "the reader's own practice",
    "assessments:inspection-handed-in": "the reader's own practice",
}

pytestmark = pytest.mark.django_db


@pytest.fixture
def ground():
    floor = make.make_floor()
    people = people_of_every_role(floor)
    one_of_everything(floor, people["coordinator"])
    return floor, people


def rows_of(answer):
    return list(csv.DictReader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))


def lists():
    """Yield the addresses that name nothing and answer a coordinator."""
    column = ROLES.index("coordinator")
    for name, keys in patterns().items():
        if not keys and name in DECLARED and DECLARED[name].split()[column] == "in" and name not in NO_LIST:
            yield name


def test_every_page_with_a_table_offers_it_as_a_file(client, ground):
    client.force_login(ground[1]["coordinator"].user)
    with_table, without_file, empty = set(), [], []
    for name in lists():
        at = reverse(name)
        page = client.get(at)
        text = page.content.decode() if page["Content-Type"].startswith("text/html") else ""
        if re.search(r'<table class="table|class="pagination"', text):
            with_table.add(name)
            if "file=csv" not in text or "file=xlsx" not in text:
                without_file.append(name)
        if "file=csv" in text:
            rows = list(csv.reader(io.StringIO(client.get(at, {"file": "csv"}).getvalue().decode("utf-8-sig"))))
            book = openpyxl.load_workbook(io.BytesIO(client.get(at, {"file": "xlsx"}).getvalue()))
            if not rows or any(len(row) != len(rows[0]) for row in rows) or book.worksheets[0].max_row != len(rows):
                empty.append(name)

    assert without_file == [], without_file
    assert empty == []
    assert len(with_table) >= 10


def test_a_file_is_refused_to_whom_the_page_is(client, ground):
    wrong, asked = [], 0
    for column, role in enumerate(ROLES[:-1]):
        client.force_login(ground[1][role].user)
        for name, answers in DECLARED.items():
            if not patterns()[name] and answers.split()[column] == "no":
                asked += 1
                if client.get(reverse(name), {"file": "csv"}).status_code not in (401, 403, 302):
                    wrong.append((role, name))
    assert wrong == []
    assert asked > 100


def test_a_file_has_all_rows_and_the_filters_of_its_page(client, ground):
    floor, people = ground
    for number in range(40):
        make.make_person(floor.plant, f"Odegaard {number:02d}")
    client.force_login(people["coordinator"].user)

    found = rows_of(client.get("/people/", {"file": "csv", "text": "odegaard", "page": "2"}))

    assert [row["Name"] for row in found] == [f"Odegaard {number:02d}" for number in range(40)]


@pytest.mark.parametrize("path", ["/people/", "/tasks/", "/ledger/", "/records/", "/cover/"])
def test_a_file_costs_the_same_queries_at_any_size(client, ground, path, django_assert_max_num_queries):
    floor, people = ground
    make.make_station(floor.line, floor.task)
    client.force_login(people["coordinator"].user)
    client.get(path, {"file": "csv"}).getvalue()
    with django_assert_max_num_queries(60) as few:
        rows = rows_of(client.get(path, {"file": "csv"}))
    for _ in range(5):
        make.hold(make.make_person(floor.plant), floor.task)
    client.get(path, {"file": "csv"}).getvalue()
    with django_assert_max_num_queries(60) as more:
        assert len(rows_of(client.get(path, {"file": "csv"}))) >= len(rows) > 0
    assert len(more) == len(few)


def test_the_ledger_as_known_on_a_day_leaves_out_what_was_written_later(client, ground):
    client.force_login(ground[1]["auditor"].user)

    now = rows_of(client.get("/ledger/", {"file": "csv"}))
    before = rows_of(client.get("/ledger/", {"file": "csv", "known_on": make.days_ago(100).isoformat()}))

    assert 0 < len(before) < len(now)
    assert {row["Entry"] for row in before} < {row["Entry"] for row in now}


def test_a_name_that_looks_like_a_formula_is_text_in_the_file(client, ground):
    floor, people = ground
    make.make_person(floor.plant, "=1+1")
    client.force_login(people["coordinator"].user)

    assert "'=1+1" in [row["Name"] for row in rows_of(client.get("/people/", {"file": "csv"}))]


def test_an_unknown_form_of_file_is_the_page(client, ground):
    client.force_login(ground[1]["coordinator"].user)

    assert client.get("/people/", {"file": "exe"})["Content-Type"].startswith("text/html")
