"""The sun's geometry against the almanac and the printed examples of textbooks and of the FAO.

The printed examples use simpler series (Cooper 1969, FAO-56) and a solar constant of 1367 W/m2; `sun` uses
Spencer's series and 1366.1 W/m2. In September the declinations differ by 1 degree, which is up to 2 % of the
irradiation of a day: hence the tolerance for H0.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from model.supply import sun

WH_PER_MJ = 1e6 / 3600


def day_length_h(latitude_deg: float, declination_rad: float) -> float:
    return 24 / math.pi * float(sun.sunset_hour_angle_rad(math.radians(latitude_deg), declination_rad))


@pytest.mark.parametrize(
    ("latitude_deg", "day", "published_mj"),
    [
        # FAO Irrigation and Drainage Paper 56, example 8: 3 September at 20 degrees S.
        pytest.param(-20.0, 246, 32.2, id="FAO-56 example 8"),
        # Madison on 15 April. From memory, to be checked against the book.
        pytest.param(43.0, 105, 33.8, id="Duffie & Beckman 1.10.1"),
        # St Louis on 3 September. From memory, to be checked against the book.
        pytest.param(38.6, 246, 33.3, id="Duffie & Beckman 2.11.1"),
    ],
)
def test_extraterrestrial_irradiation_of_a_day(latitude_deg: float, day: int, published_mj: float) -> None:
    irradiation_mj = float(sun.daily_extraterrestrial_wh_per_m2(latitude_deg, day)) / WH_PER_MJ
    assert irradiation_mj == pytest.approx(published_mj, rel=0.02)


def test_sunset_and_day_length_of_fao_56_examples_8_and_9() -> None:
    # With the example's own declination, 0.120 rad, both are printed: 1.527 rad, 11.7 h.
    assert float(sun.sunset_hour_angle_rad(math.radians(-20), 0.120)) == pytest.approx(1.527, abs=0.0005)
    assert round(day_length_h(-20, 0.120), 1) == 11.7


def test_distance_of_the_sun_in_fao_56_example_8() -> None:
    # Printed 0.985, the inverse relative distance; the FAO's one cosine differs from Spencer's series by 0.3 %.
    assert float(sun.extraterrestrial_normal_w_per_m2(246)) / 1366.1 == pytest.approx(0.985, rel=0.004)


@pytest.mark.parametrize(("day", "almanac_deg"), [(80, 0.0), (172, 23.44), (266, 0.0), (355, -23.44)])
def test_declination_on_equinoxes_and_solstices(day: int, almanac_deg: float) -> None:
    # Astronomical almanac: 21 March, 21 June, 23 September, 21 December. The moment wanders by half a day
    # over the leap years, and around the equinox the declination moves by 0.4 degrees a day.
    assert math.degrees(float(sun.declination_rad(day))) == pytest.approx(almanac_deg, abs=0.4)


def test_kleins_days_carry_the_months_mean() -> None:
    # Klein 1977 chose them with Cooper's declination; with Spencer's, February is off by up to 1.8 %.
    firsts = np.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    for latitude_deg in (-40.0, 0.0, 30.0, 50.0):
        every_day = sun.daily_extraterrestrial_wh_per_m2(latitude_deg, np.arange(1.0, 366.0)) / 1000
        means = [float(every_day[first:after].mean()) for first, after in pairwise(firsts)]
        assert sun.monthly_extraterrestrial_kwh_per_m2_day(latitude_deg) == pytest.approx(means, rel=0.02)


def test_polar_night_and_polar_day() -> None:
    midsummer, midwinter = 172, 355
    declination = float(sun.declination_rad(midsummer))
    assert float(sun.daily_extraterrestrial_wh_per_m2(75, midwinter)) == 0
    assert day_length_h(75, declination) == 24
    assert day_length_h(-75, declination) == 0
    # At the pole the sun circles at the height of its declination: 24 h x irradiance x sin(declination).
    normal = float(sun.extraterrestrial_normal_w_per_m2(midsummer))
    expected_wh = 24 * normal * math.sin(declination)
    assert float(sun.daily_extraterrestrial_wh_per_m2(90, midsummer)) == pytest.approx(expected_wh, rel=1e-9)
