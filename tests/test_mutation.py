"""The mutation tests of the rule: what survives unseen makes them fail, and what is left out has a reason."""

import tomllib

import pytest

from config import mutation
from config.mutation import Change, Verdict

HERE, THERE = Change("spans.gaps", "a < b", "a <= b"), Change("spans.union", "a and b", "a or b")


@pytest.mark.parametrize(
    ("found", "known", "code"),
    [
        ([Verdict("spans", HERE, "killed"), Verdict("spans", THERE, "hung")], {}, 0),
        ([Verdict("spans", HERE, "killed"), Verdict("spans", THERE, "survived")], {THERE: "the same"}, 0),
        ([Verdict("spans", HERE, "survived")], {}, 1),
        ([Verdict("spans", HERE, "unreached")], {}, 1),
        ([Verdict("spans", HERE, "survived")], {THERE: "another"}, 1),
        ([Verdict("spans", HERE, "killed")], {HERE: "killed by now"}, 1),
        ([Verdict("spans", HERE, "killed")], {Change("age.is_young", "a", "b"): "of a module not asked for"}, 0),
    ],
    ids=["killed", "listed", "survived", "no test", "another listed", "listed and killed", "elsewhere"],
)
def test_a_survivor_that_is_not_in_the_list_fails_and_so_does_an_idle_line(found, known, code):
    assert mutation.report(["spans"], found, known) == code


def test_the_report_counts_and_shows_what_survived(capsys):
    found = [
        Verdict("spans", HERE, "survived"),
        Verdict("spans", THERE, "survived"),
        Verdict("spans", THERE, "killed"),
    ]

    mutation.report(["spans"], found, {THERE: "the same"})

    printed = capsys.readouterr().out
    assert printed.splitlines()[1].split() == ["spans", "3", "1", "0", "1", "1"]
    assert "spans.gaps (survived)\n  - a < b\n  + a <= b" in printed


def test_every_line_of_the_list_has_a_reason_and_names_a_function_of_the_rule():
    known = mutation.reviewed()

    told = tomllib.loads(mutation.EQUIVALENT.read_text(encoding="utf-8")).get("mutant", [])
    assert len(known) == len(told)
    for change, reason in known.items():
        module, _, function = change.function.partition(".")
        source = (mutation.ROOT / mutation.RULE / f"{module}.py").read_text(encoding="utf-8")
        assert f"def {function.rpartition('.')[2]}(" in source
        assert len(reason) > 20
