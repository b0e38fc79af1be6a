"""Published figures: hops and colour.

[6.2a] and [6.2b], the two speeds at 100 degC, are steps here: `test_hops_and_colour.py` takes them.
"""

_COMPANION = "The Oxford Companion to Beer, entry Standard Reference Method (beerandbrewing.com)"
_KINETICS = "Malowicki and Shellhammer (2005), abstract; minutes from memory"

PUBLISHED = {
    "C07-lot": [({"mass": 4.0, "recipe_alpha": 10.0, "lot_alpha": 8.8}, 4.55, 0.005, "mass balance of alpha acid")],
    "C07-bitterness": [
        (
            {"wort": 100, "bitterness": 25, "alpha": 10, "utilisation": 30},
            8.33,
            0.01,
            "[6.1a] mass balance; 1 BU as 1 mg/L iso-alpha acid (EBC 9.8, from memory)",
        ),
        ({"wort": 200, "bitterness": 22.4, "alpha": 8, "utilisation": 28}, 20.0, 0.01, "[6.1c] the same, inverted"),
    ],
    "C27-brought": [
        ({"hops": 20, "wort": 200, "alpha": 8, "utilisation": 28}, 22.4, 0.01, "[6.1c] mass balance of alpha acid"),
    ],
    "C27-units": [({"absorbance": 0.5}, 25.0, 0.01, "[6.1d] 50 times the absorbance, EBC 9.8, from memory")],
    "C27-utilisation": [
        ({"temperature": 100, "time": 90}, 57.4, 0.5, f"[6.2d] {_KINETICS}"),
        ({"temperature": 90, "time": 30}, 14.2, 0.5, f"[6.2e] {_KINETICS}"),
    ],
    "C27-addition": [({"volume": 120, "rate": 250}, 30.0, 0.001, "[6.3a] volume times rate")],
    "C27-barrel": [({"rate": 1.0}, 386.5, 0.1, "[6.3c] pint 0.25.3")],
    "C28-ebc": [({"absorbance": 0.4, "dilution": 1}, 10.0, 0.01, f"[6.4b] {_COMPANION}: times 25")],
    "C28-srm": [
        (
            {"absorbance": 2.0, "dilution": 1, "cell": "1 cm"},
            25.4,
            0.05,
            "[6.4a] encyclopaedia article Standard Reference Method",
        ),
        (
            {"absorbance": 0.508, "dilution": 1, "cell": "half an inch"},
            5.08,
            0.01,
            f"[6.4e] {_COMPANION}: times 10 in a half-inch cell",
        ),
    ],
    "C28-conversion": [({"colour": 10}, 5.08, 0.01, "[6.4d] 12.7 over 25")],
    "C28-clarity": [
        ({"colour": 0.5, "haze": 0.019}, "clear enough", 0, "ASBC Beer-10: 0.039 of 0.5 is 0.0195"),
        ({"colour": 0.5, "haze": 0.02}, "filter again", 0, "ASBC Beer-10: 0.039 of 0.5 is 0.0195"),
        ({"colour": 0.9, "haze": 0.01}, "dilute first", 0, "read below about 0.8, from memory"),
    ],
}
