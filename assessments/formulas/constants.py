"""The constants of the formulas, each with its unit and where it comes from."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Constant:
    """A fixed figure. `source` opens with a key of `references.REFERENCES` in square brackets."""

    value: float
    unit: str
    source: str


FAHRENHEIT_PER_CELSIUS = Constant(1.8, "degF/degC", "[SP811] exact")
FAHRENHEIT_AT_FREEZING = Constant(32.0, "degF", "[SP811] exact")
ZERO_CELSIUS = Constant(273.15, "K", "[SI] exact")
PSI_PER_BAR = Constant(14.5038, "psi/bar", "[SP811] 1 psi = 6.894757 kPa")
KPA_PER_BAR = Constant(100.0, "kPa/bar", "[SI] exact")
STANDARD_ATMOSPHERE = Constant(1.01325, "bar", "[USSA1976] exact")
LITRES_PER_US_GALLON = Constant(3.785412, "L/US gal", "[SP811] 231 cubic inches")
LITRES_PER_HECTOLITRE = Constant(100.0, "L/hL", "[SI] exact")
LITRES_PER_IMPERIAL_GALLON = Constant(4.54609, "L/imp gal", "[UK-GALLON] exact")
GALLONS_PER_IMPERIAL_BARREL = Constant(36.0, "imp gal/imp bbl", "[PRACTICE] custom of the trade")
ML_PER_US_FLUID_OUNCE = Constant(29.5735, "mL/US fl oz", "[SP811] a 128th of a US gallon, 29.57353 mL")
KG_PER_POUND = Constant(0.45359237, "kg/lb", "[POUND-1959] exact")
LITRES_PER_BEER_BARREL = Constant(117.3478, "L/US bbl", "[CFR27] 31 US gal")

HEAT_RATIO_GRIST_TO_WATER = Constant(0.41, "1", "[PRACTICE] malt of about 6 % moisture; 0.38 to 0.42 over 0 to 8 %")
SPECIFIC_HEAT_OF_WATER = Constant(4.19, "kJ/kg/K", "[IAPWS-95] at 70 degC; 4.184 to 4.197 from 20 to 80 degC")
HOT_WORT_FACTOR = Constant(0.96, "1", "[KUNZE] shrinkage on cooling, and trub")
WATER_DENSITY = Constant(0.9982, "kg/L", "[OIML-R22] 998.2012 kg/m3 at 20 degC")

APPARENT_SHARE = Constant(0.8192, "1", "[BALLING] attenuation quotient")
ORIGINAL_SHARE = Constant(0.1808, "1", "[BALLING] 1 - 0.8192")
EXTRACT_PER_ALCOHOL = Constant(2.0665, "g/g", "[BALLING] extract fermented for each gram of alcohol")
YIELD_FALL = Constant(0.010665, "1", "[BALLING] (2.0665 - 1)/100")
CO2_PER_ALCOHOL = Constant(0.9565, "g/g", "[BALLING] 2.0665 = 1 + 0.9565 + 0.11 of yeast")
ASBC_CORRECTION = Constant(0.005161, "1", "[ASBC-BEER6]")
PURE_ETHANOL_DENSITY = Constant(789.24, "kg/m3", "[OIML-R22] at 20 degC")
ETHANOL_TO_WATER = Constant(0.7907, "1", "[OIML-R22] 789.24/998.20 at 20 degC")
ALCOHOL_PER_GRAVITY = Constant(131.25, "% vol", "[PRACTICE] OG 1.030 to 1.070")

CO2_PER_VOLUME = Constant(1.96, "g/L", "[PRACTICE] ideal gas 1.9635, real gas 1.977 at 0 degC and 1 atm")
CO2_DENSITY = Constant(1.977, "g/L", "[REAL-GAS] 0 degC and 1 atm")
CHART_ATMOSPHERE = Constant(14.695, "psi", "[ASBC-BEER13] the fit's own")
HENRY_OFFSET = Constant(10.73797, "1", "[MEBAK-CO2]")
HENRY_SLOPE = Constant(2617.25, "K", "[MEBAK-CO2]")

FILTER_AID_DENSITY = Constant(2.3, "kg/L", "[FILTER-AID] 2.2 to 2.3")
NTU_PER_EBC = Constant(4.0, "NTU/EBC", "[EBC-HAZE]")
ASBC_FTU_PER_EBC = Constant(69.0, "ASBC FTU/EBC", "[FORMAZIN] 4 NTU at 17.24 ASBC FTU")

EBC_COLOUR = Constant(25.0, "EBC", "[EBC-COLOUR] for an absorbance of 1 in 1 cm")
SRM_COLOUR = Constant(12.7, "SRM", "[ASBC-COLOUR] for an absorbance of 1 in 1 cm")
SRM_HALF_INCH = Constant(10.0, "SRM", "[ASBC-COLOUR] for an absorbance of 1 in half an inch")
CLEAR_SHARE = Constant(0.039, "1", "[ASBC-COLOUR] absorbance at 700 nm over that at 430 nm, at most")
READABLE = Constant(0.8, "AU", "[LINEAR-RANGE] absorbance at 430 nm, at most")
BITTERNESS_FACTOR = Constant(50.0, "BU", "[EBC-BITTER] for an absorbance of 1")
ISOMERISATION = Constant(7.9e11, "1/min", "[ISOMERISATION]")
ISOMERISATION_SLOPE = Constant(11858.0, "K", "[ISOMERISATION]")
BREAKDOWN = Constant(4.1e12, "1/min", "[ISOMERISATION]")
BREAKDOWN_SLOPE = Constant(12994.0, "K", "[ISOMERISATION]")
GRAMS_PER_POUND = Constant(453.59237, "g/lb", "[SP811] exact")

CAUSTIC_MOLAR_MASS = Constant(40.00, "g/mol", "[ATOMIC-MASS] sodium hydroxide, 39.997")

LETHAL_RATE_BASE = Constant(1.393, "1", "[DEL-VECCHIO] z = 6.95 degC")
LETHAL_REFERENCE = Constant(60.0, "degC", "[DEL-VECCHIO]")

AIR_DENSITY = Constant(0.0012, "g/mL", "[OIML-BUOYANCY] conventional")
BALANCE_WEIGHTS_DENSITY = Constant(8.0, "g/mL", "[OIML-BUOYANCY] conventional")
MM_PER_POINT = Constant(0.3528, "mm/pt", "[POINT] 25.4 mm over 72")
ETHANOL_DENSITY = Constant(0.789, "g/mL", "[FSANZ-271] at 20 degC; OIML R 22 has 0.78924")
UK_UNIT = Constant(10.0, "mL", "[UK-UNIT] ethanol in a unit")
US_DRINK = Constant(0.6, "US fl oz", "[US-DRINK] ethanol in a standard drink")
CHAMBER_DEPTH = Constant(0.1, "mm", "[PRACTICE] the depth of an improved Neubauer counting chamber")
