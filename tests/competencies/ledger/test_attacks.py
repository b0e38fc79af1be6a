"""Nothing that was signed can be changed or removed through the site's own connection (A1)."""

import sqlite3
from itertools import count

import pytest
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from competencies.ledger import guards, sqlite
from competencies.ledger.anchoring import AnchorReason, anchor_ledger
from competencies.ledger.canonical import entry_hash
from competencies.ledger.verifying import verify_ledger
from competencies.models import LedgerAnchor, LedgerEntry
from tests.ledger_reset import owner_at_work

OTHER = b"\x07" * 32
APP_ROLE = "ledger_test_app"


def rows():
    """Return everything that must not change, read past whatever might stand in front of it."""
    schema = "main" if connection.vendor == "sqlite" else "public"
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT seq, body, prev, hash FROM {schema}.ledger_entry ORDER BY seq")
        entries = [tuple(bytes(v) if isinstance(v, memoryview) else v for v in row) for row in cursor.fetchall()]
        cursor.execute(f"SELECT id, size, root, why FROM {schema}.ledger_anchor ORDER BY id")
        anchors = [tuple(bytes(v) if isinstance(v, memoryview) else v for v in row) for row in cursor.fetchall()]
    return entries, anchors


def sql(statement, params=None):
    def run():
        with connection.cursor() as cursor:
            cursor.execute(statement, params)

    return run


def save_over():
    entry = LedgerEntry.objects.get(seq=2)
    entry.body = b"{}"
    entry.save()


def delete_index_and_entry():
    entry = LedgerEntry.objects.get(seq=4)
    entry.index.delete()
    entry.delete()


ORM = {
    "save over": save_over,
    "update": lambda: LedgerEntry.objects.filter(seq=2).update(body=b"{}"),
    "update all hashes": lambda: LedgerEntry.objects.update(hash=OTHER),
    "bulk update": lambda: LedgerEntry.objects.bulk_update([LedgerEntry(seq=2, body=b"{}")], ["body"]),
    "renumber": lambda: LedgerEntry.objects.filter(seq=4).update(seq=9),
    "delete one": lambda: LedgerEntry.objects.filter(seq=4).delete(),
    "delete with its index": delete_index_and_entry,
    "delete raw": lambda: LedgerEntry.objects.filter(seq=4)._raw_delete("default"),
    "insert over": lambda: LedgerEntry(seq=2, body=b"{}", prev=OTHER, hash=OTHER).save(force_insert=True),
    "bulk insert over": lambda: LedgerEntry.objects.bulk_create(
        [LedgerEntry(seq=2, body=b"{}", prev=OTHER, hash=OTHER)],
        update_conflicts=True,
        unique_fields=["seq"],
        update_fields=["body"],
    ),
    "bulk insert ignoring": lambda: LedgerEntry.objects.bulk_create(
        [LedgerEntry(seq=2, body=b"{}", prev=OTHER, hash=OTHER)], ignore_conflicts=True
    ),
    "insert with a gap": lambda: LedgerEntry(seq=7, body=b"{}", prev=OTHER, hash=OTHER).save(force_insert=True),
    "right link, wrong place": lambda: LedgerEntry(
        seq=7, body=b"{}", prev=bytes(LedgerEntry.objects.get(seq=4).hash), hash=entry_hash(b"{}")
    ).save(force_insert=True),
    "fork": lambda: LedgerEntry(seq=5, body=b"{}", prev=bytes(LedgerEntry.objects.get(seq=4).prev), hash=OTHER).save(
        force_insert=True
    ),
    "update an anchor": lambda: LedgerAnchor.objects.update(root=OTHER),
    "delete an anchor": lambda: LedgerAnchor.objects.all().delete(),
}
RAW = {
    "update": sql("UPDATE ledger_entry SET body = %s WHERE seq = 2", [b"{}"]),
    "delete": sql("DELETE FROM ledger_entry WHERE seq = 4"),
    "delete all": sql("DELETE FROM ledger_entry"),
    "insert over": sql(
        "INSERT INTO ledger_entry (seq, body, prev, hash) VALUES (2, %s, %s, %s)", [b"x", OTHER, OTHER]
    ),
    "insert or update": sql(
        "INSERT INTO ledger_entry (seq, body, prev, hash) VALUES (2, %s, %s, %s) "
        "ON CONFLICT (seq) DO UPDATE SET body = excluded.body",
        [b"x", OTHER, OTHER],
    ),
    "update an anchor": sql("UPDATE ledger_anchor SET size = 1"),
    "delete an anchor": sql("DELETE FROM ledger_anchor"),
}
SQLITE = {
    "insert or replace": sql("INSERT OR REPLACE INTO ledger_entry VALUES (2, %s, %s, %s)", [b"x", OTHER, OTHER]),
    "replace by hash": sql(
        "REPLACE INTO ledger_entry SELECT 5, %s, hash, (SELECT hash FROM ledger_entry WHERE seq = 3) "
        "FROM ledger_entry WHERE seq = 4",
        [b"x"],
    ),
    "insert or ignore": sql("INSERT OR IGNORE INTO ledger_entry VALUES (2, %s, %s, %s)", [b"x", OTHER, OTHER]),
    "update or ignore": sql("UPDATE OR IGNORE ledger_entry SET body = %s", [b"x"]),
    "update the hidden row number": sql("UPDATE ledger_entry SET rowid = rowid + 100"),
    "replace an anchor": sql(
        "INSERT OR REPLACE INTO ledger_anchor (id, size, root, at, why) SELECT id, 1, root, at, why FROM ledger_anchor"
    ),
    "drop the trigger": sql("DROP TRIGGER ledger_entry_kept"),
    "drop the trigger in capitals": sql("DROP TRIGGER LEDGER_ENTRY_KEPT"),
    "drop the table": sql("DROP TABLE ledger_entry"),
    "rename the table": sql("ALTER TABLE ledger_entry RENAME TO old_entry"),
    "add a column": sql("ALTER TABLE ledger_entry ADD COLUMN colour text"),
    "drop a column": sql("ALTER TABLE ledger_entry DROP COLUMN body"),
    "a trigger of one's own": sql("CREATE TRIGGER mine BEFORE INSERT ON ledger_entry BEGIN SELECT RAISE(IGNORE); END"),
    "a temporary table in front": sql("CREATE TEMP TABLE ledger_entry (seq, body, prev, hash)"),
    "a temporary view in front": sql("CREATE TEMP VIEW ledger_entry AS SELECT 1 AS seq"),
    "a temporary trigger": sql(
        "CREATE TEMP TRIGGER mine BEFORE INSERT ON main.ledger_entry BEGIN SELECT RAISE(IGNORE); END"
    ),
    "write the schema": sql("PRAGMA writable_schema = ON"),
    "loosen recursive triggers": sql("PRAGMA recursive_triggers = OFF"),
    "do not wait for the disk": sql("PRAGMA synchronous = OFF"),
    "keep no journal": sql("PRAGMA journal_mode = OFF"),
    "ignore checks": sql("PRAGMA ignore_check_constraints = ON"),
    "keep what was erased": sql("PRAGMA secure_delete = OFF"),
    "attach another file": sql("ATTACH DATABASE ':memory:' AS other"),
    "an index on the ledger": sql("CREATE INDEX mine ON ledger_entry (body)"),
    "load code": sql("SELECT load_extension('mine')"),
}
POSTGRESQL_ROLE = {
    "truncate": sql("TRUNCATE ledger_entry CASCADE"),
    "truncate anchors": sql("TRUNCATE ledger_anchor"),
    "drop the trigger": sql("DROP TRIGGER ledger_entry_kept ON ledger_entry"),
    "disable the triggers": sql("ALTER TABLE ledger_entry DISABLE TRIGGER ALL"),
    "drop the table": sql("DROP TABLE ledger_entry CASCADE"),
    "rename the table": sql("ALTER TABLE ledger_entry RENAME TO old_entry"),
    "replace the guard": sql(
        "CREATE OR REPLACE FUNCTION public.ledger_refuse() RETURNS trigger LANGUAGE plpgsql "
        "AS 'BEGIN RETURN NULL; END'"
    ),
    "pretend to be a replica": sql("SET session_replication_role = replica"),
    "a rule instead": sql("CREATE RULE mine AS ON INSERT TO ledger_entry DO INSTEAD NOTHING"),
    "a trigger of one's own": sql(
        "CREATE TRIGGER mine BEFORE INSERT ON ledger_entry FOR EACH ROW EXECUTE FUNCTION ledger_refuse()"
    ),
    "row security": sql("ALTER TABLE ledger_entry ENABLE ROW LEVEL SECURITY"),
    "grant oneself more": lambda: (
        sql(f"GRANT ALL ON ledger_entry TO {APP_ROLE}")(),
        sql("TRUNCATE ledger_entry CASCADE")(),
    ),
}
POSTGRESQL_OWNER = {
    "truncate": sql("TRUNCATE ledger_entry CASCADE"),
    "truncate anchors": sql("TRUNCATE ledger_anchor"),
    "as a replica": lambda: (
        sql("SET LOCAL session_replication_role = replica")(),
        sql("DELETE FROM ledger_index")(),
        sql("DELETE FROM ledger_entry")(),
    ),
    "update from": sql("UPDATE ledger_entry SET body = ''::bytea FROM ledger_anchor"),
    "merge": sql(
        "MERGE INTO ledger_entry e USING ledger_anchor a ON e.seq = 2 WHEN MATCHED THEN UPDATE SET body = ''"
    ),
    "copy a row that lies about its hash": sql(
        "INSERT INTO ledger_entry SELECT 5, body, hash, sha256(body) FROM ledger_entry WHERE seq = 4"
    ),
}


def refused(attacks):
    """Run each attack by itself and return those that were let through, and how many ran."""
    before, passed, ran = rows(), [], count()
    for name, attack in attacks.items():
        try:
            with transaction.atomic():
                attack()
                after = rows()
                if after != before:
                    passed.append(f"{name}: a row changed")
                passed.append(f"{name}: not refused")
                transaction.set_rollback(True)
        except DatabaseError:
            pass
        next(ran)
        if rows() != before:
            passed.append(f"{name}: a row is changed for good")
    return passed, next(ran)


@pytest.fixture
def kept(five_runs):
    """Five entries and an anchor that must be there unchanged at the end."""
    anchor_ledger(at=timezone.now(), why=AnchorReason.DAILY)
    before = rows()
    yield
    assert rows() == before
    verify_ledger(with_values=True)


def test_no_attack_through_the_models_changes_a_row(kept):
    passed, ran = refused(ORM)

    assert (passed, ran) == ([], 16)


def test_no_plain_sql_changes_a_row(kept):
    passed, ran = refused(RAW)

    assert (passed, ran) == ([], 7)


def test_the_attacks_are_real_where_nothing_guards(kept):
    with owner_at_work():
        passed, _ = refused(ORM | RAW)

    # All but those that the unique columns and the foreign key of the search table refuse by themselves.
    changed = {name for name, _, how in (line.partition(": ") for line in passed) if how == "a row changed"}
    assert changed >= {
        "save over",
        "update",
        "bulk update",
        "bulk insert over",
        "insert with a gap",
        "insert or update",
    }
    assert changed >= {"update an anchor", "delete an anchor"}


@pytest.mark.skipif(connection.vendor != "sqlite", reason="asks something of SQLite")
def test_no_sqlite_statement_changes_or_loosens_anything(kept):
    passed, ran = refused(SQLITE)

    assert passed == []
    assert ran == 25
    assert len(ORM) + len(RAW) + ran >= 21


@pytest.mark.parametrize(
    "statement",
    [
        "REPLACE INTO ledger_entry VALUES (2, x'00', (SELECT hash FROM ledger_entry WHERE seq = 49), zeroblob(32))",
        # In its right place and after the right entry, but with the hash of another, which REPLACE would take away.
        (
            "REPLACE INTO ledger_entry SELECT 50, x'00', h.hash, e.hash FROM ledger_entry e, ledger_entry h "
            "WHERE e.seq = 3 AND h.seq = 49"
        ),
        "UPDATE ledger_entry SET body = x'00' WHERE seq = 2",
        "DELETE FROM ledger_entry WHERE seq = 2",
    ],
)
def test_the_triggers_alone_hold_against_another_program(golden, statement):
    """Another program brings no authorizer, and its recursive triggers are off: REPLACE fires no DELETE trigger."""
    database = sqlite3.connect(":memory:")
    database.execute(
        "CREATE TABLE ledger_entry (seq bigint PRIMARY KEY, body BLOB, prev BLOB UNIQUE, hash BLOB UNIQUE)"
    )
    for name, text in sqlite.TRIGGERS.items():
        if name.startswith("ledger_entry"):
            database.execute(text)
    stored = [(e.body["seq"], e.raw, bytes.fromhex(e.body["prev"]), e.hash) for e in golden]
    database.executemany("INSERT INTO ledger_entry VALUES (?, ?, ?, ?)", stored)

    with pytest.raises(sqlite3.IntegrityError, match="the ledger only grows"):
        database.execute(statement)

    assert database.execute("SELECT * FROM ledger_entry ORDER BY seq").fetchall() == stored
    database.close()


@pytest.fixture
def sites_role(db):
    """Act as the role that the site has in production: it may read and add, and own nothing."""
    statements = [
        f"CREATE ROLE {APP_ROLE}",
        f"GRANT USAGE ON SCHEMA public TO {APP_ROLE}",
        f"GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public TO {APP_ROLE}",
        f"REVOKE UPDATE, DELETE ON ledger_entry, ledger_anchor FROM {APP_ROLE}",
    ]
    for statement in statements:
        sql(statement)()

    def act():
        sql(f"SET ROLE {APP_ROLE}")()

    yield act
    sql("RESET ROLE")()


@pytest.mark.postgres
def test_the_sites_role_can_do_nothing_on_postgresql(kept, sites_role):
    attacks = {
        f"{where} {name}": attack
        for where, group in [("models", ORM), ("sql", RAW), ("postgresql", POSTGRESQL_ROLE)]
        for name, attack in group.items()
    }
    sites_role()

    passed, ran = refused(attacks)

    assert passed == []
    assert ran >= 20


@pytest.mark.postgres
def test_the_sites_role_can_append_and_is_not_warned_of(append_run, sites_role):
    as_owner = guards.grant_cautions(connection)
    sites_role()

    append_run()

    assert append_run().seq == 1
    assert guards.grant_cautions(connection) == []
    assert [caution for caution in as_owner if "runs as the owner" in caution]


@pytest.mark.postgres
def test_even_the_owner_changes_no_row_on_postgresql(kept):
    passed, ran = refused(POSTGRESQL_OWNER)

    assert (passed, ran) == ([], 6)
