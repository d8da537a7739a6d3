"""Years of synthetic days: daily irradiation with the month's own distribution and the persistence of real weather.

Dark days come in runs, and whole months are dull or bright; a battery lives or dies by both. Each day gets a standard
normal number that remembers the day before and shares a part with its month; the number's rank in the normal
distribution is its rank among the month's days (a Gaussian copula). So every month keeps exactly the distribution it was
given, whatever the persistence.

A year has 365 days. Arrays are numpy; years come first, days of the year second, hours of the day last.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from model.supply.daily_distribution import PROBABILITIES
from model.supply.sun import Floats

PERSISTENCE = 1 / 3
"""Correlation of a day's number with the day before, the month's share left out.

Inside a single month the literature has 0.29 (Graham, Hollands & Unny 1988, from memory, to be checked against the paper).
This value and `MONTH_VARIANCE` were chosen together so that the worst 1 to 10 days in a month come out as measured at 21
stations; lags 1, 2, 3 are then 0.37, 0.16, 0.09, where 35 measured series of 4 to 53 years have 0.40, 0.20, 0.14 (sd 0.12)."""

MONTH_VARIANCE = 0.05
"""Share of the variance that a whole month has in common; fitted together with `PERSISTENCE`."""

DAYS_OF_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
DAYS_PER_YEAR = 365
MONTH_OF_DAY: NDArray[np.int64] = np.repeat(np.arange(12), DAYS_OF_MONTH)
"""Month, 0 to 11, of each day of the year."""

DAY_TO_DAY_K, DAY_TO_DAY_PERSISTENCE = 4.0, 0.7
"""Standard deviation of a day's mean temperature about its month's, and its correlation with the day before.

In the cold months (mean below 10 °C) of the typical years of Greensboro and Sand Point (NSRDB TMY3) the deviation is 1.8 to
8 K, 3.9 K on the average, in warm ones less; the correlation is 0.71 and 0.78, in Miami 0.66. Taken as independent of the sun."""

WARMEST_H = 15.0  # hour at which the air is warmest; common practice, no source


def day_numbers(
    years: int, seed: int, *, persistence: float = PERSISTENCE, month_variance: float = MONTH_VARIANCE
) -> Floats:
    """Standard normal numbers of shape (years, 365), small for dark days; they run on through the ends of months and years.

    a_t = r a_(t-1) + sqrt(1 - r2) e_t, z_t = sqrt(1 - v) a_t + sqrt(v) u_month. The same seed gives the same years.
    """
    if not 0 <= month_variance <= 1:
        raise ValueError("the month's share runs from 0 to 1")
    draw = np.random.default_rng(seed)
    days = _persistent(draw, years, persistence)
    months = draw.standard_normal((years, 12))[:, MONTH_OF_DAY]
    return np.asarray(np.sqrt(1 - month_variance) * days + np.sqrt(month_variance) * months)


def _persistent(draw: np.random.Generator, years: int, persistence: float) -> Floats:
    """Standard normal numbers, (years, 365), each remembering the one before: a_t = r a_(t-1) + sqrt(1 - r2) e_t.

    Written out as a sum over earlier days, as far back as a float can tell.
    """
    if years < 1:
        raise ValueError(f"{years} years are too few: at least 1")
    if not 0 <= persistence <= 0.9:
        raise ValueError("persistence runs from 0 to 0.9")
    memory_days = int(np.ceil(np.log(1e-17) / np.log(persistence))) if persistence > 0 else 0
    fresh = draw.standard_normal(years * DAYS_PER_YEAR + memory_days)
    memory = np.sqrt(1 - persistence**2) * persistence ** np.arange(memory_days + 1)
    return np.asarray(np.convolve(fresh, memory, mode="valid").reshape(years, DAYS_PER_YEAR))


def temperature_departures_k(years: int, seed: int) -> Floats:
    """By how much each day is warmer or colder than its month, (years, 365); independent of the irradiation of that seed."""
    return DAY_TO_DAY_K * _persistent(np.random.default_rng((seed, 1)), years, DAY_TO_DAY_PERSISTENCE)


def daily_irradiation(
    numbers: Floats,
    quantiles: Sequence[Sequence[float]] | Floats,
    probabilities: Sequence[float] = PROBABILITIES,
    month_of_day: NDArray[np.int64] = MONTH_OF_DAY,
) -> Floats:
    """Irradiation of each day, in the unit of `quantiles` (12 months, each at `probabilities`): H = Q(Phi(z)).

    `numbers`: (years, days), each day of the month, 0 to 11, that `month_of_day` says.
    """
    from scipy.special import ndtr

    ranks: Floats = ndtr(numbers)
    found = np.empty_like(ranks)
    for month, row in enumerate(quantiles):
        days = month == month_of_day
        found[:, days] = np.interp(ranks[:, days], probabilities, row)
    return found


def synthetic_days(
    quantiles: Sequence[Sequence[float]] | Floats,
    years: int,
    seed: int,
    probabilities: Sequence[float] = PROBABILITIES,
) -> Floats:
    """`years` x 365 days of irradiation, kWh/m2, for the twelve distributions of a climate."""
    return daily_irradiation(day_numbers(years, seed), quantiles, probabilities)


def resampled_days(measured: Floats, years: int, seed: int) -> Floats:
    """`years` years drawn from measured ones of shape (n, 365), each as it is; one measured year is simply repeated."""
    measured = np.asarray(measured, dtype=float)
    if measured.ndim != 2 or measured.shape[1] != DAYS_PER_YEAR or not np.all(np.isfinite(measured)):
        raise ValueError("measured years take a number for each of 365 days, year by year")
    return np.asarray(measured[np.random.default_rng(seed).integers(0, len(measured), years)])


def hourly_temperature_c(monthly_c: Sequence[float], half_swing_k: float) -> Floats:
    """Temperature of each hour of the year, (365, 24): the month's mean and a swing over the day, warmest at 15 h."""
    hour = np.arange(24) + 0.5
    swing = half_swing_k * np.cos((hour - WARMEST_H) * (np.pi / 12))
    return np.asarray(np.asarray(monthly_c, dtype=float)[MONTH_OF_DAY, None] + swing)


def by_day(monthly_profiles: Sequence[Sequence[float]] | Floats) -> Floats:
    """Twelve day profiles of 24 hours laid over the year: (12, 24) -> (365, 24)."""
    return np.asarray(monthly_profiles, dtype=float)[MONTH_OF_DAY]
