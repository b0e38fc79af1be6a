"""The sources behind the formulas and constants, by key.

A reference says how it is known: read in the named publication, given from memory, derived from a balance, or
common practice of the trade, for which no source is claimed.
"""

from dataclasses import dataclass

from assessments.vocabulary import HowKnown


@dataclass(frozen=True, slots=True)
class Reference:
    """A published source, or the plain word that there is none."""

    key: str
    text: str
    how_known: HowKnown = HowKnown.READ

    def __str__(self) -> str:
        """Return the source as it is printed under a calculation."""
        if self.how_known in {HowKnown.READ, HowKnown.DERIVED}:
            return self.text
        return f"{self.text} ({self.how_known})" if self.how_known is HowKnown.MEMORY else self.text


_ALL = (
    Reference("SP811", "NIST Special Publication 811, conversion factors", HowKnown.MEMORY),
    Reference("SI", "BIPM, The International System of Units: degree Celsius, bar and litre", HowKnown.MEMORY),
    Reference("CFR27", "27 CFR 25.11: the US beer barrel holds 31 US gallons", HowKnown.MEMORY),
    Reference(
        "ASBC-CUBIC",
        "Cubic fit to the ASBC table of extract against specific gravity 20/20, 1.000 to 1.083",
    ),
    Reference("UK-GALLON", "UK Weights and Measures Act: the imperial gallon is 4.54609 L", HowKnown.MEMORY),
    Reference("POUND-1959", "International yard and pound agreement, 1959: 1 lb = 0.45359237 kg", HowKnown.MEMORY),
    Reference(
        "NBS-C440", "NBS Circular C440 (1942): table of sucrose, °Brix against apparent gravity, as a cubic fit"
    ),
    Reference("ICUMSA-1974", "ICUMSA 1974, refractive index of sugar solutions at 20 °C, as coded in chemicals 1.5"),
    Reference("PLATO-FORM", "Supplier's sheet of brewing formulas: S = 1 + P/(258.6 - 227.1 P/258.2)"),
    Reference("BARREL-FORM", "Supplier's sheet of brewing formulas: (259 + P) P/100 pounds of extract in a US barrel"),
    Reference(
        "MASH-FORM", "Supplier's sheet of brewing formulas: mash temperature, with heats of malt and of slaking"
    ),
    Reference(
        "MCCUTCHEON",
        "McCutcheon, Martin and Barnwell in Handbook of Hydrology (1993), chapter 11, as read in public code",
    ),
    Reference("IAPWS-95", "IAPWS-95, properties of water, as coded in CoolProp 8"),
    Reference("LITRE-DEGREES", "The Oxford Companion to Beer, entry litre degrees per kilogram"),
    Reference("EBC-4.5.1", "EBC method 4.5.1, extract of malt by the Congress mash; the formula", HowKnown.MEMORY),
    Reference("KUNZE", "W. Kunze, brewhouse yield, on a course's sheet of formulas"),
    Reference("GRIST-NOTE", "Maltster's note, Working out a grist using EBC extract"),
    Reference("ASBC-BEER6", "ASBC Beer-6, real degree of fermentation; the constant", HowKnown.MEMORY),
    Reference("OIML-R22", "OIML R 22 (1973) and Directive 76/766/EEC, Annex: density of ethanol and water"),
    Reference("CHAMBER", "Geometry of the counting chamber: 0.1 mm deep, large squares of 1 mm²", HowKnown.DERIVED),
    Reference("MEBAK-IODINE", "MEBAK methods R-205.03.730 and B-400.04.110: the iodine test for starch"),
    Reference("MEBAK-CO2", "Temperature form for CO2 in beer, as listed by MEBAK; its constants", HowKnown.MEMORY),
    Reference("ASBC-BEER13", "ASBC Beer-13 chart of dissolved CO2, as a fit", HowKnown.MEMORY),
    Reference("REAL-GAS", "Span and Wagner, 1996, equation of state of CO2: 1.977 g/L at 0 °C and 1 atm"),
    Reference("USSA1976", "US Standard Atmosphere 1976, sea level: 101.325 kPa"),
    Reference("HEAT-BALANCE", "Heat balance of mashing in, r c_w (T_s - T_m) = c_g (T_m - T_g)", HowKnown.DERIVED),
    Reference(
        "BALLING",
        "Nielsen, Kristiansen, Lassen and Erikstroem, Balling's Formula: scrutiny of a brewing dogma; "
        "the quotient 0.8192",
        HowKnown.MEMORY,
    ),
    Reference("MACRON", "Macron, Delorme and Moll, MBAA Technical Quarterly 19(4), 1982: a steady rise in pressure"),
    Reference("FILTER-AID", "True density of diatomaceous earth, 2.2 to 2.3 kg/L", HowKnown.MEMORY),
    Reference("COAT-DENSITY", "myengineeringtools.com, Filter aid usage and pre-coating: 250 to 350 kg/m³ dry"),
    Reference("RUTH", "Law of cake filtration after Darcy and Ruth, as in Geankoplis, Transport Processes, 14.2"),
    Reference("EBC-HAZE", "EBC 9.29: 1 EBC unit of haze is 4 NTU of formazin", HowKnown.MEMORY),
    Reference("FORMAZIN", "ISO 7027 and AOAC recipes of formazin: 17.24 ASBC FTU to the NTU"),
    Reference("EBC-BITTER", "EBC 9.8 and ASBC Beer-23: bitterness from the absorbance at 275 nm", HowKnown.MEMORY),
    Reference(
        "ISOMERISATION",
        "Malowicki and Shellhammer, J. Agric. Food Chem. 53, 4434 (2005), abstract; its unit of time",
        HowKnown.MEMORY,
    ),
    Reference("EBC-COLOUR", "EBC 9.6: 25 times the absorbance at 430 nm; The Oxford Companion to Beer"),
    Reference("ASBC-COLOUR", "ASBC Beer-10: 12.7 times the absorbance at 430 nm; The Oxford Companion to Beer"),
    Reference("LINEAR-RANGE", "Absorbance is read below about 0.8", HowKnown.MEMORY),
    Reference("ATOMIC-MASS", "IUPAC standard atomic weights: NaOH 39.997 g/mol", HowKnown.MEMORY),
    Reference("LALIBERTE", "Laliberté and Cooper, 2004, densities of solutions; a fit made here", HowKnown.DERIVED),
    Reference(
        "CIP-SPEED",
        "Handbook, 27.2.1 Fluid mechanics of cleaning (issuhub.com): about 2 m/s in the pipe, at least 1.5",
    ),
    Reference("DEL-VECCHIO", "Del Vecchio et al., 1951: PU = t 1.393^(T - 60)"),
    Reference("DIR-76-211", "Directive 76/211/EEC, Annex I 2.4 and 2.5; 1.3 for twice the error; 3.1 for figures"),
    Reference("OIML-R87", "OIML R 87, table 1 and the sampling plans", HowKnown.MEMORY),
    Reference("SEAM", "Quality Can Seams, Important calculations; the readings are asked for by 21 CFR 113.60"),
    Reference("GS1", "GS1 General Specifications 7.9, check digit calculation"),
    Reference("ISO-8601", "ISO 8601-1: calendar, ordinal and week dates"),
    Reference("REG-1169", "Regulation (EU) 1169/2011, Annex X: the form of the date"),
    Reference("ISO-22400", "ISO 22400-2:2014, key performance indicators, as quoted in OPC 40501-1 annex C"),
    Reference("DIR-76-211-II", "Directive 76/211/EEC, Annex II 2.2 and 2.3: sampling, defectives and the mean"),
    Reference("SI-2006-659", "The Weights and Measures (Packaged Goods) Regulations 2006 (SI 2006/659), Schedule 2"),
    Reference(
        "LC-METROLOGY", "Saint Lucia, Metrology Act, Schedule 5: the table of OIML R 87 with its rows above 10 L"
    ),
    Reference("OIML-BUOYANCY", "OIML R 111: conventional densities, air 1.2 kg/m3 and weights 8000", HowKnown.MEMORY),
    Reference("NIST-HB133", "NIST Handbook 133, Table 2-1: sample correction factors", HowKnown.MEMORY),
    Reference("REG-1169-XII", "Regulation (EU) 1169/2011, Annex XII: tolerances of the alcoholic strength"),
    Reference("CFR27-7", "27 CFR 7.65: malt beverages, 0.3 percentage points either way"),
    Reference("CFR27-19", "27 CFR 19.356: bottled spirits"),
    Reference("FSANZ-271", "Australia New Zealand Food Standards Code, Standard 2.7.1: 10 g; tolerance from memory"),
    Reference("UK-UNIT", "UK unit of alcohol: 10 mL, about 8 g, as public guidance gives it"),
    Reference("US-DRINK", "US standard drink: 0.6 US fl oz, about 14 g, as public guidance gives it"),
    Reference("REG-1169-XIV", "Regulation (EU) 1169/2011, Annex XIV: energy factors"),
    Reference("REG-1169-13", "Regulation (EU) 1169/2011, Article 13 and Annex IV: size of print"),
    Reference("POINT", "The point of 1/72 inch, 0.3528 mm, that layout programs use", HowKnown.MEMORY),
    Reference("MASS-BALANCE", "Mass balance, derived here", HowKnown.DERIVED),
    Reference("GEOMETRY", "Plane geometry, derived here", HowKnown.DERIVED),
    Reference("ARITHMETIC", "Arithmetic, derived here", HowKnown.DERIVED),
    Reference("PRACTICE", "Common practice, no source", HowKnown.PRACTICE),
    Reference("PLANT", "The plant's own rule", HowKnown.PRACTICE),
)

REFERENCES = {reference.key: reference for reference in _ALL}
