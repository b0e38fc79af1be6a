"""A new revision is told to whom it concerns: each once, on the page and by e-mail."""

import smtplib

import pytest
from django.core import mail

from competencies.models import Person, RevisionNotice
from competencies.operations import telling
from competencies.operations.telling import tell_of_revision
from competencies.queries.told import told_of, with_todo
from competencies.vocabulary import AuthorityKind, ChangeClass
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    floor = make.make_floor()
    make.run(floor.trainee, floor.task, floor.trainer)
    Person.objects.filter(pk=floor.trainee.pk).update(email="tove@example.org")
    return floor


def told(floor, revision, commit):
    with commit(execute=True):
        return tell_of_revision(revision=revision, on=make.today(), now=make.at(make.today(), "09:00"))


def test_who_holds_learns_or_leads_is_told_and_nobody_else(floor, django_capture_on_commit_callbacks):
    lead, peer = make.make_person(floor.plant), make.make_person(floor.plant)
    make.grant(lead, AuthorityKind.SUPERVISE)
    make.grant(peer, AuthorityKind.TRAIN, area=make.make_area(floor.plant, "BH", "Brewhouse"))
    revision = make.make_revision(floor.task, 2, effective_on=make.days_ago(-7))

    told(floor, revision, django_capture_on_commit_callbacks)

    # The office signed the others off, so it has done the task itself.
    watched = make.office(floor.plant).person
    notices = RevisionNotice.objects.filter(revision=revision)
    assert {each.person for each in notices} == {floor.trainee, floor.trainer, floor.assessor, lead, watched}
    assert [(sent.to, "revision 2" in sent.subject) for sent in mail.outbox] == [(["tove@example.org"], True)]
    assert [each.person for each in notices.exclude(mailed_at=None)] == [floor.trainee]


def test_nobody_is_told_twice(floor, django_capture_on_commit_callbacks):
    revision = make.make_revision(floor.task, 2, effective_on=make.days_ago(-7))
    told(floor, revision, django_capture_on_commit_callbacks)

    again = told(floor, revision, django_capture_on_commit_callbacks)

    assert again == []
    assert len(mail.outbox) == 1


def test_a_mail_that_cannot_be_sent_stays_on_the_page(floor, django_capture_on_commit_callbacks, monkeypatch):
    def refuse(*_args):
        raise smtplib.SMTPServerDisconnected

    monkeypatch.setattr(telling, "send_mail", refuse)
    revision = make.make_revision(floor.task, 2, effective_on=make.days_ago(-7))

    told(floor, revision, django_capture_on_commit_callbacks)

    assert RevisionNotice.objects.get(person=floor.trainee).mailed_at is None


@pytest.mark.parametrize(
    ("change", "expected"), [(ChangeClass.MINOR, (True, False)), (ChangeClass.MAJOR, (False, True))]
)
def test_a_holder_is_told_what_is_left_to_do(floor, django_capture_on_commit_callbacks, change, expected):
    revision = make.make_revision(floor.task, 2, effective_on=make.days_ago(3), change=change, touches=(1,))
    told(floor, revision, django_capture_on_commit_callbacks)
    now = make.at(make.today(), "12:00")

    rows = with_todo(list(told_of(floor.trainer, now=now)), floor.trainer, now=now)

    assert [(row.to_read, row.to_show) for row in rows] == [expected]


@pytest.mark.parametrize("size", [1, 4])
def test_the_page_costs_the_same_queries_at_any_size(
    client, floor, size, django_capture_on_commit_callbacks, django_assert_num_queries
):
    for number in range(2, 2 + size):
        revision = make.make_revision(floor.task, number, effective_on=make.days_ago(10 - number), touches=(1,))
        told(floor, revision, django_capture_on_commit_callbacks)
    client.force_login(floor.trainer.user)
    client.get("/changes/")

    with django_assert_num_queries(7):
        page = client.get("/changes/")

    assert len(page.context["rows"]) == size


def test_a_page_without_news_says_what_comes_here(client, floor):
    client.force_login(floor.trainee.user)

    assert "You were told of no change yet." in client.get("/changes/").content.decode()
