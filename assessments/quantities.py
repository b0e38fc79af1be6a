"""Units of the trade: which spellings are known, and how values convert.

Text that a person typed never reaches the unit library: a spelling is looked up here, and only our own names go
further. Pressure has a datum (gauge or absolute), a percentage a basis (by weight, by volume, weight per volume),
a temperature may be a difference: the library knows none of these, so they are kept beside the unit.
"""

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache

import pint

from assessments.formulas.constants import CO2_PER_VOLUME, STANDARD_ATMOSPHERE

MAX_UNIT_LENGTH = 30

_DEFINITIONS = f"""
gram = [mass]
kilogram = 1000 gram
milligram = 0.001 gram
microgram = 0.000001 gram
tonne = 1000000 gram
pound = 453.59237 gram
ounce = 0.0625 pound
metre = [length]
millimetre = 0.001 metre
centimetre = 0.01 metre
micrometre = 0.000001 metre
inch = 0.0254 metre
point = 0.35277777777777775 millimetre
litre = 0.001 metre ** 3
millilitre = 0.001 litre
centilitre = 0.01 litre
decilitre = 0.1 litre
hectolitre = 100 litre
hectolitre_hundred = 100 hectolitre
us_gallon = 3.785411784 litre
us_fluid_ounce = 0.0078125 us_gallon
imperial_gallon = 4.54609 litre
beer_barrel = 31 us_gallon
imperial_barrel = 36 imperial_gallon
imperial_pint = 0.125 imperial_gallon
imperial_fluid_ounce = 0.00625 imperial_gallon
second = [time]
minute = 60 second
hour = 3600 second
day = 86400 second
month = [calendar_month]
kelvin = [temperature]; offset: 0
celsius = kelvin; offset: 273.15
fahrenheit = 0.5555555555555556 * kelvin; offset: 255.3722222222222
pascal = [pressure]
kilopascal = 1000 pascal
bar = 100000 pascal
millibar = 100 pascal
psi = 6894.757 pascal
joule = [energy]
kilojoule = 1000 joule
kilocalorie = 4184 joule
megajoule = 1000000 joule
kilowatt_hour = 3600 kilojoule
radian = [angle]
degree = 0.017453292519943295 radian
share = [share]
percent = 0.01 share
plato = [extract]
gravity = [gravity]
gravity_degree = [gravity_degrees]
refraction = [refraction]
pasteurisation_unit = [pasteurisation]
item = [items]
thousand = 1000 item
million = 1000000 item
millipascal_second = 0.001 * pascal * second
mole = [substance]
millimole = 0.001 mole
absorbance_unit = [absorbance]
ebc_unit = [ebc]
srm_unit = [srm]
ntu_unit = [ntu]
asbc_ftu_unit = [asbc_ftu]
bitterness_unit = [bitterness]
fold = [dilution]
billion = 1000000000 item
co2_volume = {CO2_PER_VOLUME.value} gram / litre
"""


class Basis(StrEnum):
    """What a bare unit leaves open."""

    GAUGE = "gauge"
    ABSOLUTE = "absolute"
    DIFFERENCE = "difference"
    BY_WEIGHT = "w/w"
    BY_VOLUME = "vol"
    WEIGHT_PER_VOLUME = "w/v"


class UnknownUnitError(ValueError):
    """The spelling is not one that we know."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit by our own name for it, and its basis when it was said."""

    expression: str
    basis: Basis | None = None

    @property
    def is_unsaid(self) -> bool:
        """Whether a number is told without it: nothing else could be meant."""
        return self.expression in _UNSAID

    @property
    def dimension(self) -> str:
        """Return what the unit measures; two units convert when this is the same."""
        return _dimension(self.expression)


_UNSAID = {"gravity", "refraction"}
_ATOMS = {
    "gram": "g gram grams gramme grammes gr",
    "kilogram": "kg kgs kilo kilos kilogram kilograms",
    "milligram": "mg milligram milligrams",
    "microgram": "ug μg microgram micrograms mcg",
    "tonne": "t tonne tonnes",
    "pound": "lb lbs pound pounds",
    "ounce": "oz ounce ounces",
    "metre": "m metre metres meter meters",
    "millimetre": "mm millimetre millimetres millimeter millimeters",
    "centimetre": "cm centimetre centimetres centimeter centimeters",
    "micrometre": "um μm micrometre micrometres micron microns",
    "inch": "in inch inches",
    "point": "pt pts point points",
    "litre": "l litre litres liter liters ltr ltrs dm3",
    "millilitre": "ml millilitre millilitres milliliter milliliters cm3 cc",
    "decilitre": "dl decilitre decilitres 100_ml 100ml",
    "litre ** 2": "l2 l^2",
    "centilitre": "cl centilitre centilitres",
    "hectolitre": "hl hectolitre hectolitres hectoliter hectoliters",
    "hectolitre_hundred": "100_hl 100hl",
    "us_gallon": "us_gal usgal us_gallon us_gallons gal_us gal_(us)",
    "imperial_gallon": "imp_gal imperial_gal imperial_gallon imperial_gallons uk_gal gal_imp",
    "beer_barrel": "us_bbl us_beer_bbl beer_bbl bbl_us us_barrel us_barrels",
    "imperial_barrel": "uk_bbl imp_bbl imperial_bbl uk_barrel uk_barrels imperial_barrel imperial_barrels",
    "imperial_pint": "imp_pt uk_pt imp_pint imp_pints uk_pint uk_pints imperial_pint imperial_pints",
    "us_fluid_ounce": "us_fl_oz us_fl._oz us_floz fl_oz_us us_fluid_ounce us_fluid_ounces",
    "imperial_fluid_ounce": "imp_fl_oz uk_fl_oz fl_oz_imp imperial_fl_oz imperial_fluid_ounce imperial_fluid_ounces",
    "metre ** 3": "m3 m^3 cubic_metre cubic_metres cubic_meters",
    "metre ** 6": "m6 m^6",
    "metre ** 2": "m2 m^2 sqm sq_m square_metre square_metres square_meters",
    "centimetre ** 2": "cm2 cm^2",
    "second": "s sec secs second seconds",
    "minute": "min mins minute minutes",
    "hour": "h hr hrs hour hours",
    "day": "d day days",
    "month": "month months mth mths",
    "kelvin": "k kelvin",
    "celsius": "°c c degc deg_c celsius degrees_celsius degree_celsius degrees_c",
    "fahrenheit": "°f f degf deg_f fahrenheit degrees_fahrenheit degree_fahrenheit degrees_f",
    "bar": "bar bars",
    "millibar": "mbar millibar",
    "kilopascal": "kpa kilopascal kilopascals",
    "pascal": "pa pascal pascals",
    "psi": "psi lb/in2 lbf/in2",
    "kilojoule": "kj kilojoule kilojoules",
    "kilocalorie": "kcal kilocalorie kilocalories",
    "pascal * second": "pa_s pa·s pa*s pa.s pas pascal_second pascal_seconds",
    "millipascal_second": "mpa_s mpa·s mpa*s mpa.s mpas millipascal_second millipascal_seconds cp centipoise",
    "degree": "° deg degs degree degrees",
    "radian": "rad radian radians",
    "percent": "% percent pct per_cent",
    "share": "fraction",
    "milligram / kilogram": "ppm",
    "microgram / kilogram": "ppb",
    "megajoule": "mj megajoule megajoules",
    "kilowatt_hour": "kwh kilowatt_hour kilowatt_hours",
    # Degrees Brix and Plato are both per cent of sugar by weight.
    "plato": "°p p degp deg_p plato degrees_plato degree_plato °plato °bx bx brix °brix degrees_brix",
    "gravity": "sg",
    "refraction": "nd nd20 n_d ri",
    "litre * gravity_degree": "l° l_deg l_degree l_degrees litre_degree litre_degrees",
    "pasteurisation_unit": "pu pus pasteurisation_unit pasteurisation_units pasteurization_units",
    "mole": "mol mole moles",
    "millimole": "mmol millimole millimoles",
    "absorbance_unit": "au absorbance",
    # Haze and colour share a name; no calculation takes one for the other.
    "ebc_unit": "ebc ebc_unit ebc_units",
    "srm_unit": "srm °srm",
    "ntu_unit": "ntu fnu",
    "asbc_ftu_unit": "asbc_ftu ftu_asbc",
    "bitterness_unit": "bu ibu ebu bitterness_unit bitterness_units",
    "fold": "fold times",
    "item": "unit units bottle bottles can cans keg kegs case cases pallet pallets layer layers container containers "
    "pack packs piece pieces pcs cell cells drink drinks standard_drink standard_drinks 1",
    "thousand": "thousand",
    "million": "million millions mio million_cells million_units",
    "billion": "billion billions billion_cells",
    "co2_volume": "vol vols volume volumes vol_co2 volumes_co2 v/v",
}
_BASES = {
    ("bar", "millibar", "kilopascal", "pascal", "psi"): {
        Basis.GAUGE: "g (g) gauge _g _(g) _gauge _gage",
        Basis.ABSOLUTE: "a (a) abs absolute _a _(a) _abs _absolute",
    },
    ("kelvin", "celsius", "fahrenheit"): {Basis.DIFFERENCE: "_difference _diff _warmer _colder"},
    ("percent",): {
        Basis.BY_WEIGHT: "w/w _w/w _wt _by_weight _by_mass _m/m w",
        Basis.BY_VOLUME: "vol _vol v/v _v/v abv _abv _by_volume _alc _alc/vol",
        Basis.WEIGHT_PER_VOLUME: "w/v _w/v _g/100_ml _m/v",
    },
}
_WHOLE = {"abv": Unit("percent", Basis.BY_VOLUME), "vol%": Unit("percent", Basis.BY_VOLUME)}
_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")
_PER = re.compile(r"\s*/\s*|_per_|^per_")


@cache
def _registry() -> pint.UnitRegistry[float]:
    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None)
    for line in _DEFINITIONS.strip().splitlines():
        registry.define(line)
    return registry


@lru_cache(maxsize=1024)
def _dimension(expression: str) -> str:
    return str(_registry().get_dimensionality(expression))


@cache
def _spellings() -> dict[str, Unit]:
    known = {spelling: Unit(name) for name, spellings in _ATOMS.items() for spelling in spellings.split()}
    for names, endings in _BASES.items():
        for name in names:
            for basis, ends in endings.items():
                stems = _ATOMS[name].split()
                known |= {stem + end: Unit(name, basis) for stem in stems for end in ends.split()}
    return known | _WHOLE


@lru_cache(maxsize=1024)
def unit(text: str) -> Unit:
    """Return the unit of a spelling such as "g/L", "°C", "bar gauge", "per hour".

    Raises
    ------
    UnknownUnitError
        When the spelling is not known, or leaves open which unit it means (a gallon, a barrel).
    """
    if len(text) > MAX_UNIT_LENGTH:
        raise UnknownUnitError(text[:MAX_UNIT_LENGTH])
    plain = unicodedata.normalize("NFKC", text.translate(_SUPERSCRIPTS)).strip().casefold()
    plain = re.sub(r"[\s_]+", "_", plain)
    if plain in _spellings():
        return _spellings()[plain]
    parts = [part.strip("_") for part in _PER.split(plain)]
    if len(parts) not in {2, 3}:
        raise UnknownUnitError(text)
    top, *below = parts
    names = [_part(top or "1", text), *(f"({_part(part, text)})" for part in below)]
    return Unit(" / ".join(names))


def _part(part: str, text: str) -> str:
    known = _spellings().get(part)
    if known is None or known.basis is not None:
        raise UnknownUnitError(text)
    return known.expression


def can_convert(one: Unit, other: Unit) -> bool:
    """Return whether values in one unit can be told in the other.

    Gauge and absolute pressure convert; percentages on different bases do not, nor do a temperature and a
    difference. A basis left unsaid is taken to be that of the other unit.
    """
    if one.dimension != other.dimension:
        return False
    bases = {one.basis, other.basis} - {None}
    return len(bases) <= 1 or bases == {Basis.GAUGE, Basis.ABSOLUTE}


def convert(value: float, source: Unit, target: Unit, *, atmosphere_bar: float = STANDARD_ATMOSPHERE.value) -> float:
    """Return a value in another unit of the same dimension.

    Raises
    ------
    UnknownUnitError
        When the units do not convert.
    """
    if not can_convert(source, target):
        raise UnknownUnitError(f"{source.expression} does not convert to {target.expression}.")
    if source.expression == target.expression:
        result = value
    else:
        is_difference = Basis.DIFFERENCE in {source.basis, target.basis}
        before, after = (_difference(each) if is_difference else each.expression for each in (source, target))
        result = float(_registry().Quantity(value, before).to(after).magnitude)
    return result + _datum_shift(source, target, atmosphere_bar)


def _difference(of: Unit) -> str:
    # A kelvin has no offset, so the library keeps no difference for it.
    return of.expression if of.expression == "kelvin" else f"delta_{of.expression}"


def _datum_shift(source: Unit, target: Unit, atmosphere_bar: float) -> float:
    if {source.basis, target.basis} != {Basis.GAUGE, Basis.ABSOLUTE}:
        return 0.0
    atmosphere = float(_registry().Quantity(atmosphere_bar, "bar").to(target.expression).magnitude)
    return atmosphere if target.basis is Basis.ABSOLUTE else -atmosphere


#: What says how many, or what share, and measures nothing: a count, a fraction, a percentage, a relative density.
#: An extract of 12 °P is a share by weight of 12 hundredths.
_ONES = {"item": 1.0, "share": 1.0, "gravity": 1.0, "plato": 0.01}


def base_size(of: Unit) -> tuple[float, dict[str, float]]:
    """Return a unit as a factor times powers of base units, by their names; a temperature as its difference.

    Counts, shares and relative densities are the number one.
    """
    has_zero_of_its_own = of.expression in {"celsius", "fahrenheit"}
    name = f"delta_{of.expression}" if has_zero_of_its_own else of.expression
    quantity = _registry().Quantity(1.0, name).to_root_units()
    factor = float(quantity.magnitude)
    powers = {base: float(str(power)) for base, power in quantity.unit_items()}
    for base in _ONES.keys() & powers.keys():
        factor *= _ONES[base] ** powers.pop(base)
    return factor, powers
