"""The tree over the entries against RFC 9162 section 2.1 and a second, naive way to compute it."""

import hashlib
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from competencies.ledger.merkle import EMPTY_ROOT, Accumulator, inclusion_path, is_included, node_hash, root


def leaf(data):
    return hashlib.sha256(b"\x00" + data).digest()


LEAVES = [leaf(bytes([number])) for number in range(70)]


def naive_root(leaves):
    """RFC 9162 2.1.1, word for word: MTH of the left part of the largest power of two below n, and of the rest."""
    if not leaves:
        return hashlib.sha256(b"").digest()
    if len(leaves) == 1:
        return leaves[0]
    split = 1
    while split * 2 < len(leaves):
        split *= 2
    return hashlib.sha256(b"\x01" + naive_root(leaves[:split]) + naive_root(leaves[split:])).digest()


def naive_path(leaves, index):
    """RFC 9162 2.1.3.1, word for word."""
    if len(leaves) == 1:
        return []
    split = 1
    while split * 2 < len(leaves):
        split *= 2
    if index < split:
        return [*naive_path(leaves[:split], index), naive_root(leaves[split:])]
    return [*naive_path(leaves[split:], index - split), naive_root(leaves[:split])]


def test_the_empty_tree_has_the_hash_of_nothing():
    # SHA-256 of the empty string, FIPS 180-4 test value.
    assert root([]) == bytes.fromhex("e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855") == EMPTY_ROOT


def test_roots_of_the_reference_inputs():
    """The eight inputs and roots that tests of RFC 6962 logs use (same hashing as RFC 9162; from memory)."""
    inputs = ["", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"]
    roots = {
        1: "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
        2: "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
        3: "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
        8: "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
    }
    leaves = [leaf(bytes.fromhex(text)) for text in inputs]

    assert {size: root(leaves[:size]).hex() for size in roots} == roots


def test_the_worked_tree_of_seven_leaves():
    """The tree drawn in RFC 9162 2.1.5, built by hand, and the inclusion paths listed there."""
    a, b, c, d, e, f, j = (leaf(bytes([number])) for number in range(7))
    g, h, i = node_hash(a, b), node_hash(c, d), node_hash(e, f)
    k, lower_right = node_hash(g, h), node_hash(i, j)

    leaves = [a, b, c, d, e, f, j]

    assert root(leaves) == node_hash(k, lower_right)
    assert inclusion_path(leaves, 0) == [b, h, lower_right]
    assert inclusion_path(leaves, 3) == [c, g, lower_right]
    assert inclusion_path(leaves, 4) == [f, j, k]
    assert inclusion_path(leaves, 6) == [i, k]


@pytest.mark.parametrize("size", range(70))
def test_root_equals_the_naive_root(size):
    assert root(LEAVES[:size]) == naive_root(LEAVES[:size])


def test_the_accumulator_knows_every_root_on_the_way():
    tree = Accumulator()

    for size, next_leaf in enumerate(LEAVES, start=1):
        tree.add(next_leaf)
        assert (tree.size, tree.root()) == (size, naive_root(LEAVES[:size]))


def test_every_path_of_every_small_tree_proves_its_leaf_and_no_other():
    proved = 0
    for size in range(1, 34):
        leaves, top = LEAVES[:size], naive_root(LEAVES[:size])
        for index in range(size):
            path = inclusion_path(leaves, index)
            assert path == naive_path(leaves, index)
            assert is_included(leaves[index], index=index, size=size, path=path, expected_root=top)
            assert not is_included(LEAVES[size], index=index, size=size, path=path, expected_root=top)
            proved += 1

    assert proved == 33 * 34 // 2


@settings(deadline=None)
@given(st.integers(1, 70).flatmap(lambda size: st.tuples(st.just(size), st.integers(0, size - 1))), st.data())
def test_an_altered_proof_proves_nothing(place, data):
    size, index = place
    path, top = inclusion_path(LEAVES[:size], index), naive_root(LEAVES[:size])
    altered = bytearray(b"".join([LEAVES[index], *path, top]))
    altered[data.draw(st.integers(0, len(altered) - 1))] ^= 1 << data.draw(st.integers(0, 7))
    parts = [bytes(altered[start:end]) for start, end in pairwise(range(0, len(altered) + 1, 32))]

    assert not is_included(parts[0], index=index, size=size, path=parts[1:-1], expected_root=parts[-1])


@pytest.mark.parametrize(("index", "size"), [(-1, 5), (5, 5), (0, 0)])
def test_there_is_no_proof_for_a_leaf_that_is_not_there(index, size):
    assert not is_included(LEAVES[0], index=index, size=size, path=[], expected_root=LEAVES[0])
    with pytest.raises(IndexError):
        inclusion_path(LEAVES[:size], index)


def test_a_path_that_is_too_long_or_too_short_is_refused():
    path, top = inclusion_path(LEAVES[:5], 2), root(LEAVES[:5])

    for wrong in (path[:-1], [*path, LEAVES[9]]):
        assert not is_included(LEAVES[2], index=2, size=5, path=wrong, expected_root=top)


def test_a_path_must_be_as_long_as_the_tree_is_high_whatever_it_leads_to():
    half_way = node_hash(LEAVES[2], LEAVES[3])
    beyond = node_hash(LEAVES[9], LEAVES[0])

    assert not is_included(LEAVES[2], index=2, size=4, path=[LEAVES[3]], expected_root=half_way)
    assert not is_included(LEAVES[0], index=0, size=1, path=[LEAVES[9]], expected_root=beyond)
