"""The page that explains a person on a task: why, since when, until when, on whose word; both answers."""

from datetime import timedelta

import pytest
from django.urls import reverse

from competencies.models import LedgerIndex
from competencies.queries.person_task import Question, person_task
from competencies.standing.facts import SITE, Scope
from competencies.vocabulary import AuthorityKind, Criticality, ScopeKind, Standing
from tests import factories as make
from tests.competencies.printing.people import correct_run, take_back

pytestmark = pytest.mark.django_db


def page(client, person, code="PK-01", **asked):
    answer = client.get(reverse("competencies:person-task", args=[person.pk, code]), asked)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def shown(client, person, code="PK-01", **asked):
    return client.get(reverse("competencies:person-task", args=[person.pk, code]), asked).context["shown"]


def test_a_withdrawal_acts_from_its_minute(auditor, made):
    take_back(made, "PK-02", ago=4, clock="10:40")
    day = make.days_ago(4).isoformat()

    assert "Counts for cover</dt><dd>yes, where rostered" in page(auditor, made.person, "PK-02", on=day, at="10:39")
    text = page(auditor, made.person, "PK-02", on=day, at="10:40")
    assert "Counts for cover</dt><dd>no" in text
    assert "It was withdrawn for cause." in text
    assert "Seen unsafe at the guard." in text


def test_what_puts_it_right_is_told_in_order_with_who_holds_that_today(auditor, made):
    take_back(made, "PK-02", ago=4)

    steps = shown(auditor, made.person, "PK-02").doable
    assert [(each.step.action, list(each.names)) for each in steps] == [
        ("assessment", ["Maren Oduya"]),
        ("second_signature", ["Ines Quarrington"]),
    ]
    text = page(auditor, made.person, "PK-02")
    assert text.index("Full assessment on PK-02") < text.index("Second signature on PK-02")
    assert "Today: Ines Quarrington." in text


def test_a_learner_is_told_the_runs_that_are_left_and_nothing_of_a_second_answer(auditor, made):
    make.run(made.person, made.tasks["PK-07"], made.trainer, ago=4)

    found = shown(auditor, made.person, "PK-07")
    assert [(each.step.action, each.step.count) for each in found.doable] == [("run", 3), ("assessment", 1)]
    before = shown(auditor, made.person, "PK-07", on=make.days_ago(6).isoformat())
    assert before.doable[0].step.count == 4
    assert before.answers is None


def test_nobody_is_named_where_nobody_holds_it_today(auditor, made):
    task = make.make_task(make.make_area(made.plant), "PK-09", criticality=Criticality.NONE)
    make.grant(make.make_person(made.plant, "Nils Aro", last_day=make.days_ago(1)), AuthorityKind.ASSESS)
    make.hold(made.person, task, assessed=600)

    text = page(auditor, made.person, "PK-09")
    assert "With somebody in force on the task: nobody holds that today." in text
    assert "Nils Aro" not in text


@pytest.fixture
def corrected(made):
    """Correct the only run of a task two days ago, and return the place of the correction."""
    entry = LedgerIndex.objects.get(person=made.person.pk, task="PK-04", kind="run")
    return correct_run(made, entry.pk, 2)


def test_both_answers_are_told_with_the_entry_between_them(auditor, made, corrected):
    day = make.days_ago(57).isoformat()

    found = shown(auditor, made.person, "PK-04", on=day).answers
    assert [each.seq for each in found.between] == [corrected]
    assert (found.then.standing, found.now.standing) == (Standing.READY, Standing.NOT_STARTED)
    text = page(auditor, made.person, "PK-04", on=day)
    assert "What makes the difference" in text
    assert f'href="#entry-{corrected}"' in text
    assert shown(auditor, made.person, "PK-04", on=make.today().isoformat()).answers is None


def test_the_answer_of_then_does_not_know_what_came_later(auditor, made, corrected):
    day = make.days_ago(57).isoformat()

    then = shown(auditor, made.person, "PK-04", on=day, known=day)
    now = shown(auditor, made.person, "PK-04", on=day)
    assert corrected not in {each.fact.seq for each in then.entries}
    assert corrected in {each.fact.seq for each in now.entries}
    assert then.period.standing is then.answers.then.standing is Standing.READY
    assert now.period.standing is now.answers.now.standing is Standing.NOT_STARTED


def test_the_switch_leads_from_one_answer_to_the_other(auditor, made):
    day = make.days_ago(3).isoformat()

    text = page(auditor, made.person, on=day, at="02:20", span="month")
    assert f"on={day}&amp;at=02%3A20&amp;known={day}&amp;known_at=02%3A20" in text
    assert "As known now</a>" in text
    assert '<a href="?span=month&amp;' in text
    then = page(auditor, made.person, on=day, at="02:20", known=day, known_at="02:20")
    assert 'aria-current="page">As known then</a>' in then


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"on": "1897-02-03"}, "Give a day between 1950 and 2150."),
        ({"on": "2026-02-30"}, "Enter a valid date."),
        ({"at": "27:00"}, "Enter a valid time."),
        ({"known": "2149-01-01"}, "This day has not come yet"),
        ({"known_at": "10:00"}, "Give the day as well."),
    ],
)
def test_what_cannot_be_asked_is_told_at_its_field_and_stays(auditor, made, asked, said):
    text = page(auditor, made.person, **asked)

    assert said in text
    assert f'value="{next(iter(asked.values()))}"' in text
    assert "As it stands now, as known now." in text


def test_the_days_drawn_stand_in_the_address(auditor, made):
    first, last = make.days_ago(40), make.days_ago(20)

    window = shown(auditor, made.person, **{"from": first.isoformat(), "to": last.isoformat()}).band.window
    assert (window.from_on, window.until_on) == (first, last)
    around = shown(auditor, made.person, on=last.isoformat(), span="week").band.window
    assert (around.from_on, around.until_on) == (last - timedelta(days=3), last + timedelta(days=3))
    backwards = shown(auditor, made.person, **{"from": last.isoformat(), "to": first.isoformat()}).band.window
    assert backwards.span == "year"


def test_a_corrected_entry_stays_readable_with_its_correction_and_both_clocks(auditor, made):
    entry = LedgerIndex.objects.get(person=made.person.pk, task="PK-06", kind="run")
    correction = correct_run(made, entry.pk, 0)

    text = page(auditor, made.person, "PK-06", span="all")
    assert "<s><strong>Supervised run" in text
    assert f"corrected by entry {correction}" in text
    assert "drawn-struck" in text
    assert "· recorded <time" in text


def test_each_period_of_the_table_leads_to_a_minute_in_it(auditor, made):
    take_back(made, "PK-02", ago=4, clock="10:40")

    answer = auditor.get(reverse("competencies:person-task", args=[made.person.pk, "PK-02"]))
    for piece, address in answer.context["pieces"]:
        there = auditor.get(reverse("competencies:person-task", args=[made.person.pk, "PK-02"]) + address)
        assert there.context["shown"].period == piece.period


def test_a_task_that_the_record_did_not_know_yet_was_not_started(auditor, made):
    day = make.days_ago(800).isoformat()

    assert shown(auditor, made.person, on=day, known=day).period.standing == "not_started"


def test_a_task_of_a_machine_opens_without_an_entry(auditor, made):
    make.make_task(make.make_area(made.plant), "PK-08", scope_kind=ScopeKind.MACHINE)

    assert "Not started" in page(auditor, made.person, "PK-08")


def test_the_page_costs_the_same_at_any_size(auditor, made, django_assert_num_queries):
    def look():
        answer = auditor.get(reverse("competencies:person-task", args=[made.person.pk, "PK-07"]), asked)
        return len(answer.context["shown"].entries)

    asked = {"on": make.days_ago(2).isoformat(), "span": "all"}
    make.run(made.person, made.tasks["PK-07"], made.trainer, ago=4)
    look()
    with django_assert_num_queries(16):
        few = look()
    for ago in range(5, 25):
        make.run(made.person, made.tasks["PK-07"], made.trainer, ago=ago)
        make.hold(make.make_person(made.plant), made.tasks["PK-07"], assessed=30)
    with django_assert_num_queries(16):
        assert look() == few + 20


def test_a_place_without_entries_is_the_site(made):
    now = make.at(make.today())

    assert (
        person_task(made.person, made.tasks["PK-01"], None, Question(on=make.today(), moment=now, now=now)).scope
        == SITE
    )
    assert Scope() == SITE


def test_only_who_may_see_the_person_sees_why(client, made):
    for person, status in [(made.person, 200), (made.trainer, 200), (made.coordinator, 200)]:
        client.force_login(person.user)
        assert client.get(reverse("competencies:person-task", args=[made.person.pk, "PK-01"])).status_code == status
    client.force_login(made.person.user)
    assert client.get(reverse("competencies:person-task", args=[made.trainer.pk, "PK-01"])).status_code == 403
