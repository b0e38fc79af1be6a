"""The commands for whoever looks after the ledger."""

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from competencies.ledger import guards, indexing
from competencies.models import LedgerAnchor, LedgerEntry, LedgerIndex
from tests.ledger_reset import owner_at_work


def lines(capsys):
    return capsys.readouterr().out.splitlines()


def test_verify_ledger_prints_count_and_head(five_runs, capsys):
    call_command("verify_ledger")

    printed = dict(line.split(maxsplit=1) for line in lines(capsys))
    assert printed["count"] == "5"
    assert printed["head"] == five_runs[-1].hash.hex()
    assert printed["guards"] == "in place"


def test_verify_ledger_takes_an_empty_ledger_for_whole(db, capsys):
    call_command("verify_ledger")

    assert "count 0" in lines(capsys)


def test_verify_ledger_names_the_first_entry_that_does_not_fit(five_runs):
    with owner_at_work():
        for seq in (3, 2):
            entry = LedgerEntry.objects.get(seq=seq)
            LedgerEntry.objects.filter(seq=seq).update(body=bytes(entry.body).replace(b"QC-04", b"QC-05"))

    with pytest.raises(CommandError, match="entry 2: its bytes do not have its hash") as refusal:
        call_command("verify_ledger")

    assert refusal.value.returncode == 1


def test_verify_ledger_says_when_a_guard_is_missing(five_runs):
    guards.unwatch(connection)
    guards.remove(connection)

    with pytest.raises(CommandError, match=r"guards: trigger ledger_entry_.* is missing"):
        call_command("verify_ledger")

    guards.watch(connection)


def test_verify_ledger_reads_the_values_when_asked(plant, golden):
    # Bodies that no form could have given: the places fit, but a golden entry belongs to another plant.
    for entry in golden:
        LedgerEntry(
            seq=entry.body["seq"], body=entry.raw, prev=bytes.fromhex(entry.body["prev"]), hash=entry.hash
        ).save(force_insert=True)

    with pytest.raises(CommandError, match="entry 0: the search table says"):
        call_command("verify_ledger", "--values")


def test_rebuild_index_makes_the_same_rows_again(five_runs, capsys):
    before = list(LedgerIndex.objects.order_by("pk").values())
    LedgerIndex.objects.filter(pk__lt=3).update(task="")

    call_command("rebuild_index")

    assert lines(capsys) == ["5 entries indexed"]
    assert list(LedgerIndex.objects.order_by("pk").values()) == before


def test_rebuild_index_works_in_pieces(five_runs, monkeypatch, capsys):
    monkeypatch.setattr(indexing, "CHUNK", 2)

    call_command("rebuild_index")
    call_command("verify_ledger")

    assert lines(capsys)[:2] == ["5 entries indexed", "count 5"]


def test_anchor_ledger_keeps_and_prints_the_root(five_runs, capsys):
    call_command("anchor_ledger", "--why", "backup")
    call_command("verify_ledger")

    anchor = LedgerAnchor.objects.get()
    printed = lines(capsys)
    assert (anchor.size, anchor.why) == (5, "backup")
    assert f"size 5 root {bytes(anchor.root).hex()}" in printed[0]
    assert f"root {bytes(anchor.root).hex()}" in printed
    assert "anchors 1 hold" in printed


def test_anchor_ledger_refuses_a_reason_that_is_not_on_the_list(db):
    with pytest.raises(CommandError, match="invalid choice"):
        call_command("anchor_ledger", "--why", "boredom")
