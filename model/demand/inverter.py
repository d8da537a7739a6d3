"""What an alternating-current load draws from the battery: conversion by load, and idle draw."""

from __future__ import annotations

from bisect import bisect_left
from functools import cache

from model import shelf
from model.design import Inverter

CURVE_SOURCE = (
    "battery-voltage inverters of the CEC list (Sandia model, pvlib data file of 2019-03-05): "
    "median, highest and lowest of 20 models"
)
_COLUMN = {"typical": "median", "good": "highest", "poor": "lowest"}


@cache
def part_load_curve(curve: str) -> tuple[tuple[float, float], ...]:
    """(fraction of rated power, efficiency) pairs of a named curve, rising load."""
    rows = [row for row in shelf.rows("inverter_curve.csv") if row["curve"] == _COLUMN[curve]]
    return tuple(sorted((float(row["load_fraction"]), float(row["efficiency"])) for row in rows))


def efficiency(inverter: Inverter, ac_w: float) -> float:
    """Efficiency (0 to 1) at `ac_w` watts of alternating-current load.

    A named curve never loses fewer watts than the inverter draws idle, which may be typed higher than the curve's models have.
    """
    if inverter.curve == "fixed":
        return inverter.efficiency
    if ac_w <= 0:
        return 0.0
    return min(curve_efficiency(inverter.curve, ac_w / inverter.rated_w), ac_w / (ac_w + inverter.idle_w))


def curve_efficiency(curve: str, fraction: float) -> float:
    """Efficiency (0 to 1) of a named curve at `fraction` of rated power, above 0.

    Between the curve's points the line is straight. Below its first point the loss in watts stays what it is there, since
    an inverter's self-consumption does not shrink with the load; above rated power the last point holds.
    """
    points = part_load_curve(curve)
    first_fraction, first_efficiency = points[0]
    if fraction <= first_fraction:
        loss = first_fraction / first_efficiency - first_fraction
        return fraction / (fraction + loss)
    if fraction >= points[-1][0]:
        return points[-1][1]
    right = bisect_left(points, (fraction, 0.0))
    (x0, y0), (x1, y1) = points[right - 1], points[right]
    return y0 + (y1 - y0) * (fraction - x0) / (x1 - x0)


def idle_hours(inverter: Inverter, on_hours: float, busy_hours: float) -> float:
    """Hours a day that count at idle draw, of `on_hours` switched on and `busy_hours` with load.

    The part-load curve already holds the self-consumption of the hours with load, so those are taken off; a fixed
    efficiency does not hold it, so there every hour switched on counts.
    """
    if not inverter.fitted:
        return 0.0
    if inverter.curve == "fixed":
        return on_hours
    return max(0.0, on_hours - busy_hours)
