"""Yields of a design's array, and of the same array laid or controlled otherwise."""

from __future__ import annotations

from dataclasses import replace
from math import inf

from model.supply.irradiance import equatorward_azimuth_deg
from model.supply.module_yield import MonthYield, charging_v, yields
from model.supply.table import SupplyInput

BRIGHTEST_W_PER_W = 1.5
"""More than a rated watt ever gives, on the coldest and brightest day: below that a controller has nothing to cut off."""


def array_yields(
    inputs: SupplyInput, *, tilt_deg: float | None = None, kind: str | None = None, limit_w_per_w: float = inf
) -> tuple[MonthYield, ...]:
    """The twelve months of the design, or what they would be tilted towards the equator, with the other controller, or with
    one that passes no more than `limit_w_per_w` of each rated watt."""
    array, controller = inputs.array, inputs.controller
    if tilt_deg is not None:
        array = replace(array, tilt_deg=tilt_deg, azimuth_deg=equatorward_azimuth_deg(inputs.climate.latitude_deg))
    # What does not change a yield per watt is set to one value, so that its edits find their answer in the cache.
    array = replace(array, count=None)
    controller = replace(controller, kind=kind or controller.kind, efficiency=1.0, limit_v=100.0, limit_a=30.0)
    return yields(inputs.climate, inputs.module, array, controller, inputs.system_v, limit_w_per_w)


def passed_yields(inputs: SupplyInput, array_w: float) -> tuple[MonthYield, ...]:
    """What of the twelve months gets through the controller's current limit with an array of `array_w`."""
    full_w = array_w * inputs.controller.efficiency
    limit_w = inputs.controller.limit_a * charging_v(inputs.system_v)
    if full_w * BRIGHTEST_W_PER_W <= limit_w:
        return array_yields(inputs)
    return array_yields(inputs, limit_w_per_w=limit_w / full_w)
