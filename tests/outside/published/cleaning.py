"""Published figures: cleaning."""

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
}
