"""What one rated watt gives in each hour of a day of any irradiation, by the same chain as the monthly yield.

For each month the chain is run on a row of days from the darkest to the brightest; a day in between lies between its
neighbours. So no day of a long simulation goes through pvlib, and a dark day keeps its diffuse light and its cool cells.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from model.design import Array, Controller, Module
from model.supply.climate import Climate
from model.supply.irradiance import SOLAR_TIME_H, equatorward_azimuth_deg, plane_of_array, sky_of
from model.supply.module_yield import air_c, cell_c, kept_after_losses, power_w_per_w
from model.supply.sun import Floats


@dataclass(frozen=True, slots=True)
class DayShapes:
    """Days of each month, darkest first.

    daily_kwh_per_m2: global horizontal irradiation, (12, n), rising. hourly_w_per_w: mean power in each hour of true solar
    time at the controller's input, per rated watt, (12, n, 24).
    """

    daily_kwh_per_m2: Floats
    hourly_w_per_w: Floats


def day_shapes(climate: Climate, module: Module, array: Array, controller: Controller, system_v: float) -> DayShapes:
    """The days at the climate's own quantiles, through sky, plane, glass, cell temperature and losses."""
    # What does not change a yield per watt is set to one value, so that its edits find their answer in the cache.
    return _day_shapes(climate, module, replace(array, count=None), Controller(kind=controller.kind), system_v)


@lru_cache(maxsize=16)
def _day_shapes(climate: Climate, module: Module, array: Array, controller: Controller, system_v: float) -> DayShapes:
    daily = np.array(climate.quantiles_kwh_per_m2_day)
    azimuth = equatorward_azimuth_deg(climate.latitude_deg) if array.azimuth_deg is None else array.azimuth_deg
    plane = plane_of_array(sky_of(daily * 1000, climate.latitude_deg), array.tilt_deg, azimuth)
    air = air_c(np.array(climate.temperature_c)[:, None, None], SOLAR_TIME_H)
    cell = cell_c(plane.global_w_per_m2, air, array.mounting)
    power = power_w_per_w(plane, cell, module, array, controller, system_v)
    hourly = (power * kept_after_losses(array)).reshape(12, daily.shape[1], 24, -1).mean(axis=-1)
    for shared in (daily, hourly):
        shared.setflags(write=False)
    return DayShapes(daily, hourly)


def hourly_yield_w_per_w(
    daily_kwh_per_m2: Floats, month_of_day: NDArray[np.int64], shapes: DayShapes
) -> NDArray[np.float64]:
    """Power per rated watt in each hour: days of shape (years, days) -> (years, days, 24).

    `month_of_day`: 0 to 11 for each day. Days beyond the darkest and the brightest shape are scaled in proportion.
    """
    years, days = daily_kwh_per_m2.shape
    found = np.empty((years, days, 24))
    for month in range(12):
        chosen = month_of_day == month
        if not chosen.any():
            continue
        daily = daily_kwh_per_m2[:, chosen]
        known, hourly = shapes.daily_kwh_per_m2[month], shapes.hourly_w_per_w[month]
        place = np.interp(daily, known, np.arange(len(known)))
        below = np.minimum(place.astype(int), len(known) - 2)
        share = (place - below)[..., None]
        between = (1 - share) * hourly[below] + share * hourly[below + 1]
        inside = np.clip(daily, known[0], known[-1])
        scale = np.divide(daily, inside, out=np.zeros_like(daily), where=inside > 0)
        found[:, chosen] = between * scale[..., None]
    return found
