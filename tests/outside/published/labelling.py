"""Published figures: labels and codes."""

from datetime import date

PUBLISHED = {
    "C13-deviation": [
        ({"left": 43.5, "right": 43.5, "specified": 45.0}, -1.5, 1e-9, "[8.7c] geometry: |43.5 - 45.0| = 1.5"),
    ],
    "C13-skew": [
        (
            {"left": 41.57, "right": 40.0, "specified": 40},
            1.57,
            0.01,
            "[8.7d] geometry: 90 mm times the tangent of 1 degree",
        ),
    ],
    "C13-angle": [
        (
            {"left": 47.0, "right": 45.0, "width": 94.2},
            1.22,
            0.01,
            "[8.7b] geometry: half round a 60 mm bottle is 94.2 mm",
        ),
    ],
    "C37-rise": [
        ({"width": 90, "limit": 1.0}, 1.57, 0.01, "[8.7d] geometry: 90 mm times the tangent of 1 degree"),
    ],
    "C37-round": [
        ({"rise": 2.0, "diameter": 60}, 1.22, 0.01, "[8.7b] geometry: half round a 60 mm bottle is 94.2 mm"),
    ],
    "C14-best_before": [
        (
            {"packed": date(2023, 8, 31), "months": 6},
            date(2024, 2, 29),
            0,
            "[8.6b] python-dateutil 4.0.0 relativedelta",
        ),
        (
            {"packed": date(2024, 2, 29), "months": 12},
            date(2025, 2, 28),
            0,
            "[8.6c] python-dateutil 4.0.0 relativedelta",
        ),
        (
            {"packed": date(2025, 1, 31), "months": 1},
            date(2025, 2, 28),
            0,
            "[8.6d] python-dateutil 4.0.0 relativedelta",
        ),
    ],
    "C14-day_number": [
        ({"packed": date(1953, 8, 2)}, 214, 0, "[8.5c] experts123.com on ISO 8601: 1953-214"),
        ({"packed": date(2024, 12, 31)}, 366, 0, "[8.5g] Python 3.11 tm_yday"),
    ],
    "C15-check_digit": [
        ({"digits": "629104150021"}, 3, 0, "[8.4a] gs1.org, How to calculate a check digit manually"),
        ({"digits": "730001100001"}, 7, 0, "[8.4b] gs1.se, the check digit"),
        ({"digits": "10614141123456789"}, 7, 0, "[8.4e] GS1 sample SSCC (from memory), by biip 5.2.0"),
        ({"digits": "03600029145"}, 2, 0, "[8.4f] python-stdnum 2.2"),
        ({"digits": "9638507"}, 4, 0, "[8.4g] python-stdnum 2.2"),
        ({"digits": "400638133393"}, 1, 0, "[8.4h] python-stdnum 2.2"),
    ],
}
