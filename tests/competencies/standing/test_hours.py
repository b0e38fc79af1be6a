"""What the hours of a roster warn of (R9.5).

Limits: UK Health and Safety Executive, HSG256 "Managing shift work", from memory: twelve hours with overtime, eight at
night or at demanding and safety-critical work, two or three nights, long or early shifts running, five to seven days
running, two full nights of sleep between days and nights. Eleven hours of daily rest: Directive 2003/88/EC, article 3,
from memory. Night time: UK Working Time Regulations 1998, regulation 2, from memory.
"""

from datetime import date

import pytest

from competencies.standing.calendar import Clock, days_after
from competencies.standing.framework import Policy, Shift
from competencies.standing.hours import duty_on, hours_warnings
from tests.competencies.standing.plant import spoken

CLOCK = Clock("Europe/Dublin")
MONDAY = date(2026, 3, 2)
USUAL = Policy()
SHIFTS = {
    "day": Shift(name="day", starts=6 * 60, ends=14 * 60),
    "late": Shift(name="late", starts=14 * 60, ends=22 * 60),
    "night": Shift(name="night", starts=22 * 60, ends=6 * 60),
    "twelve": Shift(name="twelve", starts=6 * 60, ends=18 * 60),
    "thirteen": Shift(name="thirteen", starts=6 * 60, ends=19 * 60),
    "nine": Shift(name="nine", starts=8 * 60, ends=17 * 60),
    "early": Shift(name="early", starts=5 * 60, ends=13 * 60),
    "evening": Shift(name="evening", starts=16 * 60, ends=0),
    "small hours": Shift(name="small hours", starts=0, ends=8 * 60),
    "dawn": Shift(name="dawn", starts=5 * 60, ends=7 * 60),
    "from three": Shift(name="from three", starts=3 * 60, ends=11 * 60),
    "from past three": Shift(name="from past three", starts=3 * 60 + 1, ends=11 * 60),
    "from five": Shift(name="from five", starts=5 * 60, ends=14 * 60),
    "until two": Shift(name="until two", starts=18 * 60, ends=2 * 60),
    "until before two": Shift(name="until before two", starts=18 * 60, ends=2 * 60 - 1),
    "until eleven": Shift(name="until eleven", starts=15 * 60, ends=23 * 60),
    "until past eleven": Shift(name="until past eleven", starts=15 * 60, ends=23 * 60 + 1),
}


def duty(text):
    """Return the duty of "2 day": the shift that starts so many days after Monday."""
    ahead, _, name = text.partition(" ")
    return duty_on(SHIFTS[name], days_after(MONDAY, int(ahead)), CLOCK)


def warned(duties, here, *, policy=USUAL, safety_critical=False):
    """Return what is said of the hours of one of these duties, in order."""
    return spoken(hours_warnings(duties, here, policy=policy, clock=CLOCK, safety_critical=safety_critical))


def said(*texts, **fields):
    """Return what is said of the last of these duties."""
    duties = [duty(text) for text in texts]
    return warned(duties, duties[-1], **fields)


def running(name, count):
    return [f"{ahead} {name}" for ahead in range(count)]


TOO_LONG = "R9.5 hours_too_long hours={} most=12"
AT_NIGHT = "R9.5 hours_at_night hours={} most=8"
NO_SLEEP = "R9.5 too_few_nights_of_sleep count={} least=2"


@pytest.mark.parametrize(
    ("texts", "expected"),
    [
        (["0 day"], ""),
        (["0 twelve"], ""),
        (["0 thirteen"], TOO_LONG.format(13)),
        (["0 late", "0 day"], TOO_LONG.format(16)),
        (["0 late", "0 night"], f"{TOO_LONG.format(16)}; {AT_NIGHT.format(16)}"),
        (running("night", 3), ""),
        (running("night", 4), "R9.5 nights_running count=4 most=3"),
        (running("night", 5), "R9.5 nights_running count=5 most=3"),
        (running("early", 3), ""),
        (running("early", 4), "R9.5 early_shifts_running count=4 most=3"),
        (running("nine", 3), ""),
        (running("nine", 4), "R9.5 long_shifts_running count=4 most=3"),
        (running("day", 7), ""),
        (running("day", 8), "R9.5 days_running count=8 most=7"),
        (["0 day", "1 day", "3 day"], ""),
        (["0 late", "1 day"], "R9.5 short_rest hours=8 least=11"),
        (["0 thirteen", "1 early"], "R9.5 short_rest hours=10 least=11"),
        (["0 evening", "1 late"], ""),
        (["0 late", "1 night"], NO_SLEEP.format(1)),
        (["0 late", "2 night"], ""),
        (["0 day", "0 night"], f"R9.5 short_rest hours=8 least=11; {NO_SLEEP.format(0)}"),
        (["0 evening", "2 night"], NO_SLEEP.format(1)),
        (["0 night", "1 night"], ""),
        (["0 night", "2 late"], ""),
        # Only what has gone on up to this duty runs: three nights and a late shift are no four nights.
        ([*running("night", 3), "3 late"], "R9.5 short_rest hours=8 least=11"),
        ([*running("nine", 3), "4 nine"], ""),
        ([*running("early", 3), "3 day"], ""),
    ],
    ids=lambda value: ", ".join(value) if isinstance(value, list) else None,
)
def test_hours_warn(texts, expected):
    assert said(*texts) == expected


@pytest.mark.parametrize(
    ("shift", "minutes", "expected"),
    [
        ("day", 240, ""),
        ("day", 255, TOO_LONG.format(12.25)),
        ("night", 0, ""),
        ("night", 30, AT_NIGHT.format(8.5)),
        ("late", 239, ""),
        ("late", 240, AT_NIGHT.format(12)),
        ("twelve", 24 * 60, f"{TOO_LONG.format(36)}; {AT_NIGHT.format(36)}"),
    ],
)
def test_overtime_counts(shift, minutes, expected):
    duty = duty_on(SHIFTS[shift], MONDAY, CLOCK, overtime_minutes=minutes)

    assert warned([duty], duty) == expected


def test_safety_critical_work_is_eight_hours_at_most():
    assert said("0 nine", safety_critical=True) == "R9.5 hours_safety_critical hours=9 most=8"
    assert said("0 day", safety_critical=True) == ""


def test_rest_is_counted_to_the_minute():
    late = duty("0 late")
    nine, earlier = (
        duty_on(Shift(name="e", starts=starts, ends=17 * 60), days_after(MONDAY, 1), CLOCK)
        for starts in (9 * 60, 8 * 60 + 45)
    )

    assert warned([late, nine], nine) == ""
    assert warned([late, earlier], earlier) == "R9.5 short_rest hours=10.75 least=11"
    assert warned([late, nine], nine, policy=Policy(rest_hours=12)) == "R9.5 short_rest hours=11 least=12"


@pytest.mark.parametrize(
    ("texts", "expected"),
    [
        # A night is slept through from 23:00 to 06:00, both included.
        (["0 until eleven", "2 night"], ""),
        (["0 until past eleven", "2 night"], NO_SLEEP.format(1)),
        (["0 late", "2 late", "2 night", "2 day"], ""),
        (["0 late", "2 late", "2 night", "2 from five"], NO_SLEEP.format(1)),
    ],
    ids=["until 23:00", "until 23:01", "from 06:00", "from 05:00"],
)
def test_two_whole_nights_lie_between_days_and_nights(texts, expected):
    assert said(*texts, policy=Policy(longest_hours=25, longest_hard_hours=25)) == expected


def test_the_longest_night_of_the_year_is_nine_hours():
    """On 25 October 2026 the clocks of Ireland go back one hour: the night shift lasts nine."""
    night = duty_on(SHIFTS["night"], date(2026, 10, 24), CLOCK)

    assert warned([night], night) == AT_NIGHT.format(9)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        *[("day", False), ("late", False), ("night", True), ("evening", False), ("small hours", True)],
        *[("from three", True), ("from past three", False), ("until two", True), ("until before two", False)],
        ("early", False),
    ],
)
def test_three_hours_of_night_time_make_a_night_shift(name, expected):
    assert duty(f"0 {name}").is_night is expected


def test_the_plant_sets_its_own_limits():
    assert said(*running("night", 4), policy=Policy(hard_shifts_running=4)) == ""
    assert said("0 twelve", policy=Policy(longest_hours=10)) == "R9.5 hours_too_long hours=12 most=10"


def test_later_duties_change_nothing_unless_they_follow_without_a_break():
    day, late, other = duty("0 day"), duty("0 late"), duty("1 late")

    assert warned([day, other], day) == ""
    assert warned([day, late], day) == TOO_LONG.format(16)


def test_a_long_shift_later_on_the_day_is_none_of_this_one():
    duties = [duty(text) for text in (*running("nine", 3), "3 dawn", "3 nine")]

    assert warned(duties, duties[3]) == ""


def test_all_that_has_gone_on_too_long_is_said_in_order():
    duties = [duty(text) for text in running("night", 8)]
    longer = [duty_on(SHIFTS["night"], each.on, CLOCK, overtime_minutes=60) for each in duties]

    assert warned(longer, longer[-1], safety_critical=True).split("; ") == [
        AT_NIGHT.format(9),
        "R9.5 hours_safety_critical hours=9 most=8",
        "R9.5 nights_running count=8 most=3",
        "R9.5 long_shifts_running count=8 most=3",
        "R9.5 days_running count=8 most=7",
    ]
