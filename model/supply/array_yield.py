"""Yields of a design's array, and of the same array laid or controlled otherwise."""

from __future__ import annotations

from dataclasses import replace

from model.supply.irradiance import equatorward_azimuth_deg
from model.supply.module_yield import MonthYield, yields
from model.supply.table import SupplyInput


def array_yields(
    inputs: SupplyInput, *, tilt_deg: float | None = None, kind: str | None = None
) -> tuple[MonthYield, ...]:
    """The twelve months of the design, or what they would be tilted towards the equator or with the other controller."""
    array, controller = inputs.array, inputs.controller
    if tilt_deg is not None:
        array = replace(array, tilt_deg=tilt_deg, azimuth_deg=equatorward_azimuth_deg(inputs.climate.latitude_deg))
    # What does not change a yield per watt is set to one value, so that its edits find their answer in the cache.
    array = replace(array, count=None)
    controller = replace(controller, kind=kind or controller.kind, efficiency=1.0, limit_v=100.0, limit_a=30.0)
    return yields(inputs.climate, inputs.module, array, controller, inputs.system_v)
