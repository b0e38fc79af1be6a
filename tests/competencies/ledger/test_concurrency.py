"""Several tablets at once: the chain never forks, nobody is told "locked", a double tap signs once (B5, B6)."""

import json
import os
import subprocess
import sys
from collections import Counter

import pytest
from django.conf import settings
from django.db import connection

PROCESSES = 4
SECONDS = 3
SIGNINGS_A_SECOND = 20
# The slowest of a hundred is for the benchmark on a quiet machine; here the half must be quick.
USUAL_WAIT = 0.25
TOKEN = "double-tap-0123456789"
ADD_PLANT = "from competencies.models import Plant; print(Plant.objects.create(code='quay', name='Quayside').pk)"


@pytest.fixture
def elsewhere(transactional_db, tmp_path):
    """Return the environment of processes that share a migrated database which really is on a disk."""
    if connection.vendor == "sqlite":
        url = f"sqlite:///{tmp_path / 'site.sqlite3'}"
    else:
        at = connection.settings_dict
        url = f"postgres://{at['USER']}:{at['PASSWORD']}@{at['HOST']}:{at['PORT']}/{at['NAME']}"
    environment = {**os.environ, "DATABASE_URL": url, "DJANGO_SETTINGS_MODULE": "config.settings", "DEMO": "1"}
    if connection.vendor == "sqlite":
        manage(environment, "migrate", "--verbosity", "0")
    return environment


def manage(environment, *arguments):
    command = [sys.executable, "manage.py", *arguments]
    done = subprocess.run(
        command, cwd=settings.BASE_DIR, env=environment, capture_output=True, text=True, check=False, timeout=120
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def sign_in_parallel(environment, seconds, token=""):
    """Run the signing processes together and return what each was told."""
    plant = manage(environment, "shell", "--no-imports", "-c", ADD_PLANT).split()[-1]
    command = [sys.executable, "-m", "tests.competencies.ledger.signing_process", plant]
    running = [
        subprocess.Popen(
            [*command, str(1000 + (0 if token else number)), str(seconds), token],
            cwd=settings.BASE_DIR,
            env=environment,
            stdout=subprocess.PIPE,
            text=True,
        )
        for number in range(PROCESSES)
    ]
    return [json.loads(process.communicate(timeout=120)[0]) for process in running]


def test_tablets_that_sign_at_once_leave_one_whole_chain(elsewhere):
    told = sign_in_parallel(elsewhere, SECONDS)

    places = [place for process in told for place in process["places"]]
    took = sorted(time for process in told for time in process["took"])
    assert [process["failures"] for process in told] == [[]] * PROCESSES
    assert sorted(places) == list(range(len(places)))
    assert f"count {len(places)}\n" in manage(elsewhere, "verify_ledger", "--values")
    assert len(places) >= SIGNINGS_A_SECOND * SECONDS
    assert took[len(took) // 2] <= USUAL_WAIT
    shares = [len(process["places"]) for process in told]
    assert min(shares) * 5 >= max(shares)


def test_a_form_posted_many_times_at_once_signs_once(elsewhere):
    told = sign_in_parallel(elsewhere, 0, TOKEN)

    assert [process["failures"] for process in told] == [[]] * PROCESSES
    answers = Counter(place for process in told for place in process["places"])
    assert answers == {0: PROCESSES * 12}
    assert "count 1\n" in manage(elsewhere, "verify_ledger")
