"""Units: spellings, conversions, and what a bare unit leaves open."""

import contextlib

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.quantities import Basis, Unit, UnknownUnitError, can_convert, convert, unit

LIBRARY = pint.UnitRegistry()

# pint's own table of definitions, which ours does not share.
SAME_AS_PINT = [
    ("psi", "psi", "bar", "bar"),
    ("kPa", "kilopascal", "psi", "psi"),
    ("US gal", "gallon", "L", "litre"),
    ("imp gal", "imperial_gallon", "hL", "hectolitre"),
    ("US bbl", "beer_barrel", "hL", "hectolitre"),
    ("UK bbl", "imperial_barrel", "hL", "hectolitre"),
    ("imp pint", "imperial_pint", "mL", "millilitre"),
    ("US fl oz", "fluid_ounce", "mL", "millilitre"),
    ("imp fl oz", "imperial_fluid_ounce", "mL", "millilitre"),
    ("lb", "pound", "kg", "kilogram"),
    ("oz", "ounce", "g", "gram"),
    ("lb/US bbl", "pound / beer_barrel", "kg/hL", "kilogram / hectolitre"),
    ("kWh", "kilowatt_hour", "MJ", "megajoule"),
    ("ppm", "milligram / kilogram", "ppb", "microgram / kilogram"),
    ("µg/L", "microgram / litre", "mg/hL", "milligram / hectolitre"),
    ("in", "inch", "mm", "millimetre"),
    ("pt", "point", "mm", "millimetre"),
    ("US fl oz", "fluid_ounce", "mL", "millilitre"),
    ("kcal", "kilocalorie", "kJ", "kilojoule"),
    ("g/100 mL", "gram / decilitre", "g/L", "gram / litre"),
    ("m³/h", "metre ** 3 / hour", "hL/h", "hectolitre / hour"),
    ("g/L", "gram / litre", "kg/hL", "kilogram / hectolitre"),
    ("g/m²", "gram / metre ** 2", "kg/m2", "kilogram / metre ** 2"),
    ("rad", "radian", "°", "degree"),
    ("mPa·s", "millipascal * second", "cP", "centipoise"),
    ("s/L²", "second / litre ** 2", "min/L2", "minute / litre ** 2"),
    ("lb/US bbl", "pound / beer_barrel", "g/hL", "gram / hectolitre"),
    ("mol/L", "mole / litre", "mol/mL", "mole / millilitre"),
    ("°F", "degF", "°C", "degC"),
    ("°C", "degC", "K", "kelvin"),
]


@pytest.mark.parametrize(("ours", "theirs", "our_target", "their_target"), SAME_AS_PINT)
def test_conversion_is_that_of_the_library(ours, theirs, our_target, their_target):
    expected = LIBRARY.Quantity(17.3, theirs).to(their_target).magnitude

    assert convert(17.3, unit(ours), unit(our_target)) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("value", "source", "target", "expected"),
    [
        (12, "psig", "bar absolute", 1.8406),
        (1.84062, "bar abs", "bar gauge", 0.82737),
        (250, "kPa absolute", "bar gauge", 1.48675),
        (1, "bar", "kPa gauge", 100),
        (9, "°F", "°C difference", 5),
        (5, "K", "°F difference", 9),
        (2.6, "vol", "g/L", 5.096),
        (80, "%", "fraction", 0.8),
        (0.2, "bar/100 hL", "bar/hL", 0.002),
        (375, "bottles/min", "units/h", 22500),
        (22.5, "thousand/h", "units/h", 22500),
    ],
)
def test_conversion_minds_datum_and_difference(value, source, target, expected):
    assert convert(value, unit(source), unit(target)) == pytest.approx(expected, rel=1e-4)


def test_the_local_air_pressure_counts_between_gauge_and_absolute():
    assert convert(1, unit("bar gauge"), unit("bar abs"), atmosphere_bar=0.83) == pytest.approx(1.83)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("°C", "bar"),
        ("% w/w", "% vol"),
        ("% w/v", "% w/w"),
        ("g/L", "g"),
        ("°P", "%"),
        ("PU", "min"),
        ("SG", "%"),
        ("EBC", "NTU"),
        ("EBC", "SRM"),
        ("NTU", "ASBC FTU"),
        ("BU", "mg/L"),
        ("AU", "%"),
        ("mol", "g"),
    ],
)
def test_units_of_another_kind_do_not_convert(one, other):
    assert not can_convert(unit(one), unit(other))
    with pytest.raises(UnknownUnitError):
        convert(1, unit(one), unit(other))


@pytest.mark.parametrize(
    "spelling", ["", "gal", "bbl", "xyz", "a/b/c/d", "kg/", "bar gauge/h", "9**9", "[mass]", "g" * 31]
)
def test_unknown_spelling_is_refused(spelling):
    with pytest.raises(UnknownUnitError):
        unit(spelling)


def test_spellings_of_one_unit_are_the_same():
    assert unit("BAR(G)") == unit("bar gauge") == unit("barg") == Unit("bar", Basis.GAUGE)
    assert unit("hectolitres") == unit("hL") == unit("HL")
    assert unit("FNU") == unit("NTU")
    assert unit("IBU") == unit("BU")


@given(st.text(max_size=35))
def test_no_spelling_breaks_the_look_up(spelling):
    with contextlib.suppress(UnknownUnitError):
        unit(spelling)
