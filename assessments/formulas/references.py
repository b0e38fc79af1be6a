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
    Reference("MEBAK-IODINE", "MEBAK methods R-205.03.730 and B-400.04.110: the iodine test for starch"),
    Reference("MEBAK-CO2", "Temperature form for CO2 in beer, as listed by MEBAK; its constants", HowKnown.MEMORY),
    Reference("ASBC-BEER13", "ASBC Beer-13 chart of dissolved CO2, as a fit", HowKnown.MEMORY),
    Reference("USSA1976", "US Standard Atmosphere 1976, sea level: 101.325 kPa"),
    Reference("HEAT-BALANCE", "Heat balance of mashing in, r c_w (T_s - T_m) = c_g (T_m - T_g)", HowKnown.DERIVED),
    Reference(
        "BALLING",
        "Nielsen, Kristiansen, Lassen and Erikstroem, Balling's Formula: scrutiny of a brewing dogma; "
        "the quotient 0.8192",
        HowKnown.MEMORY,
    ),
    Reference("DEL-VECCHIO", "Del Vecchio et al., 1951: PU = t 1.393^(T - 60)"),
    Reference("DIR-76-211", "Directive 76/211/EEC, Annex I 2.4 and 2.5; 1.3 for twice the error"),
    Reference("OIML-R87", "OIML R 87, table 1", HowKnown.MEMORY),
    Reference("SEAM", "Quality Can Seams, Important calculations; the readings are asked for by 21 CFR 113.60"),
    Reference("GS1", "GS1 General Specifications 7.9, check digit calculation"),
    Reference("ISO-8601", "ISO 8601-1: calendar and ordinal dates"),
    Reference("REG-1169", "Regulation (EU) 1169/2011, Annex X: the form of the date"),
    Reference("MASS-BALANCE", "Mass balance, derived here", HowKnown.DERIVED),
    Reference("GEOMETRY", "Plane geometry, derived here", HowKnown.DERIVED),
    Reference("ARITHMETIC", "Arithmetic, derived here", HowKnown.DERIVED),
    Reference("PRACTICE", "Common practice, no source", HowKnown.PRACTICE),
    Reference("PLANT", "The plant's own rule", HowKnown.PRACTICE),
)

REFERENCES = {reference.key: reference for reference in _ALL}
