"""Bus bars: cables on each, current through each by Kirchhoff's law, and their rating."""

from dataclasses import replace

import pytest

from model.design import Circuit, Load, Run, Tap
from model.plan import plan
from model.wiring.ampacity import allowable_a
from model.wiring.bars import SHUNT, bars, cables_at_battery, shunt_bears_a, shunt_link
from model.wiring.conductors import conductors
from model.wiring.papers.shopping import shopping
from tests.model.wiring.test_bus_bar import DEMO, INVERTER, MAIN, WINCH, made


def told(whole, where="wiring/bus_bar_a"):
    return [(one.severity, one.message) for one in whole.findings if one.where == where]


def test_the_bar_and_the_shunt_of_a_van_by_hand():
    """At the bar: the feed's two runs, inverter, winch. At the battery: feed, alternator, controller, and the shunt's lead."""
    whole = made(MAIN, INVERTER, WINCH)
    bar, shunt = bars(whole.circuits)
    assert (bar.point, bar.poles, bar.studs) == ("bus bar", 2, 4)
    assert (shunt.point, shunt.poles, shunt.studs) == (SHUNT, 1, 4)
    feed_a = whole.circuit("main").wired.running.current_a[0]
    assert bar.current_a == pytest.approx(feed_a)
    charged_a = 40.0 + 30.0  # controller and DC-DC charger at their limits
    assert shunt.current_a == pytest.approx(max(feed_a, charged_a), rel=1e-6)


def test_what_charges_can_be_more_than_what_is_drawn():
    small = made(MAIN, WINCH, inverter=replace(DEMO.inverter, fitted=False))
    shunt = bars(small.circuits)[-1]
    assert shunt.current_a == pytest.approx(70.0, rel=1e-6)  # 40 A of the controller and 30 A of the charger


def test_everything_at_the_battery_has_one_negative_bar():
    """By hand: main feed, inverter, alternator, controller, and the lead to the shunt; currents of feed and inverter add up."""
    whole = plan(DEMO).wiring
    (shunt,) = bars(whole.circuits)
    own = sum(whole.circuit(key).wired.running.current_a[0] for key in ("main", "inverter"))
    assert shunt.studs == 5 and shunt.current_a == pytest.approx(own)


@pytest.mark.parametrize(("rating_a", "severity"), [(50.0, "danger"), (110.0, "warning"), (1000.0, None)])
def test_a_bar_is_held_against_its_rating(rating_a, severity):
    """The shunt's bar passes about 92 A: above 50 A, above 80 % of 110 A, far below 1000 A."""
    whole = plan(replace(DEMO, wiring=replace(DEMO.wiring, bus_bar_a=rating_a))).wiring
    assert [one[0] for one in told(whole)] == ([severity] if severity else [])
    assert told(plan(DEMO).wiring) == []  # nobody said what it bears


def test_the_fuse_in_front_of_a_bar_is_no_larger_than_the_bar():
    """The feed's fuse of 175 A (see test_bus_bar) before a bar for 160 A that its load alone would not trouble."""
    whole = made(MAIN, INVERTER, WINCH, wiring=replace(DEMO.wiring, bus_bar_a=160.0))
    feed = bars(whole.circuits)[0]
    assert feed.fuse_a == 175.0 and feed.current_a < 0.8 * 160
    assert [one for one in told(whole) if "lets 175 A pass" in one[1]] == [("danger", told(whole)[0][1])]


def test_bars_and_shunt_are_bought():
    bought = {
        item.item: item.quantity for item in shopping(made(MAIN, INVERTER, WINCH)) if item.kind in ("bus bar", "shunt")
    }
    assert sorted(bought.values()) == [1, 1, 2]
    assert any(item.startswith("Bus bar with 4 studs, at least 175 A") for item in bought)  # as much as its fuse


def test_five_cables_at_a_point_want_a_block():
    """More than four lugs on a stud: ABYC E-11, at second hand; one cable in and four out are five."""

    def star(hub: str, arms: int):
        lamps = tuple(Load(f"Lamp {at}", power_w=2.0, hours_per_day=1.0) for at in range(arms))
        runs = (Run("fuse panel", hub, 1.0), *(Run(hub, f"lamp {at}", 1.0) for at in range(arms)))
        taps = tuple(Tap(f"Lamp {at}", f"lamp {at}") for at in range(arms))
        light = Circuit("Light", runs=runs, taps=taps)
        found = plan(replace(DEMO, loads=lamps, circuits=(light,))).wiring.findings
        return [one.where for one in found if "cables meet" in one.message]

    assert star("ceiling", 3) == []
    assert star("ceiling", 4) == ["circuits/0/runs/0/end"]
    assert star("terminal block", 4) == []


def test_the_cable_of_the_shunt_bears_the_largest_fuse_beside_the_other_loads():
    """No fuse stands in it. By hand: a short behind one fuse (inverter, feed, controller) while the others draw on."""
    whole = plan(DEMO).wiring
    main, inverter = whole.circuit("main").wired, whole.circuit("inverter").wired
    fuse_a = inverter.circuit.runs[0].protection.rating_a
    controller_a = whole.circuit("controller").wired.circuit.runs[-1].end_protection.rating_a
    feed_a, inverter_a = main.running.current_a[0], inverter.running.current_a[0]
    assert shunt_bears_a(cables_at_battery(whole.circuits)) == pytest.approx(
        max(feed_a + fuse_a, inverter_a + main.circuit.runs[0].protection.rating_a, feed_a + inverter_a + controller_a)
    )
    link = shunt_link(whole.circuits, "mm2", False, 105.0)
    assert allowable_a(link, 105.0, 30.0, 2) >= shunt_bears_a(cables_at_battery(whole.circuits))
    thinner = [one for one in conductors("mm2") if one.nominal_area_mm2 < link.nominal_area_mm2]
    thickest = max(
        run.conductor.nominal_area_mm2 for one in cables_at_battery(whole.circuits) for run in one.wired.runs
    )
    assert (
        allowable_a(thinner[-1], 105.0, 30.0, 2) < feed_a + inverter_a + controller_a
        or thinner[-1].nominal_area_mm2 < thickest
    )
    assert any(item.item == f"{link.name}, black, 105 °C, for the shunt" for item in shopping(whole))


def test_the_busiest_battery_is_held_against_what_one_gives():
    """Three of 100 Ah taken off at one end: the first gives more than a third. At 1 C one gives 100 A (usual for LFP)."""
    loads = (Load("Kettle", power_w=2300.0, hours_per_day=0.1, supply="AC"),)
    inverter = replace(DEMO.inverter, rated_w=2300.0, surge_w=None)
    battery = replace(DEMO.battery, unit_ah=100.0, installed_ah=300.0)

    def busiest(take_off):
        settings = replace(DEMO.wiring, take_off=take_off, link_ohm=0.001, short_circuit_a=None)
        found = plan(
            replace(DEMO, loads=loads, circuits=(), inverter=inverter, battery=battery, wiring=settings)
        ).wiring
        return [one.message for one in found.findings if "busiest of 3" in one.message]

    (said,) = busiest("one end")
    assert "one of them gives 100 A for long" in said
    assert busiest("bus bars") == []


def test_a_monitor_wants_its_shunt_behind_a_single_return_too():
    alone = made(MAIN, WINCH, inverter=replace(DEMO.inverter, fitted=False), array=replace(DEMO.array, count=0))
    kinds = [
        item.kind
        for item in shopping(replace(alone, circuits=tuple(one for one in alone.circuits if one.key == "main")))
    ]
    assert kinds.count("shunt") == 1 and "bus bar" not in kinds
