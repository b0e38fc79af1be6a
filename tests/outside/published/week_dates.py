"""Published figures: week dates, day codes and best-before dates."""

from datetime import date

PUBLISHED = {
    "C34-week_date": [
        ({"packed": date(1985, 4, 12)}, "1985-W15-5", 0, "[8.5b] ISO 8601:2000, pages 13 and 14"),
        ({"packed": date(1953, 8, 2)}, "1953-W31-7", 0, "[8.5d] experts123.com on ISO 8601"),
    ],
    "C34-new_year": [
        ({"packed": date(2024, 12, 30)}, "2025-W01-1", 0, "[8.5e] Python 3.11 date.isocalendar"),
        ({"packed": date(2021, 1, 3)}, "2020-W53-7", 0, "[8.5f] Python 3.11 date.isocalendar"),
    ],
    # The same published pairs, read backwards.
    "C34-from_week": [
        ({"code": "1985-W15-5"}, date(1985, 4, 12), 0, "[8.5b] ISO 8601:2000, pages 13 and 14"),
        ({"code": "2025-W01-1"}, date(2024, 12, 30), 0, "[8.5e] Python 3.11 date.isocalendar"),
        ({"code": "2020-W53-7"}, date(2021, 1, 3), 0, "[8.5f] Python 3.11 date.isocalendar"),
    ],
    "C34-from_day_code": [
        ({"code": "24366"}, date(2024, 12, 31), 0, "[8.5g] Python 3.11 tm_yday: 2024-366"),
    ],
    "C34-days": [
        ({"packed": date(2025, 3, 14), "days": 270}, date(2025, 12, 9), 0, "[8.6e] Python 3.11 date and timedelta"),
    ],
    "C34-form": [
        ({"months": 3}, "day and month", 0, "[8.6g] Regulation (EU) 1169/2011 Annex X 1(c), by fsai.ie"),
        ({"months": 4}, "month and year", 0, "[8.6f] Regulation (EU) 1169/2011 Annex X 1(c), by fsai.ie"),
        ({"months": 18}, "month and year", 0, "[8.6f] Regulation (EU) 1169/2011 Annex X 1(c), by fsai.ie"),
    ],
}
