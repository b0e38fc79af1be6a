"""Days and moments as a story writes them: plant-local, noon where only a day is given. Pure."""

import re
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from competencies.importing.fields import Section

NOON = time(12)
MOMENT = re.compile(r"(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d(?::\d\d)?)(Z|[+-]\d\d:\d\d)?")
DAY = re.compile(r"\d{4}-\d\d-\d\d")
CLOCK = re.compile(r"([01]\d|2[0-3]):([0-5]\d)|24:00")


def local(day: date, clock: time, zone: ZoneInfo) -> datetime:
    """Return the moment, in UTC, of a plant's wall clock."""
    return datetime.combine(day, clock, zone).astimezone(UTC)


def read_moment(section: Section, key: str, zone: ZoneInfo, *, clock: time = NOON) -> datetime | None:
    """Return the moment in a field: "2025-05-01T10:40", or a day, which stands for `clock` on it.

    An offset ("2025-10-26T01:30+00:00") tells which of the two is meant where the clocks go back.
    """
    text = section.text(key, longest=25)
    if not text:
        return None
    try:
        if DAY.fullmatch(text):
            return local(date.fromisoformat(text), clock, zone)
        if match := MOMENT.fullmatch(text):
            if match[3]:
                return datetime.fromisoformat(f"{match[1]}T{match[2]}{match[3]}").astimezone(UTC)
            return local(date.fromisoformat(match[1]), time.fromisoformat(match[2]), zone)
    except ValueError:
        section.note(key, "there is no such moment")
        return None
    section.note(key, "a moment such as 2025-05-01T10:40, or a day, was expected")
    return None


def read_clock(section: Section, key: str, default: int) -> int:
    """Return the minutes after midnight of a time such as 06:00."""
    text = section.text(key, longest=5)
    if not text:
        return default
    if not CLOCK.fullmatch(text):
        section.note(key, "a time such as 06:00 was expected")
        return default
    hours, minutes = text.split(":")
    return int(hours) * 60 + int(minutes)
