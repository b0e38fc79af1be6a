"""The guards of the ledger, whichever database it lies in: put in place, looked at, and never assumed.

The engine modules `sqlite` and `postgresql` have the same functions; this one picks between them.
"""

from collections.abc import Mapping
from types import ModuleType
from typing import Final

from django.core.exceptions import ImproperlyConfigured
from django.db.backends.base.base import BaseDatabaseWrapper

from competencies.ledger import postgresql, sqlite

ENGINES: Final[Mapping[str, ModuleType]] = {"sqlite": sqlite, "postgresql": postgresql}


class LedgerGuardError(Exception):
    """Something that keeps the ledger from being changed is missing: nothing may be signed until it is back."""


class LedgerSettingError(ImproperlyConfigured):
    """The database has a setting under which an acknowledged signature could be lost."""


def engine_of(connection: BaseDatabaseWrapper) -> ModuleType:
    """Return the module that knows this database."""
    try:
        return ENGINES[connection.vendor]
    except KeyError as error:
        raise ImproperlyConfigured(f"The ledger needs SQLite or PostgreSQL, not {connection.vendor}.") from error


def has_ledger(connection: BaseDatabaseWrapper) -> bool:
    """Whether the ledger's tables are there (they are not before the first migration)."""
    return bool(engine_of(connection).has_ledger(connection))


def install(connection: BaseDatabaseWrapper) -> None:
    """Put every guard in place, replacing what is there; the connection must be allowed to change tables."""
    engine_of(connection).install(connection)


def remove(connection: BaseDatabaseWrapper) -> None:
    """Take every guard away: to undo the migration, never at run time (the authorizer or the role refuses it)."""
    engine_of(connection).remove(connection)


def guard_faults(connection: BaseDatabaseWrapper) -> list[str]:
    """Return what is wrong with the guards, in words; empty when all stand as they should."""
    return list(engine_of(connection).guard_faults(connection))


def require_guards(connection: BaseDatabaseWrapper) -> None:
    """Raise LedgerGuardError unless every guard stands as it should."""
    if faults := guard_faults(connection):
        raise LedgerGuardError("; ".join(faults))


def grant_cautions(connection: BaseDatabaseWrapper) -> list[str]:
    """Return what this connection's role may do to the ledger and should not, in words."""
    return list(engine_of(connection).grant_cautions(connection))


def settings_in_force(connection: BaseDatabaseWrapper) -> dict[str, str]:
    """Return the durability settings that the connection has now, read back from the database."""
    return dict(engine_of(connection).settings_in_force(connection))


def setting_faults(connection: BaseDatabaseWrapper) -> list[str]:
    """Return which settings would lose something acknowledged, in words; empty when all are as meant."""
    return list(engine_of(connection).setting_faults(settings_in_force(connection)))


def setting_cautions(connection: BaseDatabaseWrapper) -> list[str]:
    """Return known faults of the engine that the settings in force could meet, with the way out."""
    return list(engine_of(connection).setting_cautions(settings_in_force(connection)))


def watch(connection: BaseDatabaseWrapper) -> None:
    """Refuse from now on, on this open connection, the statements that would get around the guards."""
    engine_of(connection).watch(connection)


def unwatch(connection: BaseDatabaseWrapper) -> None:
    """Let this open connection change tables again: for a migration, and only while it lasts."""
    engine_of(connection).unwatch(connection)
