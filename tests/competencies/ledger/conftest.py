"""A plant, and a way to append to its ledger."""

from datetime import UTC, datetime, timedelta

import pytest

from competencies.ledger.writer import append, writing
from competencies.models import Plant
from competencies.vocabulary import EntryKind, Meaning
from tests.competencies.ledger.golden import golden_chain

NOON = datetime(2025, 3, 10, 12, tzinfo=UTC)
ANN, BEN = (100_000_000_001, "Ann Bell"), (100_000_000_002, "Ben Clay")


@pytest.fixture
def plant(db):
    return Plant.objects.create(code="quay", name="Quayside", timezone="Europe/Dublin")


@pytest.fixture
def append_run(plant):
    """Append one supervised run of Ann's under Ben's eyes; `more` are further fields."""

    def append_one(*, at=NOON, token=None, texts=None, **more):
        with writing():
            return append(
                kind=EntryKind.RUN,
                plant=plant,
                at=at,
                fields={
                    "task": "QC-04",
                    "shift": "day",
                    "revision": 2,
                    "meaning": Meaning.SUPERVISED,
                    "token": token,
                    **more,
                },
                texts=texts,
                names={"subject": ANN, "actor": BEN},
            )

    return append_one


@pytest.fixture
def five_runs(append_run):
    """Append five runs, an hour apart, and return where they stand."""
    return [append_run(at=NOON + timedelta(hours=hour), texts={"note": f"run {hour}"}) for hour in range(5)]


@pytest.fixture(scope="session")
def golden():
    return golden_chain()
