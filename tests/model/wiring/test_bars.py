"""Bus bars: cables on each, current through each by Kirchhoff's law, and their rating."""

from dataclasses import replace

import pytest

from model.design import Circuit, Load, Run, Tap
from model.plan import plan
from model.wiring.bars import SHUNT, bars
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
    bought = {item.item: item.quantity for item in shopping(made(MAIN, INVERTER, WINCH)) if item.kind == "bus bar"}
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
