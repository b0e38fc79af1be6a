"""The rule's codes in plain words: reasons, refusals, steps of the way back, standings."""

from competencies.wording.sentences import SENTENCES, SENTENCES_OF_RULE
from competencies.wording.steps import STEP_DOERS, STEPS
from competencies.wording.telling import Coded, one_sentence, sentence, step_doer, step_sentence
from competencies.wording.words import (
    ANNULMENT_CAUSES,
    AUTHORITIES,
    CHECK_CAUSES,
    CONFLICT_CAUSES,
    CORRECTION_CAUSES,
    CRITICALITIES,
    DOUBT_CAUSES,
    JUDGEMENTS,
    MEANINGS,
    OUTCOMES,
    STANDING_SIGNS,
    STANDINGS,
    Text,
)

__all__ = [
    "ANNULMENT_CAUSES",
    "AUTHORITIES",
    "CHECK_CAUSES",
    "CONFLICT_CAUSES",
    "CORRECTION_CAUSES",
    "CRITICALITIES",
    "DOUBT_CAUSES",
    "JUDGEMENTS",
    "MEANINGS",
    "OUTCOMES",
    "SENTENCES",
    "SENTENCES_OF_RULE",
    "STANDINGS",
    "STANDING_SIGNS",
    "STEPS",
    "STEP_DOERS",
    "Coded",
    "Text",
    "one_sentence",
    "sentence",
    "step_doer",
    "step_sentence",
]
