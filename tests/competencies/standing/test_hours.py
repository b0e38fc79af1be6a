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
}


def duty(text):
    """Return the duty of "2 day": the shift that starts so many days after Monday."""
    ahead, _, name = text.partition(" ")
    return duty_on(SHIFTS[name], days_after(MONDAY, int(ahead)), CLOCK)


def codes(*texts, policy=USUAL, safety_critical=False):
    """Return the codes of the warnings about the last of these duties."""
    duties = [duty(text) for text in texts]
    found = hours_warnings(duties, duties[-1], policy=policy, clock=CLOCK, safety_critical=safety_critical)
    return [reason.code for reason in found]


def running(name, count):
    return [f"{ahead} {name}" for ahead in range(count)]


@pytest.mark.parametrize(
    ("texts", "expected"),
    [
        (["0 day"], []),
        (["0 twelve"], []),
        (["0 thirteen"], ["hours_too_long"]),
        (["0 late", "0 day"], ["hours_too_long"]),
        (["0 late", "0 night"], ["hours_too_long", "hours_at_night"]),
        (running("night", 3), []),
        (running("night", 4), ["nights_running"]),
        (running("early", 4), ["early_shifts_running"]),
        (running("nine", 4), ["long_shifts_running"]),
        (running("day", 7), []),
        (running("day", 8), ["days_running"]),
        (["0 day", "1 day", "3 day"], []),
        (["0 late", "1 day"], ["short_rest"]),
        (["0 thirteen", "1 early"], ["short_rest"]),
        (["0 evening", "1 late"], []),
        (["0 late", "1 night"], ["too_few_nights_of_sleep"]),
        (["0 late", "2 night"], []),
        (["0 day", "0 night"], ["short_rest", "too_few_nights_of_sleep"]),
        (["0 evening", "2 night"], ["too_few_nights_of_sleep"]),
        (["0 night", "1 night"], []),
        (["0 night", "2 late"], []),
    ],
)
def test_hours_warn(texts, expected):
    assert codes(*texts) == expected


@pytest.mark.parametrize(
    ("shift", "minutes", "expected"),
    [
        ("day", 240, []),
        ("day", 241, ["hours_too_long"]),
        ("night", 30, ["hours_at_night"]),
        ("late", 240, ["hours_at_night"]),
    ],
)
def test_overtime_counts(shift, minutes, expected):
    duty = duty_on(SHIFTS[shift], MONDAY, CLOCK, overtime_minutes=minutes)

    found = hours_warnings([duty], duty, policy=USUAL, clock=CLOCK, safety_critical=False)

    assert [reason.code for reason in found] == expected


def test_safety_critical_work_is_eight_hours_at_most():
    assert codes("0 nine", safety_critical=True) == ["hours_safety_critical"]
    assert codes("0 day", safety_critical=True) == []


def test_rest_is_counted_to_the_hour():
    eleven = Shift(name="e", starts=9 * 60, ends=17 * 60)
    late, morning = duty("0 late"), duty_on(eleven, days_after(MONDAY, 1), CLOCK)

    exact = hours_warnings([late, morning], morning, policy=USUAL, clock=CLOCK, safety_critical=False)
    one_more = hours_warnings(
        [late, morning], morning, policy=Policy(rest_hours=12), clock=CLOCK, safety_critical=False
    )

    assert [reason.code for reason in exact] == []
    assert [(reason.code, dict(reason.params)) for reason in one_more] == [
        ("short_rest", {"hours": "11", "least": "12"})
    ]


def test_the_longest_night_of_the_year_is_nine_hours():
    """On 25 October 2026 the clocks of Ireland go back one hour: the night shift lasts nine."""
    night = duty_on(SHIFTS["night"], date(2026, 10, 24), CLOCK)

    [found] = hours_warnings([night], night, policy=USUAL, clock=CLOCK, safety_critical=False)[:1]

    assert (found.code, dict(found.params)["hours"]) == ("hours_at_night", "9")


@pytest.mark.parametrize(
    ("name", "expected"),
    [("day", False), ("late", False), ("night", True), ("evening", False), ("small hours", True), ("early", False)],
)
def test_three_hours_of_night_time_make_a_night_shift(name, expected):
    assert duty(f"0 {name}").is_night is expected


def test_the_plant_sets_its_own_limits():
    assert codes(*running("night", 4), policy=Policy(hard_shifts_running=4)) == []
    assert codes("0 twelve", policy=Policy(longest_hours=10)) == ["hours_too_long"]


def test_later_duties_change_nothing_unless_they_follow_without_a_break():
    day, late, other = duty("0 day"), duty("0 late"), duty("1 late")

    def said(duties):
        return [
            reason.code for reason in hours_warnings(duties, day, policy=USUAL, clock=CLOCK, safety_critical=False)
        ]

    assert said([day, other]) == []
    assert said([day, late]) == ["hours_too_long"]
