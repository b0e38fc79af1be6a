"""What the tests of many operations start from: the small floor, and who signs for its office."""

import pytest

from competencies.vocabulary import AuthorityKind
from tests import factories as make


@pytest.fixture
def floor():
    return make.make_floor()


@pytest.fixture
def office(floor):
    person = make.make_person(floor.plant, "Rhona Feld")
    make.grant(person, AuthorityKind.COORDINATE)
    return make.signer(person)


@pytest.fixture
def two_signers(floor):
    """Return a coordinator and an auditor: what neither may do alone, they do together."""
    people = {kind: make.make_person(floor.plant) for kind in (AuthorityKind.COORDINATE, AuthorityKind.AUDIT)}
    for kind, person in people.items():
        make.grant(person, kind)
    return [make.signer(person) for person in people.values()]
