"""Published figures: cleaning.

[7.10e] and [7.10f] are densities of caustic soda at 25 degC, which no calculation here asks for: they hold the
yardstick itself, in `test_cleaning.py`.
"""

_PIPES = "mathalino.com, Fluid mechanics and hydraulics, problem 3: 250 L/s through 380, 300 and 250 mm"

PUBLISHED = {
    "C08-weight": [({"batch": 1000, "target": 2, "stock": 50}, 40.0, 0.001, "[7.10a] mass balance m1 C1 = m2 C2")],
    "C08-volume": [
        (
            {"batch": 1000, "target": 2, "stock": 50, "density": 1.516},
            26.4,
            0.1,
            "[7.10c] mass balance with the density of 50 % NaOH by Laliberte and Cooper (2004)",
        ),
    ],
    "C29-densities": [
        (
            {"batch": 1000, "target": 2, "liquor": 1.02, "stock": 50, "density": 1.516},
            26.9,
            0.1,
            "[7.10b] mass balance with both densities by Laliberte and Cooper (2004), thermo 0.6.1",
        ),
    ],
    "C29-top_up": [
        (
            {"tank": 738, "present": 1.5, "target": 2, "stock": 50, "density": 1.516},
            5.0,
            1e-9,
            "alligation: 75.8 - 2 parts of 1.5 % w/v liquor to 2 - 1.5 parts of concentrate of 75.8 % w/v",
        ),
    ],
    "C29-titration": [
        (
            {"acid": 32.72, "acid_strength": 0.129, "sample": 25.0},
            0.676,
            0.001,
            "0685.com, worked titration: 32.72 mL of 0.129 mol/L HCl on 25.00 mL, 6.76 g/L (it rounds on the way)",
        ),
        (
            {"acid": 1, "acid_strength": 1, "sample": 1},
            4.0,
            0.001,
            "pharmacopoeia assay of NaOH: 1 mL of 1 mol/L acid is 40.00 mg (from memory)",
        ),
    ],
    "C29-speed": [
        ({"flow": 900, "bore": 380}, 2.20, 0.005, _PIPES),
        ({"flow": 900, "bore": 300}, 3.54, 0.005, _PIPES),
        ({"flow": 900, "bore": 250}, 5.09, 0.005, _PIPES),
    ],
    "C29-flow": [
        (
            {"speed": 0.424, "bore": 300},
            1080,
            1.5,
            "exercise on canadaessays.com: 1800 L/min through 0.3 m run at 0.424 m/s",
        ),
        (
            {"speed": 2.5, "bore": 75},
            396,
            18,
            "mathalino.com, Fluid mechanics and hydraulics, problem 1: 0.011 m3/s at 2.5 m/s in 75 mm",
        ),
    ],
}
