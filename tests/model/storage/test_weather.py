import numpy as np
import pytest

from model.storage.weather import (
    DAY_TO_DAY_K,
    DAY_TO_DAY_PERSISTENCE,
    DAYS_OF_MONTH,
    MONTH_OF_DAY,
    PERSISTENCE,
    by_day,
    daily_irradiation,
    day_numbers,
    hourly_temperature_c,
    resampled_days,
    synthetic_days,
    temperature_departures_k,
)
from model.supply.climate import climate_at
from model.supply.daily_distribution import PROBABILITIES

MARSH = climate_at(37.13, -6.49, 3.0)


def lag(series: np.ndarray, days: int) -> float:
    return float(np.corrcoef(series[:-days], series[days:])[0, 1])


def test_a_seed_gives_the_same_years_and_another_seed_others():
    one = synthetic_days(MARSH.quantiles_kwh_per_m2_day, 3, 7)
    assert one.shape == (3, 365)
    assert np.array_equal(one, synthetic_days(MARSH.quantiles_kwh_per_m2_day, 3, 7))
    assert not np.array_equal(one, synthetic_days(MARSH.quantiles_kwh_per_m2_day, 3, 8))


def test_days_persist_as_the_formula_says_across_the_ends_of_months_and_years():
    days = day_numbers(400, 1, month_variance=0.0)
    # Standard error of a correlation: 1 / sqrt(146 000) = 0.0026; four of them.
    for distance in (1, 2, 3):
        assert lag(days.ravel(), distance) == pytest.approx(PERSISTENCE**distance, abs=0.0105)
    over_new_year = float(np.corrcoef(days[:-1, -1], days[1:, 0])[0, 1])
    assert over_new_year == pytest.approx(PERSISTENCE, abs=4 / 20)  # 399 pairs


def test_the_lags_are_those_of_measured_series():
    # 35 daily series of 4 to 53 years, clearness index standardised by month: 0.40, 0.20, 0.14, sd 0.12 among stations. The
    # generator lies below them, because it was fitted on the worst days in a month instead: by 0.06 at most, half the sd.
    days = day_numbers(400, 2).ravel()
    for distance, measured in ((1, 0.40), (2, 0.20), (3, 0.14)):
        assert lag(days, distance) == pytest.approx(measured, abs=0.07)


def test_every_month_keeps_the_distribution_it_was_given():
    days = synthetic_days(MARSH.quantiles_kwh_per_m2_day, 400, 3)
    for month in range(12):
        drawn = days[:, month == MONTH_OF_DAY]
        mean = MARSH.ghi_kwh_per_m2_day[month]
        # A month's mean varies by about 10 % from year to year, by 0.5 % over 400 years; three of those.
        assert drawn.mean() == pytest.approx(mean, rel=0.015)
        found = np.quantile(drawn, PROBABILITIES[2:-2])
        assert np.allclose(found, MARSH.quantiles_kwh_per_m2_day[month][2:-2], atol=0.05 * mean)


def test_ranks_map_straight_to_quantiles():
    rows = [[0.0, 1.0, 3.0]] * 12
    numbers = np.zeros((1, 365))  # the median everywhere
    assert np.all(daily_irradiation(numbers, rows, (0.0, 0.5, 1.0)) == 1.0)
    numbers[0, 0] = 0.6744897501960817  # upper quartile of the normal distribution
    assert daily_irradiation(numbers, rows, (0.0, 0.5, 1.0))[0, 0] == pytest.approx(2.0)


def test_measured_years_are_drawn_as_they_are():
    measured = np.arange(3 * 365, dtype=float).reshape(3, 365)
    drawn = resampled_days(measured, 50, 1)
    assert {row[0] for row in drawn} == {0.0, 365.0, 730.0}
    assert all(np.array_equal(row, measured[int(row[0]) // 365]) for row in drawn)
    with pytest.raises(ValueError, match="365 days"):
        resampled_days(np.zeros((2, 366)), 1, 1)


def test_the_year_has_365_days_and_temperature_swings_about_the_month():
    assert sum(DAYS_OF_MONTH) == len(MONTH_OF_DAY) == 365
    air = hourly_temperature_c(range(12), 5.0)
    assert air.shape == (365, 24)
    assert air[31].mean() == pytest.approx(1.0)
    assert air[31].argmax() in (14, 15) and air[31].max() - air[31].min() == pytest.approx(10, rel=0.02)
    assert np.array_equal(by_day(np.eye(12, 24))[-1], np.eye(12, 24)[11])


@pytest.mark.parametrize("wrong", [{"years": 0}, {"persistence": 0.95}, {"month_variance": 2.0}])
def test_impossible_weather_is_refused(wrong):
    with pytest.raises(ValueError):
        day_numbers(**{"years": 1, "seed": 1, **wrong})


def test_warm_and_cold_days_persist_and_are_not_the_suns():
    departures = temperature_departures_k(400, 1)
    assert departures.mean() == pytest.approx(0, abs=0.1) and departures.std() == pytest.approx(DAY_TO_DAY_K, rel=0.02)
    assert lag(departures.ravel(), 1) == pytest.approx(DAY_TO_DAY_PERSISTENCE, abs=0.01)
    assert np.corrcoef(departures.ravel(), day_numbers(400, 1).ravel())[0, 1] == pytest.approx(0, abs=0.02)
