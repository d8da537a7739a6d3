"""Where a circuit says that it starts, what stands on a way of the panel, and devices made for another voltage."""

from dataclasses import replace

import pytest

from model.design import Circuit, Load, Run, System, Tap, Wiring
from model.plan import plan
from tests.model.wiring.test_bus_bar import DEMO

COOLER = Load("Cooler", power_w=1200.0, hours_per_day=2.0)
RUN = Run("battery", "cooler", 4.0)


def findings_of(circuit, *loads, **changes):
    return plan(replace(DEMO, loads=loads or (COOLER,), circuits=(circuit,), **changes)).findings


@pytest.mark.parametrize(
    ("start", "feed", "named"),
    [("battery", "panel", "battery"), (" House  Battery", "panel", "battery"), ("Fuse panel", "battery", "panel")],
)
def test_a_first_point_that_contradicts_the_feed_is_a_danger(start, feed, named):
    """Behind the panel its fuse may break less than the battery's short circuit: needs the feed's own fuse."""
    circuit = Circuit("Cooler", feed=feed, runs=(replace(RUN, start=start),), taps=(Tap("Cooler"),))
    (said,) = [one for one in findings_of(circuit) if one.where == "circuits/0/feed"]
    assert said.severity == "danger" and said.advice.startswith(f"Fed from: {named}")
    right = replace(circuit, feed=named)
    assert [one for one in findings_of(right) if one.where == "circuits/0/feed"] == []


def test_a_point_of_another_name_contradicts_nothing():
    circuit = Circuit("Cooler", runs=(replace(RUN, start="rear locker"),), taps=(Tap("Cooler"),))
    assert [one for one in findings_of(circuit) if one.where == "circuits/0/feed"] == []


def test_two_cables_on_one_way_want_two_ways():
    lamp, heater = Load("Lamp", power_w=6.0, hours_per_day=4.0), Load("Heater", power_w=60.0, hours_per_day=4.0)
    both = (Run("fuse panel", "lamp", 2.0), Run("fuse panel", "heater", 2.0))
    circuit = Circuit("Both", runs=both, taps=(Tap("Lamp", "lamp"), Tap("Heater", "heater")))
    (said,) = [one for one in findings_of(circuit, lamp, heater) if "a way holds one" in one.message]
    assert said.where == "circuits/0/runs/1/start" and "2 cables leave the panel" in said.message
    one_trunk = replace(circuit, runs=(Run("fuse panel", "lamp", 2.0), Run("lamp", "heater", 2.0)))
    assert not [one for one in findings_of(one_trunk, lamp, heater) if "a way holds one" in one.message]


@pytest.mark.parametrize(
    ("volts", "device", "told"),
    [
        (48.0, {"cut_out_v": 10.4}, True),
        (24.0, {"cut_out_v": 10.4}, True),
        (12.0, {"cut_out_v": 10.4}, False),
        (24.0, {"cut_out_v": 21.0}, False),
        (24.0, {"current_a": 3.0, "power_w": None, "rated_v": 12.0}, True),
        (24.0, {"cut_out_v": 10.4, "converter_efficiency": 0.9}, False),  # it has a converter of its own
    ],
)
def test_a_device_for_twelve_volts_on_more_is_told(volts, device, told):
    load = replace(Load("Fridge", power_w=45.0, hours_per_day=8.0), **device)
    design = replace(DEMO, system=System(nominal_v=volts), loads=(load,), circuits=(), wiring=Wiring())
    assert [one.severity for one in plan(design).findings if "destroys it" in one.message] == ["warning"] * told


@pytest.mark.parametrize("family", ["terminal", "ANL", "Class T", "SF30", "SF51"])
def test_a_way_of_the_panel_never_gets_a_bolted_fuse_by_itself(family):
    """Blades alone are pushed into a panel of blades (ISO 8820-3), however strong the short circuit behind it."""
    loads = tuple(Load(f"Pump {watts}", power_w=watts, hours_per_day=1.0) for watts in (50.0, 150.0, 300.0, 420.0))
    circuits = tuple(
        Circuit(load.name, runs=(Run("fuse panel", "pump", 1.0),), taps=(Tap(load.name),)) for load in loads
    )
    made = plan(replace(DEMO, loads=loads, circuits=circuits, wiring=Wiring())).wiring
    taken = [one.wired.circuit.runs[0].protection.family for one in made.circuits if one.entered.kind == "loads"]
    assert len(taken) == 4 and family not in taken


@pytest.mark.parametrize(("volts", "watts", "told"), [(48.0, 45.0, True), (12.0, 45.0, False), (12.0, 1100.0, True)])
def test_where_no_blade_fits_it_is_said(volts, watts, told):
    """Blades end at 32 V and 80 A (ISO 8820-3)."""
    load = Load("Cooler", power_w=watts, hours_per_day=1.0)
    circuit = Circuit("Cooler", runs=(Run("fuse panel", "cooler", 0.5),), taps=(Tap("Cooler"),))
    found = findings_of(circuit, load, system=System(nominal_v=volts), wiring=Wiring())
    assert bool([one for one in found if "does not sit in one" in one.message]) == told


def test_lithium_through_a_relay_takes_what_the_alternator_has_over():
    """150 A less 20 A of the vehicle are 130 A, whatever current was typed for a charger; lead takes what is typed."""
    car = replace(DEMO.alternator, kind="relay", charger_a=30.0, rating_a=150.0, vehicle_load_a=20.0)

    def amperes(chemistry, **more):
        design = replace(
            DEMO, alternator=replace(car, **more), battery=replace(DEMO.battery, chemistry=chemistry), circuits=()
        )
        return plan(design).wiring.circuit("alternator").wired.running.current_a[0]

    assert amperes("LFP") == pytest.approx(130.0)
    assert amperes("AGM") == amperes("LFP", rating_a=None) == pytest.approx(30.0)
