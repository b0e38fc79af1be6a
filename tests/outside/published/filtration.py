"""Published figures: filtration."""

PUBLISHED = {
    "C06-precoat": [({"area": 25, "dose": 700}, 17.5, 0.001, "arithmetic; the dose is common practice, no source")],
    "C06-bodyfeed": [
        ({"volume": 1000, "dose": 150}, 150.0, 0.001, "[5.2d] Brauwelt abstract: German average 150 g/hL"),
        ({"volume": 600, "dose": 120}, 72.0, 0.001, "[5.2b] arithmetic"),
    ],
}
