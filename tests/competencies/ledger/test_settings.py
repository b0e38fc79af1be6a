"""The setting in force is the setting meant, or the site does not start (B3)."""

import pytest
from django.core import checks
from django.db import connection
from django.db.utils import ConnectionHandler

from competencies.ledger import guards, postgresql, sqlite
from competencies.ledger.guards import LedgerSettingError
from competencies.ledger.wiring import ENGINE_FAULT, check_deployment

# The connections here are the tests' own, but no connection at all may be opened without this.
pytestmark = pytest.mark.django_db

MEANT = "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA recursive_triggers=ON; PRAGMA secure_delete=ON"
SQLITE_WRONG = {
    "synchronous off": ("synchronous=FULL", "synchronous=OFF"),
    "synchronous normal": ("synchronous=FULL", "synchronous=NORMAL"),
    "journal in memory": ("journal_mode=WAL", "journal_mode=MEMORY"),
    "no journal": ("journal_mode=WAL", "journal_mode=OFF"),
    "journal truncated": ("journal_mode=WAL", "journal_mode=TRUNCATE"),
    "journal persistent": ("journal_mode=WAL", "journal_mode=PERSIST"),
    "rollback journal, directory not synced": ("journal_mode=WAL", "journal_mode=DELETE"),
    "recursive triggers off": ("recursive_triggers=ON", "recursive_triggers=OFF"),
    "erased data kept": ("secure_delete=ON", "secure_delete=OFF"),
    "foreign keys off": ("secure_delete=ON", "secure_delete=ON; PRAGMA foreign_keys=OFF"),
}
POSTGRESQL_MEANT = {"fsync": "on", "full_page_writes": "on", "synchronous_commit": "on"}


def open_file(path, settings):
    """Open a connection as the site does, to another file and with other settings."""
    options = {"transaction_mode": "IMMEDIATE", "init_command": settings}
    database = {"ENGINE": "django.db.backends.sqlite3", "NAME": path / "site.sqlite3", "OPTIONS": options}
    return ConnectionHandler({"default": database})["default"]


@pytest.mark.parametrize("settings", [MEANT, MEANT.replace("WAL", "DELETE").replace("FULL", "EXTRA")])
def test_sqlite_starts_with_settings_that_keep_what_was_signed(tmp_path, settings):
    database = open_file(tmp_path, settings)

    database.ensure_connection()

    assert guards.setting_faults(database) == []
    database.close()


@pytest.mark.parametrize("wrong", SQLITE_WRONG)
def test_sqlite_does_not_start_with_a_setting_that_loses_something(tmp_path, wrong):
    meant, instead = SQLITE_WRONG[wrong]
    database = open_file(tmp_path, MEANT.replace(meant, instead))

    for _ in range(2):
        with pytest.raises(LedgerSettingError):
            database.ensure_connection()

    assert database.connection is None


def test_at_least_eight_wrong_settings_were_tried():
    assert len(SQLITE_WRONG) >= 8


def test_an_old_sqlite_with_several_processes_is_warned_of(tmp_path, monkeypatch):
    database = open_file(tmp_path, MEANT)

    monkeypatch.setattr(sqlite.sqlite3, "sqlite_version_info", (3, 51, 2))
    old = guards.setting_cautions(database)
    monkeypatch.setattr(sqlite.sqlite3, "sqlite_version_info", (3, 51, 3))

    assert "journal_mode=DELETE" in old[0]
    assert guards.setting_cautions(database) == []
    database.close()


def test_a_rollback_journal_needs_no_warning(tmp_path):
    database = open_file(tmp_path, MEANT.replace("WAL", "DELETE").replace("FULL", "EXTRA"))

    assert guards.setting_cautions(database) == []
    database.close()


@pytest.mark.parametrize("setting", POSTGRESQL_MEANT)
def test_postgresql_settings_that_lose_something_are_named(setting):
    assert postgresql.setting_faults(POSTGRESQL_MEANT) == []

    faults = postgresql.setting_faults({**POSTGRESQL_MEANT, setting: "off"})

    assert len(faults) == 1
    assert setting in faults[0]


@pytest.mark.postgres
def test_postgresql_does_not_start_when_commits_do_not_wait(db):
    settings = {**connection.settings_dict, "OPTIONS": {"options": "-c synchronous_commit=off"}}
    database = ConnectionHandler({"default": settings})["default"]

    with pytest.raises(LedgerSettingError, match="synchronous_commit"):
        database.ensure_connection()

    assert database.connection is None


def test_the_connection_of_the_tests_has_the_settings_meant(db):
    assert guards.setting_faults(connection) == []


def test_the_deployment_check_speaks_of_what_the_engine_gives_to_worry_about(db):
    messages = check_deployment(None, ["default"])

    assert all(message.level == checks.WARNING for message in messages)
    expected = {ENGINE_FAULT} if connection.vendor == "sqlite" and not connection.is_in_memory_db() else set()
    assert {message.id for message in messages if message.id == ENGINE_FAULT} == expected


def test_another_database_is_refused_in_words():
    class Elsewhere:
        vendor = "oracle"

    with pytest.raises(Exception, match="SQLite or PostgreSQL, not oracle"):
        guards.guard_faults(Elsewhere())
