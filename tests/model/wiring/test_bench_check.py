"""Readings of the bench against the plan. The circuit is worked by hand: 4 mm2 of class 5 has 4.95 ohm/km (IEC 60228), 5 m out
and back 49.5 milliohm; six lamps of 0.15 A at any voltage draw 0.9 A and lose 44.6 mV."""

from dataclasses import replace

import pytest

from model.design import Design, Load, Reading
from model.wiring.bench_check import bench_check, load_factor, take_measured
from model.wiring.bench_guess import pieces_of
from model.wiring.bench_words import explained
from model.wiring.circuit import PointLoad
from model.wiring.conductors import conductor
from tests.model.wiring.circuits import one_circuit, one_run
from tests.model.wiring.jobs import circuit_plan

LOOP_OHM = 10 * 4.95e-3
LAMPS = PointLoad("6 x Lamp", "a", 6 * 1.8, 12.0, law="current")
RUN = one_run(length_m=5.0, conductor=conductor("mm2", "4"), ambient_c=20.0)


def plan_of(*loads, runs=(RUN,), feeds=("Lamp", "Pump"), **changes):
    circuit = replace(one_circuit(), runs=runs, loads=loads or (LAMPS,))
    return replace(circuit_plan(circuit, **changes), feeds=feeds)


def check(circuit, **reading):
    one = Reading(**reading)
    found = bench_check(circuit, one)
    return found, " ".join(explained(circuit, one, found))


def test_as_planned():
    found, words = check(plan_of(), supply_v=12.1, current_a=0.9, point="a", far_v=12.1 - 0.0446)
    assert found.planned_a == pytest.approx(0.9)
    assert found.planned_v == pytest.approx(12.1 - 0.9 * LOOP_OHM, abs=1e-4)  # warmed by less than 0.1 K
    assert found.agrees and "agrees with the planned 0.9 A" in words and "agree with the plan" in words


def test_a_lamp_is_missing():
    found, words = check(plan_of(), supply_v=12.1, current_a=0.75)
    assert found.guesses[0].pieces == (("Lamp", -1),) and found.guesses[0].left_a == pytest.approx(0.0, abs=1e-9)
    assert not found.agrees and "1 of Lamp missing or off" in words


def test_two_lamps_too_many():
    found, words = check(plan_of(), supply_v=12.1, current_a=1.2)
    assert found.guesses[0].pieces == (("Lamp", 2),) and "2 of Lamp too many" in words


def test_the_pump_is_off_and_a_lamp_too_many():
    """0.9 A of lamps and 4 A of pump; 1.05 A measured: the pump's 4 A are missing, one lamp of 0.15 A is too many."""
    pump = PointLoad("Pump", "a", 48.0, 12.0, law="current")
    lamps = replace(LAMPS, power_w=6 * 3.6)  # 0.3 A each: large enough beside 4.9 A for a meter of 4 % and 0.02 A
    found, _ = check(plan_of(lamps, pump), supply_v=12.0, current_a=1.8 + 4.0 - 4.0 + 0.3)
    assert found.guesses[0].pieces == (("Lamp", 1), ("Pump", -1))


def test_a_poor_crimp():
    """0.25 V too many at 0.9 A: 278 milliohm, 0.225 W."""
    found, words = check(plan_of(), supply_v=12.1, current_a=0.9, point="a", far_v=12.1 - 0.9 * LOOP_OHM - 0.25)
    assert found.amps_agree and found.drop.too_much and not found.agrees
    assert found.drop.start_ohm == pytest.approx(0.25 / 0.9, rel=1e-3)
    assert found.drop.start_w == pytest.approx(0.225, rel=1e-3)
    assert "278 milliohm near feed" in words and "0.22 W" in words


def test_a_poor_joint_on_a_long_way_says_where_to_measure_next():
    """Half of the lamps at a, half beyond: 0.9 A in the first run, 0.45 A in the last; 0.3 V are 333 or 667 milliohm."""
    three = replace(LAMPS, name="3 x Lamp", power_w=3 * 1.8)
    runs = (RUN, replace(RUN, start="a", end="b"))
    circuit = plan_of(three, replace(three, point="b"), runs=runs)
    far_v = 12.1 - 0.9 * LOOP_OHM - 0.45 * LOOP_OHM - 0.3
    found, words = check(circuit, supply_v=12.1, current_a=0.9, point="b", far_v=far_v)
    assert found.drop.start_ohm == pytest.approx(0.3 / 0.9, rel=1e-3)
    assert found.drop.end_ohm == pytest.approx(0.3 / 0.45, rel=1e-3)
    middle_v = 12.1 - 0.9 * LOOP_OHM
    assert f"Measure at a: {middle_v:.2f} V puts it beyond a, {middle_v - 0.3:.2f} V before it" in words


def test_a_hot_joint_is_called_so():
    heater = PointLoad("Heater", "a", 240.0, 12.0, law="current")  # 20 A: 0.35 V are 7 W
    circuit = plan_of(heater, feeds=("Heater",))
    state, _ = check(circuit, supply_v=12.0, current_a=20.0, point="a")
    found, words = check(circuit, supply_v=12.0, current_a=20.0, point="a", far_v=state.planned_v - 0.35)
    assert found.drop.start_w == pytest.approx(7.0, rel=0.01) and "7 W in one joint burn it" in words


def test_the_label_promised_more():
    """60 W of constant power at 12 V without a cable are 5 A; 4 A is 80 % of it and no missing piece."""
    circuit = plan_of(PointLoad("Fan", "a", 60.0, 12.0), runs=(replace(RUN, length_m=0.0),), feeds=("Fan",))
    found, words = check(circuit, supply_v=12.0, current_a=4.0, point="a", far_v=12.0)
    assert found.planned_a == pytest.approx(5.0) and not found.guesses
    assert "the loads draw 80 % of what their labels say" in words and "agree with the plan for this current" in words


def test_nothing_flows_and_readings_that_cannot_be():
    assert "Next to nothing flows" in check(plan_of(), supply_v=12.0, current_a=0.0)[1]
    assert "More volts at the far end" in check(plan_of(), supply_v=12.0, current_a=0.9, point="a", far_v=12.4)[1]
    assert (
        "No run of this circuit leads to x" in check(plan_of(), supply_v=12.0, current_a=0.9, point="x", far_v=11.9)[1]
    )
    impossible = plan_of(PointLoad("Pump", "a", 5000.0, 12.0))
    assert "no voltage carries" in check(impossible, supply_v=12.0, current_a=1.0)[1]
    short = plan_of(replace(LAMPS, power_w=240.0))
    assert "the route is shorter" in check(short, supply_v=12.0, current_a=20.0, point="a", far_v=11.9)[1]


def test_pieces_are_read_from_what_hangs_on_a_point():
    assert pieces_of("6 x Lamp", ("Lamp",)) == ("Lamp", 6.0)
    assert pieces_of("2 x 4 bulb", ("2 x 4 bulb",)) == ("2 x 4 bulb", 1.0)
    assert pieces_of("always on", ("Lamp",)) == ("always on", 1.0)
    assert pieces_of("two x Lamp", ("Lamp",)) == ("two x Lamp", 1.0)


def test_the_measured_current_replaces_the_assumed_load():
    """0.864 A of 0.9 A is 96 %: 1.8 W become 1.728 W; a current of 0.02 A becomes 0.0192 A; measured energy stays."""
    readings = (Reading("2026-11-20", 12.1, 0.864),)
    loads = (
        Load("Lamp", quantity=6, power_w=1.8, note="warm white"),
        Load("Touch", current_a=0.02, rated_v=12.0),
        Load("Meter", measured_wh_per_day=5.0),
        Load("Fridge", power_w=45.0),
    )
    circuit = plan_of(feeds=("Lamp", "Touch", "Meter"), readings=readings)
    lamp, touch, meter, fridge = take_measured(Design(loads=loads), circuit, 0).loads
    assert (lamp.power_w, lamp.quantity) == (pytest.approx(1.728), 6)
    assert lamp.note == "warm white; measured 0.864 A at 12.1 V on 2026-11-20"
    assert (touch.current_a, touch.rated_v) == (pytest.approx(0.0192), 12.0)
    assert (meter, fridge) == loads[2:]
    again = take_measured(Design(loads=(lamp,)), circuit, 0).loads[0]
    assert again.note == lamp.note  # one note, however often


def test_the_new_power_draws_what_was_measured():
    """Constant power over a cable: the plan made with the factor reads the meter's current."""
    circuit = plan_of(PointLoad("Pump", "a", 60.0, 12.0))
    reading = Reading(None, 12.6, 4.4)
    factor = load_factor(circuit, reading)
    changed = plan_of(PointLoad("Pump", "a", 60.0 * factor, 12.0))
    assert bench_check(changed, reading).planned_a == pytest.approx(4.4)
    drop_v = 4.4 * LOOP_OHM
    assert 60.0 * factor == pytest.approx(4.4 * (12.6 - drop_v), rel=1e-3)  # P = U I at the load


def test_a_load_right_on_the_source_counts():
    """0.9 A of lamps through the cable and 2 A on the source itself; 96 % of both is 2.784 A."""
    monitor = PointLoad("Monitor", "feed", 24.0, 12.0, law="current")
    circuit = plan_of(LAMPS, monitor)
    reading = Reading(None, 12.0, 2.9 * 0.96)
    assert bench_check(circuit, reading).planned_a == pytest.approx(2.9)
    assert load_factor(circuit, reading) == pytest.approx(0.96)


def test_what_cannot_be_taken_is_refused():
    circuit = plan_of(readings=(Reading(None, 12.0, 0.0), Reading(None, 12.0, 500.0)))
    for reading in (0, 1):
        with pytest.raises(ValueError, match="no power of its loads"):
            take_measured(Design(), circuit, reading)
    with pytest.raises(ValueError, match="no loads of its own"):
        take_measured(Design(), plan_of(readings=circuit.entered.readings, kind="main"), 1)
