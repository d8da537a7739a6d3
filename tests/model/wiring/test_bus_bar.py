"""Named points that circuits share: a bus bar of the main feed, from which others start."""

from dataclasses import replace

import pytest

from model import shelf
from model.design import Circuit, Load, Run, Shore, Tap
from model.plan import plan
from model.record.files import open_design
from model.wiring.wired import feed_current_a

DEMO = open_design(shelf.path("heron.toml")).design
MAIN = Circuit("Main feed", "main", runs=(Run("battery", "bus bar", 0.4), Run("bus bar", "fuse panel", 0.8)))
INVERTER = Circuit("Inverter", "inverter", runs=(Run("Bus  bar", "inverter", 0.6),))
WINCH = Circuit("Winch", feed="battery", runs=(Run("bus bar", "winch", 2.0),), taps=(Tap("Winch"),))
PULLS = Load("Winch", power_w=300, hours_per_day=0.1)


def made(*circuits: Circuit, **changes):
    kept = tuple(one for one in DEMO.circuits if one.kind not in ("main", "inverter"))
    design = replace(DEMO, loads=(*DEMO.loads, PULLS), circuits=(*circuits, *kept), **changes)
    return plan(design).wiring


def test_currents_add_up_at_the_bar():
    """Kirchhoff: what the feed brings is what panel, inverter and winch take at their volts."""
    whole = made(MAIN, INVERTER, WINCH)
    main = whole.circuit("main").wired
    inverter, winch = whole.circuit("inverter").wired, next(one for one in whole.circuits if one.name == "Winch").wired
    taken = sum(feed_current_a(one, one.running) for one in (inverter, winch))
    first, second = main.running.current_a
    assert first == pytest.approx(second + taken, rel=2e-3)  # the bar's volts are taken in steps of 0.02 V
    assert second == pytest.approx(whole.panel_a + 3.0 / main.running.volts[2], rel=2e-3)  # 3 W are always on


def test_what_hangs_on_the_bar_sees_its_volts_and_what_lies_before_it():
    whole, direct = (
        made(MAIN, INVERTER, WINCH),
        made(MAIN, replace(INVERTER, runs=(Run("battery", "inverter", 0.6),)), WINCH),
    )
    main, inverter = whole.circuit("main").wired, whole.circuit("inverter").wired
    source = inverter.circuit.source
    assert source.kind == "bus bar" and direct.circuit("inverter").wired.circuit.source.kind == "battery"
    assert main.running.volts[1] - 0.02 <= source.running_v <= main.running.volts[1]
    assert source.upstream_drop_v == pytest.approx(main.circuit.source.running_v - source.running_v)
    assert inverter.short[0].most_a == pytest.approx(main.short[1].most_a)
    assert inverter.short[0].most_a < direct.circuit("inverter").wired.short[0].most_a
    assert inverter.circuit.runs[0].protection is not None


def test_fuses_step_down_at_the_bar():
    """The feed's fuse passes all of them; the run to the panel bears it, or has its own."""
    main = made(MAIN, INVERTER, WINCH).circuit("main").wired
    fuse_a = main.circuit.runs[0].protection.rating_a
    assert fuse_a >= main.passing_a[0] > main.passing_a[1] and main.runs[1].allowed_a >= fuse_a
    own = replace(MAIN, runs=(MAIN.runs[0], replace(MAIN.runs[1], fuse="at start")))
    main = made(own, INVERTER, WINCH).circuit("main").wired
    small_a = main.circuit.runs[1].protection.rating_a
    assert small_a < fuse_a and small_a <= main.runs[1].allowed_a
    assert main.runs[1].conductor.nominal_area_mm2 < main.runs[0].conductor.nominal_area_mm2


def test_the_panel_is_held_against_the_fuse_in_front_of_it_and_no_other():
    """The bar's fuse lets more pass than the panel's 100 A; a fuse of its own, or one on another branch, decides or does not."""

    def told(main: Circuit) -> list[str]:
        return [one.message for one in made(main, INVERTER, WINCH).findings if one.where == "wiring/panel_a"]

    first, to_panel = MAIN.runs
    assert "lets 175 A pass" in told(MAIN)[0]
    assert told(replace(MAIN, runs=(first, replace(to_panel, fuse="at start")))) == []
    elsewhere = Run("bus bar", "spare stud", 0.5, fuse="at start", fuse_a=50.0)
    assert "lets 175 A pass" in told(replace(MAIN, runs=(*MAIN.runs, elsewhere)))[0]


def test_a_bar_takes_lugs_off_the_battery():
    """Shore charger, controller and alternator at the bar too: one cable ends at the battery."""

    def posts(whole) -> list[str]:
        return [one.message for one in whole.findings if "cables end at the battery" in one.message]

    shore = Shore(2.0, 8.0, 20.0)
    at_post = made(
        replace(MAIN, runs=(Run("battery", "fuse panel", 0.8),)),
        replace(INVERTER, runs=(Run("battery", "inverter", 0.6),)),
        replace(WINCH, runs=(Run("battery", "winch", 2.0),)),
        shore=shore,
    )
    assert posts(at_post)[0].startswith("6 cables")
    charger = Circuit("Shore charger", "charger", runs=(Run("charger", "bus bar", 1.0),))
    assert posts(made(MAIN, INVERTER, WINCH, charger, shore=shore)) == []
    assert "Winch" in next(one.message for one in made(MAIN, INVERTER, WINCH).findings if "shunt" in one.message)


def test_a_second_panel_is_a_point_of_the_feed():
    main = replace(MAIN, runs=(*MAIN.runs, Run("fuse panel", "rear panel", 3.0)))
    rear = Circuit("Rear light", way=8, runs=(Run("rear panel", "lamp", 1.0),), taps=(Tap("Winch"),))
    whole = made(main, INVERTER, rear)
    source = next(one for one in whole.circuits if one.name == "Rear light").wired.circuit.source
    assert source.running_v == pytest.approx(whole.circuit("main").wired.volts("rear panel"), abs=0.02)
    assert source.upstream_drop_v > whole.circuit("L1").wired.circuit.source.upstream_drop_v


def test_a_point_of_no_bar_starts_at_the_battery_as_before():
    whole = made(MAIN, replace(INVERTER, runs=(Run("terminal post", "inverter", 0.6),)))
    assert whole.circuit("inverter").wired.circuit.source.kind == "battery"
