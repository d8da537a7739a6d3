"""From irradiance on the module to what one rated watt delivers: cell temperature, power, losses, month by month.

The yield is the direct-current energy that reaches the charge controller, per watt of rated power and day. What the
controller and the battery lose is counted where the array is sized. pvlib is imported on first use.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import inf

import numpy as np

from model.design import Array, Controller, Module
from model.supply.climate import Climate
from model.supply.daily_distribution import class_means, reshape_daily_distribution
from model.supply.irradiance import (
    CLASSES,
    SOLAR_TIME_H,
    STEP_H,
    Plane,
    equatorward_azimuth_deg,
    plane_of_array,
    sky_of,
)
from model.supply.sun import Floats, monthly_extraterrestrial_kwh_per_m2_day

DAILY_SWING_K = 5.0
"""Half the swing of the air's temperature over a day. Common practice, no source; without it the yield of temperate
places would come out 1 % too high (seen against typical years of NSRDB stations)."""

LOW_LIGHT_LOSS = 0.005
"""Marion 2008's k: the share of rated power missing at 200 W/m2. The value is common practice, no source."""

CHARGING_V_PER_12_V = 13.6
"""Mean battery voltage while the sun charges, for each 12 V nominal. Common practice, no source."""

ROSS_K_PER_W_M2 = {"flush": 0.056, "gap": 0.034}
"""Sloped roof without ventilation (0.056) and with poor ventilation (0.034): Skoplaki & Palyvos 2009, as listed by
pvlib.temperature.ross. The first agrees with King 2004's insulated back (0.0575)."""

OPEN_RACK_FAIMAN = (25.0, 6.84)
"""Faiman 2008's u0, u1 for a free-standing module, in W/(m2 K) and W s/(m3 K): the defaults of pvlib."""


@dataclass(frozen=True, slots=True)
class MonthYield:
    """What the sun of one month gives to a module, on an average day.

    `yield_wh_per_w_day` and `cautious_wh_per_w_day`: energy at the controller's input per rated watt, typical and in
    nine years of ten; `hourly_w_per_w`: the typical one by hour of true solar time (24 means); `cell_max_c`: at the
    hottest half-hour of the brightest class of days.
    """

    month: int
    ghi_kwh_per_m2_day: float
    ghi_cautious_kwh_per_m2_day: float
    poa_kwh_per_m2_day: float
    yield_wh_per_w_day: float
    cautious_wh_per_w_day: float
    hourly_w_per_w: tuple[float, ...]
    temperature_c: float
    cell_max_c: float


def air_c(mean_c: Floats, solar_time_h: Floats) -> Floats:
    """Temperature of the air over the day, warmest at 15 h (common practice, no source)."""
    return np.asarray(mean_c + DAILY_SWING_K * np.cos((solar_time_h - 15) * (np.pi / 12)))


def cell_c(global_w_per_m2: Floats, air: Floats, mounting: str) -> Floats:
    """Cell temperature under irradiance on the module's plane, for a mounting of `model.design.MOUNTINGS`.

    Open racks are reckoned with 1 m/s of wind, the default of the library.
    """
    from pvlib import temperature

    if mounting == "open rack":
        u0, u1 = OPEN_RACK_FAIMAN
        return np.asarray(temperature.faiman(global_w_per_m2, air, 1.0, u0=u0, u1=u1))
    return np.asarray(temperature.ross(global_w_per_m2, air, k=ROSS_K_PER_W_M2[mounting]))


def tracked_w_per_w(effective_w_per_m2: Floats, cell: Floats, power_per_k: float) -> Floats:
    """Power at the maximum-power point per rated watt (PVWatts 5 with Marion 2008's low-light term, through pvlib)."""
    from pvlib.pvsystem import pvwatts_dc

    return np.asarray(pvwatts_dc(effective_w_per_m2, cell, 1.0, power_per_k, k=LOW_LIGHT_LOSS, cap_adjustment=True))


def clamped_w_per_w(
    effective_w_per_m2: Floats, cell: Floats, module: Module, in_series: float, battery_v: float
) -> Floats:
    """Power of a string tied to the battery's voltage (PWM controller), per rated watt of the string.

    Below the voltage of maximum power the module gives its current of maximum power; from there to open circuit the
    current is taken to fall along a straight line, which lies below the true curve. Both voltages fall with warmth.
    """
    over_stc = cell - 25
    # Current hardly changes with temperature, so that the voltage of maximum power carries the coefficient of power.
    vmp = module.vmp_v * (1 + module.power_per_k * over_stc)
    voc = np.maximum(module.voc_v * (1 + module.voc_per_k * over_stc), vmp + 1e-6)
    share = np.clip((voc - battery_v / in_series) / (voc - vmp), 0.0, 1.0)
    current = module.imp_a * share * effective_w_per_m2 / 1000
    return np.asarray(current * (battery_v / in_series) / module.rated_w)


def kept_after_losses(array: Array) -> float:
    """Share of energy left after dirt, shade, mismatch, wiring, connections, light-induced and nameplate loss.

    The product of PVWatts 5 (Dobos 2014, NREL/TP-6A20-62641), without its terms for snow, age and availability.
    """
    from pvlib.pvsystem import pvwatts_losses

    lost_percent = pvwatts_losses(
        soiling=array.soiling * 100,
        shading=array.shading * 100,
        snow=0,
        mismatch=array.mismatch * 100,
        wiring=array.wiring * 100,
        connections=array.connections * 100,
        lid=array.light_induced * 100,
        nameplate_rating=array.nameplate * 100,
        age=0,
        availability=0,
    )
    return 1 - float(lost_percent) / 100


def charging_v(system_v: float) -> float:
    """Mean voltage of a battery that is being charged, from its nominal voltage."""
    return system_v / 12 * CHARGING_V_PER_12_V


@lru_cache(maxsize=64)
def yields(
    climate: Climate,
    module: Module,
    array: Array,
    controller: Controller,
    system_v: float,
    limit_w_per_w: float = inf,
) -> tuple[MonthYield, ...]:
    """The twelve months, January first; of more than `limit_w_per_w` at the controller's input the rest is cut off.

    The cautious figure is not the cautious factor times the typical one: the days of a dull month go through the same
    chain, because they hold more diffuse light, which a tilted module uses worse, and leave the cells cooler.
    """
    bright, dull = day_classes(climate)
    both = np.concatenate([bright, dull], axis=1)  # one pass through pvlib for both
    azimuth = equatorward_azimuth_deg(climate.latitude_deg) if array.azimuth_deg is None else array.azimuth_deg
    plane = plane_of_array(sky_of(both, climate.latitude_deg), array.tilt_deg, azimuth)
    air = air_c(np.array(climate.temperature_c)[:, None, None], SOLAR_TIME_H)
    cell = cell_c(plane.global_w_per_m2, air, array.mounting)
    power = power_w_per_w(plane, cell, module, array, controller, system_v) * kept_after_losses(array)
    power = np.minimum(power, limit_w_per_w)

    typical, cautious = power[:, :CLASSES].mean(axis=1), power[:, CLASSES:].mean(axis=1)
    # A steep panel near the equator can gain a hair from more diffuse light; nobody should plan with that.
    cautious = np.minimum(cautious, typical)
    hourly = typical.reshape(12, 24, -1).mean(axis=2)
    on_plane = plane.global_w_per_m2[:, :CLASSES].mean(axis=1).sum(axis=1) * STEP_H / 1000
    return tuple(
        MonthYield(
            month=index + 1,
            ghi_kwh_per_m2_day=ghi,
            ghi_cautious_kwh_per_m2_day=ghi * climate.cautious_factor,
            poa_kwh_per_m2_day=float(on_plane[index]),
            yield_wh_per_w_day=float(typical[index].sum() * STEP_H),
            cautious_wh_per_w_day=float(cautious[index].sum() * STEP_H),
            hourly_w_per_w=tuple(hourly[index].tolist()),
            temperature_c=climate.temperature_c[index],
            cell_max_c=float(cell[index, :CLASSES].max()),
        )
        for index, ghi in enumerate(climate.ghi_kwh_per_m2_day)
    )


@lru_cache(maxsize=64)
def day_classes(climate: Climate) -> tuple[Floats, Floats]:
    """Daily irradiation of each class of days in a typical and in a dull month, Wh/m2, both of shape (12, CLASSES).

    A dull month is one that nine years of ten exceed; its days are those of the typical month under thicker cloud.
    """
    above_air = monthly_extraterrestrial_kwh_per_m2_day(climate.latitude_deg)
    typical = np.array(climate.quantiles_kwh_per_m2_day)
    dull = np.array(
        [
            reshape_daily_distribution(row, mean * climate.cautious_factor, outside, climate.elevation_m)
            for row, mean, outside in zip(typical, climate.ghi_kwh_per_m2_day, above_air, strict=True)
        ]
    )
    return class_means(typical, CLASSES) * 1000, class_means(dull, CLASSES) * 1000


def power_w_per_w(
    plane: Plane, cell: Floats, module: Module, array: Array, controller: Controller, system_v: float
) -> Floats:
    """Power per rated watt that the controller makes of the light on the plane.

    A tracking controller steps down: where the string's voltage of maximum power is below the battery's it can give no more than
    the string does at the battery's voltage, and nothing where even its open-circuit voltage is below.
    """
    battery_v = charging_v(system_v)
    if controller.kind == "PWM":
        return clamped_w_per_w(plane.effective_w_per_m2, cell, module, array.in_series, battery_v)
    tracked = tracked_w_per_w(plane.effective_w_per_m2, cell, module.power_per_k)
    vmp = module.vmp_v * (1 + module.power_per_k * (cell - 25)) * array.in_series
    if float(vmp.min()) >= battery_v:
        return tracked
    clamped = clamped_w_per_w(plane.effective_w_per_m2, cell, module, array.in_series, battery_v)
    return np.where(vmp >= battery_v, tracked, np.minimum(tracked, clamped))
