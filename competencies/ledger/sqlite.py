"""How SQLite is made to refuse any change to the ledger, and to keep what it has acknowledged.

Triggers refuse a change whoever asks. An authorizer on every connection of the site refuses the statements
that would take the triggers away or get around them. Whoever owns the file can still rewrite it with another
program: that is what the chain, and the roots that leave the house, are for.
"""

import sqlite3
from collections.abc import Mapping
from typing import Final

from django.db.backends.base.base import BaseDatabaseWrapper

TABLES: Final = ("ledger_entry", "ledger_anchor")

TRIGGERS: Final[Mapping[str, str]] = {
    "ledger_entry_kept": (
        "CREATE TRIGGER ledger_entry_kept BEFORE DELETE ON ledger_entry "
        "BEGIN SELECT RAISE(ABORT, 'the ledger only grows: no entry is removed'); END"
    ),
    "ledger_entry_unchanged": (
        "CREATE TRIGGER ledger_entry_unchanged BEFORE UPDATE ON ledger_entry "
        "BEGIN SELECT RAISE(ABORT, 'the ledger only grows: no entry is changed'); END"
    ),
    # INSERT OR REPLACE removes the old row without a DELETE trigger unless recursive_triggers is on, so an
    # insert is refused unless it continues the chain.
    "ledger_entry_continues": (
        "CREATE TRIGGER ledger_entry_continues BEFORE INSERT ON ledger_entry "
        "WHEN typeof(NEW.seq) <> 'integer' OR typeof(NEW.body) <> 'blob' "
        "OR typeof(NEW.prev) <> 'blob' OR typeof(NEW.hash) <> 'blob' "
        "OR NEW.seq IS NOT (SELECT COALESCE(MAX(seq), -1) + 1 FROM ledger_entry) "
        "OR NEW.prev IS NOT COALESCE((SELECT hash FROM ledger_entry ORDER BY seq DESC LIMIT 1), zeroblob(32)) "
        "OR EXISTS (SELECT 1 FROM ledger_entry WHERE hash = NEW.hash) "
        "OR EXISTS (SELECT 1 FROM ledger_entry WHERE prev = NEW.prev) "
        "BEGIN SELECT RAISE(ABORT, 'the ledger only grows: an entry continues the one before'); END"
    ),
    "ledger_anchor_kept": (
        "CREATE TRIGGER ledger_anchor_kept BEFORE DELETE ON ledger_anchor "
        "BEGIN SELECT RAISE(ABORT, 'the ledger only grows: no anchor is removed'); END"
    ),
    "ledger_anchor_unchanged": (
        "CREATE TRIGGER ledger_anchor_unchanged BEFORE UPDATE ON ledger_anchor "
        "BEGIN SELECT RAISE(ABORT, 'the ledger only grows: no anchor is changed'); END"
    ),
    "ledger_anchor_new": (
        "CREATE TRIGGER ledger_anchor_new BEFORE INSERT ON ledger_anchor "
        "WHEN EXISTS (SELECT 1 FROM ledger_anchor WHERE id = NEW.id) "
        "BEGIN SELECT RAISE(ABORT, 'the ledger only grows: an anchor is not written over'); END"
    ),
}
GUARDED: Final = frozenset(TABLES) | frozenset(TRIGGERS)

# Before this release two processes could, rarely, corrupt a database in WAL mode when the log was reset.
WAL_RESET_FIXED_IN: Final = (3, 51, 3)
SYNCHRONOUS_FULL, SYNCHRONOUS_EXTRA = 2, 3


def has_ledger(connection: BaseDatabaseWrapper) -> bool:
    """Whether the ledger's tables are there at all (they are not before the first migration)."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT COUNT(*) FROM sqlite_master WHERE type = 'table' AND name IN (%s, %s)", TABLES)
        return bool(cursor.fetchone()[0] == len(TABLES))


def install(connection: BaseDatabaseWrapper) -> None:
    """Put every trigger in place, replacing what is there."""
    with connection.cursor() as cursor:
        for name, text in TRIGGERS.items():
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}")
            cursor.execute(text)


def remove(connection: BaseDatabaseWrapper) -> None:
    """Take every trigger away."""
    with connection.cursor() as cursor:
        for name in TRIGGERS:
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}")


def guard_faults(connection: BaseDatabaseWrapper) -> list[str]:
    """Return what is wrong with the guards, in words; empty when all stand as they should."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND lower(tbl_name) IN (%s, %s) "
            "UNION ALL SELECT name, NULL FROM sqlite_temp_master "
            "WHERE lower(name) IN (%s, %s) OR lower(tbl_name) IN (%s, %s)",
            TABLES * 3,
        )
        found = cursor.fetchall()
    texts = dict(found)
    faults = [f"trigger {name} is missing" for name in TRIGGERS if name not in texts]
    faults += [f"{name} stands in front of the ledger" for name, _ in found if name not in TRIGGERS]
    faults += [
        f"trigger {name} is not as it was written" for name, text in TRIGGERS.items() if texts.get(name, text) != text
    ]
    return faults


def grant_cautions(connection: BaseDatabaseWrapper) -> list[str]:
    """Return nothing: SQLite has no roles."""
    return []


def settings_in_force(connection: BaseDatabaseWrapper) -> dict[str, str]:
    """Return the settings that keep what was acknowledged, as the connection has them now."""
    names = ("journal_mode", "synchronous", "foreign_keys", "recursive_triggers", "secure_delete")
    values = {"in_memory": str(int(connection.is_in_memory_db()))}  # type: ignore[attr-defined]  # SQLite's own
    with connection.cursor() as cursor:
        for name in names:
            cursor.execute(f"PRAGMA {name}")
            values[name] = str(cursor.fetchone()[0])
    return values


def setting_faults(values: Mapping[str, str]) -> list[str]:
    """Return which settings would lose or loosen something, in words; empty when all are as meant."""
    faults = [
        f"{name} is {values[name]}, it must be on"
        for name in ("foreign_keys", "recursive_triggers", "secure_delete")
        if values[name] != "1"
    ]
    # A database in memory (tests) keeps nothing anyway.
    if values["in_memory"] != "1":
        least = {"wal": SYNCHRONOUS_FULL, "delete": SYNCHRONOUS_EXTRA}.get(values["journal_mode"])
        if least is None:
            faults.append(f"journal_mode is {values['journal_mode']}, it must be wal or delete")
        elif int(values["synchronous"]) < least:
            faults.append(
                f"synchronous is {values['synchronous']}, with journal_mode {values['journal_mode']} "
                f"it must be at least {least}"
            )
    return faults


def setting_cautions(values: Mapping[str, str]) -> list[str]:
    """Return known faults of the engine that these settings could meet, in words, with the way out."""
    if values["journal_mode"] == "wal" and sqlite3.sqlite_version_info < WAL_RESET_FIXED_IN:
        version = sqlite3.sqlite_version
        way_out = "3.51.3 or newer, or one process, or journal_mode=DELETE with synchronous=EXTRA, or PostgreSQL"
        return [f"SQLite {version} in WAL mode is not safe with more than one process: use {way_out}"]
    return []


# ---------------------------------------------------------------------------------------------------------
# The authorizer

# Pragmas that may be given a value: they read something, or cannot loosen the ledger's keeping.
HARMLESS_PRAGMAS: Final = frozenset(
    {
        "analysis_limit",
        "busy_timeout",
        "foreign_key_check",
        "foreign_key_list",
        "foreign_keys",
        "index_info",
        "index_list",
        "index_xinfo",
        "integrity_check",
        "optimize",
        "quick_check",
        "table_info",
        "table_list",
        "table_xinfo",
        "wal_checkpoint",
    }
)
REFUSED_FUNCTIONS: Final = frozenset({"load_extension", "sqlite_dbpage", "writefile"})
# Actions that name the ledger in their first or second argument.
ON_GUARDED: Final = frozenset(
    {
        sqlite3.SQLITE_ALTER_TABLE,
        sqlite3.SQLITE_CREATE_INDEX,
        sqlite3.SQLITE_CREATE_TABLE,
        sqlite3.SQLITE_CREATE_TEMP_INDEX,
        sqlite3.SQLITE_CREATE_TEMP_TABLE,
        sqlite3.SQLITE_CREATE_TEMP_TRIGGER,
        sqlite3.SQLITE_CREATE_TEMP_VIEW,
        sqlite3.SQLITE_CREATE_TRIGGER,
        sqlite3.SQLITE_CREATE_VIEW,
        sqlite3.SQLITE_CREATE_VTABLE,
        sqlite3.SQLITE_DELETE,
        sqlite3.SQLITE_DROP_INDEX,
        sqlite3.SQLITE_DROP_TABLE,
        sqlite3.SQLITE_DROP_TEMP_INDEX,
        sqlite3.SQLITE_DROP_TEMP_TABLE,
        sqlite3.SQLITE_DROP_TEMP_TRIGGER,
        sqlite3.SQLITE_DROP_TRIGGER,
        sqlite3.SQLITE_UPDATE,
    }
)
ALWAYS_REFUSED: Final = frozenset({sqlite3.SQLITE_ATTACH, sqlite3.SQLITE_DETACH})


def authorize(action: int, first: str | None, second: str | None, database: str | None, source: str | None) -> int:
    """Say whether a statement of the site may be prepared: SQLITE_OK or SQLITE_DENY."""
    if action in ALWAYS_REFUSED:
        return sqlite3.SQLITE_DENY
    if action == sqlite3.SQLITE_PRAGMA:
        return _allowed_if(second is None or (first or "").lower() in HARMLESS_PRAGMAS)
    if action == sqlite3.SQLITE_FUNCTION:
        return _allowed_if((second or "").lower() not in REFUSED_FUNCTIONS)
    if action in ON_GUARDED:
        return _allowed_if(not {(first or "").lower(), (second or "").lower()} & GUARDED)
    return sqlite3.SQLITE_OK


def _allowed_if(allowed: bool) -> int:  # noqa: FBT001 - it only names the two answers
    return sqlite3.SQLITE_OK if allowed else sqlite3.SQLITE_DENY


def watch(connection: BaseDatabaseWrapper) -> None:
    """Refuse from now on, on this connection, what would get around the guards."""
    connection.connection.set_authorizer(authorize)


def unwatch(connection: BaseDatabaseWrapper) -> None:
    """Let this connection change tables again: for a migration, and only while it lasts."""
    connection.connection.set_authorizer(None)
