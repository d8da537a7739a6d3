"""How warm the cabin is, and how much more a refrigerator works for it."""

from __future__ import annotations

REFERENCE_C = 25.0  # the cabin temperature at which a duty is taken to be meant
COLD_ROOM_C = 5.0  # inside the refrigerator
LIVED_IN_C = 12.0  # somebody who lives in a cabin that is colder heats it; common practice, no source
HOT_WEEK_K = 8.0  # above the month's mean; common practice, no source


def cabin_temperature_c(outside_c: float, heated_to_c: float | None) -> float:
    """Temperature inside the van, °C: as outside, but never below what the heater holds.

    Sun on a parked van is left out; see HOT_WEEK_K for the hot case. Source: common practice, no source.
    """
    return outside_c if heated_to_c is None else max(outside_c, heated_to_c)


def duty_in_heat(duty: float, cabin_c: float) -> float:
    """Duty (0 to 1) of a refrigerator in a cabin at `cabin_c` °C, from its duty at 25 °C.

    The heat that leaks in is proportional to the temperature difference (Newton's law of cooling); the compressor's
    coefficient of performance is taken as constant, which flatters the hottest days a little.
    """
    warmer = (cabin_c - COLD_ROOM_C) / (REFERENCE_C - COLD_ROOM_C)
    return min(1.0, max(0.0, duty * warmer))
