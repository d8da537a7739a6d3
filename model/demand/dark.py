"""Hours of darkness while people are awake: when lamps burn, by the length of the day.

Clock hours are those of the sun, noon at 12 h, as everywhere in the supply; summer time moves people, not the sum.
"""

from __future__ import annotations

from model.calendar import hours_of

DARK = "dark"  # the time of day in the load table
UP_AT_H, TO_BED_AT_H = 6.0, 23.0  # people are awake in between; common practice, no source
EQUAL_DAY_H = 12.0  # day as long as night: sunset at 18 h, sunrise at 6 h
EQUAL_DARK_H = TO_BED_AT_H - 18.0
EQUAL_YEAR_H = (EQUAL_DAY_H,) * 12


def dark_waking_h(daylight_h: float) -> float:
    """Hours between sunset and sunrise in which people are awake, for a day of `daylight_h` hours between them.

    Their evening lasts from sunset to 23 h, their morning from 6 h to sunrise; both stand symmetrically about noon.
    """
    return max(0.0, TO_BED_AT_H - (12 + daylight_h / 2)) + max(0.0, 12 - daylight_h / 2 - UP_AT_H)


def hours_in_the_dark(hours_per_day: float, daylight_h: float) -> float:
    """What typed hours become on a day of `daylight_h` hours: they are meant for a day as long as its night, and grow and shrink
    with the dark waking hours, 5 on that day; at most all of those, where no more were typed. Common practice, no source."""
    return min(24.0, hours_per_day * dark_waking_h(daylight_h) / EQUAL_DARK_H)


def dark_profile(daylight_h: float) -> tuple[float, ...]:
    """Share of the use in each clock hour, 24 that sum to 1; where it is never dark, those of a day as long as its night."""
    whole = dark_waking_h(daylight_h)
    if whole <= 0:
        return hours_of(DARK)
    evening = (12 + daylight_h / 2, TO_BED_AT_H)
    morning = (UP_AT_H, 12 - daylight_h / 2)
    return tuple((_within(hour, *evening) + _within(hour, *morning)) / whole for hour in range(24))


def _within(hour: int, start: float, end: float) -> float:
    """How much of a clock hour lies between two times of the day."""
    return max(0.0, min(end, hour + 1.0) - max(start, float(hour)))
