"""Published figures: malt in the laboratory."""

COMPANION = "The Oxford Companion to Beer, entry litre degrees per kilogram"
PUBLISHED = {
    "C21-litre_degrees": [({"wort": 500, "gravity": 1.056, "malt": 100}, 280.0, 0.01, f"[2.3a] {COMPANION}")],
    "C21-wort": [
        ({"extract": 300, "malt": 1, "gravity": 1.03}, 10.0, 0.001, f"[2.3b] {COMPANION}"),
        ({"extract": 300, "malt": 1, "gravity": 1.06}, 5.0, 0.001, f"[2.3c] {COMPANION}"),
    ],
    "C21-congress": [
        (
            {"extract": 100 * 75.7 / (75.7 + 804.5), "moisture": 4.5},
            75.7,
            1e-9,
            "mass balance: 75.7 g of extract in 804.5 g of water, from 100 g of malt (EBC 4.5.1, from memory)",
        ),
    ],
    "C21-dry": [({"extract": 75.7, "moisture": 4.5}, 79.27, 0.02, "[2.3e] dry = as is times 100/(100 - M)")],
}
