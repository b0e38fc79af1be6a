"""Published figures: extract tables."""

CUBIC = "cubic fits to the tables of NBS C440 and ASBC as printed on liquisearch.com, Brix"
USDA = "USDA file code 135-A-50, Brix to specific gravity 20/20"
PUBLISHED = {
    "C35-gravity": [
        ({"extract": 4.0}, 1.01569, 3e-5, f"[1.5b] {USDA}"),
        ({"extract": 7.6}, 1.03017, 3e-5, f"[1.5c] {USDA}"),
        ({"extract": 12.0}, 1.04837, 5e-5, f"[1.5e] {CUBIC}"),
        ({"extract": 20.0}, 1.08297, 0.0002, f"[1.5g] {CUBIC}"),
        (
            {"extract": 5.0},
            8.486 / 8.322,
            0.0005 / 8.322,
            "[1.5i] Brix and Pounds Solids Tables (Chen 1992, after NBS C440), over water's 8.322 lb/US gal in air",
        ),
    ],
    "C35-density": [
        ({"extract": 12.0}, 1046.5, 0.5, "[1.5h] Laliberte and Cooper (2004) for sucrose, as coded in thermo 0.6.1")
    ],
    "C35-extract": [
        ({"extract": 12.0}, 1193 / 95, 0.5 / 95, "[2.4b] 95 hL of wort of 12 °P hold 1193 kg, by mass balance")
    ],
    "C35-barrel": [
        ({"extract": 12.0}, 32.52, 0.01, "[2.4f] catalogue of a supplier, brewing formulas: (259 + P) P/100")
    ],
    "C35-refraction": [({"extract": 12.0}, 1.35093, 5e-5, "[1.5j] ICUMSA 1974 table as coded in chemicals 1.5.2")],
}
