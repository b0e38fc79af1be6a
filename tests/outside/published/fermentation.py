"""Published figures: wort and fermentation."""

PUBLISHED = {
    "C04-apparent": [({"original": 12.0, "apparent": 2.5}, 79.2, 0.05, "definition, 100 (OE - AE)/OE")],
    "C04-real": [
        (
            {"original": 11.34, "apparent": 2.01},
            100 * (11.34 - 3.80) / 11.34,
            1.4,
            "[3.1d] Cutaia, Reid and Speers, J. Inst. Brew. 115 (2009), Table III: mean of 221 beers, RE 3.80",
        ),
    ],
    "C04-plato": [
        ({"gravity": 1.01569}, 4.0, 0.02, "[1.5b] USDA file code 135-A-50, Brix to specific gravity"),
        ({"gravity": 1.03017}, 7.6, 0.02, "[1.5c] USDA file code 135-A-50, Brix to specific gravity"),
        ({"gravity": 1.08297}, 20.0, 0.05, "[1.5g] NBS Circular C440 by its printed cubic fit"),
    ],
    "C18-water": [({"beer": 100, "strength": 6.0, "target": 4.8}, 25.0, 1e-9, "mass balance, volumes additive")],
    "C19-alcohol": [
        (
            {"original": 1.04837, "final": 1.0098},
            5.11,
            0.12,
            "[3.4a] Balling and OIML R 22: 12 degP to 2.5 degP is 5.11 % vol; the factor 131.25 is common practice",
        ),
    ],
}
