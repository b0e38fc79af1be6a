"""Published figures: reference test of fills, and sampling of batches."""

EU_PLAN = "Directive 76/211/EEC Annex II 2.2.1 and 2.2.2"

PUBLISHED = {
    "C31-in_air": [
        (
            {"gross": 532.6, "tare": 198.3, "density": 1.008},
            332.0,
            0.05,
            "[7.3b] OIML R 111 conventions: 334.3 g weighed in air of 0.0012 g/mL with weights of 8.0 g/mL",
        ),
    ],
    "C31-e_mark": [
        ({"nominal": 330}, 310.2, 0.01, "[7.4l] Directive 76/211/EEC Annex I 1.3: twice the error"),
    ],
    "C31-keg": [
        (
            {"nominal": 30},
            30 - 0.300,
            1e-5,
            "[7.4m] Saint Lucia Metrology Act Schedule 5, the table of OIML R 87: 1 % above 15 L",
        ),
    ],
    # A sample whose standard deviation is 1 mL has the factor itself as its allowance.
    "C31-allowance": [
        (
            {"plan": "Europe: 30 packs (t = 2.756)", "deviation": 1},
            0.503,
            0.0006,
            "[7.5a] SI 2006/659 Schedule 2 para 4, as in Directive 76/211/EEC Annex II 2.3",
        ),
        ({"plan": "OIML: 80 packs (t = 2.640)", "deviation": 1}, 0.295, 0.0006, "[7.6b] OIML R 87 (from memory)"),
        ({"plan": "OIML: 125 packs (t = 2.616)", "deviation": 1}, 0.234, 0.0006, "[7.6c] OIML R 87 (from memory)"),
        (
            {"plan": "United States: 12 packs (t = 2.201)", "deviation": 1},
            0.635,
            0.001,
            "[7.7a] NIST HB 133 (from memory)",
        ),
        (
            {"plan": "United States: 24 packs (t = 2.069)", "deviation": 1},
            0.422,
            0.001,
            "[7.7b] NIST HB 133 (from memory)",
        ),
        (
            {"plan": "United States: 48 packs (t = 2.012)", "deviation": 1},
            0.29,
            0.001,
            "[7.7c] NIST HB 133 (from memory)",
        ),
    ],
    "C31-mean": [
        (
            {"nominal": 330, "batch": 1000, "mean": 329.5, "deviation": 1.8},
            329.5 - 329.32,
            0.005,
            "[7.5d] Directive 76/211/EEC Annex II 2.3: the bound is 329.32 mL, so the batch is accepted",
        ),
        (
            {"nominal": 500, "batch": 300, "mean": 498.7, "deviation": 2.4},
            498.7 - 498.793,
            0.0005,
            "[7.5e] Directive 76/211/EEC Annex II 2.3: the bound is 498.793 mL, so the batch is refused",
        ),
    ],
    "C31-refusing": [
        ({"batch": 100, "test": "packs stay whole"}, 3, 0, f"[7.5f] {EU_PLAN}: batches of 100 to 500"),
        ({"batch": 500, "test": "packs stay whole"}, 3, 0, f"[7.5f] {EU_PLAN}: batches of 100 to 500"),
        ({"batch": 501, "test": "packs stay whole"}, 5, 0, f"[7.5g] {EU_PLAN}: batches of 501 to 3200"),
        ({"batch": 3200, "test": "packs stay whole"}, 5, 0, f"[7.5g] {EU_PLAN}: batches of 501 to 3200"),
        ({"batch": 3201, "test": "packs stay whole"}, 7, 0, f"[7.5h] {EU_PLAN}: batches of 3201 and over"),
        ({"batch": 900, "test": "packs are opened"}, 2, 0, f"[7.5i] {EU_PLAN}: any batch"),
    ],
    "C31-second": [
        ({"batch": 300, "found": 2}, 4 - 2, 0, f"[7.5f] {EU_PLAN}: 4 allowed in 60"),
        ({"batch": 2000, "found": 4}, 6 - 4, 0, f"[7.5g] {EU_PLAN}: 6 allowed in 100"),
        ({"batch": 5000, "found": 5}, 8 - 5, 0, f"[7.5h] {EU_PLAN}: 8 allowed in 160"),
    ],
}
