"""The next problem of a practised person: choosing it and serving it, against a page that chooses nothing."""

from datetime import timedelta

from django.test import Client
from django.urls import reverse
from django.utils import timezone

from assessments.calculations import calculations
from assessments.generation import problem
from assessments.models import PracticeAttempt, PracticeRound
from assessments.operations.practice import rebuild_progress
from assessments.operations.practice_rounds import start_round
from assessments.queries.library import library_of
from assessments.queries.practice_next import next_for
from tests.benchmarks.figure import Figure, medians_ms
from tests.factories import make_person, make_plant

NAME = "practice"
ATTEMPTS_A_KIND = 30


def figures():
    """Return what choosing and serving the next problem cost, as multiples of a bare problem page."""
    person = practised()
    client = Client(SERVER_NAME="localhost")
    client.force_login(person.user)
    running = start_round(person=person, now=timezone.now())
    bare = reverse("assessments:practice-problem", args=["C05-pressure", 10**6]) + "?alone=1"
    asked = reverse("assessments:practice-problem", args=[running.calculation, running.seed])
    attempt = PracticeAttempt.objects.latest("pk")
    mark = reverse("assessments:practice-mark", args=[attempt.pk])
    least, chosen, in_round, answered, marked, index = medians_ms(
        lambda: served(client, bare),
        lambda: next_for(person, library_of(person.plant), now=timezone.now()),
        lambda: served(client, asked),
        lambda: answer(client),
        lambda: served(client, mark),
        lambda: served(client, reverse("assessments:practice-list")),
        rounds=15,
    )
    return [
        _figure("choosing the next", chosen, least, goal=0.6),
        _figure("its page in a round", in_round, least, goal=1.3),
        _figure("answer, and the next drawn", answered, least, goal=1.6),
        _figure("the mark, with what is next", marked, least, goal=1.2),
        _figure("the list of everything", index, least, goal=2.5),
    ]


def _figure(name, measured, baseline, *, goal):
    return Figure(
        name=name, unit="ms", measured=measured, baseline_name="a bare problem page", baseline=baseline, goal=goal
    )


def practised():
    """Return a person with thirty answers of every kind."""
    person, now = make_person(make_plant()), timezone.now()
    PracticeAttempt.objects.bulk_create(
        PracticeAttempt(
            person=person,
            calculation=code,
            seed=seed,
            givens=made.stated_givens,
            answer=made.stated_answer,
            typed=made.stated_answer,
            verdict="right" if seed % 3 else "other",
            at=now - timedelta(days=2 * (ATTEMPTS_A_KIND - seed)),
        )
        for code in calculations()
        for seed, made in enumerate([problem(code, 1)] * ATTEMPTS_A_KIND)
    )
    rebuild_progress(person=person)
    return person


def served(client, url):
    """Return a page, or stop the measurement where it fails."""
    response = client.get(url)
    if response.status_code != 200:
        raise RuntimeError(f"{url} answers {response.status_code}.")
    return response


def answer(client):
    """Answer the problem of the open round; its time is not counted, so that it never ends."""
    running = PracticeRound.objects.get(ended_at=None)
    url = reverse("assessments:practice-problem", args=[running.calculation, running.seed])
    response = client.post(url, {"answer": problem(running.calculation, running.seed).stated_answer})
    if response.status_code != 302:
        raise RuntimeError(f"The answer to {url} was not kept.")
