"""The page of a file that is made in the background: how far it is, cancelling, fetching, and for whom."""

import re

import pytest
from django.urls import reverse

from competencies.jobs.doing import do_waiting
from competencies.models import Job
from competencies.operations.jobs import KEPT_FOR, take_job, tell_progress
from competencies.vocabulary import AuthorityKind
from tests import factories as make
from tests.competencies.jobs.background import ask, clock, job_files, office, works

__all__ = ["ask", "clock", "job_files", "office", "works"]

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client, office):
    """Return the browser of the coordinator, signed in."""
    client.force_login(office.user)
    return client


def url(name, *args):
    return reverse(f"competencies:{name}", args=args)


def text(response):
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).split())


def test_the_page_tells_how_far_it_is_and_asks_again_without_scripts(desk, ask, clock):
    job = take_job(now=clock()) if ask() else None
    tell_progress(job=job, done=41, total=300, now=clock())

    page = desk.get(url("job", job.code))

    assert "41 of 300" in text(page)
    assert "Being made" in text(page)
    assert '<noscript><meta http-equiv="refresh"' in page.content.decode()
    assert "data-job-open" in page.content.decode()


def test_a_page_of_what_is_done_asks_no_more_and_gives_the_file(desk, ask, clock):
    job = ask()
    do_waiting(clock)

    page = desk.get(url("job", job.code)).content.decode()
    file = desk.get(url("job-file", job.code))
    content = b"".join(file.streaming_content)

    assert "data-job-open" not in page
    assert "http-equiv" not in page
    assert content == b"all three"
    assert file["Content-Disposition"] == 'attachment; filename="three.txt"'
    assert "no-store" in file["Cache-Control"]


def test_nobody_taking_it_up_is_said(desk, ask, clock):
    clock.wait(days=-1)
    job = ask()

    assert "may not be running" in text(desk.get(url("job", job.code)))


def test_a_file_is_there_only_when_done_and_until_its_time_is_over(desk, ask, clock):
    job = ask()
    assert desk.get(url("job-file", job.code)).status_code == 404
    clock.wait(seconds=-KEPT_FOR.total_seconds() - 86400)
    do_waiting(clock)

    assert desk.get(url("job-file", job.code)).status_code == 404
    assert "no longer kept" in text(desk.get(url("job", job.code)))


def test_cancelling_from_the_page(desk, ask):
    job = ask()

    response = desk.post(url("job-cancel", job.code), follow=True)

    job.refresh_from_db()
    assert job.state == "cancelled"
    assert "What was begun is thrown away." in text(response)


@pytest.mark.parametrize(
    "case",
    [
        ("three", "asker", 200),
        ("three", "office", 200),
        ("three", "auditor", 403),
        ("three", "trainee", 403),
        ("own", "asker", 200),
        ("own", "office", 403),
        ("three", "asker without the right", 403),
        ("three", "elsewhere", 404),
    ],
)
def test_who_sees_cancels_and_fetches(client, ask, office, clock, case):
    kind, who, answer = case
    asker = make.make_person(office.plant, "Perpetua Holm")
    if who != "asker without the right":
        make.grant(asker, AuthorityKind.AUDIT)
    auditor = make.make_person(office.plant, "Odd Lindqvist")
    make.grant(auditor, AuthorityKind.AUDIT)
    elsewhere = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    make.grant(elsewhere, AuthorityKind.COORDINATE)
    people = {"asker": asker, "asker without the right": asker, "office": office, "auditor": auditor}
    people |= {"elsewhere": elsewhere, "trainee": make.make_person(office.plant)}
    job = ask(kind, by=asker)
    client.force_login(people[who].user)

    assert client.get(url("job", job.code)).status_code == answer
    do_waiting(clock)
    file = client.get(url("job-file", job.code))
    # Read to its end, which closes it.
    assert (file.status_code, b"".join(file) == b"all three") == (answer, answer == 200)
    assert client.post(url("job-cancel", job.code)).status_code == (302 if answer == 200 else answer)


@pytest.mark.parametrize("size", [1, 3])
def test_the_list_costs_the_same_at_any_size_and_leaves_out_what_is_private(
    desk, ask, office, size, django_assert_num_queries
):
    for _ in range(size):
        ask()
        ask("own", by=make.make_person(office.plant))

    with django_assert_num_queries(6):
        page = desk.get(url("paper"))

    assert text(page).count("Three things") == size
    assert Job.objects.count() == 2 * size


def test_paper_is_for_the_office_and_auditors(client, office):
    client.force_login(make.make_person(office.plant).user)

    assert client.get(url("paper")).status_code == 403


def test_an_empty_list_says_what_will_be_there(desk):
    assert "No file was made lately" in text(desk.get(url("paper")))
