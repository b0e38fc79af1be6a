"""Published figures for the worked calculations, each with where it is printed.

A row is: the givens by name, the answer printed, how far ours may lie from it, and the source. "From memory" and
"common practice" are said where they apply.
"""

from datetime import date

PUBLISHED = {
    "C01-temperature": [({"temperature": 38}, 3.33, 0.01, "NIST SP 811 factors as coded in pint 0.25.3")],
    "C01-difference": [({"difference": 5}, 9.0, 0.001, "SI Brochure / NIST SP 811: a difference has no offset")],
    "C01-pressure": [({"pressure": 14.5038}, 1.0, 0.0001, "NIST SP 811: 1 bar = 14.5038 psi (from memory)")],
    "C01-absolute": [({"gauge": 1.2, "atmosphere": 1.01325}, 221.325, 0.001, "definition: 1 bar = 100 kPa")],
    "C01-volume": [
        (
            {"volume": 31},
            1.173477658,
            1e-6,
            "27 CFR 25.11: a beer barrel is 31 US gallons; factor on convertunits.com",
        ),
    ],
    "C02-iodine": [
        (
            {"sample": "cooled", "drop": "clear", "colour": "yellow to light brown"},
            "converted",
            0,
            "MEBAK R-205.03.730; the reading rule is common practice, no source",
        ),
        (
            {"sample": "cooled", "drop": "clear", "colour": "red to violet"},
            "large dextrins left",
            0,
            "MEBAK R-205.03.730; the reading rule is common practice, no source",
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
            "heat balance at c_malt/c_water 0.40 (catalogue table of malt heats, ATP Group): 0.41/0.40 of the water",
        ),
    ],
    "C04-apparent": [({"original": 12.0, "apparent": 2.5}, 79.2, 0.05, "definition, 100 (OE - AE)/OE")],
    "C04-real": [
        (
            {"original": 11.34, "apparent": 2.01},
            100 * (11.34 - 3.80) / 11.34,
            1.4,
            "Cutaia, Reid and Speers, J. Inst. Brew. 115 (2009), Table III: means of 221 beers, real extract 3.80",
        ),
    ],
    "C04-plato": [
        ({"gravity": 1.01569}, 4.0, 0.02, "USDA file code 135-A-50, Brix to specific gravity"),
        ({"gravity": 1.03017}, 7.6, 0.02, "USDA file code 135-A-50, Brix to specific gravity"),
        ({"gravity": 1.08297}, 20.0, 0.05, "NBS Circular C440 by its printed cubic fit"),
    ],
    "C05-volumes": [({"volumes": 2.5}, 4.94, 0.05, "CoolProp 8.0.0 density of CO2 at 0 degC and 1 atm, 1.977 g/L")],
    "C05-pressure": [
        (
            {"temperature": 4, "pressure": 1.0, "atmosphere": 1.01325},
            5.61,
            0.12,
            "IAPWS G7-04 for water at the same pressure; beer takes 1 to 2 % less",
        ),
        (
            {"temperature": (36 - 32) / 1.8, "pressure": 12 / 14.5038, "atmosphere": 1.01325},
            2.68 * 1.977,
            0.12,
            "ASBC Beer-13 chart by its fit, 36 degF and 12 psig (from memory)",
        ),
    ],
    "C06-precoat": [({"area": 25, "dose": 700}, 17.5, 0.001, "arithmetic; the dose is common practice, no source")],
    "C06-bodyfeed": [
        ({"volume": 1000, "dose": 150}, 150.0, 0.001, "Brauwelt abstract: German average 150 g/hL"),
        ({"volume": 600, "dose": 120}, 72.0, 0.001, "arithmetic"),
    ],
    "C07-lot": [({"mass": 4.0, "recipe_alpha": 10.0, "lot_alpha": 8.8}, 4.55, 0.005, "mass balance of alpha acid")],
    "C07-bitterness": [
        (
            {"wort": 100, "bitterness": 25, "alpha": 10, "utilisation": 30},
            8.33,
            0.01,
            "mass balance; 1 BU as 1 mg/L iso-alpha acid (EBC 9.8, from memory)",
        ),
        ({"wort": 200, "bitterness": 22.4, "alpha": 8, "utilisation": 28}, 20.0, 0.01, "the same, inverted"),
    ],
    "C08-weight": [({"batch": 1000, "target": 2, "stock": 50}, 40.0, 0.001, "mass balance m1 C1 = m2 C2")],
    "C08-volume": [
        (
            {"batch": 1000, "target": 2, "stock": 50, "density": 1.516},
            26.4,
            0.1,
            "mass balance with the density of 50 % NaOH by Laliberte and Cooper (2004)",
        ),
    ],
    "C09-rate": [
        (
            {"good": 700, "hours": 6, "minutes": 45},
            0.8642 * 120,
            0.02,
            "effectiveness worksheet after ISO 22400-2: 700 items of 0.5 min in 405 min are 86.42 %",
        ),
    ],
    "C09-hours": [
        (
            {"units": 240 * 100000 / 330, "rate": 36000, "rejects": 0},
            2.02,
            0.005,
            "arithmetic: 240 hL at 118.8 hL/h, the rate of 36 000 containers of 330 mL an hour",
        ),
    ],
    "C10-fill": [
        ({"gross": 532.6, "tare": 198.3, "density": 1.008}, 331.65, 0.01, "Directive 76/211/EEC: volume at 20 degC"),
        ({"gross": 43520, "tare": 13300, "density": 1.0078}, 29990, 5, "a 30 L keg, the same"),
    ],
    "C10-least": [
        ({"nominal": 50}, 50 - 4.5, 1e-9, "Directive 76/211/EEC Annex I 2.4"),
        ({"nominal": 100}, 100 - 4.5, 1e-9, "Directive 76/211/EEC Annex I 2.4"),
        ({"nominal": 250}, 250 - 9.0, 1e-9, "Directive 76/211/EEC Annex I 2.4"),
        ({"nominal": 330}, 330 - 9.9, 1e-9, "Directive 76/211/EEC Annex I 2.4"),
        ({"nominal": 355}, 355 - 10.7, 1e-9, "Directive 76/211/EEC Annex I 2.4; rounded up by 2.5 (from memory)"),
        ({"nominal": 473}, 473 - 14.2, 1e-9, "Directive 76/211/EEC Annex I 2.4; rounded up by 2.5 (from memory)"),
        ({"nominal": 750}, 750 - 15.0, 1e-9, "Directive 76/211/EEC Annex I 2.4"),
    ],
    "C10-judgement": [
        (
            {"gross": 310.3, "tare": 0, "density": 1.0, "nominal": 330},
            "short beyond the tolerable error",
            0,
            "Directive 76/211/EEC Annex I 1.3: twice the error below 330 mL is 310.2 mL",
        ),
        (
            {"gross": 310.1, "tare": 0, "density": 1.0, "nominal": 330},
            "short beyond twice the error",
            0,
            "Directive 76/211/EEC Annex I 1.3: twice the error below 330 mL is 310.2 mL",
        ),
    ],
    "C11-units": [
        ({"minutes": 10, "temperature": 60}, 10.0, 0.05, "Del Vecchio et al. 1951, on sizes.com"),
        ({"minutes": 0.5, "temperature": 72}, 26.7, 0.05, "Del Vecchio et al. 1951, on sizes.com"),
        ({"minutes": 20, "temperature": 58}, 10.3, 0.05, "Del Vecchio et al. 1951, on sizes.com"),
    ],
    "C12-overlap": [
        (
            {"body_hook": 1.7, "cover_hook": 1.65, "end": 0.22, "seam_length": 2.48, "seam_thickness": 1.2},
            1.09,
            1e-9,
            "qualitycanseams.com, Important calculations: O = BH + CH + T - SL",
        ),
    ],
    "C12-percent": [
        (
            {"body_hook": 1.7, "cover_hook": 1.65, "end": 0.22, "seam_length": 2.48, "body": 0.16},
            58.0,
            0.1,
            "qualitycanseams.com, Important calculations",
        ),
        (
            {"body_hook": 0.08, "cover_hook": 0.078, "end": 0.01, "seam_length": 0.12, "body": 0.008},
            52.2,
            0.1,
            "qualitycanseams.com, Important calculations (a share, so inches will do)",
        ),
    ],
    "C13-deviation": [
        ({"left": 43.5, "right": 43.5, "specified": 45.0}, -1.5, 1e-9, "geometry: |43.5 - 45.0| = 1.5"),
    ],
    "C13-skew": [
        ({"left": 41.57, "right": 40.0, "specified": 40}, 1.57, 0.01, "geometry: 90 mm times the tangent of 1 degree"),
    ],
    "C13-angle": [
        ({"left": 47.0, "right": 45.0, "width": 94.2}, 1.22, 0.01, "geometry: half round a 60 mm bottle is 94.2 mm"),
    ],
    "C14-best_before": [
        ({"packed": date(2023, 8, 31), "months": 6}, date(2024, 2, 29), 0, "python-dateutil 4.0.0 relativedelta"),
        ({"packed": date(2024, 2, 29), "months": 12}, date(2025, 2, 28), 0, "python-dateutil 4.0.0 relativedelta"),
    ],
    "C14-day_number": [
        ({"packed": date(1953, 8, 2)}, 214, 0, "experts123.com on ISO 8601: 1953-214"),
        ({"packed": date(2024, 12, 31)}, 366, 0, "Python 3.11 tm_yday"),
    ],
    "C15-check_digit": [
        ({"digits": "629104150021"}, 3, 0, "gs1.org, How to calculate a check digit manually"),
        ({"digits": "730001100001"}, 7, 0, "gs1.se, the check digit"),
        ({"digits": "10614141123456789"}, 7, 0, "GS1 sample SSCC (from memory), by biip 5.2.0"),
    ],
    "C16-stock": [
        (
            {"full": 1, "layers": 7, "cases": 8, "units": 24, "part_cases": 0},
            1344,
            0,
            "arithmetic: 8 cases by 7 layers by 24 bottles",
        ),
    ],
    "C16-pallets": [({"units": 52000, "case": 24, "pallet": 56}, 39, 0, "arithmetic: 38 full pallets and 39 cases")],
    "C17-pitch": [
        (
            {"wort": 100, "extract": 12, "rate": 1, "slurry": 1000, "viability": 0.92},
            130.4,
            0.1,
            "mass balance of cells; a million per mL and degree Plato is common practice, no source",
        ),
    ],
    "C18-water": [({"beer": 100, "strength": 6.0, "target": 4.8}, 25.0, 1e-9, "mass balance, volumes additive")],
    "C19-alcohol": [
        (
            {"original": 1.04837, "final": 1.0098},
            5.11,
            0.12,
            "Balling and OIML R 22: 12 degP to 2.5 degP is 5.11 % vol; the factor 131.25 is common practice",
        ),
    ],
}

#: The examples of the plant's own syllabus: code, givens, answer, tolerance.
SYLLABUS_EXAMPLES = [
    ("C01-pressure", {"pressure": 12.5}, 0.86, 0.01),
    ("C02-conversion", {"ratio": 3.0, "extract": 20.0, "potential": 0.80}, 93.75, 0.1),
    ("C03-strike", {"mash": 65, "grist": 18, "ratio": 3.0}, 71.4, 0.1),
    ("C04-apparent", {"original": 12.0, "apparent": 2.4}, 80.0, 0.1),
    ("C05-volumes", {"volumes": 2.60}, 5.10, 0.02),
    ("C06-precoat", {"area": 30, "dose": 900}, 27.0, 0.1),
    ("C07-lot", {"mass": 4.0, "recipe_alpha": 10.0, "lot_alpha": 8.8}, 4.55, 0.01),
    ("C08-volume", {"batch": 800, "target": 2.0, "stock": 32, "density": 1.35}, 37.0, 0.3),
    ("C09-rate", {"good": 54000, "hours": 2, "minutes": 24}, 22500, 1),
    ("C10-fill", {"gross": 515.0, "tare": 182.0, "density": 1.008}, 330.4, 0.1),
    ("C11-units", {"minutes": 10, "temperature": 62}, 19.4, 0.1),
    (
        "C12-overlap",
        {"body_hook": 1.70, "cover_hook": 1.60, "end": 0.22, "seam_length": 2.50, "seam_thickness": 1.2},
        1.02,
        0.01,
    ),
    ("C13-skew", {"left": 43.1, "right": 42.3, "specified": 42.0}, 0.8, 0.05),
    ("C14-best_before", {"packed": date(2025, 8, 31), "months": 6}, date(2026, 2, 28), 0),
    ("C15-check_digit", {"digits": "200012345678"}, 2, 0),
    ("C16-stock", {"full": 18, "layers": 6, "cases": 12, "units": 24, "part_cases": 31}, 31848, 0),
    ("C17-pitch", {"wort": 50, "extract": 12, "rate": 0.75, "slurry": 1500, "viability": 0.95}, 31.6, 0.2),
    ("C18-water", {"beer": 100, "strength": 6.0, "target": 4.8}, 25.0, 0.1),
    ("C19-alcohol", {"original": 1.048, "final": 1.010}, 4.99, 0.02),
]
