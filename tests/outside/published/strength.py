"""Published figures: strength and original extract."""

NIELSEN = "Nielsen, Kristiansen, Lassen and Erikstroem, Balling's Formula: scrutiny of a brewing dogma"
CUTAIA = "Cutaia, Reid and Speers, J. Inst. Brew. 115 (2009), Table III"
OIML = "OIML R 22 (1973) / Directive 76/766/EEC, general formula"
PUBLISHED = {
    "C22-by_weight": [
        # The real extract of 3.1b, 4.2176 °P, is what 12 °P and 2.5 °P give.
        ({"original": 12, "apparent": 2.5}, 4.015, 0.005, f"[3.1b] {NIELSEN}, solved for the alcohol"),
    ],
    "C22-original": [
        ({"alcohol": 4.0, "real": 4.2}, 11.96, 0.01, f"[3.2a] {NIELSEN}"),
        ({"alcohol": 3.82, "real": 3.8}, 11.34, 0.15, f"[3.2b] {CUTAIA}, means of 221 beers"),
        ({"alcohol": 5.14, "real": 4.88}, 14.54, 0.2, f"[3.2c] {CUTAIA}, means of a survey"),
    ],
    "C22-by_volume": [
        ({"alcohol": 4.0, "gravity": 1.0098}, 5.11, 0.01, "[3.4a] densities of ethanol and water, OIML R 22"),
    ],
    "C22-strength": [
        (
            {"original": 12, "apparent": 2.5},
            5.13,
            0.02,
            "[3.4a] 4.015 % w/w at 1.0098, by the densities of OIML R 22: 4.015/4.0 of 5.11 % vol",
        ),
    ],
    "C22-to_weight": [
        ({"strength": 5.0, "density": 991.06}, 3.98, 0.005, f"[3.4b] {OIML}: ethanol and water only"),
        ({"strength": 40.0, "density": 948.05}, 33.3, 0.005, f"[3.4c] {OIML}"),
    ],
    "C22-ethanol": [({"volume": 330, "strength": 5.0}, 13.02, 0.01, "[3.4d] 0.789 g/mL, OIML R 22")],
    "C22-density": [
        (
            {"alcohol": 5.0},
            989.38,
            0.06,
            "[3.5h] Perry's Chemical Engineers' Handbook, 7th ed., table of ethanol and water, on handymath.com",
        ),
    ],
    "C22-spirit": [
        ({"strength": 0.0}, 998.2, 0.01, f"[3.5a] {OIML}"),
        ({"strength": 5.0}, 991.06, 0.01, f"[3.5b] {OIML}"),
        ({"strength": 10.0}, 984.71, 0.01, f"[3.5c] {OIML}"),
        ({"strength": 40.0}, 948.05, 0.01, f"[3.5d] {OIML}"),
        ({"strength": 100.0}, 789.24, 0.01, f"[3.5f] {OIML}"),
    ],
    "C22-gas": [
        (
            {"beer": 100 / (0.9982 * 1.01), "alcohol": 1.0, "gravity": 1.01},
            95.65,
            1e-6,
            f"{NIELSEN}: 0.9565 g of CO2 for each gram of alcohol; 100 kg of it in 10 000 kg of beer",
        ),
    ],
}
