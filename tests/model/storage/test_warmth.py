"""Heat for a cold battery and heat out of a charged one: by hand, and the findings that come and stay away."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model.storage.options import storage
from model.storage.warmth import charging_heat_w, holding_wh_per_day, rise_k, surface_m2, warming_wh, worn_cell
from tests.model.storage.test_options import VAN


def test_a_cube_of_27_litres_has_six_faces_of_30_cm() -> None:
    assert surface_m2(27.0) == pytest.approx(6 * 0.3**2)


def test_holding_is_the_heat_through_two_centimetres_of_foam() -> None:
    """0.035 W/(m K) / 0.02 m x 0.54 m2 x 16 K x 24 h = 363 Wh (Fourier's law)."""
    assert holding_wh_per_day(27.0, 16.0) == pytest.approx(0.035 / 0.02 * 0.54 * 16 * 24)


def test_warming_is_a_kilojoule_for_each_kilogram_and_kelvin() -> None:
    """24 kg by 5 K: 120 kJ, which are 33.3 Wh."""
    assert warming_wh(24.0, 5.0) == pytest.approx(120 / 3.6)


def test_charging_heats_by_the_square_of_the_current() -> None:
    """Four cells of 0.84 mohm at 100 A: 33.6 W (Joule's law); two such strings side by side share the current: half of it."""
    assert charging_heat_w(100.0, 4, 84.0, 100.0) == pytest.approx(100**2 * 4 * 0.00084)
    assert charging_heat_w(100.0, 4, 84.0, 200.0) == pytest.approx(2 * 50**2 * 4 * 0.00084)


def test_a_bare_box_lets_5_w_through_each_square_metre_and_kelvin() -> None:
    assert rise_k(27.0, 27.0) == pytest.approx(10.0)


def test_only_known_cells_have_a_resistance() -> None:
    assert worn_cell("LFP")[0] == 84
    with pytest.raises(KeyError):
        worn_cell("tin")


def said(**changed: object) -> list[str]:
    return [one.message for one in storage(replace(VAN, **changed)).findings if one.where == "battery/place"]


def test_a_pad_is_told_of_where_cells_are_too_cold() -> None:
    cold = said(battery_temperature_c=(-16.0, *(5.0,) * 11), month=1)
    assert any("A heating pad that holds LFP at 0 °C takes about" in one and "January" in one for one in cold)
    assert any("After a cold night a heating pad takes about" in one for one in said(battery_temperature_c=(3.0,) * 12))
    assert not any("heating pad" in one for one in said(battery_temperature_c=(12.0,) * 12))
    assert not any("heating pad" in one for one in said(chosen="AGM", battery_temperature_c=(-16.0,) * 12))


def test_a_closed_box_is_told_of_where_a_hot_week_comes_near_the_limit() -> None:
    """34 °C and 8 K more in a hot week are 42 °C, 3 K below the 45 °C at which LFP takes no charge (BU-410)."""
    hot = said(battery_temperature_c=(*(20.0,) * 6, 34.0, *(20.0,) * 5), charge_current_a=20.0, other_charge_a=30.0)
    assert any("In a hot week of July the battery stands at about 42 °C, and charging with 50 A" in one for one in hot)
    assert not any("hot week" in one for one in said(battery_temperature_c=(25.0,) * 12))


def test_the_pad_and_the_heat_have_their_working() -> None:
    answer = storage(replace(VAN, battery_temperature_c=(-16.0,) * 12))
    steps = {step.key: step for step in answer.steps}
    assert steps["storage.LFP.pad_wh_per_day"].value == pytest.approx(holding_wh_per_day(answer.chosen.volume_l, 16.0))
    assert "storage.LFP.charging_heat_w" in steps and "storage.AGM.pad_wh_per_day" not in steps
