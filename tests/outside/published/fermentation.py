"""Published figures: wort and fermentation."""

CUTAIA = "Cutaia, Reid and Speers, J. Inst. Brew. 115 (2009), Table III: means of 221 beers, real extract 3.80"
PUBLISHED = {
    "C04-apparent": [({"original": 12.0, "apparent": 2.5}, 79.2, 0.05, "definition, 100 (OE - AE)/OE")],
    "C04-real": [
        ({"original": 11.34, "apparent": 2.01}, 100 * (11.34 - 3.80) / 11.34, 1.4, CUTAIA),
        # The real extract of 3.3b, 4.2176 °P, is what 12 °P and 2.5 °P give.
        ({"original": 12.0, "apparent": 2.5}, 64.9, 0.05, "[3.3b] definition, 100 (OE - RE)/OE"),
    ],
    "C04-real_extract": [
        (
            {"original": 12.0, "apparent": 2.5},
            4.22,
            0.01,
            "[3.1a] Balling's attenuation quotient 0.8192 (from memory)",
        ),
        ({"original": 11.34, "apparent": 2.01}, 3.8, 0.15, f"[3.1d] {CUTAIA}"),
    ],
    "C04-plato": [
        ({"gravity": 1.01569}, 4.0, 0.02, "[1.5b] USDA file code 135-A-50, Brix to specific gravity"),
        ({"gravity": 1.03017}, 7.6, 0.02, "[1.5c] USDA file code 135-A-50, Brix to specific gravity"),
        ({"gravity": 1.06}, 14.74, 0.01, "[1.5f] cubic fit to the ASBC table, printed on liquisearch.com, Brix"),
        ({"gravity": 1.08297}, 20.0, 0.05, "[1.5g] NBS Circular C440 by its printed cubic fit"),
    ],
    "C18-water": [({"beer": 100, "strength": 6.0, "target": 4.8}, 25.0, 1e-9, "mass balance, volumes additive")],
    "C19-alcohol": [
        (
            {"original": 1.04837, "final": 1.0098},
            5.11,
            0.12,
            "[3.4a] Balling and OIML R 22: 12 °P to 2.5 °P is 5.11 % vol; the factor 131.25 is common practice",
        ),
    ],
    "C22-real_degree": [
        ({"original": 12.0, "real": 4.2176}, 66.3, 0.1, "[3.3c] ASBC Beer-6, constant from memory"),
    ],
    "C22-by_gravity": [
        ({"original": 1.04837, "final": 1.00978}, 79.8, 0.05, "[3.3d] definition, 100 (OG - FG)/(OG - 1)"),
    ],
}
