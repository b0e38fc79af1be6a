"""Published figures: hops and colour."""

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
}
