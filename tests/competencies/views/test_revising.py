"""A new revision is issued on the site: shown first what it would do, then signed by two."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from competencies.forms import procedures
from competencies.importing.syllabus import CriterionRow, ReadingRow
from competencies.ledger.reading import read_entry
from competencies.models import LedgerEntry, LedgerIndex, TaskRevision
from competencies.queries.facts import rule_of
from competencies.standing.facts import SITE
from competencies.vocabulary import AuthorityKind, ChangeClass, Criticality, EntryKind
from tests import factories as make

pytestmark = pytest.mark.django_db
URL = "/tasks/PK-01/issue/"


@pytest.fixture
def floor():
    return make.make_floor(criticality=Criticality.FOOD)


@pytest.fixture
def hana(client, floor):
    person = make.make_person(floor.plant, "Hana Coldwell", with_pin=True)
    make.grant(person, AuthorityKind.COORDINATE)
    client.force_login(person.user)
    return person


def filled(client, **changed):
    form = client.get(URL).context["form"]
    values = {name: form[name].value() for name in form.fields}
    given = {**values, "note": "The line was rebuilt.", **changed}
    return {name: value for name, value in given.items() if value is not None}


def signed(client, floor, **changed):
    signing = {"issue": "1", "pin": make.PIN, "second": floor.assessor.pk, "second_pin": make.PIN}
    return filled(client, **{**signing, **changed})


HARDER = "PK-01 step 1 of revision 1 within 5 min\nPK-01 step 2 of revision 1 (one miss decides)"


def test_what_it_would_do_is_shown_before_anything_is_recorded(client, floor, hana):
    make.make_station(floor.line, floor.task)
    make.run(floor.trainee, floor.task, floor.trainer)

    page = client.post(URL, filled(client, criteria=HARDER, effective_on=make.days_ago(-7).isoformat(), show="1"))

    text = page.content.decode()
    assert (page.context["asked"].change, page.context["asked"].touches) == (ChangeClass.MAJOR, (1,))
    assert "2 sign-offs would not count at 00:00" in text
    assert {each.person for each in page.context["page"] if each.stops} == {floor.trainer, floor.assessor}
    carried = page.context["carried"]
    assert [(each.person, each.before, each.after) for each in carried] == [(floor.trainee, 1, 0)]
    week = page.context["stations"][0].weeks[1]
    assert (week.before, week.after) == (2, 0)
    assert sum(each.is_cheapest for each in page.context["dates"]) == 1
    assert "within 5 min</ins>" not in text
    assert "within 5 min<span" in text
    assert TaskRevision.objects.count() == 1


def test_two_people_issue_it_and_holders_stop_on_its_day(client, floor, hana):
    day = make.days_ago(-7)

    answer = client.post(URL, signed(client, floor, criteria=HARDER, effective_on=day.isoformat()), follow=True)

    assert "Revision 2 is issued" in answer.content.decode()
    revision = TaskRevision.objects.get(number=2)
    assert (revision.change, revision.touches, revision.effective_on) == ("major", [1], day)
    assert (revision.approved_by, revision.second_approved_by) == (hana, floor.assessor)
    assert [row.is_critical for row in revision.criteria.order_by("number")] == [False, True]
    entry = read_entry(LedgerEntry.objects.get(seq=revision.entry_seq))
    assert (entry["kind"], entry["revision"], entry["second_approver"]) == (EntryKind.REVISION, 2, floor.assessor.pk)
    timeline = rule_of(floor.trainer).timeline("PK-01", SITE)
    assert timeline.at(make.at(make.days_ago(-6), "23:59")).counts
    assert not timeline.at(make.at(day, "00:00")).counts


def test_other_wording_alone_is_proposed_as_minor(client, floor, hana):
    reworded = HARDER.replace(" within 5 min", ",").replace("step 2 of", "step 2, of")

    page = client.post(URL, filled(client, criteria=reworded, show="1"))

    assert (page.context["asked"].change, page.context["asked"].touches) == (ChangeClass.MINOR, ())
    assert "Which day costs least" not in page.content.decode()


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"effective_on": make.days_ago(1).isoformat()}, "works forward"),
        ({"approved_on": make.days_ago(-1).isoformat()}, "the day of approval is"),
        ({"touches": "1, 9"}, "There is no criterion 9"),
        ({"base": "0"}, "was issued meanwhile"),
        ({"second_pin": make.WRONG_PIN}, "not the PIN"),
        ({"second": ""}, "This field is required"),
        ({"criteria": ""}, "This field is required"),
        ({"criteria": "x" * 400}, "longer than 300 characters"),
        ({"touches": "one"}, "Write the numbers of criteria"),
        ({"readings": "fill | mm | 1e400"}, "a target in words"),
        ({"readings": "fill | mm | 40 | 38 | inf"}, "is not a number"),
        ({"readings": "fill | mm | 40 | 42 | 38"}, "above the high one"),
        ({"readings": "<script>"}, "a target or a limit is missing"),
    ],
)
def test_what_cannot_be_is_refused_in_words_and_what_was_typed_stays(client, floor, hana, changed, told):
    given = signed(client, floor, **{"criteria": HARDER, **changed})
    if told == "a target in words":
        given["readings"] += " | 38"

    page = client.post(URL, given)

    assert told in page.content.decode()
    assert page.context["form"]["note"].value() == "The line was rebuilt."
    assert TaskRevision.objects.count() == 1
    assert LedgerIndex.objects.filter(kind=EntryKind.REVISION).count() == 1


def test_one_person_alone_or_an_unchanged_procedure_issues_nothing(client, floor, hana):
    alone = client.post(URL, signed(client, floor, criteria=HARDER, second=hana.pk))
    same = client.post(URL, signed(client, floor))

    assert "Select a valid choice" in alone.content.decode()
    assert "Nothing differs from the last revision" in same.content.decode()
    assert TaskRevision.objects.count() == 1


def test_only_who_coordinates_the_area_issues(client, floor):
    client.force_login(floor.assessor.user)

    assert client.get(URL).status_code == 403


ROWS = [
    ReadingRow(name="fill height", unit="mm", target=Decimal(40), low=Decimal(38), high=Decimal(42), source="PLANT"),
    ReadingRow(name="peracetic acid rinse", target_text="negative"),
    ReadingRow(name="oxygen", unit="ppb", high=Decimal(50), paired_tolerance=Decimal("2.5")),
]


def test_a_procedure_is_typed_and_read_back_the_same():
    rows = (CriterionRow(text="Close it", is_critical=True, is_scope_specific=True), CriterionRow(text="Tag it"))

    assert procedures.criteria("\n".join(map(procedures.criterion_text, rows))) == rows
    assert procedures.readings("\n".join(map(procedures.reading_text, ROWS))) == tuple(ROWS)
    with pytest.raises(ValidationError, match="stands there already"):
        procedures.readings("a | mm | 1\nA | mm | 2")
