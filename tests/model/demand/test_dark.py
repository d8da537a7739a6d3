"""Lamps that follow the dark: sunset from published tables, the rest by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.calendar import hours_of, read_when
from model.demand.dark import EQUAL_YEAR_H, dark_profile, dark_waking_h, hours_in_the_dark
from model.demand.load import load_demand
from model.demand.table import DemandInput
from model.demand.total import demand
from model.design import ALL_MONTHS, Design, Inverter, Load, Place, System
from model.plan import plan
from model.supply.sun import monthly_daylight_h

PLAIN = System(wiring_efficiency=1.0, always_on_w=0.0)
LAMPS = Load("lamps", power_w=10, hours_per_day=5, when="dark")


def test_day_lengths_follow_the_sunset_equation():
    """cos ws = -tan(latitude) tan(declination) (Duffie & Beckman eq. 1.6.10): 43 N, declination -13.0 on 16 February (their
    table 1.6.1): ws = 77.6 degrees, a day of 10.35 h. Equator: 12 h all year; beyond the circles no sunset or no sunrise."""
    assert monthly_daylight_h(43.0)[1] == pytest.approx(10.35, abs=0.06)
    assert monthly_daylight_h(0.0) == pytest.approx((12.0,) * 12)
    assert monthly_daylight_h(68.9)[11] == 0.0 and monthly_daylight_h(68.9)[5] == 24.0
    north, south = monthly_daylight_h(40.0), monthly_daylight_h(-40.0)
    assert [a + b for a, b in zip(north, south, strict=True)] == pytest.approx([24.0] * 12)


@pytest.mark.parametrize(
    ("daylight_h", "waking_h"),
    [
        (12.0, 5.0),  # 18 to 23 h
        (9.0, 6.5 + 1.5),  # 16.30 to 23 h, 6 to 7.30 h
        (16.0, 3.0),  # 20 to 23 h; the sun is up before them
        (0.0, 17.0),  # the whole waking day
        (22.0, 0.0),
        (24.0, 0.0),
    ],
)
def test_dark_waking_hours_by_hand(daylight_h, waking_h):
    assert dark_waking_h(daylight_h) == pytest.approx(waking_h)
    assert hours_in_the_dark(2.5, daylight_h) == pytest.approx(waking_h / 2)
    assert hours_in_the_dark(24.0, 0.0) == 24.0


def test_the_profile_lies_between_sunset_and_bed_and_before_sunrise():
    shares = dark_profile(9.0)
    assert [hour for hour, share in enumerate(shares) if share] == [6, 7, 16, 17, 18, 19, 20, 21, 22]
    assert shares[7] == pytest.approx(0.5 / 8) == pytest.approx(shares[16]) and shares[20] == pytest.approx(1 / 8)
    assert dark_profile(12.0) == pytest.approx(hours_of("evening"))
    assert read_when("Dark") == "dark" and hours_of("dark") == hours_of("evening")


@given(st.floats(0, 24), st.floats(0, 24))
def test_any_day_has_a_profile_and_longer_days_have_fewer_dark_hours(one, other):
    assert sum(dark_profile(one)) == pytest.approx(1) and min(dark_profile(one)) >= 0
    short, long = sorted((one, other))
    assert dark_waking_h(short) >= dark_waking_h(long)


def test_lamps_take_more_in_winter_and_further_from_the_equator():
    by_hand = [10 * hours_in_the_dark(5, day) for day in monthly_daylight_h(37.13)]
    lamps = load_demand(LAMPS, PLAIN, Inverter(), (15.0,) * 12, monthly_daylight_h(37.13))
    assert lamps.energy_wh_per_day == pytest.approx(by_hand)
    assert lamps.energy_wh_per_day[11] == pytest.approx(10 * dark_waking_h(9.5), rel=0.02)  # December: 9.5 h at 37 N
    assert lamps.energy_wh_per_day[11] > 1.8 * lamps.energy_wh_per_day[5]
    assert load_demand(LAMPS, PLAIN, Inverter(), (15.0,) * 12, EQUAL_YEAR_H).energy_wh_per_day == (50.0,) * 12
    measured = replace(LAMPS, measured_wh_per_day=40.0)
    polar = load_demand(measured, PLAIN, Inverter(), (15.0,) * 12, monthly_daylight_h(70.0))
    assert polar.energy_wh_per_day == (40.0,) * 12  # a measured day is that day
    assert sum(polar.mean_w(6, hour) for hour in range(24)) == pytest.approx(40)


def test_the_plan_knows_where_the_sun_sets():
    design = Design(month=12, place=Place("Marsh", 37.13, -6.49, 3.0), system=PLAIN, loads=(LAMPS,))
    made, north = plan(design), plan(replace(design, place=Place("Umea", 63.8, 20.3, 10.0)))
    assert north.demand.month.energy_wh_per_day > made.demand.month.energy_wh_per_day > 70
    step = made.working["demand.load.0.hours"]
    assert step.value == pytest.approx(made.demand.month.energy_wh_per_day / 10) and "sunset at 16.8 h" in step.formula
    assert step.key in made.working["demand.load.0.energy_wh_per_day"].uses
    assert made.demand.month.profile_w[20] == pytest.approx(10) and made.demand.month.profile_w[12] == 0
    june = plan(replace(design, month=6))
    assert june.demand.month.profile_w[18] == 0 and june.demand.month.profile_w[22] == pytest.approx(10)


def test_more_hours_than_the_dark_has_are_said():
    inputs = DemandInput((replace(LAMPS, hours_per_day=8),), PLAIN, Inverter(), 6, ALL_MONTHS, (15.0,) * 12)
    assert [one.where for one in demand(inputs).findings] == ["loads/0/when"]
