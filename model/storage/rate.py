"""Capacity at a discharge rate faster than the rated one: Peukert's law."""

from __future__ import annotations

from collections.abc import Iterable
from math import log


def runtime_h(capacity_ah: float, rated_h: float, current_a: float, exponent: float) -> float:
    """Hours that a battery of `capacity_ah` (at its `rated_h` hour rate) lasts at `current_a`.

    t = H (C / (I H))^k. Below the rated current the capacity stays the rated one: Peukert's law would invent capacity.
    Infinite without current. Source: Peukert's law, fxsolver.com.
    """
    if current_a <= 0:
        return float("inf")
    return available_capacity_ah(capacity_ah, rated_h, current_a, exponent) / current_a


def available_capacity_ah(capacity_ah: float, rated_h: float, current_a: float, exponent: float) -> float:
    """Ampere-hours that can be drawn at `current_a`: C (C / (I H))^(k - 1), never above the rated capacity."""
    if current_a * rated_h <= capacity_ah:
        return capacity_ah
    return float(capacity_ah * (capacity_ah / (current_a * rated_h)) ** (exponent - 1))


def share_at_rates(capacity_ah: float, rated_h: float, currents_a: Iterable[float], exponent: float) -> float:
    """Share of the rated capacity that a day of these currents, an hour each, can draw before the battery is empty; at most 1.

    Each ampere-hour drawn faster than the rated current costs (I H / C)^(k - 1) of the rated ones (Peukert's law), a slower one
    just itself; the share is what is drawn over what it costs.
    """
    drawn = cost = 0.0
    for current_a in currents_a:
        if current_a > 0:
            drawn += current_a
            cost += current_a * (capacity_ah / available_capacity_ah(capacity_ah, rated_h, current_a, exponent))
    return drawn / cost if cost > 0 else 1.0


def exponent_from_ratings(current_1_a: float, hours_1: float, current_2_a: float, hours_2: float) -> float:
    """Peukert's exponent from two ratings: ln(t1 / t2) / ln(I2 / I1)."""
    return log(hours_1 / hours_2) / log(current_2_a / current_1_a)


def capacity_for_current_ah(needed_ah: float, rated_h: float, current_a: float, exponent: float) -> float:
    """Rated capacity of which `needed_ah` can still be drawn at `current_a`; at least `needed_ah`.

    The same as IEEE 1013, 6.4 (from memory 90 %): a battery whose capacity at the functional-hour rate
    `needed_ah / current_a` is `needed_ah`, with Peukert's law in place of a maker's table: C^k = needed (I H)^(k - 1).
    """
    if needed_ah <= 0 or current_a * rated_h <= needed_ah:
        return needed_ah
    return float(needed_ah ** (1 / exponent) * (current_a * rated_h) ** (1 - 1 / exponent))
