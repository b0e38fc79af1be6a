"""Published figures: carbonation."""

PUBLISHED = {
    "C05-volumes": [
        ({"volumes": 2.5}, 4.94, 0.05, "[1.6b] CoolProp 8.0.0 density of CO2 at 0 degC and 1 atm, 1.977 g/L")
    ],
    "C05-pressure": [
        (
            {"temperature": 4, "pressure": 1.0, "atmosphere": 1.01325},
            5.61,
            0.12,
            "IAPWS G7-04 for water at the same pressure; beer takes 1 to 2 % less",
        ),
        (
            {"temperature": (36 - 32) / 1.8, "pressure": 12 / 14.5038, "atmosphere": 1.01325},
            2.68 * 1.977,
            0.12,
            "[4.2a] ASBC Beer-13 chart by its fit, 36 degF and 12 psig (from memory)",
        ),
    ],
}
