"""Currents and voltages: what must hold in every tree, and where no voltage carries the loads."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.wiring.circuit import Circuit, Contact, PointLoad, Protection, Run, Source, tree
from model.wiring.conductors import conductor, conductors
from model.wiring.flow import loss_wh_per_day, running, standby, worst_start
from tests.model.wiring.circuits import FEED, one_circuit, one_run, random_tree

seeds = st.integers(0, 2**32)


def solved(circuit):
    shape = tree(circuit)
    found = running(circuit, shape)
    assert found is not None
    return shape, found


@settings(max_examples=60, deadline=None)
@given(seeds)
def test_currents_add_up_at_every_point(seed):
    """Kirchhoff: what comes in is what goes on and what the loads of the point draw at its voltage."""
    circuit = random_tree(seed)
    shape, found = solved(circuit)
    assert len(shape.order) == len(circuit.runs) and not shape.faults
    for place, point in enumerate(shape.points):
        volts = found.volts[place]
        drawn = sum(load.current_a(volts) for load in circuit.loads if load.point == point)
        onward = sum(found.current_a[at] for at, run in enumerate(circuit.runs) if run.start == point)
        inward = sum(found.current_a[at] for at, run in enumerate(circuit.runs) if run.end == point)
        if place:
            assert inward == pytest.approx(drawn + onward, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(seeds)
def test_ohms_law_holds_in_every_run_and_voltage_never_rises_away_from_the_source(seed):
    circuit = random_tree(seed)
    shape, found = solved(circuit)
    for at, run in enumerate(circuit.runs):
        before, after = found.volts[shape.place[run.start]], found.volts[shape.place[run.end]]
        assert before - after == pytest.approx(found.drop_v(at), abs=1e-9)
        assert after <= before + 1e-12
        warm = (
            run.conductor.resistance_20c_ohm_per_m * (1 + 0.00393 * (found.temperature_c[at] - 20)) * 2 * run.length_m
        )
        assert found.ohm[at] == pytest.approx(warm + run.fixed_ohm, rel=1e-9)
    given_w = sum(load.current_a(v) * v for load in circuit.loads for v in [found.volts[shape.place[load.point]]])
    source_a = sum(found.current_a[at] for at, run in enumerate(circuit.runs) if run.start == "feed")
    assert source_a * found.volts[0] == pytest.approx(given_w + found.loss_w, rel=1e-9, abs=1e-9)  # energy is kept


@settings(max_examples=60, deadline=None)
@given(seeds, st.integers(0, 10**6), st.booleans())
def test_a_thicker_conductor_never_raises_a_drop(seed, which, heaters):
    """Where a heater gets more voltage it draws more current, and its neighbours on the same trunk pay for it: with heaters in
    the circuit the promise holds for all that hangs on the thicker run; without, for every point."""
    circuit = random_tree(seed, 40)
    if not heaters:
        circuit = replace(circuit, loads=tuple(load for load in circuit.loads if load.law != "resistance"))
    shape, before = solved(circuit)
    at = which % len(circuit.runs)
    runs = list(circuit.runs)
    runs[at] = replace(runs[at], conductor=conductors(runs[at].conductor.family)[-1])
    after = running(replace(circuit, runs=tuple(runs)), shape)
    for place in range(len(shape.points)):
        if not heaters or at in shape.path(place):
            assert after.volts[place] >= before.volts[place] - 1e-9


@settings(max_examples=40, deadline=None)
@given(seeds, st.integers(0, 10**6), st.floats(0, 1))
def test_splitting_a_run_in_two_changes_nothing(seed, which, share):
    circuit = random_tree(seed, 40)
    shape, before = solved(circuit)
    at = which % len(circuit.runs)
    run = circuit.runs[at]
    halves = (
        replace(run, end="middle", length_m=run.length_m * share),
        replace(run, start="middle", length_m=run.length_m * (1 - share), joints_ohm=0.0),
    )
    other = replace(circuit, runs=(*circuit.runs[:at], *halves, *circuit.runs[at + 1 :]))
    other_shape, after = solved(other)
    for point, place in shape.place.items():
        assert after.volts[other_shape.place[point]] == pytest.approx(before.volts[place], abs=1e-9)
    assert after.loss_w == pytest.approx(before.loss_w, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("share", [0.5, 0.99, 0.999999])
def test_constant_power_up_to_the_most_that_a_run_can_carry(share):
    """A source of E behind R gives at most E^2 / 4R; below that the higher root of V (E - V) = P R is the operating point."""
    run = one_run(conductor=conductor("AWG", "18"), insulation_c=30.0, length_m=10.0)  # pinned to its ambient
    ohm = conductor("AWG", "18").resistance_20c_ohm_per_m * 20 * (1 + 0.00393 * 10)
    most_w = FEED.running_v**2 / 4 / ohm
    circuit = one_circuit(run, PointLoad("kettle", "a", most_w * share, 12.0))
    found = running(circuit, tree(circuit))
    assert found.volts[1] == pytest.approx(FEED.running_v * (1 + (1 - share) ** 0.5) / 2, abs=1e-7)
    too_much = one_circuit(run, PointLoad("kettle", "a", most_w * (2 - share), 12.0))
    assert running(too_much, tree(too_much)) is None


@settings(max_examples=40, deadline=None)
@given(seeds)
def test_where_loads_are_too_much_more_of_them_never_becomes_possible(seed):
    """Scaled up step by step, a tree of constant-power loads first has an operating point that sinks, then none for ever."""
    circuit = random_tree(seed, 12)
    circuit = replace(circuit, loads=tuple(replace(load, law="power") for load in circuit.loads))
    shape = tree(circuit)
    factors = [1.35**step for step in range(40)]
    lowest = []
    for factor in factors:
        more = tuple(replace(load, power_w=load.power_w * factor) for load in circuit.loads)
        found = running(replace(circuit, loads=more), shape)
        lowest.append(0.0 if found is None else min(found.volts))
    assert lowest == sorted(lowest, reverse=True)
    assert lowest[0] > 0


def test_a_constant_current_that_would_turn_the_voltage_over_has_no_operating_point():
    run = one_run(conductor=conductor("AWG", "18"), length_m=30.0)
    heavy = one_circuit(run, PointLoad("winch", "a", 200.0, 12.0, law="current"))
    assert running(heavy, tree(heavy)) is None


def test_a_resistance_however_small_has_one():
    run = one_run(conductor=conductor("AWG", "18"), length_m=30.0, insulation_c=30.0)
    short = one_circuit(run, PointLoad("short", "a", 1e9, 12.0, law="resistance"))
    found = solved(short)[1]
    assert 0 < found.volts[1] < 1e-3
    assert found.current_a[0] == pytest.approx(FEED.running_v / found.ohm[0], rel=1e-4)


def test_a_run_at_its_ampacity_is_as_hot_as_its_insulation_bears():
    run = one_run(conductor=conductor("AWG", "12"), length_m=0.1, ambient_c=50.0)
    bears_a = 45 * ((105 - 50) / 75) ** 0.5
    for amps, hot_c in ((bears_a, 105.0), (bears_a / 2, 50 + 55 / 4), (0.0, 50.0), (3 * bears_a, 105.0)):
        circuit = one_circuit(run, PointLoad("x", "a", amps, 1.0, law="current"))
        assert solved(circuit)[1].temperature_c[0] == pytest.approx(hot_c, abs=1e-6)


def test_chassis_return_counts_one_conductor_and_what_was_measured():
    wire = conductor("AWG", "12")
    two = solved(one_circuit(one_run(conductor=wire)))[1].ohm[0]
    unknown = solved(one_circuit(one_run(conductor=wire, returns="chassis")))[1].ohm[0]
    measured = solved(one_circuit(one_run(conductor=wire, returns="chassis", chassis_ohm=0.01)))[1].ohm[0]
    assert unknown == pytest.approx(two)
    assert measured == pytest.approx(two / 2 + 0.01, rel=1e-3)


def test_fuses_contacts_and_joints_count_in_the_loop():
    wire = conductor("AWG", "12")
    bare = one_run(conductor=wire, insulation_c=30.0)
    run = replace(
        bare,
        joints_ohm=0.001,
        contacts=(Contact("plug", "end", 20.0, ohm=0.002),),
        protection=Protection(rating_a=10, ohm=0.004),
        end_protection=Protection(rating_a=10, ohm=0.008),
    )
    more = solved(one_circuit(run))[1].ohm[0] - solved(one_circuit(bare))[1].ohm[0]
    assert more == pytest.approx(0.015)


def test_a_start_meets_the_low_battery_and_what_stands_behind_it():
    """12.0 V open circuit, 20 mohm, and a pump that draws 20 A while it starts; the other load runs on."""
    wire = conductor("AWG", "10")
    loads = (PointLoad("pump", "a", 60.0, 12.0, start_a=20.0), PointLoad("fan", "a", 12.0, 12.0, law="current"))
    circuit = one_circuit(one_run(conductor=wire, insulation_c=30.0), loads=loads)
    shape = tree(circuit)
    ohm = wire.resistance_20c_ohm_per_m * (1 + 0.0393) * 6
    found = worst_start(circuit, shape)
    assert found.volts == pytest.approx((12 - 21 * 0.020, 12 - 21 * (0.020 + ohm)))
    at_rest = replace(circuit, loads=(replace(loads[0], start_a=None), loads[1]))
    all_run = worst_start(at_rest, shape)
    ohm_then = (12 - all_run.volts[0]) / all_run.current_a[0]
    assert ohm_then == pytest.approx(0.020)  # nothing starts: all run on the low battery
    assert all_run.volts[1] > found.volts[1]


def test_worst_start_takes_every_start_by_itself():
    wire = conductor("AWG", "10")
    runs = (one_run(conductor=wire), one_run(end="b", conductor=wire))
    loads = tuple(PointLoad(f"pump {at}", at, 12.0, 12.0, law="current", start_a=10.0) for at in "ab")
    circuit = one_circuit(runs=runs, loads=loads)
    found = worst_start(circuit, tree(circuit))
    assert found.current_a == (10.0, 10.0)
    assert found.volts[0] == pytest.approx(12 - 11 * 0.020)  # one starts, the other runs
    assert found.volts[1] == pytest.approx(found.volts[2])


def test_energy_lost_in_a_day_by_hand():
    """4 A for 2 h and 1 A more for 5 h, together as long as both last; 0.1 A standby of the second for the other 19 h."""
    wire = conductor("AWG", "12")
    loads = (
        PointLoad("a", "a", 4.0, 1.0, law="current", hours_per_day=2.0),
        PointLoad("b", "a", 1.0, 1.0, law="current", hours_per_day=5.0, standby_w=0.1),
    )
    circuit = one_circuit(one_run(conductor=wire, insulation_c=30.0), loads=loads)
    ohm = wire.resistance_20c_ohm_per_m * (1 + 0.0393) * 6
    assert loss_wh_per_day(circuit, tree(circuit)) == pytest.approx(ohm * (25 * 2 + 1 * 3 + 0.01 * 19))
    assert standby(circuit, tree(circuit)).current_a == (pytest.approx(0.1),)


def test_a_touch_control_and_an_air_conditioner_live_in_one_list():
    small = one_circuit(
        one_run(conductor=conductor("AWG", "22"), length_m=8.0), PointLoad("touch", "a", 0.02, 1.0, law="current")
    )
    large = one_circuit(
        one_run(conductor=conductor("AWG", "1/0"), length_m=2.0), PointLoad("air", "a", 120.0, 1.0, law="current")
    )
    assert 12.8 - solved(small)[1].volts[1] == pytest.approx(0.02 * solved(small)[1].ohm[0])
    assert 0.1 < 12.8 - solved(large)[1].volts[1] < 0.2


def test_what_does_not_hang_together_is_said_and_left_out():
    wire = conductor("AWG", "12")
    runs = (
        one_run(conductor=wire),
        Run("a", "b", 1.0, wire),
        Run("b", "a", 1.0, wire),
        Run("feed", "b", 1.0, wire),
        Run("x", "y", 1.0, wire),
        Run("b", "b", 1.0, wire),
    )
    loads = (PointLoad("pump", "b", 12.0, 12.0), PointLoad("lost", "y", 500.0, 12.0))
    circuit = Circuit("c1", "Pump", FEED, runs, loads, others=(Source("q", "charger", 12, 14, 14, 14),))
    shape, found = solved(circuit)
    assert {fault.where for fault in shape.faults} == {
        "circuits/c1/runs/1/end",
        "circuits/c1/runs/2/end",
        "circuits/c1/runs/5/end",
        "circuits/c1/runs/4/start",
        "circuits/c1/loads/1/point",
        "circuits/c1/others/0/point",
    }
    assert all(fault.severity == "danger" and fault.advice for fault in shape.faults)
    assert found.current_a[3] > 0 and found.current_a[1] == found.current_a[4] == 0
