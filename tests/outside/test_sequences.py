"""Runs of dark days and what they do to a battery, against measured daily series.

Series: daily global irradiation of stations in DSSAT/dssat-csm-data (Weather/*.WTH), SIAR (Aranjuez) and DTU (Lyngby), the
monthly means of which stand in ghi_reference.csv; the series themselves carry no licence and are not shipped. What was
computed from them stands here as numbers.
"""

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from model.storage.simulation import Bank, Hours, simulate
from model.storage.weather import DAYS_OF_MONTH, daily_irradiation, day_numbers, synthetic_days
from model.supply.climate import Climate, climate_at, climate_from_months

REFERENCE = Path(__file__).with_name("ghi_reference.csv")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@cache
def stations() -> dict[str, Climate]:
    """Stations with daily series of their own: their monthly means, the climate's spread of days."""
    found = {}
    with REFERENCE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            daily = any(word in row["source"] for word in ("DSSAT", "SIAR", "dtu_solar_station"))
            if daily and "satellite" not in row["source"] and float(row["tilt_deg"]) == 0:
                means = [float(row[month]) for month in MONTHS]
                place = float(row["latitude_deg"]), float(row["longitude_deg"]), float(row["elevation_m"])
                found[row["place"]] = climate_from_months(means, *place)
    return found


def worst_means(days: np.ndarray, length: int) -> np.ndarray:
    """Smallest mean of `length` days in a row among the first 28 of each month: (years, 365) -> (12, years)."""
    first = np.cumsum((0, *DAYS_OF_MONTH[:-1]))
    months = np.stack([days[:, start : start + 28] for start in first])
    runs = np.lib.stride_tricks.sliding_window_view(months, length, axis=2)
    return runs.mean(axis=-1).min(axis=-1)


# Over the month's mean, averaged over 239 station-months of 21 such stations; then the mean that one month in ten
# falls below. Ours: 23 stations of the same sources, all months.
MEASURED = {1: (0.383, 0.240), 3: (0.596, 0.410), 5: (0.709, 0.529), 7: (0.776, 0.605), 10: (0.841, 0.684)}
# The same of an independent implementation of the method, with the reanalysis's spread of days and its floor.
INDEPENDENT = {1: (0.382, 0.230), 3: (0.600, 0.405), 5: (0.713, 0.521), 7: (0.781, 0.597), 10: (0.847, 0.672)}


@pytest.mark.parametrize("length", MEASURED)
def test_the_worst_days_in_a_row_are_as_dark_as_measured(length):
    means, lows = [], []
    for climate in stations().values():
        days = synthetic_days(climate.quantiles_kwh_per_m2_day, 100, 11)
        share = worst_means(days, length) / np.array(climate.ghi_kwh_per_m2_day)[:, None]
        means.append(share.mean(axis=1))
        lows.append(np.quantile(share, 0.1, axis=1))
    assert len(means) == 23
    for row in (MEASURED, INDEPENDENT):
        assert np.mean(means) == pytest.approx(row[length][0], abs=0.03)
        assert np.mean(lows) == pytest.approx(row[length][1], abs=0.035 if row is INDEPENDENT and length == 1 else 0.03)


def test_independent_days_would_be_too_kind():
    """What the persistence is for: without it the worst five days come out brighter than measured, as they do there (0.762)."""
    shares = []
    for climate in stations().values():
        numbers = day_numbers(100, 11, persistence=0.0, month_variance=0.0)
        days = daily_irradiation(numbers, climate.quantiles_kwh_per_m2_day)
        shares.append(worst_means(days, 5) / np.array(climate.ghi_kwh_per_m2_day)[:, None])
    assert np.mean(shares) == pytest.approx(0.762, abs=0.02) and np.mean(shares) > MEASURED[5][0] + 0.03


# Percent of a year's load unmet by an array of CA times the load in the darkest month and a store of CS days, flat, without
# losses, in daily steps; `measured` from the series, `method` from an independent implementation of this weather.
ARRAYS = np.array([1.0, 1.0, 1.1, 1.1, 1.2, 1.2, 1.3, 1.5])
STORES = np.array([3.0, 5.0, 3.0, 5.0, 3.0, 5.0, 2.0, 2.0])
SERIES = {  # years; measured; method
    "Aranjuez ES": (8, "0.85 0.42 0.36 0.20 0.17 0.09 0.20 0.06", "0.67 0.36 0.35 0.15 0.19 0.06 0.27 0.14"),
    "Kellogg Biol. Stn MI": (29, "0.96 0.56 0.53 0.23 0.30 0.11 0.39 0.18", "0.81 0.42 0.47 0.20 0.27 0.10 0.36 0.17"),
    "Pergamino AR": (40, "0.72 0.32 0.37 0.09 0.19 0.02 0.26 0.09", "0.61 0.27 0.30 0.11 0.17 0.05 0.24 0.11"),
    "De Bilt NL": (30, "0.98 0.53 0.52 0.21 0.26 0.07 0.34 0.15", "1.00 0.55 0.62 0.30 0.40 0.15 0.51 0.27"),
    "Swift Current SK": (48, "0.30 0.18 0.16 0.12 0.10 0.08 0.09 0.03", "0.20 0.05 0.06 0.01 0.02 0.00 0.02 0.00"),
}
# The monthly means of these two are not at hand, only that of the darkest month, kWh/m2 a day: the built-in climate
# is scaled to it, so that other months near the darkest may differ.
ONLY_DARKEST = {"De Bilt NL": (52.10, 5.18, 2.0, 0.49), "Swift Current SK": (50.27, -107.73, 825.0, 1.01)}


@cache
def unmet_percent(series: str, years: int) -> np.ndarray:
    """(sizes, years): each year's share of the load unmet; sun and load even over the day, so that hours make daily steps."""
    if series in ONLY_DARKEST:
        *place, darkest = ONLY_DARKEST[series]
        climate = climate_at(*place)
        means = np.array(climate.ghi_kwh_per_m2_day)
        climate = climate_from_months(means * darkest / means.min(), *place)
    else:
        climate = stations()[series]
    days = synthetic_days(climate.quantiles_kwh_per_m2_day, years, 5) / min(climate.ghi_kwh_per_m2_day)
    sun = np.repeat(days.T[:, None, :] / 24, 24, axis=1)
    none = np.zeros((365, 24))
    run = simulate(Hours(sun, none, none + 1 / 24, none, none + 20), Bank((1.0,) * 12), ARRAYS, STORES)
    return run.ledger.unmet.sum(axis=0) / 365 * 100


def stretches(percent: np.ndarray, years: int) -> np.ndarray:
    """Means over as many years as the measured series has: (sizes, stretches)."""
    count = percent.shape[1] // years
    return percent[:, : count * years].reshape(len(percent), count, years).mean(axis=2)


def numbers(text: str) -> np.ndarray:
    return np.array([float(word) for word in text.split()])


@pytest.mark.parametrize("series", SERIES)
def test_unmet_load_lies_where_measured_series_and_method_lie(series):
    """Where measured and method differ, ours may lie between or beyond either by what stretches of that length scatter."""
    years, measured, method = SERIES[series]
    ours = stretches(unmet_percent(series, 480), years)
    low = np.minimum(numbers(measured), numbers(method))
    high = np.maximum(numbers(measured), numbers(method))
    # Our means of 480 years, in the order of the sizes: Aranjuez .52 .25 .23 .08 .11 .03 .15 .07; Kellogg .76 .39 .43 .18 .25
    # .09 .33 .16; Pergamino .55 .25 .23 .07 .10 .02 .15 .06; De Bilt .73 .37 .43 .18 .25 .08 .33 .15; Swift Current .15 .04 .04
    # .01 .01 .00 .01 .00. On the whole a quarter below the measured rows, each of which is one draw: at Kellogg all sizes lie
    # within 0.2 of measured, at Swift Current a few years of exceptional winters (0.08 at 1.2 and 5 days) are not met by any row.
    # A printed 0.00 is anything below 0.005.
    assert np.all(np.quantile(ours, 0.025, axis=1) <= high + 0.005)
    assert np.all(np.quantile(ours, 0.975, axis=1) >= low - 0.005)
