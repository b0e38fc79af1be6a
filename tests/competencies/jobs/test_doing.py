"""A job is done once, can be cancelled, outlives a dead process, and says honestly what went wrong."""

import pytest

from competencies.jobs.doing import do_job, do_waiting, look_after_jobs
from competencies.jobs.work import JobFaultError
from competencies.models import Job
from competencies.operations.jobs import (
    KEPT_FOR,
    MOST_ATTEMPTS,
    SILENT_FOR,
    JobGoneError,
    cancel_job,
    remove_jobs_about,
    take_job,
    tell_progress,
)
from competencies.printing.pdf import PdfUnavailableError
from tests import factories as make

pytestmark = pytest.mark.django_db


def raising(error):
    def step(_work):
        raise error

    return step


def test_a_job_is_done_and_its_file_kept(ask, clock):
    job = ask()

    assert do_waiting(clock) == 1

    job.refresh_from_db()
    assert (job.state, job.done, job.total, job.attempt) == ("done", 3, 3, 1)
    assert (job.file_name, job.file_type, job.file_size) == ("three.txt", "text/plain", len(b"all three"))
    assert job.path.read_bytes() == b"all three"
    assert job.expires_at == clock() + KEPT_FOR
    assert do_waiting(clock) == 0


def test_jobs_are_done_in_the_order_in_which_they_were_asked_for(ask, clock, works):
    seen = []
    works.at_step[0] = lambda work: seen.append(work.job.code)
    first = ask()
    clock.wait(seconds=1)
    second = ask()

    do_waiting(clock)

    assert seen == [first.code, second.code]


def test_a_job_is_taken_once(ask, clock):
    job = ask()

    assert take_job(now=clock()) == job
    assert take_job(now=clock()) is None


def test_progress_is_kept_while_it_runs(ask, clock, works):
    job = ask()
    seen = []
    works.at_step[2] = lambda work: seen.append(Job.objects.values_list("state", "done", "total").get(pk=work.job.pk))

    do_waiting(clock)

    assert seen == [("running", 2, 3)]
    assert job.pk


def test_cancelled_before_it_began_it_is_never_begun(ask, clock):
    job = ask()

    cancel_job(job=job, now=clock())

    assert do_waiting(clock) == 0
    job.refresh_from_db()
    assert (job.state, job.cancelled_at, job.ended_at) == ("cancelled", clock(), clock())


def test_cancelled_in_the_middle_it_stops_at_its_next_step_and_leaves_no_file(ask, clock, works):
    job = ask()
    reached = []
    works.at_step[1] = lambda work: cancel_job(job=work.job, now=clock())
    works.at_step[2] = reached.append

    do_waiting(clock)

    job.refresh_from_db()
    assert job.state == "cancelled"
    assert reached == []
    assert not job.path.exists()


def test_cancelling_what_is_done_changes_nothing(ask, clock):
    job = ask()
    do_waiting(clock)

    cancel_job(job=job, now=clock())

    job.refresh_from_db()
    assert (job.state, job.cancelled_at) == ("done", None)
    assert job.path.exists()


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (JobFaultError("Nobody is in this choice."), "Nobody is in this choice."),
        (PdfUnavailableError(["libpango-1.0-0"], "no library"), "libpango-1.0-0"),
        (ZeroDivisionError("secret detail"), "not foreseen"),
    ],
    ids=["said in words", "no press", "not foreseen"],
)
def test_what_goes_wrong_is_said_and_the_next_job_is_done(ask, clock, works, error, said):
    job = ask()
    works.at_step[1] = raising(error)
    do_waiting(clock)
    works.at_step.clear()
    ask()

    assert do_waiting(clock) == 1

    job.refresh_from_db()
    assert job.state == "failed"
    assert said in job.fault
    assert "secret detail" not in job.fault
    assert not job.path.exists()


def test_a_kind_that_is_known_no_more_fails_in_words(ask, clock):
    job = ask()
    Job.objects.filter(pk=job.pk).update(kind="of an older version")

    do_waiting(clock)

    job.refresh_from_db()
    assert (job.state, "does not know" in job.fault) == ("failed", True)


def test_a_process_told_to_end_gives_its_job_back(ask, clock, works):
    job = ask()
    works.at_step[1] = raising(SystemExit(0))

    with pytest.raises(SystemExit):
        do_waiting(clock)

    job.refresh_from_db()
    assert (job.state, job.attempt) == ("waiting", 0)
    works.at_step.clear()
    assert do_waiting(clock) == 1


def test_the_job_of_a_dead_process_is_begun_again_once_and_then_fails(ask, clock):
    job = ask()
    for attempt in range(1, MOST_ATTEMPTS + 1):
        assert take_job(now=clock()).attempt == attempt
        clock.wait(seconds=SILENT_FOR.total_seconds())
        look_after_jobs(clock)
        job.refresh_from_db()
        assert job.state == "running"
        clock.wait(seconds=1)
        look_after_jobs(clock)

    job.refresh_from_db()
    assert (job.state, "twice" in job.fault) == ("failed", True)


def test_a_process_thought_dead_writes_over_nobody(ask, clock):
    ask()
    first = take_job(now=clock())
    clock.wait(hours=1)
    look_after_jobs(clock)
    second = take_job(now=clock())

    with pytest.raises(JobGoneError):
        tell_progress(job=first, done=1, total=3, now=clock())
    do_job(second, clock)

    assert Job.objects.get().state == "done"


def test_a_cancelled_job_of_a_dead_process_ends_cancelled(ask, clock):
    ask()
    cancel_job(job=take_job(now=clock()), now=clock())
    clock.wait(hours=1)

    look_after_jobs(clock)

    assert Job.objects.get().state == "cancelled"


@pytest.mark.django_db(transaction=True)
def test_a_file_goes_when_its_time_is_over(ask, clock):
    job = ask()
    do_waiting(clock)
    stray = job.path.with_name("of-no-job")
    stray.write_bytes(b"left over")

    clock.wait(seconds=KEPT_FOR.total_seconds() - 1)
    look_after_jobs(clock)
    assert job.path.exists()
    assert not stray.exists()
    clock.wait(seconds=1)
    look_after_jobs(clock)

    assert not Job.objects.exists()
    assert not job.path.exists()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("part", ["told of", "asked"])
def test_what_holds_an_erased_person_goes_with_them(ask, clock, works, office, part):
    gone = make.make_person(office.plant, "Tove Brandvold")
    works.at_step[0] = lambda work: work.tells_of([gone] if part == "told of" else [])
    job = ask("own", by=office if part == "told of" else gone)
    other = ask()
    works_of_other = dict(works.at_step)
    do_waiting(clock)
    assert works_of_other
    Job.people.through.objects.filter(job=other).delete()

    remove_jobs_about(person=gone)

    assert list(Job.objects.all()) == [other]
    assert not job.path.exists()
    assert other.path.exists()


def test_a_job_removed_while_it_runs_leaves_no_file(ask, clock, works):
    job = ask()
    works.at_step[1] = lambda work: Job.objects.filter(pk=work.job.pk).delete()

    do_waiting(clock)

    assert not Job.objects.exists()
    assert not job.path.exists()
