"""What a rated watt delivers: known values of the parts, and what must hold of the whole chain."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.design import Array, Controller, Module
from model.supply.climate import Climate, climate_from_months
from model.supply.daily_distribution import PROBABILITIES
from model.supply.irradiance import SOLAR_TIME_H
from model.supply.module_yield import (
    air_c,
    cell_c,
    clamped_w_per_w,
    day_classes,
    kept_after_losses,
    tracked_w_per_w,
    yields,
)

# Redbook St Louis, flat (NREL Solar Radiation Data Manual 1961-1990), with round temperatures.
GHI = (2.2, 2.9, 3.9, 5.0, 5.9, 6.4, 6.4, 5.7, 4.6, 3.5, 2.3, 1.8)
AIR = (-2.0, 1.0, 7.0, 13.0, 18.0, 24.0, 26.0, 25.0, 21.0, 14.0, 7.0, 1.0)
SHAPE = tuple(np.interp(PROBABILITIES, (0.01, 0.1, 0.5, 0.9, 0.99), (0.28, 0.53, 1.04, 1.40, 1.57)))


def climate(latitude_deg: float = 38.75, scale: float = 1.0, warmer_k: float = 0.0) -> Climate:
    return climate_from_months(
        [scale * value for value in GHI],
        latitude_deg,
        -90.38,
        172.0,
        temperature_c=[value + warmer_k for value in AIR],
        daily_shape=SHAPE * 12,
    )


ST_LOUIS = climate()
MODULE, MPPT, PWM = Module(), Controller(), Controller(kind="PWM")


def year(
    place: Climate = ST_LOUIS,
    array: Array | None = None,
    controller: Controller = MPPT,
    module: Module = MODULE,
    system_v: float = 12.0,
) -> float:
    return sum(m.yield_wh_per_w_day for m in yields(place, module, array or Array(), controller, system_v))


def test_losses_are_those_of_pvwatts() -> None:
    """PVWatts 5 defaults (Dobos 2014): 2 3 0 2 2 0.5 1.5 1 0 3 % make 14.0757 %; without its 3 % of outages 11.418 %."""
    array = Array(
        soiling=0.02, shading=0.03, mismatch=0.02, wiring=0.02, connections=0.005, light_induced=0.015, nameplate=0.01
    )
    assert 1 - kept_after_losses(array) * 0.97 == pytest.approx(0.140757, abs=1e-6)


def test_standard_conditions_give_the_rated_power() -> None:
    assert float(tracked_w_per_w(np.array(1000.0), np.array(25.0), -0.0035)) == pytest.approx(1.0)
    # 35 K above, -0.35 % a kelvin: 12.25 % less, by hand.
    assert float(tracked_w_per_w(np.array(1000.0), np.array(60.0), -0.0035)) == pytest.approx(0.8775)
    # Marion 2008: k is what is missing at 200 W/m2, in rated powers.
    assert float(tracked_w_per_w(np.array(200.0), np.array(25.0), 0.0)) == pytest.approx(0.200 - 0.005)


def test_cells_by_mounting() -> None:
    """Ross 1981 by hand: 20 + 0.056 x 800 = 64.8, 20 + 0.034 x 800 = 47.2; Faiman 2008: 20 + 800 / (25 + 6.84) = 45.1."""
    light, air = np.array(800.0), np.array(20.0)
    assert float(cell_c(light, air, "flush")) == pytest.approx(64.8)
    assert float(cell_c(light, air, "gap")) == pytest.approx(47.2)
    assert float(cell_c(light, air, "open rack")) == pytest.approx(45.13, abs=0.01)


def test_air_is_warmest_at_three_and_keeps_its_mean() -> None:
    air = air_c(np.array(10.0), SOLAR_TIME_H)
    assert air.mean() == pytest.approx(10.0)
    assert SOLAR_TIME_H[air.argmax()] in (14.75, 15.25)


def test_clamped_module_gives_its_current_at_the_battery_voltage() -> None:
    """5.4 A x 13.6 V of 100 W rated, by hand; above open circuit nothing; between, less than at maximum power."""
    light, cold = np.array(1000.0), np.array(25.0)
    assert float(clamped_w_per_w(light, cold, MODULE, 1, 13.6)) == pytest.approx(5.4 * 13.6 / 100)
    assert float(clamped_w_per_w(light, cold, MODULE, 2, 27.2)) == pytest.approx(5.4 * 13.6 / 100)
    assert float(clamped_w_per_w(light, cold, MODULE, 1, 23.0)) == 0.0
    assert 0 < float(clamped_w_per_w(light, cold, MODULE, 1, 21.0)) < 5.4 * 18.6 / 100


def test_hot_module_on_a_pwm_controller_may_not_reach_the_battery() -> None:
    """A module of 17 V at 70 degrees: 17 x (1 - 0.0035 x 45) = 14.3 V; a 12 V battery still charges, 24 V never do."""
    module = replace(MODULE, vmp_v=17.0, voc_v=21.0)
    hot = np.array(70.0)
    assert float(clamped_w_per_w(np.array(1000.0), hot, module, 1, 13.6)) == pytest.approx(5.4 * 13.6 / 100)
    assert float(clamped_w_per_w(np.array(1000.0), hot, module, 1, 27.2)) == 0.0


@settings(max_examples=15, deadline=None)
@given(st.floats(0, 360))
def test_a_flat_array_does_not_care_which_way_it_faces(azimuth_deg: float) -> None:
    one = yields(ST_LOUIS, MODULE, Array(azimuth_deg=azimuth_deg), MPPT, 12.0)
    for month, default in zip(one, yields(ST_LOUIS, MODULE, Array(), MPPT, 12.0), strict=True):
        assert month.yield_wh_per_w_day == pytest.approx(default.yield_wh_per_w_day)
        assert month.poa_kwh_per_m2_day == pytest.approx(default.poa_kwh_per_m2_day)


def test_the_flat_plane_receives_the_monthly_irradiation() -> None:
    for month, ghi in zip(yields(ST_LOUIS, MODULE, Array(), MPPT, 12.0), GHI, strict=True):
        assert month.ghi_kwh_per_m2_day == pytest.approx(ghi)
        assert month.poa_kwh_per_m2_day == pytest.approx(ghi, rel=0.003)


@settings(max_examples=10, deadline=None)
@given(st.floats(0.3, 1.2))
def test_more_sun_never_yields_less(scale: float) -> None:
    for dull, bright in zip(
        yields(climate(scale=scale), MODULE, Array(), MPPT, 12.0),
        yields(climate(scale=scale * 1.05), MODULE, Array(), MPPT, 12.0),
        strict=True,
    ):
        assert bright.yield_wh_per_w_day > dull.yield_wh_per_w_day


@settings(max_examples=10, deadline=None)
@given(st.floats(0.1, 20))
def test_warmer_air_never_yields_more(warmer_k: float) -> None:
    assert year(climate(warmer_k=warmer_k)) < year()


def test_ventilation_helps() -> None:
    glued, gap, rack = (year(array=Array(mounting=mounting)) for mounting in ("flush", "gap", "open rack"))
    assert glued < gap < rack
    # 0.022 K m2/W between gap and glued, at the energy-weighted 500 to 600 W/m2 of a sunny month: 11 to 13 K x 0.35 % = 4 to 5 %.
    assert 1 - glued / gap == pytest.approx(0.04, abs=0.015)


def test_cautious_is_less_and_on_a_tilted_module_much_less_in_winter() -> None:
    factor = ST_LOUIS.cautious_factor
    flat = yields(ST_LOUIS, MODULE, Array(), MPPT, 12.0)
    tilted = yields(ST_LOUIS, MODULE, Array(tilt_deg=60.0), MPPT, 12.0)
    for month in flat:
        assert month.ghi_cautious_kwh_per_m2_day == pytest.approx(month.ghi_kwh_per_m2_day * factor)
        assert month.cautious_wh_per_w_day / month.yield_wh_per_w_day == pytest.approx(factor, abs=0.02)
    december = tilted[11]
    assert december.cautious_wh_per_w_day / december.yield_wh_per_w_day < factor - 0.02


def test_classes_keep_the_mean_of_typical_and_of_dull_months() -> None:
    typical, dull = day_classes(ST_LOUIS)
    assert typical.mean(axis=1) / 1000 == pytest.approx(np.array(GHI))
    assert dull.mean(axis=1) == pytest.approx(typical.mean(axis=1) * ST_LOUIS.cautious_factor)
    assert (np.diff(typical, axis=1) >= 0).all() and (np.diff(dull, axis=1) >= 0).all()


def test_hours_of_the_day_add_up_and_peak_at_solar_noon() -> None:
    for month in yields(ST_LOUIS, MODULE, Array(), MPPT, 12.0):
        assert sum(month.hourly_w_per_w) == pytest.approx(month.yield_wh_per_w_day)
        assert month.hourly_w_per_w.index(max(month.hourly_w_per_w)) in (11, 12)
        assert month.hourly_w_per_w[0] == month.hourly_w_per_w[23] == 0


def test_mppt_beats_pwm_and_the_more_so_the_higher_the_module_voltage() -> None:
    shares = [
        year(controller=PWM, module=module) / year(module=module)
        for module in (MODULE, replace(MODULE, vmp_v=37.2, voc_v=45.0, imp_a=2.7, isc_a=2.85))
    ]
    assert shares[1] < shares[0] < 1
    # Twice the voltage at half the current, tied to the same battery: half the harvest.
    assert shares[1] == pytest.approx(shares[0] / 2, rel=0.02)


@pytest.mark.parametrize("latitude", [70.0, -70.0])
def test_polar_night_yields_nothing_and_fails_nothing(latitude: float) -> None:
    dark = climate_from_months([0.0] * 2 + [2.0] * 8 + [0.0] * 2, latitude, 20.0, 0.0, temperature_c=[-10.0] * 12)
    months = yields(dark, MODULE, Array(tilt_deg=60.0), MPPT, 12.0)
    assert months[11].yield_wh_per_w_day == months[0].yield_wh_per_w_day == 0
    assert all(np.isfinite(month.yield_wh_per_w_day) for month in months)


def test_a_tracker_steps_down_only() -> None:
    """One 18.6 V module on a 24 V battery gives next to nothing, open circuit (22.5 V) lies below it; two in series give all."""
    assert year(system_v=24.0) == pytest.approx(0.0)
    assert year(system_v=24.0, array=Array(in_series=2)) == pytest.approx(year())
    between = replace(MODULE, vmp_v=26.0, voc_v=32.0)  # 27.2 V and more while charging: some hours give a part
    assert 0 < year(system_v=24.0, module=between) < 0.9 * year(module=between)
