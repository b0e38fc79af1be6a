"""Published figures: yield of the brewhouse."""

PUBLISHED = {
    "C21-yield": [
        (
            {"wort": 100, "extract": 12, "gravity": 1.04837, "grist": 1600},
            100 * (100 * 958.42 / 998.21) * (99.82 * 1.04837 * 0.12) / 1600,
            0.2,
            "mass balance with water that shrinks from 99.9 to 20 degC, by CoolProp 8.0.0",
        ),
    ],
    "C21-won": [
        ({"wort": 95, "extract": 12, "gravity": 1.04837}, 1193.0, 0.5, "[2.4b] mass balance with 0.9982 kg/L"),
    ],
    "C21-efficiency": [
        ({"won": 1193, "grist": 1600, "potential": 80}, 93.2, 0.05, "[2.4c] extract won over extract available"),
    ],
    "C21-grist": [
        (
            {"wort": 25, "extract": 11.5, "gravity": 1.04629, "efficiency": 98, "potential": 78},
            392.8,
            0.3,
            "[2.4e] mass balance with density",
        ),
        (
            # The note counts hL times °P as kilograms: wort of which a litre weighs a kilogram.
            {"wort": 25, "extract": 11.5, "gravity": 1 / 0.9982, "efficiency": 98, "potential": 78},
            375.9,
            0.3,
            "[2.4d] a maltster's note, Working out a grist using EBC extract (crispmalt.com)",
        ),
    ],
}
