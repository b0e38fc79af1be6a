"""A guard that was lost is found, and nothing is signed until it is back (A2)."""

import pytest
from django.core import checks
from django.core.management import call_command
from django.db import connection

from competencies.ledger import guards, postgresql, sqlite
from competencies.ledger.guards import LedgerGuardError
from competencies.ledger.wiring import GUARDS_MISSING, check_guards
from competencies.models import LedgerEntry

SQLITE_WAYS = {
    **{f"drop {name}": [f"DROP TRIGGER {name}"] for name in sqlite.TRIGGERS},
    **{
        f"weaken {name}": [f"DROP TRIGGER {name}", text.replace("BEGIN", "WHEN 1 = 0 BEGIN", 1)]
        for name, text in sqlite.TRIGGERS.items()
        if "WHEN" not in text
    },
    "swallow inserts": ["CREATE TRIGGER mine BEFORE INSERT ON ledger_entry BEGIN SELECT RAISE(IGNORE); END"],
    "temporary table in front": ["CREATE TEMP TABLE ledger_entry (seq, body, prev, hash)"],
    "temporary view in front": ["CREATE TEMP VIEW Ledger_Entry AS SELECT 1 AS seq"],
    "temporary trigger": [
        "CREATE TEMP TRIGGER mine BEFORE INSERT ON main.ledger_entry BEGIN SELECT RAISE(IGNORE); END"
    ],
    "table remade as a migration does": [
        "CREATE TABLE new_entry AS SELECT * FROM ledger_entry",
        "PRAGMA foreign_keys = OFF",
        "DROP TABLE ledger_anchor",
        "CREATE TABLE ledger_anchor (id integer PRIMARY KEY, size, root, at, why)",
    ],
}


def remade(fires):
    """Return how to put a trigger of the right name, but weaker, in place of the true one."""
    return [
        "DROP TRIGGER ledger_entry_unchanged ON ledger_entry",
        f"CREATE TRIGGER ledger_entry_unchanged {fires} EXECUTE FUNCTION ledger_refuse()",
        "ALTER TABLE ledger_entry ENABLE ALWAYS TRIGGER ledger_entry_unchanged",
    ]


PASS_THROUGH = "LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'"
POSTGRESQL_WAYS = {
    **{f"drop {name}": [f"DROP TRIGGER {name} ON {t.table}"] for name, t in postgresql.TRIGGERS.items()},
    **{f"disable {n}": [f"ALTER TABLE {t.table} DISABLE TRIGGER {n}"] for n, t in postgresql.TRIGGERS.items()},
    **{f"loosen {n}": [f"ALTER TABLE {t.table} ENABLE TRIGGER {n}"] for n, t in postgresql.TRIGGERS.items()},
    **{
        f"hollow {name}": [f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger {PASS_THROUGH}"]
        for name in postgresql.FUNCTIONS
    },
    "fewer events": remade("BEFORE UPDATE ON ledger_entry FOR EACH ROW"),
    "only one column": remade("BEFORE UPDATE OF seq OR DELETE ON ledger_entry FOR EACH ROW"),
    "only sometimes": remade("BEFORE UPDATE OR DELETE ON ledger_entry FOR EACH ROW WHEN (OLD.seq < 0)"),
    "another search path": ["ALTER FUNCTION ledger_continues() SET search_path = pg_temp"],
    "swallow inserts": [
        f"CREATE FUNCTION mine() RETURNS trigger {PASS_THROUGH.replace('NEW', 'NULL')}",
        "CREATE TRIGGER aaa BEFORE INSERT ON ledger_entry FOR EACH ROW EXECUTE FUNCTION mine()",
    ],
    "a rule instead": ["CREATE RULE mine AS ON INSERT TO ledger_entry DO INSTEAD NOTHING"],
    "row security": ["ALTER TABLE ledger_entry ENABLE ROW LEVEL SECURITY"],
    "a table that a crash empties": ["ALTER TABLE ledger_anchor SET UNLOGGED"],
    "temporary table in front": ["CREATE TEMP TABLE ledger_entry (seq bigint, body bytea, prev bytea, hash bytea)"],
    "commits that do not wait": ["SET LOCAL synchronous_commit = off"],
}
WAYS = SQLITE_WAYS if connection.vendor == "sqlite" else POSTGRESQL_WAYS


@pytest.fixture
def as_owner(db):
    """Run statements as the owner of the database does, past the authorizer; the test's rollback undoes them."""

    def run(statements):
        guards.unwatch(connection)
        with connection.cursor() as cursor:
            for statement in statements:
                cursor.execute(statement)
        guards.watch(connection)

    return run


def test_there_are_enough_ways_to_lose_a_guard():
    assert len(SQLITE_WAYS) >= 13
    assert len(POSTGRESQL_WAYS) >= 25


def test_the_guards_stand_after_the_migrations(db):
    assert guards.guard_faults(connection) == []
    assert check_guards(None, ["default"]) == []


@pytest.mark.parametrize("way", WAYS)
def test_a_lost_guard_is_found_and_stops_all_signing(way, append_run, as_owner):
    append_run()

    as_owner(WAYS[way])

    assert guards.guard_faults(connection)
    found = checks.run_checks(tags=[checks.Tags.database], databases=["default"])
    assert GUARDS_MISSING in {message.id for message in found if message.is_serious()}
    with pytest.raises(LedgerGuardError):
        append_run()
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT COUNT(*) FROM {'main' if connection.vendor == 'sqlite' else 'public'}.ledger_entry")
        assert cursor.fetchone()[0] == 1


def test_installing_puts_back_what_was_lost(append_run, as_owner):
    as_owner([statement for name, ways in WAYS.items() if name.startswith(("drop", "hollow")) for statement in ways])
    assert guards.guard_faults(connection)

    guards.unwatch(connection)
    guards.install(connection)
    guards.watch(connection)

    assert guards.guard_faults(connection) == []
    assert append_run().seq == 0


def test_a_migration_puts_the_guards_back(transactional_db, as_owner):
    as_owner(["DROP TRIGGER ledger_entry_kept" + ("" if connection.vendor == "sqlite" else " ON ledger_entry")])
    assert guards.guard_faults(connection)

    call_command("migrate", verbosity=0)

    assert guards.guard_faults(connection) == []


@pytest.mark.skipif(connection.vendor != "sqlite", reason="asks something of SQLite")
def test_the_connection_is_watched_again_after_a_migration(transactional_db):
    call_command("migrate", verbosity=0)

    with pytest.raises(Exception, match="not authorized"), connection.cursor() as cursor:
        cursor.execute("DROP TRIGGER ledger_entry_kept")


def test_transactional_tests_may_write_to_the_ledger(transactional_db, append_run):
    assert append_run().seq == 0


def test_and_leave_an_empty_and_guarded_ledger_behind(transactional_db):
    assert LedgerEntry.objects.count() == 0
    assert guards.guard_faults(connection) == []
