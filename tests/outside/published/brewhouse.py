"""Published figures: mashing and conversion."""

PUBLISHED = {
    "C02-iodine": [
        (
            {"sample": "cooled", "drop": "clear", "colour": "yellow to light brown"},
            "converted",
            0,
            "[2.2a] MEBAK R-205.03.730; the reading rule is common practice, no source",
        ),
        (
            {"sample": "cooled", "drop": "clear", "colour": "red to violet"},
            "large dextrins left",
            0,
            "[2.2b] MEBAK R-205.03.730; the reading rule is common practice, no source",
        ),
    ],
    "C02-conversion": [
        (
            {"ratio": 8, "extract": 8.6, "potential": 8.6 * 800 / (100 * (100 - 8.6))},
            100.0,
            1e-9,
            "EBC 4.5.1, E = P (M + 800)/(100 - P) at M = 0 (formula from memory): a full laboratory conversion",
        ),
    ],
    "C03-strike": [
        (
            {"mash": 65, "grist": 18, "ratio": 3.0 * 0.41 / 0.40},
            71.27,
            0.05,
            "[2.1a] heat balance at c_malt/c_water 0.40 (a catalogue of malt heats): 0.41/0.40 of the water",
        ),
    ],
    "C21-mash": [
        (
            {"water": 60, "grist": 30, "ratio": 3.0, "heats": 0.40, "slaking": 2.1},
            58.57,
            0.05,
            "[2.1c] catalogue of a supplier, brewing formulas; its own worked example, 65.9 degC, is wrong",
        ),
        (
            {"water": 71.27, "grist": 18, "ratio": 3.0, "heats": 0.40, "slaking": 0},
            65.0,
            0.05,
            "[2.1a] heat balance without slaking, the other way round",
        ),
    ],
    "C21-liquor": [
        (
            {"mash": 65, "grist": 18, "ratio": 3.0, "heats": 0.40, "slaking": 0},
            71.27,
            0.05,
            "[2.1a] heat balance at c_malt/c_water 0.40, without slaking",
        ),
        (
            {"mash": 58.57, "grist": 30, "ratio": 3.0, "heats": 0.40, "slaking": 2.1},
            60.0,
            0.05,
            "[2.1c] catalogue of a supplier, brewing formulas, the other way round",
        ),
    ],
}
