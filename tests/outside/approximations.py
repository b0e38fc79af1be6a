"""The formulas that approximate, held against better ones over the range for which they are stated.

The better formulas come from libraries (CoolProp, iapws) or are written here from their published coefficients; they
are no part of the site.
"""

import math

import CoolProp.CoolProp as coolprop  # noqa: N813 - it is no class
from fluids.atmosphere import ATMOSPHERE_1976
from iapws._iapws import _Henry
from scipy import stats
from scipy.optimize import brentq

from tests.outside.approximation import Approximation
from tests.outside.wort_approximations import WORT

ZERO = 273.15
ATMOSPHERE_PA = 101325
BAR_PER_PSI = 0.06894757


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
    *WORT,
    Approximation(
        code="C05-pressure",
        better_name="IAPWS G7-04 for water; beer takes 1 to 2 % less",
        better=co2_in_water_under,
        ranges=((1.1, 25), (0.5, 2.5), (0.95, 1.03)),
        bound=0.045,
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
