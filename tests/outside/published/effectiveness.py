"""Published figures: pace and effectiveness of a line."""

PUBLISHED = {
    "C30-per_minute": [
        (
            {"rate": 23000},
            380,
            5,
            "common practice, no source: a bottle rinser at about 23 000 an hour passes roughly 380 a minute",
        ),
    ],
    "C30-volume": [
        ({"rate": 36000, "fill": 330}, 118.8, 0.01, "[7.1a] arithmetic: 36 000 containers of 330 mL"),
        (
            {"rate": 36000, "fill": 330},
            101.24 * 1.173477658,
            0.012,
            "[7.1b] pint 0.25.3: 118.8 hL/h are 101.24 US barrels of beer an hour; 27 CFR 25.11 for the barrel",
        ),
    ],
    "C30-emptying": [
        ({"tank": 240, "rate": 36000, "fill": 330}, 2.02 * 60, 0.3, "[7.1d] arithmetic: 240 hL at 118.8 hL/h, 2.02 h"),
    ],
    "C30-availability": [
        (
            {"shift": 435, "breaks": 0, "stops": 30},
            93.1,
            0.01,
            "[7.2d] effectiveness worksheet after ISO 22400-2: 405 of 435 min",
        ),
    ],
    "C30-effectiveness": [
        (
            {"item": 30, "produced": 700, "running": 405},
            86.42,
            0.01,
            "[7.2e] effectiveness worksheet after ISO 22400-2: 700 items of 0.5 min in 405 min",
        ),
    ],
    "C30-overall": [
        (
            {"planned": 480, "running": 420, "item": 60, "produced": 400, "rejected": 20},
            79.1,
            0.1,
            "[7.2b] waycalculator.com, Overall Equipment Effectiveness, example 1",
        ),
        (
            {"planned": 420, "running": 373, "item": 1, "produced": 19271, "rejected": 19271 - 18848},
            74.79,
            0.01,
            "[7.2c] the inputs of a printed effectiveness worksheet, by the terms of ISO 22400-2",
        ),
    ],
}
