"""What all tests share."""

import os
import shutil

import pytest
from django.conf import settings
from django.core.servers.basehttp import WSGIRequestHandler
from django.db import connection
from hypothesis import settings as search

from tests.ledger_reset import ledger_reset_as_owner

__all__ = ["ledger_reset_as_owner"]

pytest_plugins = ["pytester", "tests.empty_runs"]

CHROMIUM = shutil.which("chromium")

# Playwright's own loop runs in the thread of the test, and Django takes that for asynchronous code.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

# A connection that the browser keeps open would outlive the server of the tests, and its database.
WSGIRequestHandler.protocol_version = "HTTP/1.0"

# A busy machine is no fault of the code; in CI the same commit always tries the same examples.
search.register_profile("steady", deadline=None, derandomize=bool(os.environ.get("CI")))
search.load_profile("steady")


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """Part, before a test database is dropped, with whatever a server of the browser tests left open on it."""
    yield
    if connection.vendor == "postgresql":
        with django_db_blocker.unblock(), connection.cursor() as cursor:
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )


def pytest_runtest_setup(item):
    if uses_browser(item) and not CHROMIUM and not os.environ.get("CI"):
        pytest.skip("Debian's chromium is not installed")
    if item.get_closest_marker("postgres") and "postgresql" not in settings.DATABASES["default"]["ENGINE"]:
        pytest.skip("asks something of PostgreSQL: the run on PostgreSQL has it")


def uses_browser(item):
    return item.get_closest_marker("browser") is not None or "browser" in getattr(item, "fixturenames", ())


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    """Start Debian's Chromium, which as root needs no sandbox, and keep it from calling home."""
    flags = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
    flags += ["--disable-component-update", "--disable-sync"]
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": flags}


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args):
    """Show the pages in the language and the zone of the demo plant, at a desktop's size unless a test says other."""
    return {**browser_context_args, "locale": "en-GB", "viewport": {"width": 1440, "height": 900}}
