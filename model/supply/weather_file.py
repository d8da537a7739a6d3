"""From the hours of a weather file to monthly weather: means, spread of days, lowest temperature.

Reading files is the record's business; this part takes hours in local standard or solar time and knows no file.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from model.calendar import month_name
from model.design import Weather
from model.supply.daily_distribution import PROBABILITIES
from model.supply.sun import Floats

_LONGEST = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
FEWEST_DAYS = 25
"""Complete days that a month must have; typical years lose a few where they are glued from different years."""
MOST_MISSING = 10
"""Days that a year may miss, of those that a battery is led through in order. Common practice, no source."""
DAYS = np.array([month * 100 + day for month in range(1, 13) for day in range(1, _LONGEST[month - 1] + 1)])
"""The 365 days of a year as month x 100 + day."""
BRIGHTEST_HOUR_W_PER_M2 = 1700.0
"""More than the sun gives above the air (1361 W/m2 at most 1410), with room for light from the edges of clouds."""
COLDEST_C, WARMEST_C = -95.0, 65.0
"""Beyond the coldest and the warmest air ever measured near the ground (-89.2 and 56.7 °C, WMO)."""


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours of one or several years, in any order; all arrays of one length.

    `day`: a number that the 24 hours of one local day share, month x 100 + day, plus year x 10000 where years differ.
    """

    day: NDArray[np.int64]
    ghi_w_per_m2: Floats
    temperature_c: Floats


def weather_from_hours(hours: Hours, source: str) -> Weather:
    """Monthly weather of complete days; days with other than 24 hours are left out.

    Raises ValueError, with the reason as a sentence, for missing or impossible values and for less than a year.
    """
    _check(hours)
    day, first, count = np.unique(hours.day, return_inverse=True, return_counts=True)
    daily = np.bincount(first, weights=hours.ghi_w_per_m2) / 1000
    warmth = np.bincount(first, weights=hours.temperature_c) / count
    complete = count == 24
    month = day // 100 % 100
    ghi: list[float] = []
    shape: list[float] = []
    temperature: list[float] = []
    for number in range(1, 13):
        chosen = complete & (month == number)
        if chosen.sum() < FEWEST_DAYS:
            raise ValueError(
                f"{month_name(number)} has {chosen.sum()} complete days of 24 hours; it takes a whole year of hourly values"
            )
        mean = float(daily[chosen].mean())
        ghi.append(round(mean, 4))
        temperature.append(round(float(warmth[chosen].mean()), 2))
        over_mean = daily[chosen] / mean if mean > 0 else np.ones(int(chosen.sum()))
        shape += [round(float(value), 4) for value in np.quantile(over_mean, PROBABILITIES)]
    return Weather(
        source=source,
        ghi_kwh_per_m2_day=tuple(ghi),
        temperature_c=tuple(temperature),
        daily_shape=tuple(shape),
        lowest_c=round(float(hours.temperature_c.min()), 1),
    )


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredDays:
    """The days of a weather file as they were, whole years: both arrays (years, 365), the 29th of February left out.

    Each object is its own key in caches.
    """

    source: str
    daily_kwh_per_m2: Floats  # global horizontal irradiation
    temperature_c: Floats  # mean over the day

    @property
    def years(self) -> int:
        return len(self.daily_kwh_per_m2)


def measured_days_from_hours(hours: Hours, source: str) -> MeasuredDays:
    """The days of all years that are whole but for a few; a missing day is put between its neighbours.

    Raises ValueError, with the reason as a sentence, for missing or impossible values and where no year is whole.
    """
    _check(hours)
    day, first, count = np.unique(hours.day, return_inverse=True, return_counts=True)
    sums = np.bincount(first, weights=hours.ghi_w_per_m2) / 1000, np.bincount(first, weights=hours.temperature_c) / 24
    known = (count == 24) & (day % 10_000 != 229)
    whole = []
    for year in np.unique(day // 10_000):
        chosen = known & (day // 10_000 == year)
        if chosen.sum() >= len(DAYS) - MOST_MISSING:
            place = np.searchsorted(DAYS, day[chosen] % 10_000)
            whole.append([np.interp(np.arange(len(DAYS)), place, values[chosen]) for values in sums])
    if not whole:
        raise ValueError(f"no year of it is whole: at most {MOST_MISSING} days may be missing")
    daily, warmth = np.array(whole).transpose(1, 0, 2)
    for shared in (daily, warmth):
        shared.setflags(write=False)
    return MeasuredDays(source, daily, warmth)


def _check(hours: Hours) -> None:
    if len(hours.day) == 0:
        raise ValueError("it holds no hours")
    light, air = hours.ghi_w_per_m2, hours.temperature_c
    no_light = int(np.count_nonzero(~((light >= 0) & (light <= BRIGHTEST_HOUR_W_PER_M2))))
    if no_light:
        raise ValueError(f"irradiation is missing or impossible in {no_light} of {len(light)} hours")
    no_air = int(np.count_nonzero(~((air >= COLDEST_C) & (air <= WARMEST_C))))
    if no_air:
        raise ValueError(f"temperature is missing or impossible in {no_air} of {len(air)} hours")
