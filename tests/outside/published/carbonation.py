"""Published figures: carbonation.

[4.3a] to [4.3i] are CO2 in water, which no calculation here asks for: they hold the yardstick itself, in
`test_carbonation.py`.
"""

_CHART = "ASBC Beer-13 chart by its fit, constants from memory"
_FORM = "temperature form listed by MEBAK, constants from memory"

PUBLISHED = {
    "C05-volumes": [
        # The plant's 1.96 g/L is rounded: 1 % is allowed in place of the 0.04 g/L that the figure names.
        ({"volumes": 2.5}, 4.94, 0.05, "[1.6b] CoolProp 8.0.0 density of CO2 at 0 degC and 1 atm, 1.977 g/L"),
    ],
    "C05-pressure": [
        ({"temperature": 4, "pressure": 1.0, "atmosphere": 1.01325}, 5.52, 0.03, f"[4.1b] {_FORM}"),
        ({"temperature": 10, "pressure": 1.5, "atmosphere": 1.01325}, 5.64, 0.03, f"[4.1c] {_FORM}"),
        ({"temperature": 20, "pressure": 2.4, "atmosphere": 1.01325}, 5.59, 0.03, f"[4.1d] {_FORM}"),
        ({"temperature": 4, "pressure": 1.0, "atmosphere": 0.8353}, 5.03, 0.03, f"[4.5d] {_FORM}; 1600 m"),
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
    "C24-volumes": [
        ({"co2": 1.977}, 1.0, 0.0005, "[1.6a] CoolProp 8.0.0 density of CO2 at 273.15 K and 101325 Pa, turned over"),
        ({"co2": 5.2}, 2.63, 0.02, "[1.6c] CoolProp 8.0.0"),
    ],
    "C24-weight": [({"share": 0.5, "density": 1.008}, 5.04, 0.005, "[1.6d] 10 times the share times the density")],
    "C24-chart": [
        ({"temperature": 36, "pressure": 12}, 2.68, 0.05, f"[4.2a] {_CHART}"),
        ({"temperature": 38, "pressure": 12}, 2.58, 0.05, f"[4.2b] {_CHART}"),
        ({"temperature": 40, "pressure": 12}, 2.48, 0.05, f"[4.2c] {_CHART}"),
        ({"temperature": 40, "pressure": 15}, 2.76, 0.05, f"[4.2d] {_CHART}"),
        ({"temperature": 38, "pressure": 12}, 2.57, 0.02, "the printed chart itself, a point from memory"),
        ({"temperature": 40, "pressure": 12}, 2.47, 0.02, "the printed chart itself, a point from memory"),
    ],
    "C24-add": [
        ({"beer": 250, "present": 3.8, "target": 5.2, "uptake": 100}, 35.0, 0.01, "[4.4a] mass balance"),
        (
            {"beer": 250, "present": 3.8, "target": 5.2, "uptake": 90},
            38.9,
            0.05,
            "[4.4b] mass balance; the uptake is common practice, no source",
        ),
    ],
    "C24-altitude": [
        ({"altitude": 1600}, 0.8353, 0.0005, "[4.5b] US Standard Atmosphere 1976 by fluids 1.3.1"),
        ({"altitude": 2240}, 0.7716, 0.0005, "[4.5c] US Standard Atmosphere 1976 by fluids 1.3.1"),
    ],
    "C24-setting": [
        ({"target": 5.2, "temperature": 4, "altitude": 1600}, 1.06, 0.01, f"[4.5e] {_FORM}, solved for the pressure"),
    ],
    "C24-judgement": [
        (
            {"co2": 2.8 * 1.977, "target": 2.7, "allowance": 0.15},
            "fit to package",
            0,
            "common practice, no source: near 2.8 volumes is fit for packaging",
        ),
        ({"co2": 5.2, "target": 2.8, "allowance": 0.1}, "too little CO2", 0, "[1.6c] 5.2 g/L are 2.63 volumes"),
    ],
}
