"""Rate, life, standby, charging, ventilation and units: the small formulas."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.storage.charging import cold_charging, months_without_charging, months_without_discharging
from model.storage.chemistry import CHEMISTRY_NAMES, chemistries
from model.storage.life import cycles_at_depth, life_years
from model.storage.rate import available_capacity_ah, capacity_for_current_ah, share_at_rates
from model.storage.sizing import choose_unit, functional_hours, makes_bank, units_in_parallel, units_in_series
from model.storage.standby import DAYS_PER_MONTH, freezing_point_c, months_to_share, months_until_empty
from model.storage.temperature import extrapolated, factor_table, temperature_factor
from model.storage.ventilation import air_m3_per_h

YEAR = tuple(range(1, 13))
amps_hours = st.floats(0.1, 1e5)


@given(amps_hours, st.floats(0, 1e4), st.sampled_from((1.0, 1.05, 1.25, 1.6)), st.sampled_from((5.0, 20.0, 100.0)))
def test_what_is_bought_for_a_current_holds_the_need_at_it(needed_ah, current_a, exponent, rated_h):
    bought_ah = capacity_for_current_ah(needed_ah, rated_h, current_a, exponent)
    assert bought_ah >= needed_ah
    assert available_capacity_ah(bought_ah, rated_h, current_a, exponent) == pytest.approx(needed_ah, rel=1e-9)


def test_functional_hours():
    assert functional_hours(500, 25) == 20
    assert functional_hours(500, 0) == math.inf


POINTS = ((0.3, 2000.0), (0.5, 1000.0), (0.8, 450.0))


def test_cycles_go_through_the_points_and_keep_the_throughput_beyond_them():
    assert [cycles_at_depth(POINTS, depth) for depth, _ in POINTS] == pytest.approx([2000, 1000, 450])
    assert cycles_at_depth(POINTS, 0.1) == pytest.approx(6000)  # 0.3 x 2000 / 0.1
    assert cycles_at_depth(POINTS, 1.0) == pytest.approx(360)  # 0.8 x 450
    assert cycles_at_depth(POINTS, 0) == math.inf
    # half way on double logarithmic paper
    assert cycles_at_depth(POINTS, math.sqrt(0.3 * 0.5)) == pytest.approx(math.sqrt(2000 * 1000))


@given(st.sampled_from(CHEMISTRY_NAMES), st.floats(0.001, 1), st.floats(0.001, 1))
def test_deeper_cycles_are_never_more(name, one, other):
    points = chemistries()[name].cycle_life
    shallow, deep = sorted((one, other))
    assert cycles_at_depth(points, shallow) >= cycles_at_depth(points, deep) * (1 - 1e-12)


def test_life_is_the_smaller_of_the_two_and_heat_shortens_both():
    assert life_years(10, 3650, 365) == 10
    assert life_years(10, 1825, 365) == 5
    assert life_years(10, 1825, 365, ageing=2) == 2.5
    assert life_years(10, 1, 0) == 10  # not used at all


def test_months_until_empty_against_a_day_by_day_account():
    """2560 Wh, 3 % a month, 10 Wh a day: taken day by day, as one would with a pencil."""
    left, days = 2560.0, 0
    while left > 0:
        left = left * (1 - 0.03) ** (1 / DAYS_PER_MONTH) - 10
        days += 1
    assert months_until_empty(2560, 0.03, 10) * DAYS_PER_MONTH == pytest.approx(days, abs=1)


def test_without_a_draw_it_is_never_quite_empty():
    assert months_until_empty(2560, 0.03, 0) == math.inf
    assert months_until_empty(2560, 0.0, 10) == pytest.approx(256 / DAYS_PER_MONTH)
    assert 0.95 ** months_to_share(0.5, 0.05) == pytest.approx(0.5)


@given(st.floats(0, 1), st.floats(0, 1))
def test_a_fuller_battery_freezes_later(one, other):
    empty, full = sorted((one, other))
    assert freezing_point_c(full) <= freezing_point_c(empty) < 0


def test_cold_charging_by_month():
    temperature_c = (-5.0, -1.0, 3.0, 8.0, 12.0, 16.0, 50.0, 18.0, 14.0, 9.0, 4.0, 0.0)
    assert months_without_charging(chemistries()["LFP"], temperature_c, YEAR) == (1, 2, 7)
    assert months_without_charging(chemistries()["LFP"], temperature_c, (3, 4)) == ()
    assert months_without_charging(chemistries()["LTO"], temperature_c, YEAR) == ()
    assert months_without_discharging(chemistries()["LFP"], temperature_c, YEAR) == ()
    assert cold_charging(chemistries()["LFP"]) == "not below 0 °C"
    assert cold_charging(chemistries()["AGM"]) == "slow below 0 °C"


def test_lithium_needs_no_air_and_a_vented_battery_twice_that_of_a_sealed_one():
    assert air_m3_per_h("none", 16, 500) == 0
    assert air_m3_per_h("vented", 6, 200) == pytest.approx(2 * air_m3_per_h("vrla", 6, 200))


def test_units_in_series_and_parallel():
    assert units_in_series(25.6, 12.8) == 2
    assert units_in_series(12.0, 51.2) == 1
    assert units_in_parallel(200.0, 100.0) == 2
    assert units_in_parallel(200.0000001, 100.0) == 2  # rounding error, not a third string
    assert units_in_parallel(201.0, 100.0) == 3
    assert units_in_parallel(0.0, 100.0) == 1
    assert makes_bank(12.8, 12.0) and makes_bank(12.0, 6.0)
    assert not makes_bank(12.0, 8.0) and not makes_bank(25.9, 14.8)


@given(st.sampled_from(CHEMISTRY_NAMES), st.sampled_from((12.0, 24.0, 48.0)), st.floats(0, 20_000))
def test_units_to_buy_make_the_voltage_and_hold_the_need(name, system_v, needed_ah):
    bank_v = chemistries()[name].bank_v(system_v)
    unit_v, unit_ah = choose_unit(chemistries()[name], bank_v, needed_ah)
    assert makes_bank(bank_v, unit_v)
    assert units_in_parallel(needed_ah, unit_ah) * unit_ah >= needed_ah * (1 - 1e-9)


def test_few_strings_are_preferred():
    assert choose_unit(chemistries()["LFP"], 12.8, 368.5) == (12.8, 200.0)  # two strings, not four of 100 Ah
    assert choose_unit(chemistries()["LFP"], 12.8, 90.0) == (12.8, 100.0)
    assert choose_unit(chemistries()["LFP"], 51.2, 90.0) == (51.2, 100.0)  # one unit rather than four in series


def test_cold_below_the_table_is_marked():
    assert extrapolated("lithium", -20.1) and not extrapolated("lithium", -20.0)
    assert temperature_factor("lithium", -30) == pytest.approx(1 / 0.65 + (1 / 0.65 - 1 / 0.80), abs=2e-4)
    assert temperature_factor("lithium", 40) == 1.0
    with pytest.raises(ValueError, match="no table"):
        factor_table("unknown")


def test_what_a_day_of_currents_leaves_of_the_capacity():
    """100 Ah at the 20 h rate, k 1.2. 10 A: (100 / 200)^0.2 = 0.8706. 23 h at 1 A and one at 10: 33 / (23 + 10 / 0.8706)."""
    assert share_at_rates(100, 20, [10.0] * 24, 1.2) == pytest.approx(0.8706, abs=5e-5)
    assert share_at_rates(100, 20, [1.0] * 23 + [10.0], 1.2) == pytest.approx(33 / (23 + 10 / 0.5**0.2))
    assert share_at_rates(100, 20, [5.0] * 24, 1.2) == 1.0  # the rated current itself
    assert share_at_rates(100, 20, [50.0, 0.0], 1.0) == 1.0 and share_at_rates(100, 20, [], 1.2) == 1.0
