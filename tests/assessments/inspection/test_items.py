"""Drawings from a seed: the fault is the one planned and the only one, close or far, as often as is written down."""

import hashlib

import pytest

from assessments.formulas.references import REFERENCES
from assessments.inspection import INSPECTIONS, seed_of
from assessments.inspection.draws import SHARES, Draws, Zone
from assessments.inspection.frame import FAULTY_SHARE
from tests.assessments.inspection.measuring import make

MANY = 700
CODES = list(INSPECTIONS)


@pytest.mark.parametrize("code", CODES)
def test_the_planned_fault_is_the_only_one(code):
    for seed in range(MANY):
        item = make(code, seed)
        broken = {held.fault for held in item.specimen.held if not held.is_within}
        assert broken == ({item.fault.code} if item.fault else set()), seed


@pytest.mark.parametrize("code", CODES)
def test_every_fault_comes_close_to_the_limit_and_far_from_it(code):
    seen = {(item.planned.fault, item.planned.is_close) for item in (make(code, seed) for seed in range(MANY))}

    for fault in INSPECTIONS[code].faults:
        assert (fault.code, False) in seen
        assert ((fault.code, True) in seen) is fault.is_graded
    assert {("", True), ("", False)} <= seen


@pytest.mark.parametrize("code", CODES)
def test_two_in_five_are_faulty(code):
    faulty = sum(make(code, seed).fault is not None for seed in range(MANY))

    # Four standard errors of a share of 0.4 among so many.
    assert faulty / MANY == pytest.approx(FAULTY_SHARE, abs=4 * (0.24 / MANY) ** 0.5)


@pytest.mark.parametrize("share", [0.0, 0.2, 0.8, 1.0])
def test_knob_turns_how_many_good_ones_lie_close(share):
    good = [item for item in (make("fill", seed, share) for seed in range(MANY)) if item.fault is None]

    close = sum(item.planned.is_close for item in good) / len(good)

    assert close == pytest.approx(share, abs=0.05)


@pytest.mark.parametrize("code", CODES)
def test_same_seed_makes_the_same_drawing(code):
    first, again, other = make(code, 41), make(code, 41), make(code, 42)

    assert first.specimen.measures == again.specimen.measures
    assert first.planned == again.planned
    assert [make(code, seed).specimen.measures for seed in range(30)] != [other.specimen.measures] * 30


def test_draw_follows_the_published_hash():
    # FIPS 180-4, SHA-256, as hashlib has it: the rule is written out here, so that a changed rule shows.
    digest = hashlib.sha256(b"source:name").digest()

    assert Draws("source").below("name", 1000) == int.from_bytes(digest[:16], "big") % 1000


def test_drawings_of_a_series_have_seeds_of_their_own():
    seeds = {seed_of(5, number, below=2**31) for number in range(1, 41)}

    assert len(seeds) == 40
    assert all(0 <= seed < 2**31 for seed in seeds)


def test_no_zone_touches_the_limit():
    for zone, (least, most) in SHARES.items():
        assert least < most
        assert (least > 1.1) if zone.is_outside else (most < 0.9)


@pytest.mark.parametrize("zone", list(Zone))
def test_size_stays_in_its_zone(zone):
    least, most = SHARES[zone]

    for seed in range(300):
        assert least * 3.0 - 0.05 <= Draws(str(seed)).size("height", zone, 3.0, 0.1) <= most * 3.0 + 0.05


@pytest.mark.parametrize("code", CODES)
def test_inspection_names_its_sources_and_cautions(code):
    inspection = INSPECTIONS[code]

    assert set(inspection.sources) <= set(REFERENCES)
    assert inspection.sources
    assert inspection.cautions
    assert all(fault.advice.endswith(".") for fault in inspection.faults)
