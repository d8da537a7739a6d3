"""Where the sun stands and what would arrive above the air: declination, sunset, irradiation.

Angles are in radians where the name says `_rad`, latitudes are positive in the north, days are days of the
year, 1 to 365. All functions take numbers or numpy arrays that broadcast against each other. pvlib is
imported on first use, because that takes a second which the first screen must not wait for.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]

# The day of each month whose extraterrestrial irradiation is nearest to the month's mean (Klein 1977;
# Duffie & Beckman table 1.6.1).
KLEIN_DAYS: tuple[int, ...] = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)


def declination_rad(day: Floats | float) -> Floats:
    """Declination of the sun on a day of the year (Spencer 1971, through pvlib)."""
    from pvlib.solarposition import declination_spencer71

    return np.asarray(declination_spencer71(np.asarray(day, dtype=float)), dtype=float)


def extraterrestrial_normal_w_per_m2(day: Floats | float) -> Floats:
    """Irradiance above the air on a plane that faces the sun (Spencer 1971, 1366.1 W/m2; pvlib)."""
    from pvlib.irradiance import get_extra_radiation

    days = np.atleast_1d(np.asarray(day, dtype=float))
    return np.asarray(get_extra_radiation(days, method="spencer"), dtype=float).reshape(np.shape(day))


def sunset_hour_angle_rad(latitude_rad: Floats | float, declination_rad: Floats | float) -> Floats:
    """Hour angle of sunset, cos ws = -tan(latitude) tan(declination) (Duffie & Beckman eq. 1.6.10).

    0 in the polar night, pi in the polar day.
    """
    cosine = -np.tan(latitude_rad) * np.tan(declination_rad)
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)), dtype=float)


@lru_cache(maxsize=256)
def monthly_daylight_h(latitude_deg: float) -> tuple[float, ...]:
    """Hours from sunrise to sunset on each Klein day, January to December: N = 24 ws / pi (Duffie & Beckman eq. 1.6.11)."""
    sunset = sunset_hour_angle_rad(np.deg2rad(latitude_deg), declination_rad(np.array(KLEIN_DAYS, dtype=float)))
    return tuple(float(hours) for hours in 24 / np.pi * sunset)


def daily_extraterrestrial_wh_per_m2(latitude_deg: Floats | float, day: Floats | float) -> Floats:
    """Irradiation of one day on a horizontal plane above the air, H0 (Duffie & Beckman eq. 1.10.3)."""
    latitude, declination = np.deg2rad(latitude_deg), declination_rad(day)
    sunset = sunset_hour_angle_rad(latitude, declination)
    across = np.cos(latitude) * np.cos(declination) * np.sin(sunset)
    along = sunset * np.sin(latitude) * np.sin(declination)
    irradiation = 24 / np.pi * extraterrestrial_normal_w_per_m2(day) * (across + along)
    return np.asarray(np.maximum(irradiation, 0.0), dtype=float)


@lru_cache(maxsize=256)
def monthly_extraterrestrial_kwh_per_m2_day(latitude_deg: float) -> tuple[float, ...]:
    """H0 on each month's Klein day, January to December; 0 where the sun does not rise on that day."""
    irradiation = daily_extraterrestrial_wh_per_m2(latitude_deg, np.array(KLEIN_DAYS, dtype=float)) / 1000
    return tuple(float(value) for value in irradiation)
