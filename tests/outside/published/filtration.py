"""Published figures: filtration, the filter run and turbidity."""

from statistics import linear_regression

# Geankoplis, Transport Processes, problem 14.2-1 (askfilo.com): a slurry of calcium carbonate at constant pressure.
TRIAL = {"area": 0.0439, "pressure": 0.462, "solids": 23.47, "viscosity": 0.8937}
TRIAL_SECONDS = [17.3, 41.3, 72.0, 108.3, 152.0, 201.7]
TRIAL_LITRES = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0]
TRIAL_LINE = linear_regression(
    TRIAL_LITRES, [seconds / litres for seconds, litres in zip(TRIAL_SECONDS, TRIAL_LITRES, strict=True)]
)
# The line that the printed resistances make, for the time of one volume.
_FLOW = 8.937e-4 / (0.0439 * 46200)
PRINTED_SLOPE = _FLOW * 1.106e11 * 23.47 / (2 * 0.0439) / 1e6
PRINTED_INTERCEPT = _FLOW * 6.40e10 / 1e3

PUBLISHED = {
    "C06-precoat": [({"area": 25, "dose": 700}, 17.5, 0.001, "arithmetic; the dose is common practice, no source")],
    "C06-bodyfeed": [
        ({"volume": 600, "dose": 120}, 72.0, 0.001, "[5.2b] mass is volume times dose"),
        ({"volume": 1000, "dose": 150}, 150.0, 0.001, "[5.2d] Brauwelt abstract: German average 150 g/hL"),
    ],
    "C25-two_coats": [
        (
            {"area": 25, "first": 700, "second": 500},
            30.0,
            0.001,
            "[5.1b] sum of two coats; the doses are common practice, no source",
        ),
    ],
    "C25-thickness": [
        (
            {"area": 40, "dose": 800, "bulk": 300},
            2.67,
            0.01,
            "[5.1c] dose over bulk density; 250 to 350 kg/m3 by myengineeringtools.com",
        ),
    ],
    "C25-slurry": [
        (
            {"aid": 100, "water": 1000},
            100_000 / 1043.478,
            0.01,
            "mass balance: 100 kg in 1000 L of water and 43.478 L",
        ),
    ],
    "C25-pump": [({"flow": 100, "dose": 80, "slurry": 100}, 80.0, 0.01, "[5.2a] flow times dose over strength")],
    "C25-rise": [
        (
            {"start": 1.2, "now": 2.6, "time": 420},
            0.2,
            0.001,
            "[5.4a] difference over time; a steady rise by Macron et al., MBAA TQ 19(4), 1982, abstract",
        ),
    ],
    "C25-by_volume": [({"rise": 0.2, "flow": 100}, 0.2, 1e-9, "arithmetic: 100 hL/h, so 100 hL are an hour")],
    "C25-left": [({"limit": 5.0, "now": 2.6, "rise": 0.2}, 12.0, 0.01, "[5.4b] pressure left over its rise")],
    "C25-cake": [
        (
            {"slope": TRIAL_LINE.slope, **TRIAL},
            1.106e11,
            2e9,
            "[5.5a] Geankoplis 14.2-1: printed answer; slope by least squares on the printed data",
        ),
    ],
    "C25-medium": [
        (
            {"intercept": TRIAL_LINE.intercept, **{name: TRIAL[name] for name in ("area", "pressure", "viscosity")}},
            6.40e10,
            2e8,
            "Geankoplis 14.2-1: printed answer; intercept by least squares on the printed data",
        ),
    ],
    "C25-cake_time": [
        (
            {"volume": 3.0, "slope": PRINTED_SLOPE, "intercept": PRINTED_INTERCEPT},
            201.9,
            1.0,
            "[5.5c] Geankoplis 14.2-1: the printed resistances put back into the law; measured 201.7 s",
        ),
    ],
    "C26-ntu": [
        ({"haze": 1.0}, 4.0, 0.05, "[5.3a] 1 EBC = 4 NTU of formazin, from memory"),
        ({"haze": 0.6}, 2.4, 0.01, "[5.3c] the same"),
    ],
    "C26-asbc": [({"haze": 1.0}, 69.0, 0.5, "[5.3b] formazin recipes of ISO 7027 and of the AOAC")],
    "C26-judgement": [
        ({"reading": 2.3, "limit": 0.6, "angle": "90°"}, "bright enough", 0, "[5.3c] 0.6 EBC are 2.4 NTU"),
        ({"reading": 2.6, "limit": 0.6, "angle": "90°"}, "too hazy", 0, "[5.3c] 0.6 EBC are 2.4 NTU"),
        (
            {"reading": 1.0, "limit": 0.6, "angle": "25°"},
            "cannot be compared",
            0,
            "common practice, no source: forward scatter does not convert to 90 degrees",
        ),
    ],
}
