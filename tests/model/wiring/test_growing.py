"""Conductors that grow until a device stays on while it starts, cold, on a low battery."""

from dataclasses import replace

import pytest

from model.wiring.circuit import PointLoad, Protection, Run
from model.wiring.conductors import conductor, conductors
from model.wiring.findings import findings
from model.wiring.flow import worst_start
from model.wiring.sizing import size
from model.wiring.wired import wired
from tests.model.wiring.circuits import FEED, one_circuit, one_run

LONG = one_run(length_m=8.0, protection=Protection())
HEATER = PointLoad("heater", "a", 20.0, 12.0, start_a=8.5, drop_limit=0.10)


def cut_outs(circuit):
    return [one for one in findings(wired(circuit)) if one.where.endswith("cut_out_v")]


def low_v(circuit, point="a"):
    one = wired(circuit)
    return one.starting.volts[one.shape.place[point]]


@pytest.mark.parametrize("family", ["AWG", "SAE", "mm2"])
def test_the_smallest_conductor_that_keeps_the_device_on(family):
    """By trying every size: the first with which the volts at the device, while it starts, are not below its cut-out."""
    circuit = one_circuit(LONG, replace(HEATER, cut_out_v=11.2), family=family)
    plain = size(one_circuit(LONG, HEATER, family=family)).runs[0]
    holds = []
    for one in conductors(family):
        typed = size(replace(circuit, runs=(replace(LONG, conductor=one),)))
        holds.append(worst_start(typed.circuit, typed.shape).volts[1] >= 11.2)
    assert holds == sorted(holds) and any(holds)
    [found] = size(circuit).runs
    assert found.governs == "cut-out" and found.enough
    assert found.conductor == conductors(family)[holds.index(True)] != plain.conductor
    assert cut_outs(circuit) == []


def test_ohms_law_at_the_start():
    """12 V low, 20 mohm behind it, 8.5 A: 11.83 V at the panel; 11.2 V at the device leave 74.1 mohm for 2 x 8 m.

    2.5 mm2 of class 5 has 127.7 mohm at 20 °C, 4 mm2 79.2, 6 mm2 52.8 (IEC 60228).
    """
    assert pytest.approx(0.0741, abs=1e-4) == (12.0 - 8.5 * 0.020 - 11.2) / 8.5
    circuit = one_circuit(LONG, replace(HEATER, cut_out_v=11.2), family="mm2")
    assert size(circuit).runs[0].conductor.name == "6 mm2"
    assert size(one_circuit(LONG, replace(HEATER, cut_out_v=10.9), family="mm2")).runs[0].conductor.name == "4 mm2"


def test_the_start_of_a_neighbour_counts():
    """A router that has no start of its own sees the pump's on the common trunk."""
    runs = (one_run(length_m=6.0, protection=Protection()), Run("a", "b", 2.0), Run("a", "c", 2.0))
    pump = PointLoad("pump", "b", 50.0, 12.0, start_a=20.0, drop_limit=0.10)
    router = PointLoad("router", "c", 8.0, 12.0, drop_limit=0.10, cut_out_v=11.0)
    with_pump, alone = (one_circuit(runs=runs, loads=loads) for loads in ((pump, router), (router,)))
    assert "cut-out" not in {one.governs for one in size(alone).runs}
    trunk, to_pump, to_router = size(with_pump).runs
    assert trunk.governs == "cut-out" != to_pump.governs  # the pump's own branch carries nobody else
    assert low_v(with_pump, "c") >= 11.0 and to_router.conductor.nominal_area_mm2 <= trunk.conductor.nominal_area_mm2


def test_where_the_low_battery_alone_is_too_low_no_copper_is_wasted():
    circuit = one_circuit(LONG, replace(HEATER, cut_out_v=11.9))
    assert size(circuit).runs == size(one_circuit(LONG, HEATER)).runs
    [said] = cut_outs(circuit)
    assert "the panel itself is down to 11.83 V" in said.message and "No cable of this circuit helps" in said.advice
    battery = replace(FEED, kind="battery")
    [said] = cut_outs(one_circuit(LONG, replace(HEATER, cut_out_v=11.9), source=battery))
    assert "the low battery itself" in said.message


def test_where_even_the_thickest_does_not_help_that_is_said():
    far = replace(LONG, joints_ohm=0.1)
    circuit = one_circuit(far, replace(HEATER, cut_out_v=11.2))
    assert size(circuit).runs == size(one_circuit(far, HEATER)).runs
    [said] = cut_outs(circuit)
    assert "even behind the thickest conductor" in said.message


def test_what_is_typed_stays_and_the_free_runs_make_up_for_it():
    runs = (replace(LONG, conductor=conductor("AWG", "12")), Run("a", "b", 4.0))
    load = replace(HEATER, point="b", cut_out_v=11.0)
    first, second = size(one_circuit(runs=runs, loads=(load,))).runs
    assert (first.governs, second.governs) == ("typed", "cut-out")
    assert low_v(one_circuit(runs=runs, loads=(load,)), "b") >= 11.0 - 1e-4
    thin = (replace(runs[0], conductor=conductor("AWG", "18")), runs[1])
    [said] = cut_outs(one_circuit(runs=thin, loads=(load,)))
    assert "feed to a loses most" in said.advice


def test_a_drop_that_already_decides_leaves_nothing_to_the_cut_out():
    strict = replace(HEATER, start_a=None, drop_limit=0.01, cut_out_v=10.0)
    assert size(one_circuit(LONG, strict)).runs[0].governs == "drop"
