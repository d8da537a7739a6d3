"""What may still be added to a circuit, worked out on paper: (min(fuse, conductor) - 1.25 x continuous load) / 1.25."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model import shelf
from model.design import Circuit, Design, Load, Run, System, Tap, Wiring
from model.plan import Plan, plan
from model.record.files import open_design
from model.record.wiring_json import panel_dict
from model.wiring.across_spare import spare_a
from model.wiring.papers.ways import ways
from model.wiring.protection import CONTINUOUS, needed_a
from model.wiring.spare import Spare
from model.working import Finding

HERON = open_design(shelf.path("heron.toml")).design
LAMP = Load("Lamp", power_w=24, hours_per_day=2)
RADIO = Load("Radio", power_w=12, hours_per_day=2)


def a_trunk(*loads: Load, fuse_a: float = 10.0, conductor: str = "2.5 mm2", wiring: Wiring | None = None) -> Plan:
    """One trunk: the first run to the first load, then a thinner one to the second."""
    runs = (Run("", "first", 2.0, conductor, fuse_a=fuse_a), Run("first", "second", 1.0, "1.5 mm2"))
    taps = tuple(Tap(one.name, point) for one, point in zip(loads, ("first", "second"), strict=False))
    trunk = Circuit("Trunk", way=1, runs=runs, taps=taps)
    return plan(Design(loads=loads, circuits=(trunk,), wiring=wiring or Wiring(), system=System(always_on_w=0)))


def told(made: Plan) -> list[Finding]:
    return [said for said in made.wiring.findings if "for more" in said.message]


def test_the_fuse_less_the_load_that_it_must_pass():
    """10 A bear 8 A for long; two loads of 24 W and 12 W take their current at the lowest voltage of it."""
    one = a_trunk(LAMP, RADIO).wiring.circuits[-1]
    wired = one.wired
    used_a = needed_a(wired.circuit, wired.shape)[0] / 1.25
    assert used_a == pytest.approx(36 / wired.circuit.source.low_v, rel=0.02)  # the lowest voltage, by constant power
    assert one.spare_at_start == Spare(8.0, pytest.approx(used_a))
    assert one.free_a == pytest.approx(8.0 - used_a)
    assert one.spare[0] is None
    assert one.spare[2].free_a == pytest.approx(min(one.free_a, 8.0 - 12 / wired.circuit.source.low_v), rel=0.02)


def test_a_conductor_that_bears_less_than_the_fuse_decides():
    """Whatever the fuse would pass: the conductor's own amperes over 1.25."""
    one = a_trunk(LAMP, fuse_a=40.0, conductor="1.5 mm2").wiring.circuits[-1]
    assert one.spare_at_start.bears_a == pytest.approx(one.wired.runs[0].allowed_a / CONTINUOUS)


def test_what_is_added_is_borne_and_no_more():
    """The free amperes, put there as a load of their own, fill the fuse to its last ampere."""
    made = a_trunk(LAMP, RADIO)
    one = made.wiring.circuits[-1]
    more = Load("More", power_w=one.free_a * one.wired.circuit.source.low_v, hours_per_day=1)
    trunk = replace(made.design.circuits[0], taps=(*made.design.circuits[0].taps, Tap("More", "first")))
    full = plan(replace(made.design, loads=(LAMP, RADIO, more), circuits=(trunk,))).wiring.circuits[-1]
    # the panel's voltage sinks with the load, and constant power draws more: up to a twentieth of the 8 A
    assert full.free_a == pytest.approx(0.0, abs=0.4)


def test_chargers_and_the_inverter_have_none():
    found = {one.key: one.free_a for one in plan(HERON).wiring.circuits}
    assert {key for key, amps in found.items() if amps is None} == {"inverter", "alternator", "array", "controller"}
    assert all(amps is not None and amps >= 0 for key, amps in found.items() if key == "main" or key[-1].isdigit())


def test_less_than_a_fifth_on_a_trunk_is_told_once_for_all():
    """4 A of a 5 A fuse: 24 W + 12 W at some 11 V are 3.3 A."""
    found = told(a_trunk(LAMP, RADIO, fuse_a=5.0))
    assert [one.severity for one in found] == ["note"]
    assert found[0].where == "circuits/0/runs" and "Trunk" in found[0].message and "draw-wire" in found[0].advice
    assert told(a_trunk(LAMP, RADIO, fuse_a=10.0)) == []


def test_a_circuit_for_one_device_needs_none_to_spare():
    assert told(a_trunk(replace(LAMP, power_w=36), fuse_a=5.0)) == []


def test_the_panel_has_what_its_rating_or_the_main_feed_leaves():
    """A panel of 4 A bears 3.2 A for long, 0.8 of it; 36 W at some 12.7 V take 2.8 A."""
    made = a_trunk(LAMP, RADIO, wiring=Wiring(panel_a=4))
    left = made.wiring.panel_spare
    into_panel_a = made.wiring.circuit("main").wired.running.current_a[
        0
    ]  # the panel's volts are taken in steps of 0.02 V
    assert left.bears_a == 3.2 and left.used_a == max(into_panel_a, made.wiring.panel_a)
    beside = a_trunk(LAMP, RADIO, replace(LAMP, name="Loose", power_w=24), wiring=Wiring(panel_a=4))
    assert beside.wiring.unplaced == ("Loose",)  # on no circuit, and the feed carries it all the same
    assert beside.wiring.panel_spare.used_a == pytest.approx(left.used_a + 24 / 12.7, rel=0.01)
    assert any(one.where == "wiring/panel_ways" and "At the fuse panel" in one.message for one in told(made))
    wide = a_trunk(LAMP, RADIO, wiring=Wiring(panel_a=1000))
    main = wide.wiring.circuit("main")
    assert wide.wiring.panel_spare == main.spare_at_start
    assert told(wide) == []


def test_a_bus_bar_of_the_main_feed_has_its_own():
    """Two cables from the battery, one to the panel, one to a bar with 150 W on it: 13.6 A of 16 A at 11 V."""
    main = Circuit(
        "Main",
        "main",
        runs=(Run("battery", "bar", 0.5, "6 mm2", fuse_a=20), Run("battery", "fuse panel", 0.5, "6 mm2", fuse_a=20)),
    )
    trunk = Circuit("Trunk", way=1, runs=(Run("fuse panel", "lamp", 2.0),), taps=(Tap("Lamp"),))
    stove = Circuit("Stove", feed="battery", runs=(Run("bar", "stove", 1.0),), taps=(Tap("Stove"),))
    loads = (LAMP, Load("Stove", power_w=150, hours_per_day=1))
    made = plan(Design(loads=loads, circuits=(main, trunk, stove), system=System(always_on_w=0)))
    one = made.wiring.circuit("main")
    at = {point: one.spare[place] for place, point in enumerate(one.wired.shape.points)}
    assert at["bar"].bears_a == 16.0
    assert at["bar"].used_a == pytest.approx(150 / 11, rel=0.05)
    assert at["fuse panel"] == made.wiring.panel_spare
    assert at["fuse panel"].used_a == pytest.approx(24 / 11, rel=0.05)
    assert any(said.where == "circuits/0/runs" and "At bar of Main" in said.message for said in told(made))


def test_where_it_stands():
    made = plan(HERON)
    rows = ways(made.wiring)
    fed = {one.key: one.free_a for one in made.wiring.circuits}
    assert all(row.free_a == fed[row.circuit] for row in rows if not row.free)
    panel = panel_dict(made.wiring)
    assert panel["ways"] == 8 and panel["free_ways"] == 2
    assert panel["free_a"] == made.wiring.panel_spare.free_a
    assert made.working["wiring.panel.free_a"].value == panel["free_a"]
    assert made.working["wiring.main.free_a"].value == fed["main"]


@pytest.mark.parametrize(("amps", "text"), [(0.0122, "0.0 A"), (1.87, "1.8 A"), (6.6, "6.6 A"), (12.9, "12 A")])
def test_what_is_left_is_rounded_down(amps: float, text: str):
    assert spare_a(amps) == text
