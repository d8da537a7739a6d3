"""The arithmetic of the spread of days: integrals, bending, the clear sky."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.supply.daily_distribution import (
    DARKEST_CLEARNESS,
    PROBABILITIES,
    bendt_distribution,
    class_means,
    clear_sky_clearness,
    cloud_exponent,
    mean_of,
    rescaled,
    reshape_daily_distribution,
    shape_of_days,
)

LINE = np.array(PROBABILITIES) * 4 + 1


def test_class_means_are_the_exact_integral_of_the_line_between_quantiles() -> None:
    fine = np.interp((np.arange(240_000) + 0.5) / 240_000, PROBABILITIES, LINE**2)
    assert class_means(LINE**2, 8) == pytest.approx(fine.reshape(8, -1).mean(axis=1), rel=1e-6)
    assert float(mean_of(LINE**2)) == pytest.approx(fine.mean(), rel=1e-7)


def test_class_means_of_many_months_at_once() -> None:
    assert class_means(np.stack([LINE, 2 * LINE]), 6).shape == (2, 6)
    assert class_means(2 * LINE, 6) == pytest.approx(2 * class_means(LINE, 6))


@settings(deadline=None)
@given(
    st.lists(st.floats(0, 9), min_size=len(PROBABILITIES), max_size=len(PROBABILITIES)),
    st.floats(0, 12),
    st.floats(0, 12),
    st.floats(-400, 5_000),
)
def test_bending_lands_on_the_mean_and_keeps_the_order_of_days(
    days: list[float], mean: float, extraterrestrial: float, elevation_m: float
) -> None:
    bent = reshape_daily_distribution(np.sort(days), mean, extraterrestrial, elevation_m)
    assert float(mean_of(bent)) == pytest.approx(mean, rel=1e-9, abs=1e-12)
    assert np.all(bent >= 0)
    assert np.all(np.diff(bent) >= -1e-9)


def test_the_exponent_solves_for_the_mean() -> None:
    index = np.linspace(0.1, 1.0, len(PROBABILITIES))
    for mean in (0.2, 0.4, 0.7):
        assert float(mean_of(index ** cloud_exponent(index, mean))) == pytest.approx(mean, rel=1e-9)


def test_a_mean_already_right_leaves_all_but_the_darkest_days_alone() -> None:
    days = np.linspace(1.0, 5.0, len(PROBABILITIES))
    same = reshape_daily_distribution(days, float(mean_of(days)), 8.0, 0.0)
    assert same == pytest.approx(days, rel=1e-6)


def test_thick_cloud_still_lets_some_light_through() -> None:
    days = np.linspace(0.0, 5.0, len(PROBABILITIES))
    bent = reshape_daily_distribution(days, 2.0, 8.0, 0.0)
    # The floor is set before the last rescaling to the mean, which moves it by a few per cent.
    assert bent[0] == pytest.approx(DARKEST_CLEARNESS * 8.0, rel=0.05)


def test_clear_sky_of_fao_56() -> None:
    # FAO-56 eq. 37 and example 10's Ra = 25.1 MJ at sea level: Rso = 0.75 x 25.1 = 18.8 MJ.
    assert 25.1 * clear_sky_clearness(0) == pytest.approx(18.8, abs=0.05)


def test_shape_of_measured_days() -> None:
    days = np.random.default_rng(1).weibull(2.0, 2_000)
    shape = shape_of_days(days)
    assert float(mean_of(shape)) == pytest.approx(1.0)
    assert shape[PROBABILITIES.index(0.5)] == pytest.approx(np.median(days) / days.mean(), rel=0.02)


def test_no_shape_means_equal_days() -> None:
    assert set(rescaled(np.zeros(len(PROBABILITIES)), 0.3)) == {0.3}
    assert set(bendt_distribution(0.1, 0.0)) == {0.1}
