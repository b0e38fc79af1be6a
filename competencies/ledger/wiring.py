"""When the ledger looks after itself: at each new connection, around each migration, at each system check."""

from collections.abc import Sequence
from typing import Any, Final

from django.apps import AppConfig
from django.core import checks
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.signals import connection_created
from django.db.models.signals import post_migrate, pre_migrate

from competencies.ledger import guards

GUARDS_MISSING: Final = "ledger.E001"
SETTING_WRONG: Final = "ledger.E002"
GRANTS_TOO_WIDE: Final = "ledger.W001"
ENGINE_FAULT: Final = "ledger.W002"

_migrating: set[str] = set()


def wire(app: AppConfig) -> None:
    """Connect the signals and the checks; called once, when the app is ready."""
    connection_created.connect(look_at_connection, dispatch_uid="ledger.look_at_connection")
    pre_migrate.connect(stand_aside, sender=app, dispatch_uid="ledger.stand_aside")
    post_migrate.connect(stand_again, sender=app, dispatch_uid="ledger.stand_again")
    checks.register(check_guards, checks.Tags.database)
    checks.register(check_deployment, checks.Tags.database, deploy=True)


def look_at_connection(*, connection: BaseDatabaseWrapper, **_: Any) -> None:  # noqa: ANN401 - a signal's rest
    """Refuse a connection under whose settings an acknowledged signature could be lost, and watch the others."""
    if faults := guards.setting_faults(connection):
        connection.close()
        raise guards.LedgerSettingError("The database would not keep what it acknowledges: " + "; ".join(faults))
    if connection.alias not in _migrating:
        guards.watch(connection)


def stand_aside(*, using: str, **_: Any) -> None:  # noqa: ANN401 - a signal's rest
    """Let the migration change tables."""
    _migrating.add(using)
    connection = connections[using]
    connection.ensure_connection()
    guards.unwatch(connection)


def stand_again(*, using: str, **_: Any) -> None:  # noqa: ANN401 - a signal's rest
    """Put the guards back after a migration (remaking a table loses its triggers), and see that they stand."""
    connection = connections[using]
    if guards.has_ledger(connection):
        guards.install(connection)
        guards.require_guards(connection)
    guards.watch(connection)
    _migrating.discard(using)


def check_guards(
    app_configs: Sequence[AppConfig] | None,
    databases: Sequence[str] | None = None,
    **_: Any,  # noqa: ANN401 - a check's own signature
) -> list[checks.CheckMessage]:
    """Compare every guard of the ledger with what it should be (`check --database default`, and `migrate`)."""
    return [
        checks.Error(
            f"The ledger is not guarded: {fault}.",
            hint="Find out who took it away and run verify_ledger; `migrate --skip-checks` puts it back.",
            id=GUARDS_MISSING,
        )
        for connection in _with_ledger(databases)
        for fault in guards.guard_faults(connection)
    ]


def check_deployment(
    app_configs: Sequence[AppConfig] | None,
    databases: Sequence[str] | None = None,
    **_: Any,  # noqa: ANN401 - a check's own signature
) -> list[checks.CheckMessage]:
    """Warn of a role that may do too much and of known faults of the engine (`check --deploy --database default`)."""
    messages: list[checks.CheckMessage] = []
    for connection in _with_ledger(databases):
        messages += [
            checks.Warning(f"{caution}.", hint="See DEVELOPERS.md on the two roles.", id=GRANTS_TOO_WIDE)
            for caution in guards.grant_cautions(connection)
        ]
        messages += [checks.Warning(f"{caution}.", id=ENGINE_FAULT) for caution in guards.setting_cautions(connection)]
    return messages


def _with_ledger(databases: Sequence[str] | None) -> list[BaseDatabaseWrapper]:
    found = [connections[alias] for alias in databases or ()]
    return [connection for connection in found if guards.has_ledger(connection)]
