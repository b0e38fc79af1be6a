"""Published figures: concentrations."""

PUBLISHED = {
    "C20-ppm": [({"concentration": 50, "density": 1.048}, 47.71, 0.01, "[1.7a] ppm = (mg/L)/density")],
    "C20-mg_per_litre": [
        ({"content": 47.71, "density": 1.048}, 50.0, 0.01, "[1.7a] ppm = (mg/L)/density, the other way round")
    ],
    "C20-ppb": [({"content": 35, "density": 1.008}, 35.28, 0.005, "[1.7c] µg/L = ppb times density")],
    "C20-percent": [({"content": 0.5, "density": 1.008}, 5.04, 0.005, "[1.6d] g/L = 10 times % w/w times density")],
}
