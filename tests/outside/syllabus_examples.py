"""The examples of the plant's own syllabus: code, givens, answer, tolerance."""

from datetime import date

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
