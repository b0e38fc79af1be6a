"""How PostgreSQL is made to refuse any change to the ledger, and to keep what it has acknowledged.

In production two roles are used: the owner migrates, the site's own role may only SELECT and INSERT on the
ledger. The triggers are for the day on which somebody runs the site as the owner all the same; they fire in
every replication mode (ENABLE ALWAYS). An owner can still drop them, and every writing looks for that first.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from django.db import transaction
from django.db.backends.base.base import BaseDatabaseWrapper

TABLES: Final = ("ledger_entry", "ledger_anchor")

# Bits of pg_trigger.tgtype: row 1, before 2, insert 4, delete 8, update 16, truncate 32.
BEFORE_ROW, BEFORE_STATEMENT = 3, 2
INSERT, DELETE, UPDATE, TRUNCATE = 4, 8, 16, 32

REFUSE_BODY: Final = """
BEGIN
    RAISE EXCEPTION 'the ledger only grows: % on % is refused', TG_OP, TG_TABLE_NAME
        USING ERRCODE = 'integrity_constraint_violation';
END
"""
# The table is named through its schema, so that a temporary table of the same name changes nothing.
CONTINUES_BODY: Final = """
DECLARE
    head_seq bigint;
    head_hash bytea;
BEGIN
    EXECUTE format('SELECT seq, hash FROM %I.%I ORDER BY seq DESC LIMIT 1', TG_TABLE_SCHEMA, TG_TABLE_NAME)
        INTO head_seq, head_hash;
    IF NEW.seq <> COALESCE(head_seq + 1, 0)
        OR NEW.prev <> COALESCE(head_hash, decode(repeat('00', 32), 'hex'))
        OR NEW.hash <> pg_catalog.sha256('\\x00'::bytea || NEW.body)
    THEN
        RAISE EXCEPTION 'the ledger only grows: an entry continues the one before'
            USING ERRCODE = 'integrity_constraint_violation';
    END IF;
    RETURN NEW;
END
"""
FUNCTIONS: Final[Mapping[str, str]] = {"ledger_refuse": REFUSE_BODY, "ledger_continues": CONTINUES_BODY}


@dataclass(frozen=True)
class Trigger:
    """One trigger: its table, when it fires (as SQL and as pg_trigger's bits), and the function it calls."""

    table: str
    fires: str
    bits: int
    function: str


TRIGGERS: Final[Mapping[str, Trigger]] = {
    "ledger_entry_unchanged": Trigger(
        "ledger_entry", "BEFORE UPDATE OR DELETE {} FOR EACH ROW", BEFORE_ROW | UPDATE | DELETE, "ledger_refuse"
    ),
    "ledger_entry_kept": Trigger(
        "ledger_entry", "BEFORE TRUNCATE {} FOR EACH STATEMENT", BEFORE_STATEMENT | TRUNCATE, "ledger_refuse"
    ),
    "ledger_entry_continues": Trigger(
        "ledger_entry", "BEFORE INSERT {} FOR EACH ROW", BEFORE_ROW | INSERT, "ledger_continues"
    ),
    "ledger_anchor_unchanged": Trigger(
        "ledger_anchor", "BEFORE UPDATE OR DELETE {} FOR EACH ROW", BEFORE_ROW | UPDATE | DELETE, "ledger_refuse"
    ),
    "ledger_anchor_kept": Trigger(
        "ledger_anchor", "BEFORE TRUNCATE {} FOR EACH STATEMENT", BEFORE_STATEMENT | TRUNCATE, "ledger_refuse"
    ),
}

# One question for everything that could be wrong: triggers, rules, row security, what shadows the tables,
# and whether this session waits for the disk.
INSPECTION: Final = """
SELECT 'trigger', t.tgname::text, c.relname::text, t.tgenabled::text, t.tgtype::int, p.proname::text, p.prosrc,
       t.tgqual IS NULL AND t.tgattr::text = ''
           AND p.pronamespace = c.relnamespace AND p.proconfig IS NULL
  FROM pg_catalog.pg_trigger t
  JOIN pg_catalog.pg_class c ON c.oid = t.tgrelid
  JOIN pg_catalog.pg_proc p ON p.oid = t.tgfoid
 WHERE t.tgrelid = ANY (ARRAY[{tables}]) AND NOT t.tgisinternal
UNION ALL
SELECT 'rule', r.rulename::text, '', '', 0, '', '', false
  FROM pg_catalog.pg_rewrite r WHERE r.ev_class = ANY (ARRAY[{tables}])
UNION ALL
SELECT 'table', c.relname::text, '', '', 0, '', '', c.relkind = 'r' AND NOT c.relrowsecurity
       AND c.relpersistence = 'p'
  FROM pg_catalog.pg_class c WHERE c.oid = ANY (ARRAY[{tables}])
UNION ALL
SELECT 'session', current_setting('synchronous_commit'), '', '', 0, '', '', false
"""
INSPECT: Final = INSPECTION.format(tables=", ".join(f"to_regclass('{table}')::oid" for table in TABLES))

WAITING_COMMITS: Final = frozenset({"on", "remote_apply", "remote_write", "local"})


def has_ledger(connection: BaseDatabaseWrapper) -> bool:
    """Whether the ledger's tables are there at all (they are not before the first migration)."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT to_regclass(%s) IS NOT NULL AND to_regclass(%s) IS NOT NULL", TABLES)
        return bool(cursor.fetchone()[0])


def install(connection: BaseDatabaseWrapper) -> None:
    """Put every function and trigger in place, replacing what is there; the role must own the tables."""
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        for name, body in FUNCTIONS.items():
            cursor.execute(
                f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $guard${body}$guard$"
            )
        for name, trigger in TRIGGERS.items():
            fires = trigger.fires.format(f"ON {trigger.table}")
            cursor.execute(f"DROP TRIGGER IF EXISTS {name} ON {trigger.table}")
            cursor.execute(f"CREATE TRIGGER {name} {fires} EXECUTE FUNCTION {trigger.function}()")
            cursor.execute(f"ALTER TABLE {trigger.table} ENABLE ALWAYS TRIGGER {name}")


def remove(connection: BaseDatabaseWrapper) -> None:
    """Take every trigger and function away."""
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        for name, trigger in TRIGGERS.items():
            cursor.execute(f"DROP TRIGGER IF EXISTS {name} ON {trigger.table}")
        for name in FUNCTIONS:
            cursor.execute(f"DROP FUNCTION IF EXISTS {name}()")


def guard_faults(connection: BaseDatabaseWrapper) -> list[str]:
    """Return what is wrong with the guards, in words; empty when all stand as they should."""
    with connection.cursor() as cursor:
        cursor.execute(INSPECT)
        rows = cursor.fetchall()
    found = {name: rest for what, name, *rest in rows if what == "trigger"}
    faults = [f"trigger {name} is missing" for name in TRIGGERS if name not in found]
    faults += [f"trigger {name} stands in front of the ledger" for name in found if name not in TRIGGERS]
    faults += [f"rule {name} stands in front of the ledger" for what, name, *_ in rows if what == "rule"]
    for name, row in found.items():
        faults += _trigger_faults(name, row)
    faults += _table_faults({name: rest[-1] for what, name, *rest in rows if what == "table"})
    faults += [
        f"synchronous_commit is {value}: a commit would not wait for the disk"
        for what, value, *_ in rows
        if what == "session" and value not in WAITING_COMMITS
    ]
    return faults


def _trigger_faults(name: str, row: list[object]) -> list[str]:
    expected = TRIGGERS.get(name)
    if expected is None:
        return []
    table, enabled, bits, function, source, is_plain = row
    faults = []
    if enabled != "A":
        faults.append(f"trigger {name} is not enabled always")
    if (table, bits, function) != (expected.table, expected.bits, expected.function) or not is_plain:
        faults.append(f"trigger {name} is not as it was written")
    if source != FUNCTIONS[expected.function]:
        faults.append(f"function {expected.function}, called by {name}, is not as it was written")
    return faults


def _table_faults(is_plain: Mapping[str, object]) -> list[str]:
    faults = [f"table {table} is missing" for table in TABLES if table not in is_plain]
    return faults + [f"{table} is not a plain table that is kept" for table, plain in is_plain.items() if not plain]


def grant_cautions(connection: BaseDatabaseWrapper) -> list[str]:
    """Return what the role of this connection may do to the ledger and should not, in words."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT c.relname, pg_catalog.pg_has_role(current_user, c.relowner, 'USAGE'), "
            "has_table_privilege(c.oid, 'UPDATE, DELETE, TRUNCATE, TRIGGER') "
            "FROM pg_catalog.pg_class c WHERE c.oid IN (to_regclass(%s)::oid, to_regclass(%s)::oid) ORDER BY 1",
            TABLES,
        )
        rows = cursor.fetchall()
    cautions = [f"the site runs as the owner of {table}" for table, owns, _ in rows if owns]
    return cautions + [
        f"the site's role may do more to {table} than read and add" for table, owns, may in rows if may and not owns
    ]


def settings_in_force(connection: BaseDatabaseWrapper) -> dict[str, str]:
    """Return the settings that keep what was acknowledged, as the session has them now."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT name, setting FROM pg_catalog.pg_settings "
            "WHERE name IN ('fsync', 'synchronous_commit', 'full_page_writes')"
        )
        return {name: str(setting) for name, setting in cursor.fetchall()}


def setting_faults(values: Mapping[str, str]) -> list[str]:
    """Return which settings would lose something, in words; empty when all are as meant."""
    switches = ("fsync", "full_page_writes")
    faults = [f"{name} is {values[name]}, it must be on" for name in switches if values[name] != "on"]
    if values["synchronous_commit"] not in WAITING_COMMITS:
        faults.append(f"synchronous_commit is {values['synchronous_commit']}, it must wait for the disk")
    return faults


def setting_cautions(values: Mapping[str, str]) -> list[str]:
    """Return nothing: no known fault of the engine is met by these settings."""
    return []


def watch(connection: BaseDatabaseWrapper) -> None:
    """Do nothing: on PostgreSQL the role's grants do this."""


def unwatch(connection: BaseDatabaseWrapper) -> None:
    """Do nothing: on PostgreSQL the role's grants do this."""
