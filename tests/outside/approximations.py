"""The formulas that approximate, held against better ones over the range for which they are stated.

The better formulas come from libraries (CoolProp, iapws) or are written here from their published coefficients; they
are no part of the site.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import CoolProp.CoolProp as coolprop  # noqa: N813 - it is no class
from fluids.atmosphere import ATMOSPHERE_1976
from iapws._iapws import _Henry
from scipy import stats
from scipy.optimize import brentq

from assessments.calculations import calculation

ZERO = 273.15
ATMOSPHERE_PA = 101325
BAR_PER_PSI = 0.06894757
# OIML R 22 (1973), density of ethanol and water at 20 degC, coefficients A1 to A12
OIML = [
    998.2012300, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
    306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
]  # fmt: skip
#: Points along the range of a single given, and along each of several.
_POINTS, _POINTS_EACH = 81, 9


@dataclass(frozen=True, kw_only=True)
class Approximation:
    """A calculation beside a better formula for the same.

    `ranges` holds for each given the lowest and the highest value; `bound` is the error that we state, in the unit
    of the answer, or as a share of it with `is_share`.
    """

    code: str
    better_name: str
    better: Callable[..., float]
    ranges: tuple[tuple[float, float], ...]
    bound: float
    is_share: bool = False

    @property
    def name(self):
        """Return what the calculation is called."""
        return calculation(self.code).title

    @property
    def unit(self):
        """Return the unit of the error."""
        return "%" if self.is_share else calculation(self.code).answer.unit

    @property
    def stated(self):
        """Return the bound in that unit."""
        return 100 * self.bound if self.is_share else self.bound

    @cached_property
    def worst(self):
        """Return the largest error over the range, with its sign, and the givens at which it is met."""
        points = _POINTS if len(self.ranges) == 1 else _POINTS_EACH
        grid = product(*(_spread(*ends, points) for ends in self.ranges))
        errors = {point: self._error(point) for point in grid}
        point = max(errors, key=lambda each: abs(errors[each]))
        return errors[point], point

    @property
    def holds(self):
        """Return whether the error stays within what we state."""
        return abs(self.worst[0]) <= self.stated

    def _error(self, point):
        ours, better = calculation(self.code).work(*point), self.better(*point)
        return 100 * (ours - better) / better if self.is_share else ours - better


def _spread(low, high, points):
    return [low] if low == high else [low + (high - low) * step / (points - 1) for step in range(points)]


def brix(gravity):
    """Return the extract by the printed cubic fit to NBS Circular C440."""
    return 182.4601 * gravity**3 - 775.6821 * gravity**2 + 1262.7794 * gravity - 669.5622


def co2_by_mass_of_water(temp_c, pressure_bar):
    """Return g/kg by IAPWS G7-04: mole fraction p/kH, 55.51 mol of water to the kilogram."""
    share = pressure_bar / 10 / _Henry(temp_c + ZERO, "CO2")
    return share / (1 - share) * 55.51 * 44.0095


def co2_in_water(temp_c, pressure_bar):
    """Return g/L by IAPWS G7-04."""
    water = coolprop.PropsSI("D", "T", temp_c + ZERO, "P", ATMOSPHERE_PA, "Water") / 1000
    return co2_by_mass_of_water(temp_c, pressure_bar) * water


def co2_in_water_under(temp_c, gauge_bar, air_bar):
    """Return g/L in water under a head of CO2."""
    return co2_in_water(temp_c, gauge_bar + air_bar)


def co2_by_real_gas(volumes):
    """Return g/L of volumes at 0 degC and 1 atm by the density of the real gas (Span and Wagner)."""
    return volumes * gas_density(ZERO)


def gas_density(kelvin):
    """Return the density of CO2 at 1 atm, g/L (Span and Wagner)."""
    return coolprop.PropsSI("D", "T", kelvin, "P", ATMOSPHERE_PA, "CarbonDioxide")


def volumes_by_real_gas(dissolved):
    """Return volumes at 0 degC and 1 atm of g/L by the density of the real gas (Span and Wagner)."""
    return dissolved / gas_density(ZERO)


def volumes_in_water(temp_f, gauge_psi):
    """Return volumes in water under a head of CO2 at sea level (IAPWS G7-04)."""
    return volumes_by_real_gas(co2_in_water((temp_f - 32) / 1.8, (gauge_psi + 14.6959) * BAR_PER_PSI))


def tabled_air(altitude_m):
    """Return the pressure of the US Standard Atmosphere 1976 as fluids has it, bar."""
    return ATMOSPHERE_1976(altitude_m).P / 1e5


def gauge_for_water(target, temp_c, altitude_m):
    """Return the gauge at which water takes up so much CO2 (IAPWS G7-04), bar."""
    return brentq(lambda bar: co2_in_water(temp_c, bar + tabled_air(altitude_m)) - target, 0, 6)


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


def fill_in_air(gross_g, tare_g, density):
    """Return the volume with the buoyancy of air taken out (OIML R 111: air 0.0012, weights 8.0 g/mL), mL."""
    return (gross_g - tare_g) * (1 - 0.0012 / 8.0) / (density - 0.0012)


def units_by_z(minutes, temp_c):
    """Return pasteurisation units by the z value of 6.95 degC (Del Vecchio et al. 1951)."""
    return minutes * 10 ** ((temp_c - 60) / 6.95)


def mean_margin_by_student(nominal, batch, mean, deviation):
    """Return the margin of a batch mean by Student's t itself, 99.5 % one-sided, mL."""
    drawn = 30 if batch <= 500 else 50
    return mean - nominal + stats.t.ppf(0.995, drawn - 1) / math.sqrt(drawn) * deviation


def energy_by_real_ethanol(strength, carbohydrate, protein):
    """Return the energy of beer with the density of ethanol at 20 degC (CoolProp), kJ/100 mL."""
    ethanol = coolprop.PropsSI("D", "T", 20 + ZERO, "P", ATMOSPHERE_PA, "Ethanol") / 1000
    return 29 * ethanol * strength + 17 * (carbohydrate + protein)


def calories_from_joules(strength, carbohydrate, protein):
    """Return the energy of beer by the kilojoules of the law and 4.184 kJ to the kilocalorie, kcal/100 mL."""
    return (29 * 0.789 * strength + 17 * (carbohydrate + protein)) / 4.184


def x_height_by_exact_point(size, share):
    """Return the x-height by the point of just 25.4/72 mm, mm."""
    return 25.4 / 72 * size * share


APPROXIMATIONS = [
    Approximation(
        code="C04-plato",
        better_name="NBS Circular C440 by its printed cubic fit",
        better=brix,
        ranges=((1.0, 1.083),),
        bound=0.005,
    ),
    Approximation(
        code="C05-pressure",
        better_name="IAPWS G7-04 for water; beer takes 1 to 2 % less",
        better=co2_in_water_under,
        ranges=((1.1, 25), (0.5, 2.5), (0.95, 1.03)),
        bound=0.05,
        is_share=True,
    ),
    Approximation(
        code="C05-volumes",
        better_name="CoolProp, density of the real gas at 0 degC and 1 atm",
        better=co2_by_real_gas,
        ranges=((1.8, 3.2),),
        bound=0.01,
        is_share=True,
    ),
    Approximation(
        code="C24-volumes",
        better_name="CoolProp, density of the real gas at 0 degC and 1 atm",
        better=volumes_by_real_gas,
        ranges=((4, 6.4),),
        bound=0.0002,
        is_share=True,
    ),
    Approximation(
        code="C24-chart",
        better_name="IAPWS G7-04 for water; beer takes 1 to 2 % less",
        better=volumes_in_water,
        ranges=((34, 60), (0, 30)),
        bound=0.036,
        is_share=True,
    ),
    Approximation(
        code="C24-altitude",
        better_name="US Standard Atmosphere 1976 by fluids",
        better=tabled_air,
        ranges=((0, 5000),),
        bound=0.0006,
        is_share=True,
    ),
    Approximation(
        code="C24-setting",
        better_name="IAPWS G7-04 for water and the tabled atmosphere",
        better=gauge_for_water,
        ranges=((4.6, 5.6), (1.1, 10), (0, 2600)),
        bound=0.04,
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
        code="C10-fill",
        better_name="the buoyancy of air taken out, OIML R 111",
        better=fill_in_air,
        ranges=((505, 545), (178, 205), (1.004, 1.05)),
        bound=0.0012,
        is_share=True,
    ),
    Approximation(
        code="C11-units",
        better_name="z = 6.95 degC, Del Vecchio et al. 1951",
        better=units_by_z,
        ranges=((20, 20), (50, 75)),
        bound=0.003,
        is_share=True,
    ),
    Approximation(
        code="C31-mean",
        better_name="Student's t of the sample itself (scipy)",
        better=mean_margin_by_student,
        ranges=((330, 350), (100, 1000), (330, 330), (1, 4)),
        bound=0.001,
    ),
    Approximation(
        code="C32-energy",
        better_name="density of ethanol at 20 degC (CoolProp)",
        better=energy_by_real_ethanol,
        ranges=((3.5, 8), (1.5, 5.5), (0.2, 0.8)),
        bound=0.001,
        is_share=True,
    ),
    Approximation(
        code="C32-calories",
        better_name="kilojoules of the law over 4.184",
        better=calories_from_joules,
        ranges=((0, 12), (0.5, 10), (0, 1)),
        bound=0.016,
        is_share=True,
    ),
    Approximation(
        code="C33-x_height",
        better_name="the point of 25.4/72 mm",
        better=x_height_by_exact_point,
        ranges=((5, 11), (0.4, 0.55)),
        bound=0.0001,
        is_share=True,
    ),
]
