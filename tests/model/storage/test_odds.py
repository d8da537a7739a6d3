"""Counting empty days, dark spells and wear, against cases small enough to count by hand."""

from dataclasses import replace

import numpy as np
import pytest

from model.design import Array, Controller, Module
from model.storage.chemistry import chemistries
from model.storage.life import cycles_at_depth, life_years
from model.storage.odds import (
    PERCENTILES,
    chance_of_empty_day,
    dark_spells,
    days_in_a_row,
    days_to_refill,
    mean_and_error,
    odds,
    wear_per_year,
)
from model.storage.simulation import Bank, Hours, simulate
from model.storage.weather import MONTH_OF_DAY, synthetic_days
from model.supply.climate import climate_at
from model.supply.hourly_yield import day_shapes, hourly_yield_w_per_w

LFP, AGM = chemistries()["LFP"], chemistries()["AGM"]
WHOLE = Bank((1.0,) * 12)
NONE = np.zeros((365, 24))


def flags(text: str) -> np.ndarray:
    return np.array([letter == "x" for letter in text])


def steady(days_sun_wh: np.ndarray, load_wh: float = 24.0) -> Hours:
    """Sun and load even over each day, so that a day is one step: (365, years) Wh per W."""
    sun = np.repeat(days_sun_wh[:, None, :] / 24, 24, axis=1)
    return Hours(sun, NONE, NONE + load_wh / 24, NONE, NONE + 20)


def marsh(years: int, seed: int, load_w: float = 40.0) -> Hours:
    climate = climate_at(37.13, -6.49, 3.0)
    shapes = day_shapes(climate, Module(), Array(), Controller(), 12.0)
    days = synthetic_days(climate.quantiles_kwh_per_m2_day, years, seed)
    sun = hourly_yield_w_per_w(days, MONTH_OF_DAY, shapes).transpose(1, 2, 0)
    return Hours(sun, NONE, NONE + load_w, NONE, NONE + 20)


def test_days_in_a_row_are_counted():
    assert days_in_a_row(flags("..xx.xxx")).tolist() == [0, 0, 1, 2, 0, 1, 2, 3]


def test_dark_spells_know_whether_the_battery_held():
    dark, empty = flags("xx..xxxx.x"), flags("......xx..")
    assert dark_spells(dark, empty) == [(1, 2, True), (7, 4, False), (9, 1, True)]
    assert dark_spells(flags("...."), flags("....")) == []


def test_refilling_runs_from_the_last_empty_day_to_the_next_full_one():
    empty, full = flags(".xx...x......x."), flags("x....x...x.x...")
    assert days_to_refill(empty, full).tolist() == [3.0, 3.0]  # day 2 to 5, day 6 to 9; that of day 13 never comes
    assert len(days_to_refill(flags("..."), flags("x.x"))) == 0


def test_a_year_without_sun_but_in_summer_is_counted_day_by_day():
    """Four days of charge; sun only from day 100 to 199, when each day brings twice its use."""
    days = np.zeros((365, 2))
    days[100:200] = 48.0
    found = odds(simulate(steady(days), WHOLE, 1.0, 96.0, trace=True), LFP)
    # First year: full on day 0, days 4 to 99 empty; days 204 to 364 empty; the second begins empty.
    assert found.empty_days_per_year == ((96 + 161) + (100 + 161)) / 2
    january, april, july, august = (found.months[month - 1] for month in (1, 4, 7, 8))
    assert january.chance_of_empty_day == pytest.approx((27 + 31) / 62) and january.bad_months == 2
    assert april.empty_days == 10  # days 90 to 99
    assert july.empty_days == 8 and july.sun_wh_per_day == pytest.approx(48 * 19 / 31)  # empty from day 204 to 211
    assert august.unmet_fraction == 1 and august.used_wh_per_day == 0
    # Empty last on day 99, then a day's gain on each: full in the evening of day 103.
    assert found.refill_days_mean == pytest.approx(4.0)
    assert found.longest_spell_survived == 0  # each of the dark times ends empty
    # In the first hour of day 200 it is still 99 % full: from day 201 to 364, and over new year to day 102.
    assert found.since_full_max == 164 + 103
    assert found.full_cycles_per_year == pytest.approx(3 / 2)  # emptied twice in the first year, once in the second


def test_the_days_since_full_and_spells_of_a_battery_that_holds():
    days = np.full((365, 1), 48.0)
    days[50:53] = 0.0
    found = odds(simulate(steady(days), WHOLE, 1.0, 96.0, trace=True), AGM)
    assert found.empty_days_per_year == 0 and found.refill_days_mean is None
    assert found.longest_spell_survived == 3 and found.months[1].longest_spell_survived == 3
    assert found.months[2].longest_spell_survived == 0
    assert found.since_full_max == 4  # days 50 to 53, 24 Wh gained on each of 53, 54, 55: above 98 % only on the last
    assert found.months[1].darkest_week[2][-1] == pytest.approx(found.months[1].darkest_week[0][-1])


def test_no_bad_year_seen_is_not_no_bad_year():
    days = np.full((365, 20), 48.0)
    run = simulate(steady(days), WHOLE, 1.0, 96.0, trace=True)
    found = odds(run, LFP).months[11]
    assert found.chance_of_empty_day == 0 and found.bad_months == 0
    # Half a bad year added to 20: one December in 42 with one empty day of 31, its binomial error over 20 years.
    assert found.chance_error == pytest.approx(np.sqrt(0.5 / 21 * 20.5 / 21 / 20) / 31)
    chance, error = chance_of_empty_day(run, [12])
    assert (chance[0], error[0]) == (found.chance_of_empty_day, found.chance_error)


def test_the_error_is_what_other_seeds_show():
    """Spread of the December chance over seeds against the error that each of them states."""
    chances, errors = np.array(
        [chance_of_empty_day(simulate(marsh(20, seed), WHOLE, 560.0, 3000.0), [12, 1]) for seed in range(16)]
    )[:, :, 0].T
    assert 0.01 < chances.mean() < 0.3
    # A standard deviation of 16 numbers is itself uncertain by 18 %; the chance of a few bad years is skewed: half to twice.
    assert 0.5 < errors.mean() / chances.std(ddof=1) < 2.0


def test_mean_and_error():
    assert mean_and_error(np.array([1.0, 3.0])) == (2.0, 1.0)
    assert mean_and_error(np.array([4.0])) == (4.0, 0.0)


def test_wear_is_the_inverse_of_the_cycles_at_each_days_depth():
    depths = np.tile([[0.5], [0.1]], (1, 3))
    expected = 1 / cycles_at_depth(AGM.cycle_life, 0.5) + 1 / cycles_at_depth(AGM.cycle_life, 0.1)
    assert wear_per_year(depths, AGM) == pytest.approx(expected, rel=1e-6)
    # Equal days all year: the life of the sizing's own formula.
    night = np.where((np.arange(24) >= 6) & (np.arange(24) < 18), 4.0, 0.0)[None, :, None]
    run = simulate(
        Hours(np.broadcast_to(night, (365, 24, 1)), NONE, NONE + 25.0, NONE, NONE + 20), WHOLE, 50.0, 1000.0, trace=True
    )
    found = odds(run, AGM, heat_ageing=1.5)
    by_hand = life_years(AGM.calendar_life_years, cycles_at_depth(AGM.cycle_life, 0.3), 365, 1.5)
    assert found.life_years == pytest.approx(by_hand, rel=0.01)
    assert found.full_cycles_per_year == pytest.approx(0.3 * 365, rel=0.001)


def test_fans_rise_with_the_percentile_and_the_darkest_week_lies_below_the_typical():
    found = odds(simulate(marsh(20, 1), replace(WHOLE, charge_efficiency=0.95), 600.0, 3000.0, trace=True), LFP)
    december = found.months[11]
    for fan in (december.typical_week, december.darkest_week):
        rows = np.array(fan)
        assert rows.shape == (len(PERCENTILES), 168)
        assert np.all(np.diff(rows, axis=0) >= 0) and rows.min() >= 0 and rows.max() <= 1
    assert np.mean(december.darkest_week) < np.mean(december.typical_week)
    assert sum(month.empty_days for month in found.months) == pytest.approx(found.empty_days_per_year)


def test_without_a_trace_there_are_no_odds():
    with pytest.raises(ValueError, match="trace"):
        odds(simulate(steady(np.zeros((365, 1))), WHOLE, 1.0, 96.0), LFP)
