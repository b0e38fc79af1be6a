"""Published figures: yeast."""

LABORATORY = (
    "self-test of a virtual laboratory on the haemocytometer, vlab.amrita.edu: question printed, answer worked"
)
PUBLISHED = {
    "C17-pitch": [
        (
            {"wort": 100, "extract": 12, "rate": 1, "slurry": 1000, "viability": 0.92},
            130.4,
            0.1,
            "[3.6a] mass balance of cells; a million per mL and degree Plato is common practice, no source",
        ),
        (
            # 10 million live cells per mL: a million for each of 10 °P.
            {"wort": 50, "extract": 10, "rate": 1, "slurry": 1200, "viability": 0.95},
            43.86,
            0.01,
            "[3.6b] mass balance of cells",
        ),
    ],
    "C23-cells": [
        (
            # The 130.4 L of 3.6a hold a billion cells in each mL, 92 % of them alive.
            {"wort": 100, "extract": 12, "rate": 1},
            130.4 * 1000 * 0.92,
            0.1 * 1000 * 0.92,
            "[3.6a] the live cells in 130.4 L of slurry",
        ),
    ],
    "C23-large_squares": [({"cells": 450, "squares": 4, "dilution": 10}, 11.25, 0.01, f"[3.7b] {LABORATORY}")],
    "C23-small_squares": [
        (
            # The same cells as in 3.7b: a small square is a twenty-fifth of a large one.
            {"cells": 450, "squares": 100, "dilution": 10},
            11.25,
            0.01,
            f"[3.7b] {LABORATORY}; 4 large squares are 100 small ones",
        ),
    ],
    "C23-viability": [({"unstained": 120, "cells": 150}, 80.0, 0.01, f"[3.7c] {LABORATORY}")],
    "C23-live": [
        ({"slurry": 1050, "stained": 17, "cells": 210}, 965.0, 1.0, "[3.7d] live = total times (1 - 17/210)")
    ],
}
