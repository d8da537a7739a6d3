"""Chargers that end at a bus bar: what they lose together on the way from there to the battery, by Ohm and Kirchhoff."""

from dataclasses import replace

import pytest

from model import shelf
from model.design import Alternator, Circuit, Controller, Run
from model.plan import plan
from model.record.files import open_design

DEMO = open_design(shelf.path("heron.toml")).design
FEED = Run("battery", "bus bar", 0.4, conductor="25 mm2", fuse="at start")
MAIN = Circuit("Main feed", "main", runs=(FEED, Run("bus bar", "fuse panel", 0.8)))
SUN = Circuit("Solar controller", "controller", runs=(Run("charge controller", "Bus  Bar", 1.0),))
DRIVE = Circuit(
    "Driving", "alternator", runs=(Run("starter battery", "DC-DC charger", 4.0), Run("DC-DC charger", "bus bar", 1.0))
)
SUN_A, DRIVE_A = 40.0, 30.0


def made(*circuits: Circuit, link: str = "DC-DC charger"):
    kept = tuple(one for one in DEMO.circuits if one.kind == "loads")
    design = replace(
        DEMO,
        circuits=(*circuits, *kept),
        controller=Controller(limit_a=SUN_A),
        alternator=Alternator(link, DRIVE_A, 10.0),
        wiring=replace(DEMO.wiring, conductors="mm2"),
    )
    return plan(design)


def loop_ohm(one, run: int, current_a: float, ohm_per_m: float) -> float:
    """IEC 60228 class 5 at 20 °C, warmed by its current: 30 °C + 75 K x (I / Iz)²."""
    allowed_a = one.runs[run].allowed_a
    warm_c = 30 + 75 * (current_a / allowed_a) ** 2
    length_m = one.circuit.runs[run].length_m
    return 2 * length_m * ohm_per_m * (1 + 0.00393 * (warm_c - 20))


def test_currents_add_up_in_the_shared_run_and_their_loss_counts_for_each():
    whole = made(MAIN, SUN, DRIVE).wiring
    main, sun, drive = (whole.circuit(key).wired for key in ("main", "controller", "alternator"))
    assert main.charging.current_a == pytest.approx((SUN_A + DRIVE_A, 0.0))
    shared_v = (SUN_A + DRIVE_A) * loop_ohm(main, 0, SUN_A + DRIVE_A, 0.780e-3)  # 0.05 V
    bar = main.shape.place["bus bar"]
    assert main.charging_drop_v(bar) == pytest.approx(shared_v)
    counted_v = sun.circuit.source.upstream_drop_v
    assert shared_v <= counted_v < shared_v + 0.02
    own_v = sun.running.drop_v(0)
    assert sun.drop_v(1) == pytest.approx(own_v + counted_v) and sun.drop_v(1) <= 0.2 + 1e-4
    at_output, at_bar = drive.shape.place["DC-DC charger"], drive.shape.place["bus bar"]
    assert drive.drop_v(at_bar) == pytest.approx(drive.running.drop_v(1) + counted_v)
    assert drive.drop_v(at_output) == pytest.approx(drive.running.drop_v(0))  # before the charger nothing is shared


def test_fuse_and_conductor_of_the_shared_run_bear_what_charges():
    """40 A + 30 A: 1.25 x 70 A = 87.5 A, more than all loads of this van together; 90 A is the next rating."""
    main = made(MAIN, SUN, DRIVE).wiring.circuit("main").wired
    assert main.passing_a[0] == pytest.approx(87.5) and main.passing_a[1] < 87.5
    assert main.circuit.runs[0].protection.rating_a == 90.0
    assert main.lasting_a(0) == pytest.approx(70.0) and main.lasting_a(1) == main.running.current_a[1]
    post = made(MAIN, *(_at_battery(one) for one in (SUN, DRIVE))).wiring.circuit("main").wired
    assert post.charging is None and post.circuit.runs[0].protection.rating_a < 90.0


def _at_battery(circuit: Circuit) -> Circuit:
    return replace(circuit, runs=(*circuit.runs[:-1], replace(circuit.runs[-1], end="battery")))


def test_a_typed_fuse_that_charging_blows_is_told():
    thin = replace(MAIN, runs=(replace(FEED, fuse_a=60.0), MAIN.runs[1]))
    told = [one for one in made(thin, SUN, DRIVE).wiring.findings if "70 A flow through a fuse of 60 A" in one.message]
    assert [one.severity for one in told] == ["danger"]


def test_the_charger_s_own_cable_makes_up_for_the_shared_one():
    """Of 0.2 V each volt lost in the feed is missing before it: a thicker cable than straight to the battery."""
    long_feed = replace(MAIN, runs=(replace(FEED, length_m=0.9), MAIN.runs[1]))
    far = replace(SUN, runs=(replace(SUN.runs[0], length_m=2.5),))
    at_bar = made(long_feed, far, DRIVE).wiring.circuit("controller").wired
    at_post = made(long_feed, _at_battery(far), DRIVE).wiring.circuit("controller").wired
    assert at_bar.runs[0].conductor.nominal_area_mm2 > at_post.runs[0].conductor.nominal_area_mm2
    assert at_bar.drop_v(1) <= 0.2 + 1e-4
    assert at_bar.short[0].most_a == at_post.short[0].most_a == SUN_A  # what the controller itself gives
    assert at_bar.at_devices_a[0, "end"] < at_post.at_devices_a[0, "end"]  # from the battery, behind the feed


def test_a_feed_that_loses_too_much_is_named():
    """2 x 3 m of 25 mm2 lose 70 A x 4.9 mohm = 0.34 V: no cable of the chargers can make up for that."""
    poor = replace(MAIN, runs=(replace(FEED, length_m=3.0), MAIN.runs[1]))
    told = [one for one in made(poor, SUN, DRIVE).wiring.findings if one.message.startswith(("Solar contr", "Driving"))]
    told = [one for one in told if "on the way (" in one.message]
    assert {one.where.split("/")[1] for one in told} == {"1", "2"}
    assert all("the main feed loses most" in one.advice for one in told)


def test_a_feed_left_to_the_program_grows_for_what_charges():
    """Its share is 1 %, 0.12 V, as for loads: 70 A over 2 x 2 m within 0.12 V need 0.43 mohm/m at most, 50 mm2 and more."""
    free = replace(MAIN, runs=(replace(FEED, length_m=2.0, conductor=None), MAIN.runs[1]))
    main = made(free, SUN, DRIVE).wiring.circuit("main").wired
    assert main.charging_drop_v(1) <= 0.12 + 1e-4
    assert main.runs[0].conductor.nominal_area_mm2 >= 50 and main.runs[0].governs == "drop"


@pytest.mark.parametrize("runs", [DRIVE.runs, (Run("starter battery", "bus bar", 4.0),)])
@pytest.mark.parametrize("link", ["DC-DC charger", "relay"])
def test_every_way_of_charging_while_driving_counts_it(link, runs):
    whole = made(MAIN, SUN, replace(DRIVE, runs=runs), link=link).wiring
    drive, main = whole.circuit("alternator").wired, whole.circuit("main").wired
    last = drive.shape.place["bus bar"]
    source = drive.source_at(last)
    assert source.upstream_drop_v == pytest.approx(main.charging_drop_v(1), abs=0.02) and source.upstream_drop_v > 0
    assert [one.kind for one in drive.circuit.others] == ["bus bar"]


def test_the_working_leads_from_the_controller_through_the_feed():
    whole = made(MAIN, SUN, DRIVE)
    keys = [step.key for step in whole.chain("wiring.controller.point.Bus Bar.drop_percent")]
    feed = ["wiring.main.run.0.charging_a", "wiring.main.charging.bus bar.drop_v"]
    assert [key for key in keys if key in feed] == feed and "wiring.controller.shared_drop_v" in keys
    assert "40 A of Solar controller + 30 A of Driving" in whole.working[feed[0]].formula
    assert "charging, 1.25 x 40 A + 1.25 x 30 A" in whole.working["wiring.main.run.0.passing_a"].formula
