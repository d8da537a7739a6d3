"""Sizing the array, its voltages and currents, and what the budget says about them."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.design import Array, Controller, Module, Obstacle, Roof
from model.supply.array import (
    array_needed_w,
    backfed_current_a,
    clamped_current_a,
    harvest_wh_per_day,
    hot_vmp_v,
    open_circuit_v,
    share_covered,
    tracking_current_a,
)
from model.supply.budget import supply
from model.supply.climate import climate_from_months
from model.supply.roof import noon_elevation_deg
from model.supply.table import Supply, SupplyInput
from model.working import SEVERITIES, chain

# Redbook St Louis, flat (NREL Solar Radiation Data Manual 1961-1990), with round temperatures.
ST_LOUIS = climate_from_months(
    [2.2, 2.9, 3.9, 5.0, 5.9, 6.4, 6.4, 5.7, 4.6, 3.5, 2.3, 1.8],
    38.75,
    -90.38,
    172.0,
    temperature_c=[-2.0, 1.0, 7.0, 13.0, 18.0, 24.0, 26.0, 25.0, 21.0, 14.0, 7.0, 1.0],
    label="St Louis",
)
MODULE = Module()  # 100 W, 22.5 V open, 18.6 V at maximum power, 5.7 A short
ROOF = Roof(4.0, 1.8)
INPUT = SupplyInput(
    climate=ST_LOUIS,
    module=MODULE,
    array=Array(),
    controller=Controller(),
    roof=ROOF,
    system_v=12.0,
    month=12,
    months_of_use=tuple(range(1, 13)),
    use_wh_per_day=(1000.0,) * 12,
    battery_efficiency=0.95,
)


def says(answer: Supply, where: str, severity: str) -> str:
    """The messages of findings at a field, joined; empty where there is none of that severity."""
    return " ".join(f.message for f in answer.findings if f.where == where and f.severity == severity)


# --- formulas


def test_array_needed_by_hand() -> None:
    """1000 Wh / (2 Wh/W x 0.95 x 0.95) = 554.0 W; 554 W bring 1052.6 Wh to the battery, which is 1000 Wh out of it."""
    needed = array_needed_w(1000, 2.0, 0.95, 0.95)
    assert needed == pytest.approx(554.017, abs=1e-3)
    assert share_covered(harvest_wh_per_day(needed, 2.0, 0.95), 0.95, 1000) == pytest.approx(1.0)


def test_no_sun_needs_an_endless_array_and_no_use_needs_none() -> None:
    assert array_needed_w(1000, 0.0, 0.95, 0.95) == math.inf
    assert array_needed_w(0, 0.0, 0.95, 0.95) == 0
    assert share_covered(0.0, 0.95, 0.0) == math.inf


positive = st.floats(0.05, 10)
efficiency = st.floats(0.3, 1)


@given(st.floats(0, 1e5), positive, efficiency, efficiency, st.floats(1, 3))
def test_array_needed_grows_with_use_and_shrinks_with_sun_and_efficiency(
    use: float, sun: float, controller: float, battery: float, more: float
) -> None:
    needed = array_needed_w(use, sun, controller, battery)
    assert array_needed_w(use * more, sun, controller, battery) >= needed
    assert array_needed_w(use, sun * more, controller, battery) <= needed
    assert array_needed_w(use, sun, min(controller * more, 1.0), battery) <= needed
    assert array_needed_w(use, sun, controller, min(battery * more, 1.0)) <= needed


def test_voltages_and_currents_by_hand() -> None:
    """22.5 V x (1 + 0.0028 x 50) = 25.65 V at -25; 18.6 V x (1 - 0.0035 x 45) = 15.67 V at 70; 3 x 5.7 x 1.25 = 21.4 A."""
    assert open_circuit_v(MODULE, 1, -25.0) == pytest.approx(25.65)
    assert open_circuit_v(MODULE, 4, -25.0) == pytest.approx(102.6)
    assert hot_vmp_v(MODULE, 1, 70.0) == pytest.approx(15.6705)
    assert tracking_current_a(400, 12.0) == pytest.approx(33.33, abs=0.01)
    assert clamped_current_a(MODULE, 3) == pytest.approx(21.375)
    assert backfed_current_a(MODULE, 3) == pytest.approx(14.25)
    assert backfed_current_a(MODULE, 1) == backfed_current_a(MODULE, 0) == 0


def test_noon_elevation() -> None:
    """90 - 38.75 - 23.0 = 28.25 degrees (declination of the mean day of December: Duffie & Beckman table 1.6.1).

    Their table uses Cooper's formula, this program Spencer's, which lies 0.2 degrees nearer to the almanac's -22.9.
    """
    assert noon_elevation_deg(38.75, 12) == pytest.approx(28.25, abs=0.25)
    assert noon_elevation_deg(70.0, 12) < 0


# --- the budget


def test_months_agree_with_the_formulas() -> None:
    answer = supply(
        replace(INPUT, controller=Controller(limit_a=100.0))
    )  # nothing cut off: 800 W x 0.95 < 1360 W / 1.5
    assert answer.array_w == len(answer.fit.modules) * 100
    assert answer.month == answer.months[11]
    for month in answer.months:
        assert month.harvest_wh_per_day == pytest.approx(answer.array_w * month.yield_wh_per_w_day * 0.95)
        assert month.needed_w == pytest.approx(1000 / (month.yield_wh_per_w_day * 0.95 * 0.95))
        assert month.needed_cautious_w > month.needed_w
        assert sum(month.hourly_harvest_w) == pytest.approx(month.harvest_wh_per_day)
    assert answer.coverage == pytest.approx(answer.month.harvest_wh_per_day * 0.95 / 1000)


def test_a_small_controller_cuts_off_noon() -> None:
    """5 A x 13.6 V = 68 W of 800 W: all of a June noon passes no more, the edges of the day whole; 50 A cut off about 1 %."""
    whole, small = (
        supply(replace(INPUT, controller=Controller(limit_a=100.0))),
        supply(replace(INPUT, controller=Controller(limit_a=5.0))),
    )
    june, all_june = small.months[5], whole.months[5]
    assert max(june.hourly_harvest_w) == pytest.approx(68.0, rel=1e-3) and max(june.hourly_harvest_w) <= 68.0 + 1e-9
    assert june.harvest_wh_per_day < 68.0 * 15 < all_june.harvest_wh_per_day
    assert sum(june.hourly_harvest_w) == pytest.approx(june.harvest_wh_per_day)
    assert june.yield_wh_per_w_day == all_june.yield_wh_per_w_day and june.needed_w == all_june.needed_w
    assert june.harvest_cautious_wh_per_day <= june.harvest_wh_per_day
    step = next(step for step in small.steps if step.key == "supply.harvest_wh_per_day.6")
    assert "above the controller's 5 A" in step.formula
    usual = supply(INPUT).months[5].harvest_wh_per_day / all_june.harvest_wh_per_day
    assert 0.97 < usual < 1


def test_the_worst_month_is_looked_for_among_the_months_on_the_road() -> None:
    assert supply(INPUT).worst.month == 12
    summer = supply(replace(INPUT, months_of_use=(5, 6, 7, 8, 9)))
    assert summer.worst.month == 9
    heating = tuple(3000.0 if month == 2 else 1000.0 for month in range(1, 13))
    assert supply(replace(INPUT, use_wh_per_day=heating)).worst.month == 2


@settings(max_examples=10, deadline=None)
@given(st.floats(0, 5000), st.floats(0, 2000))
def test_more_use_never_needs_less_array(use: float, more: float) -> None:
    before = supply(replace(INPUT, use_wh_per_day=(use,) * 12))
    after = supply(replace(INPUT, use_wh_per_day=(use + more,) * 12))
    assert after.month.needed_w >= before.month.needed_w
    assert after.worst.needed_cautious_w >= before.worst.needed_cautious_w


def test_steps_lead_from_the_array_needed_back_to_use_and_sun() -> None:
    answer = supply(INPUT)
    steps = {step.key: step for step in answer.steps}
    assert len(steps) == len(answer.steps)  # each key once
    leading = [step.key for step in chain(steps, "supply.array_needed_w")]
    assert leading[0] == "supply.ghi_kwh_per_m2_day" and leading[-1] == "supply.array_needed_w"
    assert "demand.energy_wh_per_day" in steps["supply.array_needed_w"].uses
    assert steps["supply.array_needed_w"].value == answer.month.needed_w
    assert "1000 Wh" in steps["supply.array_needed_w"].formula
    assert all(step.source and step.label and step.stage == "supply" for step in answer.steps)


def test_findings_are_sentences_with_a_way_out() -> None:
    answer = supply(replace(INPUT, array=Array(count=13, in_series=2), lowest_c=-40.0))
    for finding in answer.findings:
        assert finding.severity in SEVERITIES
        assert finding.message.endswith((".", ")")) and finding.advice.endswith(".")
        for word in ("safe", "compliant", "approved"):
            assert word not in (finding.message + finding.advice).lower()


def test_cold_morning_above_the_controllers_limit_is_a_danger() -> None:
    four = replace(INPUT, array=Array(count=4, in_series=4), lowest_c=-20.0)
    # 22.5 x (1 + 0.0028 x 45) x 4 = 101.3 V, by hand, against 100 V.
    assert "101.3 V" in says(supply(four), "controller/limit_v", "danger")
    assert not says(supply(replace(four, lowest_c=-10.0)), "controller/limit_v", "danger")
    # Nobody has typed a record low: 25 K below the coldest month, -2 - 25 = -27.
    assert supply(replace(four, lowest_c=None)).wiring.lowest_c == pytest.approx(-27.0)


def test_panels_too_low_for_the_battery_are_noticed() -> None:
    low = replace(INPUT, system_v=24.0)
    assert "24 V battery" in says(supply(low), "array/in_series", "warning")
    assert not says(supply(replace(low, array=Array(count=4, in_series=2))), "array/in_series", "warning")


def test_current_limits_by_kind_of_controller() -> None:
    eight = replace(INPUT, array=Array(count=8))
    assert "66.7 A" in says(supply(eight), "controller/limit_a", "warning")  # 800 W / 12 V
    pwm = replace(eight, controller=Controller(kind="PWM", limit_a=50.0))
    assert "57.0 A" in says(supply(pwm), "controller/limit_a", "danger")  # 8 x 5.7 x 1.25
    assert not says(
        supply(replace(pwm, controller=Controller(kind="PWM", limit_a=60.0))), "controller/limit_a", "danger"
    )


def test_what_the_other_strings_drive_into_one() -> None:
    """1.25 x 5.7 A x 2; the wiring plans the fuses, and says so."""
    fused = replace(INPUT, module=replace(MODULE, series_fuse_a=10.0), array=Array(count=3))
    assert supply(fused).wiring.backfed_a == pytest.approx(14.25)


def test_left_over_modules_are_not_counted() -> None:
    answer = supply(replace(INPUT, array=Array(count=5, in_series=2)))
    assert answer.array_w == 400
    assert "1 stays out" in says(answer, "array/in_series", "warning")


def test_more_modules_than_fit() -> None:
    fits = len(supply(INPUT).fit.modules)
    answer = supply(replace(INPUT, array=Array(count=fits + 2)))
    assert f"at most {fits}" in says(answer, "array/count", "warning")
    assert len(answer.modules) == fits
    assert not any("fit on the roof" in f.message for f in supply(replace(INPUT, array=Array(count=fits))).findings)


def test_no_module_fits() -> None:
    answer = supply(replace(INPUT, roof=Roof(0.9, 0.9)))
    assert answer.array_w == 0 and answer.coverage == 0
    assert says(answer, "roof/length_m", "warning")
    assert "no array" in says(answer, "array/count", "warning")


def test_december_in_plain_words() -> None:
    answer = supply(replace(INPUT, array=Array(count=2)))
    words = says(answer, "array/count", "warning")
    assert "December covers" in words and "times as much" in words
    assert f"{answer.month.needed_w:.0f} W" in words


def test_covered_in_a_typical_year_only() -> None:
    december = supply(INPUT).month
    between = (december.yield_wh_per_w_day + december.yield_cautious_wh_per_w_day) / 2 * 0.95 * 0.95
    answer = supply(replace(INPUT, array=Array(count=10), use_wh_per_day=(1000 * between,) * 12))
    assert "the cautious sun (9 years of 10 bring more) covers only" in says(answer, "array/count", "note")
    assert not says(answer, "array/count", "warning")


def test_flat_watts_that_equal_a_tilt() -> None:
    tilted = supply(replace(INPUT, array=Array(count=4, tilt_deg=40.0)))
    flat = supply(replace(INPUT, array=Array(count=4)))
    more = 400 * (tilted.month.yield_wh_per_w_day / flat.month.yield_wh_per_w_day - 1)
    advice = " ".join(f.advice for f in tilted.findings if f.where == "array/tilt_deg")
    assert f"{more:.0f} W more lying flat" in advice


def test_high_north_in_the_dark_is_only_an_order_of_magnitude() -> None:
    north = climate_from_months([0.3, 1, 2, 4, 5, 6, 5, 4, 2.5, 1, 0.4, 0.2], 60.0, 10.0, 0.0, temperature_c=[0.0] * 12)
    tilted = replace(INPUT, climate=north, array=Array(tilt_deg=60.0))
    assert "order of magnitude" in says(supply(tilted), "array/tilt_deg", "note")
    assert "order of magnitude" not in says(supply(replace(tilted, month=6)), "array/tilt_deg", "note")
    south = climate_from_months([5.0] * 3 + [1.0] * 6 + [5.0] * 3, -56.0, -68.0, 0.0, temperature_c=[5.0] * 12)
    assert "order of magnitude" in says(supply(replace(tilted, climate=south, month=6)), "array/tilt_deg", "note")


def test_polar_night_is_said_and_survived() -> None:
    night = climate_from_months(
        [0.0, 1, 2, 4, 5, 6, 5, 4, 2.5, 1, 0.0, 0.0], 70.0, 25.0, 0.0, temperature_c=[-5.0] * 12
    )
    answer = supply(replace(INPUT, climate=night))
    assert answer.month.needed_w == math.inf
    assert "brings nothing" in says(answer, "array/count", "warning")


def test_typed_sun_beyond_the_clouds_is_doubted() -> None:
    monthly = [22.0, *ST_LOUIS.ghi_kwh_per_m2_day[1:]]  # a slip of the decimal point
    slip = climate_from_months(monthly, 38.75, -90.38, 172.0, temperature_c=ST_LOUIS.temperature_c)
    assert "January" in says(supply(replace(INPUT, climate=slip)), "weather/ghi_kwh_per_m2_day", "warning")


def test_pwm_with_a_high_voltage_module_is_wasteful() -> None:
    high = replace(MODULE, vmp_v=37.2, voc_v=45.0, imp_a=2.7, isc_a=2.85)
    assert "MPPT" in says(
        supply(replace(INPUT, module=high, controller=Controller(kind="PWM"))), "controller/kind", "warning"
    )
    assert "isolator" in " ".join(f.advice for f in supply(INPUT).findings)


def test_an_obstacle_that_shades_is_named_with_its_modules() -> None:
    fan = Obstacle("roof fan", 1.8, 0.7, 0.4, 0.4, 0.3)
    answer = supply(replace(INPUT, roof=replace(ROOF, obstacles=(fan,))))
    words = says(answer, "roof/obstacles/0/height_m", "note")
    assert words.startswith("Roof fan can shade module")
    # 0.3 m / tan(28.4 degrees) = 0.555 m, by hand.
    assert "0.55 m long" in words
    # With room for many and only two wanted, the two that it does not reach are taken.
    two = supply(replace(INPUT, roof=replace(ROOF, obstacles=(fan,)), array=Array(count=2)))
    assert not says(two, "roof/obstacles/0/height_m", "note")


@pytest.mark.parametrize(("x_m", "y_m", "field"), [(5.0, 0.0, "x_m"), (0.0, 1.5, "y_m"), (0.0, 0.0, "")])
def test_an_obstacle_beyond_the_roof_is_told(x_m: float, y_m: float, field: str) -> None:
    roof = replace(INPUT.roof, length_m=3.0, width_m=1.6, obstacles=(Obstacle("fan", x_m, y_m, 0.4, 0.4, 0.1),))
    told = [one.where for one in supply(replace(INPUT, roof=roof)).findings if "beyond the roof" in one.message]
    assert told == ([f"roof/obstacles/0/{field}"] if field else [])
