"""Formulas of brewhouse and cellar that approximate, beside better ones from libraries and published coefficients."""

import CoolProp.CoolProp as coolprop  # noqa: N813 - it is no class
from chemicals.refractivity import brix_to_RI
from scipy.optimize import brentq
from thermo.electrochem import Laliberte_density

from tests.outside.approximation import Approximation

ZERO = 273.15
ATMOSPHERE_PA = 101325
SUCROSE = "57-50-1"
# OIML R 22 (1973), density of ethanol and water at 20 degC, coefficients A1 to A12
OIML = [
    998.2012300, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
    306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
]  # fmt: skip


def brix(gravity):
    """Return the extract by the printed cubic fit to NBS Circular C440."""
    return 182.4601 * gravity**3 - 775.6821 * gravity**2 + 1262.7794 * gravity - 669.5622


def gravity_by_table(plato):
    """Return the gravity at which the cubic fit to NBS Circular C440 has that extract."""
    return brentq(lambda gravity: brix(gravity) - plato, 0.99, 1.1)


def density_of_sucrose(plato):
    """Return the density of sucrose in water at 20 degC by the model of Laliberte and Cooper (2004), kg/m3."""
    return Laliberte_density(20 + ZERO, [plato / 100], [SUCROSE])


def pounds_of_sucrose(plato):
    """Return the sucrose in 31 US gallons of such a solution, lb."""
    return density_of_sucrose(plato) * 0.1173477658 * plato / 100 / 0.45359237


def of_water(quantity, temp_c):
    """Return a property of water at 1 atm by IAPWS-95."""
    return coolprop.PropsSI(quantity, "T", temp_c + ZERO, "P", ATMOSPHERE_PA, "Water")


def mass_of_water(volume_hl, temp_c):
    """Return the mass of hot water by IAPWS-95, kg."""
    return volume_hl / 10 * of_water("D", temp_c)


def heat_of_water(mass_kg, start_c, end_c):
    """Return the heat that warms water by IAPWS-95, kWh."""
    return mass_kg * (of_water("H", end_c) - of_water("H", start_c)) / 3.6e6


def mash_by_enthalpy(water_c, grist_c, ratio, heats, slaking_c):
    """Return the temperature at which water (IAPWS-95) has given up just what the grist takes, degC."""

    def left(mash_c):
        grist = heats * of_water("C", mash_c) * (mash_c - grist_c)
        return ratio * (of_water("H", water_c) - of_water("H", mash_c)) - grist

    return brentq(left, grist_c, water_c) + slaking_c


def attenuation_by_extract(original, final):
    """Return the apparent attenuation by extract, each by the cubic fit to NBS Circular C440, %."""
    return 100 * (brix(original) - brix(final)) / brix(original)


def real_extract_by_cutaia(original_p, apparent_p):
    """Return the real extract by the quotient of Cutaia, Reid and Speers (2009)."""
    return original_p - (0.814 + 0.00086 * original_p) * (original_p - apparent_p)


def spirit_density(share):
    """Return the density of ethanol and water at 20 degC by the mass share of ethanol, kg/m3 (OIML R 22)."""
    return sum(factor * share**power for power, factor in enumerate(OIML))


def by_volume(share):
    """Return the strength by volume of a mass share of ethanol (OIML R 22)."""
    return 100 * share * spirit_density(share) / spirit_density(1.0)


def by_mass(percent_by_volume):
    """Return the mass share of ethanol of a strength by volume (OIML R 22)."""
    return brentq(lambda share: by_volume(share) - percent_by_volume, 0, 1)


def water_by_mass(beer_hl, strength, target):
    """Return the water that brings spirit to a strength by the balance of masses (OIML R 22), hL."""
    mass = beer_hl * spirit_density(by_mass(strength))
    return mass * (by_mass(strength) / by_mass(target) - 1) / spirit_density(0.0)


def alcohol_by_balling(original, final):
    """Return % vol by Balling's formula, the attenuation quotient 0.8192 and OIML R 22."""
    original_p, apparent_p = brix(original), brix(final)
    real_p = 0.1808 * original_p + 0.8192 * apparent_p
    by_weight = (original_p - real_p) / (2.0665 - 0.010665 * original_p)
    return by_weight * final * spirit_density(0.0) / spirit_density(1.0)


def strike_by_enthalpy(mash_c, grist_c, ratio):
    """Return the temperature at which water (IAPWS-95) gives up just the heat that the grist takes, degC."""

    def enthalpy(temp_c):
        return coolprop.PropsSI("H", "T", temp_c + ZERO, "P", ATMOSPHERE_PA, "Water")

    heat = 0.41 * coolprop.PropsSI("C", "T", mash_c + ZERO, "P", ATMOSPHERE_PA, "Water") * (mash_c - grist_c)
    return brentq(lambda temp_c: ratio * (enthalpy(temp_c) - enthalpy(mash_c)) - heat, mash_c, 99.9)


WORT = [
    Approximation(
        code="C04-plato",
        better_name="NBS Circular C440 by its printed cubic fit",
        better=brix,
        ranges=((1.0, 1.083),),
        bound=0.005,
    ),
    Approximation(
        code="C19-alcohol",
        better_name="Balling, attenuation quotient 0.8192, OIML R 22",
        better=alcohol_by_balling,
        ranges=((1.036, 1.07), (1.006, 1.016)),
        bound=0.2,
    ),
    Approximation(
        code="C18-water",
        better_name="balance of masses by OIML R 22, contraction counted",
        better=water_by_mass,
        ranges=((100, 100), (5.5, 8), (4, 4.9)),
        bound=0.001,
        is_share=True,
    ),
    Approximation(
        code="C03-strike",
        better_name="enthalpy of water by IAPWS-95 (CoolProp)",
        better=strike_by_enthalpy,
        ranges=((60, 70), (8, 26), (2.5, 4)),
        bound=0.02,
    ),
    Approximation(
        code="C04-real_extract",
        better_name="quotient of Cutaia, Reid and Speers (2009)",
        better=real_extract_by_cutaia,
        ranges=((9, 18), (1.5, 4)),
        bound=0.2,
    ),
    Approximation(
        code="C21-hot_water",
        better_name="density by IAPWS-95 (CoolProp)",
        better=mass_of_water,
        ranges=((100, 100), (0.1, 99.9)),
        bound=0.0003,
        is_share=True,
    ),
    Approximation(
        code="C21-heat",
        better_name="enthalpy of water by IAPWS-95 (CoolProp)",
        better=heat_of_water,
        ranges=((1000, 1000), (8, 25), (70, 85)),
        bound=0.003,
        is_share=True,
    ),
    Approximation(
        code="C21-mash",
        better_name="enthalpy of water by IAPWS-95 (CoolProp)",
        better=mash_by_enthalpy,
        ranges=((58, 80), (8, 26), (2.5, 4), (0.4, 0.4), (0, 0)),
        bound=0.01,
    ),
    Approximation(
        code="C22-by_gravity",
        better_name="attenuation by extract, NBS Circular C440",
        better=attenuation_by_extract,
        ranges=((1.036, 1.07), (1.006, 1.014)),
        bound=1.4,
    ),
    Approximation(
        code="C35-gravity",
        better_name="NBS Circular C440 by its printed cubic fit",
        better=gravity_by_table,
        ranges=((0, 20),),
        bound=0.00002,
    ),
    Approximation(
        code="C35-density",
        better_name="Laliberte and Cooper 2004 for sucrose (thermo)",
        better=density_of_sucrose,
        ranges=((0.1, 20),),
        bound=0.05,
    ),
    Approximation(
        code="C35-barrel",
        better_name="mass of a barrel of sucrose solution (thermo)",
        better=pounds_of_sucrose,
        ranges=((0.1, 20),),
        bound=0.003,
        is_share=True,
    ),
    Approximation(
        code="C35-refraction",
        better_name="ICUMSA table (chemicals)",
        better=brix_to_RI,
        ranges=((0, 20),),
        bound=0.00002,
    ),
]
