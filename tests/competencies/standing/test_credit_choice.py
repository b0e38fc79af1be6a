"""Which units count (R8.4, R8.5): held against trying everything, and against a solver of whole-number programmes.

The rule's search keeps only what nothing beats. The two checks here share no code with it: one tries every set of
units and every way to cut a group, the other states the qualification as inequalities for HiGHS (scipy).
"""

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from competencies.standing.credits import Qualification, Unit, best_choice, pathway_result
from competencies.standing.facts import UnitDecision
from tests.competencies.standing.plant import ANA, ELI, Book, d, frame

GROUPS = ("core", "P", "K", "W")
CODES = ("U1", "U2", "U3", "U4", "U5", "U6")
DAY = d("2025-06-02")

UNIT = st.builds(
    Unit,
    code=st.sampled_from(CODES),
    version=st.integers(1, 2),
    level=st.integers(2, 4),
    credits=st.integers(1, 6),
    group=st.sampled_from(GROUPS),
)
PAIRS = st.lists(
    st.tuples(st.sampled_from(CODES), st.sampled_from(CODES)).filter(lambda pair: pair[0] != pair[1]), max_size=3
)


@st.composite
def pathways(draw):
    """Return a small qualification and units of it, some with two versions, some that exclude each other."""
    units = list({each.key: each for each in draw(st.lists(UNIT, min_size=1, max_size=7))}.values())
    versions = {unit.code: unit.version for unit in units}
    pairs = [pair for pair in draw(PAIRS) if set(pair) <= versions.keys()]
    return units, Qualification(
        code="Q",
        total=draw(st.integers(0, 20)),
        minimum=draw(st.dictionaries(st.sampled_from(GROUPS[1:]), st.integers(1, 8), max_size=2)),
        maximum=draw(st.dictionaries(st.sampled_from(GROUPS[1:]), st.integers(0, 7), max_size=2)),
        level=3,
        level_credits=draw(st.integers(0, 12)),
        exclusions=tuple(frozenset((code, versions[code]) for code in pair) for pair in pairs),
    )


def conflicts(units, qualification):
    """Return the pairs of places of which one may count."""
    listed = [set(pair) for pair in qualification.exclusions]
    return [
        (i, j)
        for i, j in combinations(range(len(units)), 2)
        if units[i].code == units[j].code
        or any({(units[i].code, units[i].version), (units[j].code, units[j].version)} <= pair for pair in listed)
    ]


def worth(cut, units, qualification, wanted):
    """Return how well somebody stands with these credits counted, a figure for each unit (None: not chosen)."""
    chosen = [(unit, given) for unit, given in zip(units, cut, strict=True) if given is not None]
    of_group = {group: sum(c for unit, c in chosen if unit.group == group) for group in GROUPS}
    total = sum(of_group.values())
    level = sum(c for unit, c in chosen if unit.level >= 3)
    missing = sum(max(0, asked - of_group[group]) for group, asked in qualification.minimum.items())
    missing += max(0, qualification.level_credits - level) + max(0, qualification.total - total)
    core = len(wanted - {unit.code for unit, _ in chosen if unit.group == "core"})
    return (core == 0 and missing == 0, -core, total, -missing, level)


def by_trying_everything(units, qualification, wanted):
    """Return the best worth over every set of units that may stand together and every cut of its groups."""
    barred = conflicts(units, qualification)
    best = None
    for kept in product((False, True), repeat=len(units)):
        if any(kept[i] and kept[j] for i, j in barred):
            continue
        for cut in every_cut(units, kept, qualification):
            found = worth(cut, units, qualification, wanted)
            best = found if best is None or found > best else best
    return best


def every_cut(units, kept, qualification):
    """Yield the credits counted of each unit, in every way that keeps a group within its maximum.

    Below its maximum nothing is cut; above it, each way that fills the maximum exactly.
    """
    cut = [unit.credits if keep else None for unit, keep in zip(units, kept, strict=True)]
    ways = [cut]
    for group, most in qualification.maximum.items():
        places = [i for i, unit in enumerate(units) if kept[i] and unit.group == group]
        if sum(units[i].credits for i in places) > most:
            fills = [
                each
                for each in product(*(range(min(units[i].credits, most) + 1) for i in places))
                if sum(each) == most
            ]
            ways = [with_values(way, places, each) for way in ways for each in fills]
    yield from ways


def with_values(way, places, values):
    return [dict(zip(places, values, strict=True)).get(i, before) for i, before in enumerate(way)]


def decided(units):
    book = Book(frame())
    for unit in units:
        book.write(UnitDecision, ANA, "2025-03-03", unit=unit.code, version=unit.version, by=ELI)
    return book.facts


def of_the_rule(units, qualification):
    """Return the worth of what the rule counts, and the core that it wants."""
    wanted = {unit.code for unit in units if unit.group == "core"}
    result = pathway_result(decided(units), qualification, units, DAY)
    cut = [result.counted[unit.code] if result.chosen.get(unit.code) == unit.version else None for unit in units]
    return worth(cut, units, qualification, wanted), wanted, result


@settings(max_examples=300, deadline=None)
@given(pathways())
def test_r8_5_nobody_could_stand_better_than_the_rule_lets_them(pathway):
    units, qualification = pathway

    found, wanted, result = of_the_rule(units, qualification)

    assert found == by_trying_everything(units, qualification, wanted)
    assert result.total == found[2]
    assert (result.awarded_on is not None) == found[0]


@settings(max_examples=150, deadline=None)
@given(pathways())
def test_r8_5_what_is_counted_and_what_is_surplus_is_the_unit_and_no_group_exceeds_its_maximum(pathway):
    units, qualification = pathway

    _, _, result = of_the_rule(units, qualification)

    chosen = [unit for unit in units if result.chosen.get(unit.code) == unit.version]
    assert all(result.counted[u.code] + result.surplus.get(u.code, 0) == u.credits for u in chosen)
    for group, most in qualification.maximum.items():
        assert sum(result.counted[unit.code] for unit in chosen if unit.group == group) <= most
    assert {unit.key for unit in units} == {unit.key for unit in chosen} | result.excluded.keys()


@settings(max_examples=300, deadline=None)
@given(pathways())
def test_r8_6_a_further_unit_never_takes_an_award_away(pathway):
    units, qualification = pathway
    first = pathway_result(decided(units[:-1]), qualification, units, DAY)

    after = pathway_result(decided(units), qualification, units, DAY)

    assert after.holds or not first.holds
    # Short of the award a core unit weighs more than credits: fewer may count where one more of the core does.
    assert after.holds or reached(after) >= reached(first)


def reached(result):
    return -len(result.core_missing), result.total


@settings(max_examples=120, deadline=None)
@given(pathways())
def test_r8_5_a_solver_agrees_whether_the_qualification_can_be_reached(pathway):
    units, qualification = pathway

    found, wanted, _ = of_the_rule(units, qualification)

    assert can_be_reached(units, qualification, wanted) == found[0]


def can_be_reached(units, qualification, wanted):
    """Say whether all rules can hold: x_i = unit i counts (0 or 1), c_i = its counted credits <= credits x_i."""
    n = len(units)
    rows, low, high = [], [], []

    def rule(x, c, least, most):
        rows.append(np.concatenate([x, c]))
        low.append(least)
        high.append(most)

    one = np.eye(n)
    none = np.zeros(n)
    for i, unit in enumerate(units):
        rule(-unit.credits * one[i], one[i], -np.inf, 0)
    for i, j in conflicts(units, qualification):
        rule(one[i] + one[j], none, -np.inf, 1)
    for code in wanted:
        rule(sum(one[i] for i, u in enumerate(units) if u.code == code and u.group == "core"), none, 1, np.inf)
    for group, asked in qualification.minimum.items():
        rule(none, np.array([float(unit.group == group) for unit in units]), asked, np.inf)
    for group, most in qualification.maximum.items():
        rule(none, np.array([float(unit.group == group) for unit in units]), -np.inf, most)
    rule(none, np.array([float(unit.level >= 3) for unit in units]), qualification.level_credits, np.inf)
    rule(none, np.ones(n), qualification.total, np.inf)
    found = milp(
        c=np.zeros(2 * n),
        constraints=LinearConstraint(np.array(rows), low, high),
        integrality=np.ones(2 * n),
        bounds=Bounds(np.zeros(2 * n), np.concatenate([np.ones(n), [unit.credits for unit in units]])),
    )
    return bool(found.success)


def test_r8_4_the_choice_stays_quick_with_many_versions_and_pairs():
    units = [
        Unit(code=f"U{number}", version=version, level=2 + version, credits=3 + version, group=GROUPS[number % 4])
        for number in range(24)
        for version in (1, 2)
    ]
    qualification = Qualification(
        code="Q",
        total=80,
        minimum={"P": 16, "K": 12},
        maximum={"W": 15},
        level=3,
        level_credits=45,
        exclusions=tuple(frozenset({(f"U{i}", 1), (f"U{i + 1}", 2)}) for i in range(0, 24, 4)),
    )

    chosen = best_choice(units, qualification, frozenset())

    assert len(chosen) == len({unit.code for unit in chosen}) == 24


@pytest.mark.parametrize("swap", [False, True], ids=["as-decided", "other-order"])
def test_r8_4_of_equals_the_newer_version_is_chosen_whatever_the_order(swap):
    units = [Unit(code="U1", version=version, level=3, credits=4, group="K") for version in (1, 2)]
    given_units = units[::-1] if swap else units

    assert [unit.version for unit in best_choice(given_units, Qualification(code="Q", total=4), frozenset())] == [2]
