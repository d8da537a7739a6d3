"""How bright and dark days share a month: quantiles of daily irradiation, and how a mean bends them.

A distribution is a row of quantiles at `PROBABILITIES`; between them it is linear, beyond the first and the last it
is constant. So `np.interp(p, PROBABILITIES, quantiles)` draws from it, and `class_means` integrates just that.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from model.supply.sun import Floats

# Denser in the dark tail, which decides the battery, and in the bright one than in the middle.
PROBABILITIES: tuple[float, ...] = (
    0.005, 0.02, 0.05, 0.10, 0.20, 0.35, 0.50, 0.65, 0.80, 0.90, 0.95, 0.98, 0.995,
)  # fmt: skip

# Fitted on daily series of 28 stations, whose tenth percentile is then met within 0.09 of the mean (rms).
OPTICAL_SHARE = 0.7
DARKEST_CLEARNESS = 0.05  # of the extraterrestrial irradiation: under the thickest cloud some light is left
LEAST_CLEAR_SKY_INDEX, GREATEST_CLEAR_SKY_INDEX = 0.03, 1.05
# kWh/m2 a day. Where the sun grazes the horizon, the clearness index of a month's one mean day says nothing.
GRAZING_SUN = 0.2


@cache
def _class_matrix(classes: int) -> Floats:
    """(classes, P): the matrix that takes quantiles to the means of equal-probability classes."""
    edges = np.linspace(0.0, 1.0, classes + 1)
    knots = np.union1d(edges, PROBABILITIES)
    units = np.stack([np.interp(knots, PROBABILITIES, unit) for unit in np.eye(len(PROBABILITIES))])
    areas = np.diff(knots) * (units[:, :-1] + units[:, 1:]) / 2
    upto = np.concatenate([np.zeros((len(PROBABILITIES), 1)), np.cumsum(areas, axis=1)], axis=1)
    matrix = np.diff(upto[:, np.searchsorted(knots, edges)], axis=1).T * classes
    matrix.setflags(write=False)
    return matrix


def class_means(quantiles: Floats, classes: int) -> Floats:
    """Means of `classes` equal-probability classes, darkest first: (..., P) -> (..., classes)."""
    return np.asarray(quantiles @ _class_matrix(classes).T)


def mean_of(quantiles: Floats) -> Floats:
    """Mean of the distribution: (..., P) -> (...)."""
    return class_means(quantiles, 1)[..., 0]


def rescaled(quantiles: Floats, mean: float) -> Floats:
    """The same shape with another mean; where there is no shape (all 0), every day is the mean."""
    present = float(mean_of(quantiles))
    return quantiles * (mean / present) if present > 0 else np.full_like(quantiles, mean)


def shape_of_days(days: Floats) -> Floats:
    """Quantiles over the mean, at PROBABILITIES, of measured daily irradiation of one month: (n,) -> (P,)."""
    return rescaled(np.quantile(days, PROBABILITIES, method="hazen"), 1.0)


def clear_sky_clearness(elevation_m: float) -> float:
    """Share of the extraterrestrial irradiation that a cloudless day brings (FAO-56 eq. 37).

    It also meets the 99th percentile of measured days; a modelled clear sky with a turbidity climatology lies
    below the measured 97th at most stations and must not cap them.
    """
    return 0.75 + 2e-5 * elevation_m


def cloud_exponent(clear_sky_index: Floats, mean: float) -> float:
    """The exponent g for which `clear_sky_index ** g` has the given mean (Newton; nearest possible if none has).

    exp(-cloud's optical depth) is the clear-sky index, so g multiplies the optical depth of every day's cloud.
    """
    exponent = 1.0
    logs = np.log(clear_sky_index)
    for _ in range(12):
        powers = clear_sky_index**exponent
        slope = float(mean_of(powers * logs))
        if slope >= -1e-9:
            break
        exponent = float(np.clip(exponent - (float(mean_of(powers)) - mean) / slope, 0.05, 20.0))
    return exponent


def reshape_daily_distribution(quantiles: Floats, mean: float, extraterrestrial: float, elevation_m: float) -> Floats:
    """Bend a reanalysis month's daily distribution so that it has `mean` and as many dark days as are measured.

    Reanalysis days are too bright and too alike. The thickness of every day's cloud is multiplied by one factor
    that brings the mean right; 30 % of plain rescaling is mixed in, because the bending alone overdoes it.

    Args:
        quantiles: (P,) raw daily irradiation, kWh/m2 a day.
        mean: mean to arrive at, kWh/m2 a day.
        extraterrestrial: H0 of the month, kWh/m2 a day.
        elevation_m: of the place, for the clear sky.

    Returns:
        (P,) daily irradiation with exactly that mean, ascending, kWh/m2 a day.
    """
    linear = rescaled(quantiles, mean)
    if mean <= 0 or extraterrestrial < GRAZING_SUN or not np.any(quantiles > 0):
        return linear
    clear_day = clear_sky_clearness(elevation_m) * extraterrestrial
    index = np.clip(quantiles / clear_day, LEAST_CLEAR_SKY_INDEX, GREATEST_CLEAR_SKY_INDEX)
    bent = index ** cloud_exponent(index, mean / clear_day) * clear_day
    blend = OPTICAL_SHARE * bent + (1 - OPTICAL_SHARE) * linear
    return rescaled(np.maximum(blend, DARKEST_CLEARNESS * extraterrestrial), mean)


def bendt_distribution(mean: float, extraterrestrial: float) -> Floats:
    """Daily distribution from the mean alone, for places where nothing else is known: (P,), kWh/m2 a day.

    Bendt, Collares-Pereira & Rabl 1981 with the limits of Hollands & Huget 1983 and Herzog's exponent (Duffie &
    Beckman eqs. 2.9.4-2.9.7; from memory, to be checked against the book). It has more dark days than are measured.
    """
    if mean <= 0 or extraterrestrial < GRAZING_SUN:
        return np.full(len(PROBABILITIES), mean)
    clearness = float(np.clip(mean / extraterrestrial, 0.1, 0.75))  # the range the formula was fitted on
    least = 0.05
    greatest = 0.6313 + 0.267 * clearness - 11.9 * (clearness - 0.75) ** 8
    spread = greatest - least
    ratio = spread / (greatest - clearness)
    exponent = -1.498 + (1.184 * ratio - 27.182 * np.exp(-1.5 * ratio)) / spread
    fraction = np.array(PROBABILITIES)
    low, high = np.exp(exponent * least), np.exp(exponent * greatest)
    daily_clearness = np.log((1 - fraction) * low + fraction * high) / exponent
    return rescaled(daily_clearness * extraterrestrial, mean)
