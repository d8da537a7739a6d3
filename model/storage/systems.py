"""The way back: which battery and which array keep the chance of an empty day under a target."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import inf, isfinite

import numpy as np

from model.storage.odds import chance_of_empty_day
from model.storage.simulation import Bank, Hours, simulate
from model.supply.sun import Floats

SIZES = 9  # tried between two bounds in each round of the search
ROUNDS = 3  # each divides the distance between the bounds, on a scale of ratios, by SIZES - 1


@dataclass(frozen=True, slots=True)
class ChanceMap:
    """Chance of an empty day by battery (rows) and array (columns), with its error (one standard deviation)."""

    array_w: Floats  # (columns,), rising
    full_wh: Floats  # (rows,), rising
    chance: Floats  # (rows, columns)
    error: Floats
    years: int


@dataclass(frozen=True, slots=True)
class Fit:
    """A system that keeps the target."""

    array_w: float
    full_wh: float
    mass_kg: float


def chance_map(
    hours: Hours,
    bank: Bank,
    array_w: Iterable[float],
    full_wh: Iterable[float],
    months: Iterable[int],
    on_month: Callable[[float], None] | None = None,
) -> ChanceMap:
    """Every battery with every array, over the days of `months` (1 to 12). All meet the same weather.

    The controller's limit in `hours` holds for all of them; give it as infinite where it is to grow with the array.
    """
    arrays, batteries = np.sort(np.array(list(array_w), dtype=float)), np.sort(np.array(list(full_wh), dtype=float))
    across, down = np.meshgrid(arrays, batteries)
    run = simulate(hours, bank, across.ravel(), down.ravel(), on_month=on_month)
    chance, error = chance_of_empty_day(run, months)
    return ChanceMap(arrays, batteries, chance.reshape(down.shape), error.reshape(down.shape), hours.years)


def contour(chances: ChanceMap, target: float) -> tuple[tuple[float, float], ...]:
    """The line of equal chance: for each array the battery at which the chance falls to `target`, straight between rows.

    Arrays for which no battery of the map does it are left out; where the smallest does, that is taken.
    """
    line = []
    for array_w, column in zip(chances.array_w.tolist(), chances.chance.T, strict=True):
        over = np.flatnonzero(column > target)
        if len(over) == 0:
            line.append((array_w, float(chances.full_wh[0])))
        elif over[-1] + 1 < len(column):
            above, below = over[-1], over[-1] + 1
            share = (column[above] - target) / (column[above] - column[below])
            full = chances.full_wh[above] + share * (chances.full_wh[below] - chances.full_wh[above])
            line.append((array_w, float(full)))
    return tuple(line)


def smallest_batteries(
    hours: Hours,
    bank: Bank,
    array_w: Iterable[float],
    target: float,
    months: Iterable[int],
    *,
    between_wh: tuple[float, float],
    on_month: Callable[[float], None] | None = None,
) -> Floats:
    """For each array the smallest battery, Wh rated, whose chance of an empty day in `months` is at most `target`.

    Searched between two sizes, to about (high / low) ** (1 / 512): 1 % for a hundredfold range. Infinite where the largest
    fails; the lower bound where that suffices. Assumes that a larger battery is never empty more often.
    `on_month` hears the share done, over all rounds.
    """
    arrays, chosen = np.array(list(array_w), dtype=float), tuple(months)
    low, high = (np.full(len(arrays), bound) for bound in between_wh)
    if not 0 < between_wh[0] < between_wh[1] < inf:
        raise ValueError("the search takes two sizes above 0 Wh, the smaller first")
    steps, column = np.linspace(0.0, 1.0, SIZES)[:, None], np.arange(len(arrays))
    fits = np.zeros(len(arrays), dtype=bool)
    for number in range(ROUNDS):
        sizes = low * (high / low) ** steps
        run = simulate(hours, bank, np.tile(arrays, SIZES), sizes.ravel(), on_month=_part(on_month, number))
        meets = chance_of_empty_day(run, chosen)[0].reshape(sizes.shape) <= target
        fits |= meets.any(axis=0)
        first = np.where(meets.any(axis=0), meets.argmax(axis=0), SIZES - 1)
        low, high = sizes[np.maximum(first - 1, 0), column], sizes[first, column]
    return np.where(fits, high, inf)


def _part(on_month: Callable[[float], None] | None, number: int) -> Callable[[float], None] | None:
    """Tells of one round as a part of all."""
    return None if on_month is None else lambda share: on_month((number + share) / ROUNDS)


def lightest(
    hours: Hours,
    bank: Bank,
    array_w: Iterable[float],
    target: float,
    months: Iterable[int],
    *,
    between_wh: tuple[float, float],
    kg_per_w: float,
    kg_per_wh: float,
    on_month: Callable[[float], None] | None = None,
) -> Fit | None:
    """Of the arrays, each with its smallest battery, the one with the least mass of modules and battery; None if none fits."""
    arrays = np.array(list(array_w), dtype=float)
    full = smallest_batteries(hours, bank, arrays, target, months, between_wh=between_wh, on_month=on_month)
    mass = arrays * kg_per_w + full * kg_per_wh
    best = int(mass.argmin())
    return Fit(float(arrays[best]), float(full[best]), float(mass[best])) if isfinite(mass[best]) else None
