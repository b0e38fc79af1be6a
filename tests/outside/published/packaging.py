"""Published figures: packaging, fill and seams."""

PUBLISHED = {
    "C09-rate": [
        (
            {"good": 700, "hours": 6, "minutes": 45},
            0.8642 * 120,
            0.02,
            "[7.2e] effectiveness worksheet after ISO 22400-2: 700 items of 0.5 min in 405 min are 86.42 %",
        ),
    ],
    "C09-hours": [
        (
            {"units": 240 * 100000 / 330, "rate": 36000, "rejects": 0},
            2.02,
            0.005,
            "[7.1d] arithmetic: 240 hL at 118.8 hL/h, the rate of 36 000 containers of 330 mL an hour",
        ),
    ],
    "C10-fill": [
        (
            {"gross": 532.6, "tare": 198.3, "density": 1.008},
            331.65,
            0.01,
            "[7.3a] Directive 76/211/EEC: volume at 20 degC",
        ),
        ({"gross": 43520, "tare": 13300, "density": 1.0078}, 29990, 5, "[7.3d] a 30 L keg, the same"),
    ],
    "C10-least": [
        ({"nominal": 50}, 50 - 4.5, 1e-9, "[7.4a] Directive 76/211/EEC Annex I 2.4"),
        ({"nominal": 100}, 100 - 4.5, 1e-9, "[7.4b] Directive 76/211/EEC Annex I 2.4"),
        ({"nominal": 200}, 200 - 9.0, 1e-9, "[7.4c] Directive 76/211/EEC Annex I 2.4"),
        ({"nominal": 250}, 250 - 9.0, 1e-9, "[7.4d] Directive 76/211/EEC Annex I 2.4"),
        ({"nominal": 330}, 330 - 9.9, 1e-9, "[7.4e] Directive 76/211/EEC Annex I 2.4"),
        (
            {"nominal": 355},
            355 - 10.7,
            1e-9,
            "[7.4f] Directive 76/211/EEC Annex I 2.4; rounded up by 2.5 (from memory)",
        ),
        (
            {"nominal": 473},
            473 - 14.2,
            1e-9,
            "[7.4g] Directive 76/211/EEC Annex I 2.4; rounded up by 2.5 (from memory)",
        ),
        ({"nominal": 750}, 750 - 15.0, 1e-9, "[7.4i] Directive 76/211/EEC Annex I 2.4"),
    ],
    "C10-judgement": [
        (
            {"gross": 310.3, "tare": 0, "density": 1.0, "nominal": 330},
            "short beyond the tolerable error",
            0,
            "[7.4l] Directive 76/211/EEC Annex I 1.3: twice the error below 330 mL is 310.2 mL",
        ),
        (
            {"gross": 310.1, "tare": 0, "density": 1.0, "nominal": 330},
            "short beyond twice the error",
            0,
            "[7.4l] Directive 76/211/EEC Annex I 1.3: twice the error below 330 mL is 310.2 mL",
        ),
    ],
    "C11-units": [
        ({"minutes": 10, "temperature": 60}, 10.0, 0.05, "[7.9a] Del Vecchio et al. 1951, on sizes.com"),
        ({"minutes": 0.5, "temperature": 72}, 26.7, 0.05, "[7.9c] Del Vecchio et al. 1951, on sizes.com"),
        ({"minutes": 20, "temperature": 58}, 10.3, 0.05, "[7.9d] Del Vecchio et al. 1951, on sizes.com"),
    ],
    "C36-time": [
        (
            {"target": 10, "temperature": 60 + 6.95},
            1.0,
            0.0034,
            "[7.9f] z = 6.95 degC within 0.01: ten units take a tenth of ten minutes that much above 60 degC",
        ),
    ],
    "C36-flash": [
        ({"seconds": 30, "temperature": 72}, 26.7, 0.05, "[7.9c] Del Vecchio et al. 1951, on sizes.com"),
    ],
    "C36-tunnel": [
        (
            {"heating_time": 5, "heating": 55, "holding_time": 10, "holding": 61, "cooling_time": 5, "cooling": 56},
            16.2,
            0.1,
            "[7.9e] sum of t 1.393^(T - 60), by hand",
        ),
    ],
    "C12-overlap": [
        (
            {"body_hook": 1.7, "cover_hook": 1.65, "end": 0.22, "seam_length": 2.48, "seam_thickness": 1.2},
            1.09,
            1e-9,
            "qualitycanseams.com, Important calculations: O = BH + CH + T - SL",
        ),
    ],
    "C12-percent": [
        (
            {"body_hook": 1.7, "cover_hook": 1.65, "end": 0.22, "seam_length": 2.48, "body": 0.16},
            58.0,
            0.1,
            "[7.8b] qualitycanseams.com, Important calculations",
        ),
        (
            {"body_hook": 0.08, "cover_hook": 0.078, "end": 0.01, "seam_length": 0.12, "body": 0.008},
            52.2,
            0.1,
            "[7.8c] qualitycanseams.com, Important calculations (a share, so inches will do)",
        ),
    ],
}
