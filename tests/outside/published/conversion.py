"""Published figures: conversions."""

PUBLISHED = {
    "C01-temperature": [
        ({"temperature": 38}, 3.33, 0.01, "[1.1b] NIST SP 811 factors as coded in pint 0.25.3"),
        ({"temperature": -40}, -40.0, 0.001, "[1.1c] the scales meet; pint 0.25.3"),
    ],
    "C01-fahrenheit": [({"temperature": -40}, -40.0, 0.001, "[1.1c] the scales meet; pint 0.25.3")],
    "C01-difference": [
        ({"difference": 5}, 9.0, 0.001, "[1.1d] SI Brochure / NIST SP 811: a difference has no offset")
    ],
    "C01-volume": [
        (
            {"volume": 31},
            1.173477658,
            1e-6,
            "[1.3a] 27 CFR 25.11: a beer barrel is 31 US gallons; factor on convertunits.com",
        ),
    ],
}
