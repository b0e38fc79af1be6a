"""Every code that the rule can give has a sentence in plain words."""

import re
from pathlib import Path

import competencies.standing
from competencies.standing.timeline import Reason
from competencies.vocabulary import AuthorityKind, Meaning, Standing
from competencies.wording import AUTHORITIES, MEANINGS, SENTENCES, STANDINGS, sentence

CODE = re.compile(r"""(?:reason|refusal|Reason|Refusal)\(\s*(?:"R[\d.]+"|rule), "([a-z_]+)\"""")


def test_every_code_of_the_rule_has_a_sentence():
    folder = Path(competencies.standing.__file__).parent
    codes = {code for path in folder.glob("*.py") for code in CODE.findall(path.read_text(encoding="utf-8"))}

    assert len(codes) > 40
    assert codes - set(SENTENCES) == set()


def test_every_word_of_the_closed_lists_is_worded():
    assert set(STANDINGS) == set(Standing)
    assert set(AUTHORITIES) == set(AuthorityKind)
    assert set(MEANINGS) == set(Meaning)


def test_a_sentence_names_dates_and_tasks_in_full():
    lapsed = Reason("R3.4", "lapsed", (("last_valid", "2026-05-12"),))
    blocked = Reason("R6.3", "blocked", (("scope", "L1/F1"), ("task", "HS-03")))

    assert sentence(lapsed) == "the last valid day was 12 May 2026"
    assert sentence(blocked, titles={"HS-03": "Isolate"}) == "HS-03 Isolate, which this task builds on, is out"
