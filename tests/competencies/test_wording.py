"""Every code that the rule can give has a sentence in plain words."""

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

import competencies
from competencies.models import Person
from competencies.queries.line_cover import Barred
from competencies.standing.facts import Scope
from competencies.standing.timeline import Reason, Step
from competencies.templatetags.cover_words import barred_words
from competencies.vocabulary import AuthorityKind, Meaning, Standing
from competencies.wording import (
    AUTHORITIES,
    MEANINGS,
    SENTENCES,
    SENTENCES_OF_RULE,
    STANDINGS,
    one_sentence,
    sentence,
    step_sentence,
)

CODE = re.compile(r"""(?:reason|refusal|Reason|Refusal)\(\s*(?:"R[\d.]+"|rule), "([a-z_]+)\"""")


def test_every_code_of_the_rule_has_a_sentence():
    folder = Path(competencies.__file__).parent
    codes = {code for path in folder.rglob("*.py") for code in CODE.findall(path.read_text(encoding="utf-8"))}

    assert len(codes) > 120
    assert codes - set(SENTENCES) == set()


def test_every_word_of_the_closed_lists_is_worded():
    assert set(STANDINGS) == set(Standing)
    assert set(AUTHORITIES) == set(AuthorityKind)
    assert set(MEANINGS) == set(Meaning)


def test_a_sentence_names_dates_and_tasks_in_full():
    lapsed = Reason("R3.4", "lapsed", (("last_valid", "2026-05-12"),))
    blocked = Reason("R6.3", "blocked", (("scope", "L1/F1"), ("task", "HS-03")))

    assert sentence(lapsed) == "the last valid day was 12 May 2026"
    assert sentence(blocked, titles={"HS-03": "Isolate"}) == "HS-03 Isolate, which this task builds on, does not hold"


@pytest.mark.parametrize(
    ("rule", "code", "expected"),
    [
        ("R1.1", "not_in_force", "the watching person was not in force on this task there on that day"),
        ("R2.2", "not_in_force", "the assessor was not in force on this task there on that day"),
        ("R1.1", "age", "barred as a young worker on that day"),
        ("R10.1", "age", "barred as a young worker until 15 June 2026"),
    ],
)
def test_a_code_is_told_in_the_words_of_its_rule(rule, code, expected):
    assert sentence(Reason(rule, code, (("until", "2026-06-15"),))) == expected


def test_a_sentence_that_another_rule_words_otherwise_has_one_of_its_own():
    assert {code for _, code in SENTENCES_OF_RULE} <= set(SENTENCES)


@pytest.mark.parametrize(("runs", "expected"), [(1, "1 supervised run on HS-03"), (2, "2 supervised runs on HS-03")])
def test_a_step_counts_its_runs(runs, expected):
    assert step_sentence(Step("run", "HS-03", Scope(), runs)) == expected


def test_one_sentence_tells_every_reason_once_and_the_way_back_in_order():
    lapsed = Reason("R3.4", "lapsed", (("last_valid", "2026-05-12"),))
    stale = Reason("R3.5", "stale", (("last", "2026-01-03"),))
    steps = [Step("run", "HS-03", Scope("L1", "F1")), Step("assessment", "HS-03", Scope("L1", "F1"))]

    assert one_sentence([lapsed, stale, lapsed], steps) == (
        "The last valid day was 12 May 2026; the task was last done on 3 January 2026, too long ago; the way back: "
        "1 supervised run on HS-03 (L1/F1) (with somebody in force on the task), "
        "then full assessment on HS-03 (L1/F1) (an assessor for the area)."
    )
    assert one_sentence([stale], []) == "The task was last done on 3 January 2026, too long ago."
    assert one_sentence([], []) == ""


def test_a_role_is_named_in_words():
    told = sentence(Reason("R2.4", "role_missing", (("role", "food"),)))

    assert told == "whoever signs second did not hold the role “second signatory, food” on that day"


BLOCKED = Reason("R2.6", "blocked", (("task", "CP-03"),))


@pytest.mark.parametrize(
    ("reason", "until", "told"),
    [
        (Reason("R1", "not_signed_off"), None, "not signed off."),
        (Reason("R6.2", "withdrawn"), None, "it was withdrawn for cause; the way back: 8 supervised runs on PK-04"),
        (BLOCKED, None, "CP-03, which this task builds on, does not hold; the way back: 8 supervised runs on PK-04"),
        (BLOCKED, datetime(2026, 3, 9, 9, tzinfo=UTC), "Until 09:00, then: CP-03, which this task builds on"),
    ],
    ids=["of a learner no steps", "goes on after the name", "a code keeps its capitals", "also after a time"],
)
def test_why_somebody_makes_no_cover_goes_on_after_a_name(reason, until, told):
    steps = (Step("run", "PK-04", Scope(), 8),)

    assert barred_words(Barred(person=Person(), reasons=(reason,), way_back=steps, until=until)).startswith(told)
