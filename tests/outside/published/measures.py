"""Published figures: weights and measures from other countries."""

PUBLISHED = {
    "C20-kilograms": [({"mass": 1}, 0.45359237, 1e-9, "[1.4a] international pound, exact; pint 0.25.3")],
    "C20-pounds": [({"mass": 25}, 55.1156, 0.0005, "[1.4b] pint 0.25.3")],
    "C20-barrels": [
        ({"volume": 100}, 85.2168, 0.0005, "[1.3b] pint 0.25.3"),
        ({"volume": 1.173477658}, 1.0, 1e-6, "[1.3a] 27 CFR 25.11: 31 US gallons; factor on convertunits.com"),
    ],
    "C20-imperial": [({"volume": 1}, 4.54609, 1e-6, "[1.3c] UK definition, exact; pint 0.25.3")],
    "C20-imperial_barrels": [
        ({"volume": 1}, 1.63659, 5e-6, "36 imperial gallons of 4.54609 L; the UK barrel as coded in pint 0.25.3")
    ],
    "C20-ounces": [({"volume": 12}, 354.882, 0.001, "[1.3e] pint 0.25.3")],
}
