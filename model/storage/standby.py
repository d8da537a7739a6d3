"""The parked van: months until the battery is empty, and the frost that kills an empty lead-acid battery."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import cache
from math import inf, log, log1p

from model import shelf

DAYS_PER_MONTH = 30.4375


def months_until_empty(stored_wh: float, self_discharge_per_month: float, standing_wh_per_day: float) -> float:
    """Months until `stored_wh` is gone by self-discharge and by what always runs.

    Self-discharge takes a share of what is left, the standing draw takes the same each day: dE/dt = -s E - p, so the time
    is ln(1 + s E / p) / s. Infinite without a standing draw: self-discharge alone never takes all.
    """
    if standing_wh_per_day <= 0:
        return inf
    per_month_wh = standing_wh_per_day * DAYS_PER_MONTH
    rate = -log(1 - self_discharge_per_month)
    if rate == 0:
        return stored_wh / per_month_wh
    return log1p(rate * stored_wh / per_month_wh) / rate


def months_to_share(share: float, self_discharge_per_month: float) -> float:
    """Months until a disconnected battery has lost all but `share` of its charge by self-discharge."""
    rate = -log(1 - self_discharge_per_month)
    return -log(share) / rate if rate > 0 else inf


def acid_gravity(state_of_charge: float) -> float:
    """Specific gravity of a flooded battery's acid at a state of charge (0 to 1). Source: BCI, seen second-hand."""
    return _along(_acid("state_of_charge"), state_of_charge)


def freezing_point_c(state_of_charge: float) -> float:
    """Temperature at which the acid freezes and splits the case, °C. Source: handbook values, from memory 80 %."""
    points = [(gravity, celsius) for celsius, gravity in _acid("freezing_point_c")]
    return _along(sorted(points), acid_gravity(state_of_charge))


@cache
def _acid(quantity: str) -> tuple[tuple[float, float], ...]:
    rows = [row for row in shelf.rows("acid.csv") if row["quantity"] == quantity]
    return tuple(sorted((float(row["value"]), float(row["specific_gravity"])) for row in rows))


def _along(points: Sequence[tuple[float, float]], x: float) -> float:
    """Straight between points; beyond the ends the end holds."""
    if x <= points[0][0]:
        return points[0][1]
    if x >= points[-1][0]:
        return points[-1][1]
    right = bisect_right(points, x, key=lambda point: point[0])
    (x0, y0), (x1, y1) = points[right - 1], points[right]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
