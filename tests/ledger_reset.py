"""Empties the ledger between transactional tests, as the owner of the tables would.

Django empties the tables after such a test, and the guards refuse that, as they must. So the guards are taken
away, the tables emptied and the guards put back: here, in the tests, because the site itself cannot do it.
"""

from contextlib import contextmanager

import pytest
from django.db import connection
from django.test import TransactionTestCase

from competencies.ledger import guards


@contextmanager
def owner_at_work():
    """Let this connection change the ledger while the block lasts, and put every guard back after it."""
    connection.ensure_connection()
    guards.unwatch(connection)
    guards.remove(connection)
    try:
        yield
    finally:
        # Emptying the tables tells the site that they were migrated, and so the connection is watched again.
        guards.unwatch(connection)
        guards.install(connection)
        guards.watch(connection)


@pytest.fixture(scope="session", autouse=True)
def ledger_reset_as_owner():
    """Empty the tables after each transactional test as their owner."""
    empty = TransactionTestCase._fixture_teardown

    def empty_as_owner(case):
        with owner_at_work():
            empty(case)

    TransactionTestCase._fixture_teardown = empty_as_owner
    yield
    TransactionTestCase._fixture_teardown = empty
