"""Published figures: yeast."""

PUBLISHED = {
    "C17-pitch": [
        (
            {"wort": 100, "extract": 12, "rate": 1, "slurry": 1000, "viability": 0.92},
            130.4,
            0.1,
            "[3.6a] mass balance of cells; a million per mL and degree Plato is common practice, no source",
        ),
    ],
}
