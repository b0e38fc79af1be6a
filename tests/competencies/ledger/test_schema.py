"""The closed list of keys, and how strict each value's form is."""

from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from fractions import Fraction

import pytest

from competencies.ledger.codecs import (
    Amount,
    Choice,
    Day,
    FieldError,
    Flag,
    Label,
    Listed,
    Moment,
    Named,
    Numbered,
    Place,
    Ratio,
    Record,
    Several,
    Whole,
    Word,
)
from competencies.ledger.schema import ALWAYS, SchemaError, check_keys, read_body, read_field, write_field
from competencies.standing.facts import Scope
from competencies.vocabulary import EntryKind, Outcome

SUMMER = datetime(2025, 6, 1, 14, 30, tzinfo=timezone(timedelta(hours=1)))
RECORD = Record({"number": Whole(1)}, {"unit": Label()})

WRITTEN = [
    (Whole(), 0, 0),
    (Whole(1), 2**63 - 1, 2**63 - 1),
    (Flag(), True, 1),
    (Flag(), False, 0),
    (Word("[a-z]+", "letters"), "abc", "abc"),
    (Label(), "330 mL", "330 mL"),
    (Choice(Outcome), Outcome.COMPETENT, "competent"),
    (Moment(), SUMMER, "2025-06-01T13:30:00.000000Z"),
    (Day(), date(2025, 6, 1), "2025-06-01"),
    (Amount(), Decimal("4.10"), "4.10"),
    (Amount(), Decimal("-0.002"), "-0.002"),
    (Ratio(), Fraction(1, 2), "1/2"),
    (Place(), Scope("L1", "F1"), "L1/F1"),
    (Listed(Whole()), (3, 1), [3, 1]),
    (Several(Whole()), frozenset({3, 1}), [1, 3]),
    (Numbered(Flag()), {2: True}, {"2": 1}),
    (Named(Whole()), {"b": 1, "a": 2}, [["a", 2], ["b", 1]]),
    (RECORD, {"number": 1, "unit": "mg/L"}, {"number": 1, "unit": "mg/L"}),
]
UNWRITABLE = [
    (Whole(1), 0),
    (Whole(), -1),
    (Whole(), True),
    (Whole(), "1"),
    (Whole(), 2**63),
    (Flag(), 1),
    (Word("[a-z]+", "letters"), "abc1"),
    (Label(), " day"),
    (Label(), ""),
    (Label(), "x" * 81),
    (Label(), "two\nlines"),
    (Choice(Outcome), "passed"),
    (Moment(), SUMMER.replace(tzinfo=None)),
    (Moment(), "2025-06-01T13:30:00.000000Z"),
    (Day(), SUMMER),
    (Amount(), 4.1),
    (Amount(), Decimal("NaN")),
    (Amount(), Decimal("1e30")),
    (Ratio(), 0.5),
    (Place(), Scope()),
    (Place(), Scope("L 1")),
    (Listed(Whole()), 3),
    (Several(Whole()), [1, 1]),
    (Numbered(Flag()), [True]),
    (Named(Whole()), [("a", 1)]),
    (RECORD, {"unit": "mg/L"}),
    (RECORD, {"number": 1, "colour": "red"}),
    (RECORD, 5),
]
UNREADABLE = [
    (Whole(1), 0),
    (Whole(), "1"),
    (Flag(), 2),
    (Word("[a-z]+", "letters"), 5),
    (Label(), 5),
    (Choice(Outcome), "passed"),
    (Moment(), "2025-06-01T13:30:00Z"),
    (Moment(), "2025-06-01 13:30:00.000000Z"),
    (Moment(), "2025-13-01T13:30:00.000000Z"),
    (Moment(), 5),
    (Day(), "2025-02-30"),
    (Day(), "20250201"),
    (Amount(), "4,1"),
    (Amount(), "1e5"),
    (Amount(), 4),
    (Ratio(), "1/0"),
    (Place(), "L1/F1/X"),
    (Place(), ""),
    (Listed(Whole()), 3),
    (Several(Whole()), [3, 1]),
    (Several(Whole()), [1, 1]),
    (Several(Whole()), "1"),
    (Numbered(Flag()), {"02": 1}),
    (Numbered(Flag()), [1]),
    (Named(Whole()), [["b", 1], ["a", 2]]),
    (Named(Whole()), [["a"]]),
    (Named(Whole()), {"a": 1}),
    (RECORD, {"number": 1, "colour": "red"}),
    (RECORD, [1]),
]


def name_of(value):
    return f"{value!r:.40}"


@pytest.mark.parametrize(("codec", "value", "raw"), WRITTEN, ids=name_of)
def test_a_value_has_one_form(codec, value, raw):
    assert codec.write(value) == raw
    assert codec.read(raw) == value


@pytest.mark.parametrize(("codec", "value"), UNWRITABLE, ids=name_of)
def test_a_value_that_does_not_fit_is_not_written(codec, value):
    with pytest.raises(FieldError):
        codec.write(value)


@pytest.mark.parametrize(("codec", "raw"), UNREADABLE, ids=name_of)
def test_a_form_that_is_never_written_is_not_read(codec, raw):
    with pytest.raises(FieldError):
        codec.read(raw)


def test_times_are_kept_in_utc_whatever_zone_they_came_in():
    assert Moment().read(Moment().write(SUMMER)) == SUMMER
    assert Moment().read(Moment().write(SUMMER)).tzinfo is UTC


def test_a_key_off_the_list_is_refused():
    with pytest.raises(SchemaError, match="comment"):
        write_field(EntryKind.RUN, "comment", "Well done, Ann")
    with pytest.raises(SchemaError, match="comment"):
        read_field(EntryKind.RUN, "comment", "Well done, Ann")


def test_a_key_of_another_kind_is_refused():
    with pytest.raises(SchemaError, match="outcome"):
        write_field(EntryKind.RUN, "outcome", Outcome.COMPETENT)


def test_the_refusal_of_a_value_names_the_kind_and_the_key():
    with pytest.raises(SchemaError, match=r"run\.revision: a whole number from 1, not 0"):
        write_field(EntryKind.RUN, "revision", 0)


def test_a_body_of_no_known_kind_is_refused():
    with pytest.raises(SchemaError, match="no such kind"):
        check_keys({"kind": "party"})


def test_a_body_that_lacks_a_key_is_refused(golden):
    for entry in golden:
        for key in ALWAYS.keys() - {"kind"}:
            body = {name: value for name, value in entry.body.items() if name != key}
            with pytest.raises(SchemaError, match=key):
                check_keys(body)


def test_a_body_with_one_strange_key_is_refused(golden):
    for entry in golden:
        with pytest.raises(SchemaError, match="nickname"):
            check_keys({**entry.body, "nickname": "Annie"})


def test_a_body_with_one_bad_value_is_refused(golden):
    with pytest.raises(SchemaError, match="happened_on"):
        read_body({**golden[0].body, "happened_on": "yesterday"})
