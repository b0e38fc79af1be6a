"""The page of an entry, and its correction: shown first, then signed."""

import pytest

from competencies.models import LedgerEntry, LedgerIndex
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def brother(floor):
    return make.make_person(floor.plant, "Tore Brandvold")


def given(entry, floor, **more):
    """Return what the form holds when nothing is changed."""
    moment = LedgerIndex.objects.get(pk=entry).happened_at.astimezone(make.ZONE)
    return {
        "cause": "wrong_person",
        "person": floor.trainee.pk,
        "task": "PK-01",
        "scope": "",
        "happened_at": moment.strftime("%Y-%m-%dT%H:%M"),
        "on": moment.date().isoformat(),
        "shift": "day",
        "reason": "two names on the tablet",
        **more,
    }


def text_of(answer):
    return answer.content.decode()


def test_an_entry_is_looked_at_then_corrected_and_stays_readable(office, floor, brother):
    seq = make.hold(floor.trainee, floor.task, assessed=20).seq
    make.roster(floor.trainee, ago=5, line=floor.line)
    page = f"/ledger/{seq}/correct/"
    wanted = given(seq, floor, cause="entered_in_error")
    assert "Correct this entry" in text_of(office.get(f"/ledger/{seq}/"))

    looked = office.post(page, {**wanted, "look": "1"})

    assert not LedgerIndex.objects.filter(kind="correction").exists()
    assert "1 shift relied on the entry as it was" in text_of(looked)
    assert "two names on the tablet" in text_of(looked)
    assert 'name="pin"' in text_of(looked)

    signed = office.post(page, {**wanted, "sign": "1", "pin": make.PIN}, follow=True)

    assert "This entry was wrong and does not count" in text_of(signed)
    assert "1 shift relied on the entry as it was" in text_of(signed)
    assert "Correct this entry" not in text_of(signed)


def test_the_right_entry_is_made_and_each_leads_to_the_other(office, floor, brother):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    wanted = given(seq, floor, person=brother.pk)

    office.post(f"/ledger/{seq}/correct/", {**wanted, "sign": "1", "pin": make.PIN})

    new = LedgerIndex.objects.get(kind="run", person=brother.pk)
    assert f'href="/ledger/{seq}/"' in text_of(office.get(f"/ledger/{new.pk}/"))
    assert f'href="/ledger/{new.pk}/"' in text_of(office.get(f"/ledger/{seq}/"))
    assert "Iolo Castellan" in text_of(office.get(f"/ledger/{new.pk}/"))
    assert "Correct this entry" in text_of(office.get(f"/ledger/{new.pk}/"))


def test_what_stands_against_it_is_shown_before_it_is_signed(office, floor):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    looked = text_of(
        office.post(f"/ledger/{seq}/correct/", {**given(seq, floor, person=floor.trainer.pk), "look": "1"})
    )

    assert "As things are, this would be refused" in looked
    assert "Nobody signs for themselves." in looked
    assert 'name="pin"' not in looked
    assert "two names on the tablet" in looked


def test_a_wrong_pin_loses_nothing_and_writes_nothing(office, floor, brother):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    size = LedgerEntry.objects.count()
    wanted = given(seq, floor, person=brother.pk)

    answer = text_of(office.post(f"/ledger/{seq}/correct/", {**wanted, "sign": "1", "pin": make.WRONG_PIN}))

    assert "That is not the PIN of Rhona Feld." in answer
    assert "two names on the tablet" in answer
    assert LedgerEntry.objects.count() == size


@pytest.mark.parametrize("missing", ["reason", "happened_at", "person"])
def test_a_field_left_empty_is_named_and_the_others_stay(office, floor, missing):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    answer = office.post(f"/ledger/{seq}/correct/", {**given(seq, floor), missing: "", "look": "1"})

    assert missing in answer.context["form"].errors
    assert answer.context["proposed"] is None


@pytest.mark.parametrize(
    ("moved", "days", "clock"),
    [
        pytest.param({"on": 5}, 5, "10:00", id="the day of the shift alone: the moment goes with it"),
        pytest.param({"happened_at": 5}, 5, "11:30", id="the moment alone: the day goes with it"),
        pytest.param({"on": 6, "happened_at": 5}, 6, "11:30", id="both: as they are given"),
    ],
)
def test_the_day_of_a_run_and_its_moment_move_together(office, floor, moved, days, clock):
    seq = make.run(floor.trainee, floor.task, floor.trainer, ago=3).seq
    more = {"cause": "wrong_date"}
    if "on" in moved:
        more["on"] = make.days_ago(moved["on"]).isoformat()
    if "happened_at" in moved:
        more["happened_at"] = make.at(make.days_ago(moved["happened_at"]), "11:30").strftime("%Y-%m-%dT%H:%M")

    office.post(f"/ledger/{seq}/correct/", {**given(seq, floor, **more), "sign": "1", "pin": make.PIN})

    new = LedgerIndex.objects.get(kind="run", entry__gt=seq)
    assert new.happened_on == make.days_ago(days)
    assert new.happened_at == make.at(make.days_ago(moved.get("happened_at", days)), clock)


def test_the_same_form_twice_corrects_once(office, floor, brother):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    wanted = {**given(seq, floor, person=brother.pk), "sign": "1", "pin": make.PIN, "token": "a" * 24}
    office.post(f"/ledger/{seq}/correct/", wanted)
    office.post(f"/ledger/{seq}/correct/", wanted)

    assert LedgerIndex.objects.filter(kind="correction").count() == 1


def test_a_correction_is_corrected_from_its_own_page(office, floor, brother):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    office.post(f"/ledger/{seq}/correct/", {**given(seq, floor, person=brother.pk), "sign": "1", "pin": make.PIN})
    struck = LedgerIndex.objects.get(kind="correction").pk

    office.post(
        f"/ledger/{struck}/correct/",
        {"cause": "entered_in_error", "reason": "it was her after all", "sign": "1", "pin": make.PIN},
    )

    assert "Correct this entry" in text_of(office.get(f"/ledger/{seq}/"))
    assert "it was her after all" in text_of(office.get(f"/ledger/{struck}/"))


def test_who_does_not_coordinate_corrects_nothing(client, floor):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    client.force_login(floor.trainer.user)
    assert client.get(f"/ledger/{seq}/").status_code == 200
    assert client.post(f"/ledger/{seq}/correct/", given(seq, floor)).status_code == 403
    client.force_login(floor.trainee.user)
    assert client.get(f"/ledger/{seq}/").status_code == 200
    other = make.run(floor.assessor, floor.task, floor.trainer).seq
    assert client.get(f"/ledger/{other}/").status_code == 403


def test_an_entry_of_another_plant_is_not_there(client, floor):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    make.grant(stranger, AuthorityKind.COORDINATE)
    client.force_login(stranger.user)
    assert client.get(f"/ledger/{seq}/").status_code == 404
    assert client.get(f"/ledger/{seq}/correct/").status_code == 404
    assert client.get("/ledger/99999999/").status_code == 404
