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
}
