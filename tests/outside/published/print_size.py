"""Published figures: least size of print."""

EU_PRINT = "Regulation (EU) 1169/2011 Article 13(2) and (3)"

PUBLISHED = {
    "C33-x_height": [
        ({"type": 8, "ratio": 0.448}, 1.26, 0.01, "[8.8g] 8 pt of 0.3528 mm; the share 0.448 is from memory"),
    ],
    # The same 1.26 mm print against the two least heights.
    "C33-margin": [
        ({"type": 8, "ratio": 0.448, "surface": 120}, 1.26 - 1.2, 0.01, f"[8.8a, 8.8g] {EU_PRINT}: 1.2 mm"),
        ({"type": 8, "ratio": 0.448, "surface": 75}, 1.26 - 0.9, 0.01, f"[8.8b, 8.8g] {EU_PRINT}: 0.9 mm"),
    ],
    "C33-figures": [
        ({"nominal": 50}, 2.0, 1e-4, "[8.8c] Directive 76/211/EEC Annex I 3.1: up to 50 mL"),
        ({"nominal": 51}, 3.0, 1e-4, "[8.8d] Directive 76/211/EEC Annex I 3.1: above 50 to 200 mL"),
        ({"nominal": 200}, 3.0, 1e-4, "[8.8d] Directive 76/211/EEC Annex I 3.1: above 50 to 200 mL"),
        ({"nominal": 1001}, 6.0, 1e-4, "[8.8f] Directive 76/211/EEC Annex I 3.1: above 1000 mL"),
    ],
}
