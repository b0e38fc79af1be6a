"""A person's calendar by a secret address: what is in it, what never is, and whom the address opens it for."""

import datetime

import pytest
from icalendar import Calendar

from competencies.models import CalendarAddress
from tests import factories as make

pytestmark = pytest.mark.django_db


def address_of(client, person):
    client.force_login(person.user)
    made = client.post("/my/calendar/", {"act": "make"})
    client.logout()
    return made.context["address"].removeprefix("http://testserver")


def events(content):
    return Calendar.from_ical(content).walk("VEVENT")


def test_calendar_holds_what_is_asked_in_the_plants_zone(client, floor):
    asked = make.ask(floor.trainee, floor.task, floor.trainer)

    answer = client.get(address_of(client, floor.trainee))

    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    [event] = events(answer.content)
    assert event["summary"] == "PK-01 Fill bottles"
    start, end = event["dtstart"].dt, event["dtend"].dt
    assert (start.date(), start.tzinfo.key) == (asked.on, "Europe/Dublin")
    assert (start.time(), end.time()) == (asked.shift.starts, asked.shift.ends)
    # RFC 5545, 3.2.19: a zone that is named must be given; 3.6.1: UID and DTSTAMP are asked for.
    assert [each["tzid"] for each in Calendar.from_ical(answer.content).walk("VTIMEZONE")] == ["Europe/Dublin"]
    assert event["uid"]
    assert event["dtstamp"]


def test_calendar_holds_the_last_valid_day_as_a_whole_day(client, floor):
    make.hold(floor.trainee, floor.task, assessed=30)

    [event] = events(client.get(address_of(client, floor.trainee)).content)

    assert "last valid day" in event["summary"]
    assert type(event["dtstart"].dt) is datetime.date
    assert event["dtend"].dt - event["dtstart"].dt == datetime.timedelta(days=1)


def test_nobodys_name_is_in_a_calendar_and_nobody_elses_day(client, floor):
    make.ask(floor.trainee, floor.task, floor.trainer)
    make.ask(make.make_person(floor.plant), floor.task, floor.trainer)
    make.hold(floor.trainee, floor.task)

    text = client.get(address_of(client, floor.trainee)).content.decode()

    assert text.count("BEGIN:VEVENT") == 2
    for person in (floor.trainee, floor.trainer, floor.assessor):
        assert person.name not in text
        assert person.works_number not in text


def test_a_wrong_a_revoked_a_renewed_and_a_leavers_address_look_the_same(client, floor):
    renewed = address_of(client, floor.trainee)
    revoked = address_of(client, floor.trainee)
    assert client.get(revoked).status_code == 200
    answers = [client.get("/calendar/wrong.ics"), client.get(renewed)]

    floor.trainee.last_day = make.days_ago(1)
    floor.trainee.save()
    answers.append(client.get(revoked))
    floor.trainee.last_day = None
    floor.trainee.save()
    client.force_login(floor.trainee.user)
    client.post("/my/calendar/", {"act": "revoke"})
    client.logout()
    answers.append(client.get(revoked))

    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.content for answer in answers}) == 1


def test_the_address_is_shown_once_and_only_its_digest_is_kept(client, floor):
    secret = address_of(client, floor.trainee).removeprefix("/calendar/").removesuffix(".ics")

    client.force_login(floor.trainee.user)
    assert secret not in client.get("/my/calendar/").content.decode()
    assert len(secret) * 6 >= 128  # bits of a text in base 64 (RFC 4648, section 5)
    assert secret not in str(CalendarAddress.objects.values().get())


def test_calendar_costs_the_same_queries_at_any_size(client, floor, django_assert_num_queries):
    at = address_of(client, floor.trainee)
    make.ask(floor.trainee, floor.task, floor.trainer)
    make.hold(floor.trainee, floor.task)
    client.get(at)
    with django_assert_num_queries(5):
        client.get(at)
    for number in range(3):
        task = make.make_task(floor.area, f"PK-1{number}")
        make.ask(floor.trainee, task, floor.trainer)
        make.hold(floor.trainee, task)
    client.get(at)
    with django_assert_num_queries(5):
        assert len(events(client.get(at).content)) == 8
