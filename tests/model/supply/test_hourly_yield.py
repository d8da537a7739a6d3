import numpy as np
import pytest

from model.design import Array, Controller, Module
from model.storage.weather import MONTH_OF_DAY, synthetic_days
from model.supply.climate import climate_at
from model.supply.daily_distribution import PROBABILITIES
from model.supply.hourly_yield import day_shapes, hourly_yield_w_per_w
from model.supply.module_yield import yields

MARSH = climate_at(37.13, -6.49, 3.0)


@pytest.mark.parametrize("kind", ["MPPT", "PWM"])
@pytest.mark.parametrize("tilt_deg", [0.0, 40.0])
def test_many_days_together_give_the_monthly_yield(kind, tilt_deg):
    array, controller = Array(tilt_deg=tilt_deg), Controller(kind=kind)
    shapes = day_shapes(MARSH, Module(), array, controller, 12.0)
    # Ranks in even steps instead of drawn ones, so that no chance is left: 365 of them in each month.
    ranks = (np.arange(365) + 0.5) / 365
    for month, typical in enumerate(yields(MARSH, Module(), array, controller, 12.0)):
        days = np.interp(ranks, PROBABILITIES, MARSH.quantiles_kwh_per_m2_day[month])[None]
        hourly = hourly_yield_w_per_w(days, np.full(365, month), shapes)
        # Eight classes of days stand for the month there, thirteen days and the lines between them here.
        assert hourly.sum(axis=2).mean() == pytest.approx(typical.yield_wh_per_w_day, rel=0.01)
        assert np.allclose(hourly[0].mean(axis=0), typical.hourly_w_per_w, atol=0.01)


def test_a_brighter_day_gives_more_and_days_beyond_the_known_scale():
    shapes = day_shapes(MARSH, Module(), Array(), Controller(), 12.0)
    darkest = MARSH.quantiles_kwh_per_m2_day[0][0]
    days = np.full((4, 365), darkest) * np.array([[0.0], [0.5], [1.0], [3.0]])
    per_day = hourly_yield_w_per_w(days, MONTH_OF_DAY, shapes)[:, 0].sum(axis=1)
    assert per_day[0] == 0 and per_day[1] == pytest.approx(per_day[2] / 2) and per_day[3] > 2.5 * per_day[2]


def test_the_polar_night_gives_nothing_and_no_warning():
    north = climate_at(70.0, 25.0, 100.0)
    shapes = day_shapes(north, Module(), Array(), Controller(), 12.0)
    days = synthetic_days(north.quantiles_kwh_per_m2_day, 2, 1)
    hourly = hourly_yield_w_per_w(days, MONTH_OF_DAY, shapes)
    assert np.all(np.isfinite(hourly)) and np.all(hourly[:, -10:] == 0) and hourly[:, 170].sum() > 0
