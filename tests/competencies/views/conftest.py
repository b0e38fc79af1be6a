"""What the tests of many pages start from: the small floor with its coordinator, or a record with its auditor."""

import pytest

from competencies.vocabulary import AuthorityKind
from tests import factories as make
from tests.competencies.printing.people import make_recorded


@pytest.fixture
def floor():
    return make.make_floor()


@pytest.fixture
def coordinator(floor):
    person = make.make_person(floor.plant, "Rhona Feld", with_pin=True)
    make.grant(person, AuthorityKind.COORDINATE)
    return person


@pytest.fixture
def office(client, coordinator):
    """Return the browser of the coordinator, signed in."""
    client.force_login(coordinator.user)
    return client


@pytest.fixture
def made():
    return make_recorded()


@pytest.fixture
def auditor(client, made):
    """Return the browser of an auditor, signed in."""
    person = make.make_person(made.plant, "Perpetua Holm")
    make.grant(person, AuthorityKind.AUDIT)
    client.force_login(person.user)
    return client
