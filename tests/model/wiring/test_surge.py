"""What gives in first while something starts behind the inverter: each limit against a power balance found by bisection."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.design import Battery, Design, Inverter, Load
from model.plan import plan
from model.wiring.surge import output_at_current_w, output_at_volts_w

VAN = Design(
    loads=(Load("Microwave", power_w=700.0, hours_per_day=0.2, supply="AC", surge_w=1100.0),),
    inverter=Inverter(fitted=True, rated_w=1500.0, surge_w=3000.0, curve="fixed", efficiency=0.9),
    battery=Battery("LFP", unit_ah=100.0, installed_ah=200.0),
)


def volts_at(power_w: float, emf_v: float, ohm: float) -> float | None:
    """Terminal volts at which the source gives `power_w`, by bisection on the stable half (Kirchhoff's and Ohm's laws)."""
    low, high = emf_v / 2, emf_v
    if low * (emf_v - low) / ohm < power_w:
        return None
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (low, middle) if middle * (emf_v - middle) / ohm < power_w else (middle, high)
    return (low + high) / 2


@given(st.floats(5, 60), st.floats(1e-4, 0.1), st.floats(0.1, 2000), st.floats(0.5, 1))
def test_the_output_at_a_current_draws_that_current(emf_v, ohm, current_a, efficiency):
    output_w = output_at_current_w(current_a, emf_v, ohm, efficiency)
    if current_a * ohm <= emf_v / 2 * (1 - 1e-6):
        volts = volts_at(output_w / efficiency, emf_v, ohm)
        assert volts is not None
        assert output_w / efficiency / volts == pytest.approx(current_a, rel=1e-5)
    else:  # more than the source can give into any load: maximum power transfer, E^2 / 4R
        assert output_w == pytest.approx(emf_v**2 / (4 * ohm) * efficiency, rel=1e-5)


@given(st.floats(5, 60), st.floats(1e-4, 0.1), st.floats(0, 1), st.floats(0.5, 1))
def test_the_output_at_a_voltage_brings_the_terminals_there(emf_v, ohm, share, efficiency):
    least_v = share * emf_v
    output_w = output_at_volts_w(least_v, emf_v, ohm, efficiency)
    volts = volts_at(output_w / efficiency * (1 - 1e-12), emf_v, ohm)
    assert volts == pytest.approx(max(least_v, emf_v / 2), rel=1e-4)
    assert output_at_volts_w(emf_v * 1.01, emf_v, ohm, efficiency) == 0.0


def test_a_battery_of_eleven_volts_and_four_milliohms_by_hand():
    """11 V, 4 mohm, down to 10.5 V: 125 A, 1312.5 W, 1181 W at 90 %. At 150 A: 10.4 V, 1560 W, 1404 W. By hand."""
    assert output_at_volts_w(10.5, 11.0, 0.004, 0.9) == pytest.approx(1181.25)
    assert output_at_current_w(150.0, 11.0, 0.004, 0.9) == pytest.approx(1404.0)


def steps_of(design):
    start = "wiring.inverter_start"
    return {one.key.removeprefix(start): one for one in plan(design).wiring.own_steps if one.key.startswith(start)}


def told(design):
    keys = ("battery/peak_a", "inverter/cut_out_v")
    return [one for one in plan(design).findings if one.where in keys or "start behind" in one.message]


def test_every_limit_stands_in_the_working_and_the_tightest_governs():
    found = steps_of(VAN)
    assert {".most_w", ".inverter_w", ".battery_w", ".fuse.inverter.0.start_w", ".volts_w"} <= set(found)
    assert found[".most_w"].value == min(one.value for key, one in found.items() if key != ".most_w")
    assert found[".inverter_w"].value == 3000.0


def test_a_lower_peak_of_the_battery_becomes_the_tightest_and_is_told_by_name():
    generous = replace(VAN, battery=replace(VAN.battery, peak_a=1000.0), inverter=replace(VAN.inverter, surge_w=1100.0))
    assert not [one for one in told(generous) if one.severity == "warning"]
    weak = replace(generous, battery=replace(generous.battery, peak_a=60.0))
    # 60 A out of 10.5 to 11 V at 90 % are 567 to 594 W, less than the 1100 W of the start
    assert 567 <= steps_of(weak)[".most_w"].value <= 594
    (said,) = [one for one in told(weak) if one.where == "battery/peak_a" and "behind the inverter" in one.message]
    assert said.severity == "warning"
    assert "up to 1100 W" in said.message and "protection opens (60 A)" in said.message


def test_other_loads_that_are_on_leave_less_of_the_batterys_peak():
    weak = replace(VAN, battery=replace(VAN.battery, peak_a=60.0))
    beside = replace(weak, loads=(*weak.loads, Load("Kettle", power_w=240.0, hours_per_day=0.2)))
    fewer_w = steps_of(weak)[".battery_w"].value - steps_of(beside)[".battery_w"].value
    assert fewer_w == pytest.approx(0.9 * 11 * (240 / 12), rel=0.12)  # 240 W at about 12 V are no longer there


def test_lead_has_no_electronics_that_open_and_no_inverter_has_no_limits():
    assert ".battery_w" not in steps_of(replace(VAN, battery=replace(VAN.battery, chemistry="AGM")))
    assert steps_of(replace(VAN, inverter=replace(VAN.inverter, fitted=False))) == {}


def test_what_the_inverter_itself_sets_is_said_with_the_load_and_not_twice():
    small = replace(VAN, inverter=replace(VAN.inverter, rated_w=300.0, surge_w=400.0, cut_out_v=9.5))
    assert steps_of(small)[".most_w"].label.endswith("the inverter gives no more")
    about = [one.message for one in plan(small).findings if "1100 W" in one.message]
    assert about == ["Microwave starts with 1100 W, above the inverter's surge power of 400 W."]


def test_an_inverter_on_a_bus_bar_counts_the_main_fuse_too():
    """As `test_bus_bar` enters it: the main feed's first run ends at a bar, from which the inverter starts."""
    from model.design import Circuit, Run

    main = Circuit("Main", kind="main", runs=(Run("battery", "bar", 0.5, fuse_a=100.0), Run("bar", "fuse panel", 1.0)))
    inverter = Circuit("Inverter", kind="inverter", runs=(Run("bar", "inverter", 0.5),))
    lamp = Load("Lamp", power_w=12.0, hours_per_day=1.0)
    found = steps_of(replace(VAN, loads=(*VAN.loads, lamp), circuits=(main, inverter)))
    fuses = [key for key in found if key.startswith(".fuse")]
    assert any("fuse.main.0" in key or "fuse.M" in key for key in fuses), fuses
