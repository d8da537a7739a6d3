"""How long a battery lasts at this use: cycles at a depth, years on the calendar, ageing by heat."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, inf, log

DAYS_PER_YEAR = 365.25
HALVING_K = 10.0  # lead-acid life halves for each 10 K above 25 °C; a battery maker's support page, seen


def cycles_at_depth(points: Sequence[tuple[float, float]], depth: float) -> float:
    """Cycles to the end of life when each goes to `depth` (fraction of rated capacity); infinite at depth 0.

    Straight between (depth, cycles) points on double logarithmic paper, as makers' curves nearly are (common practice, no
    source). Shallower than the first point and deeper than the last the energy passed through stays the same: makers'
    curves promise more for shallow cycles, so this is the cautious side there.
    """
    if depth <= 0:
        return inf
    first, last = points[0], points[-1]
    if depth <= first[0]:
        return first[1] * first[0] / depth
    if depth >= last[0]:
        return last[1] * last[0] / depth
    right = next(index for index, point in enumerate(points) if point[0] >= depth)
    (d0, n0), (d1, n1) = points[right - 1], points[right]
    share = log(depth / d0) / log(d1 / d0)
    return exp(log(n0) + share * log(n1 / n0))


def heat_ageing(temperatures_c: Sequence[float]) -> float:
    """How many times faster than at 25 °C a lead-acid battery ages, mean over months; never below one."""
    return sum(2 ** (max(0.0, celsius - 25.0) / HALVING_K) for celsius in temperatures_c) / len(temperatures_c)


def life_years(calendar_years: float, cycles: float, cycles_per_year: float, ageing: float = 1.0) -> float:
    """The smaller of calendar and cycle life, both shortened by heat."""
    by_cycles = cycles / cycles_per_year if cycles_per_year > 0 else inf
    return min(calendar_years, by_cycles) / ageing
