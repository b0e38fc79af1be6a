"""Answers for the tests of the schedule, told in days from one Monday morning."""

from datetime import UTC, datetime, timedelta

from assessments.scheduling.progress import Answer
from assessments.vocabulary import Help, Verdict

MONDAY = datetime(2026, 11, 2, 9, tzinfo=UTC)


def on_day(days):
    """Return the moment so many days after the Monday."""
    return MONDAY + timedelta(days=days)


def answer(days=0.0, verdict=Verdict.RIGHT, **fields):
    """Return an answer: right and alone unless said otherwise."""
    return Answer(verdict=verdict, at=on_day(days), **{"help": Help.NONE, **fields})


def wrong(days=0.0, **fields):
    """Return an answer with a usual slip."""
    return answer(days, Verdict.SLIP, **fields)
