"""What could burn a van and must not pass in silence: unfused cable, slips of the keyboard, names that fit nothing."""

from dataclasses import replace

import pytest

from model import shelf
from model.design import Circuit, Design, Inverter, Load, Run, Shore, Wiring
from model.plan import plan
from model.record.files import open_design
from model.wiring.bank import bank
from model.wiring.circuit import PointLoad, Protection, Source
from model.wiring.conductors import conductor
from model.wiring.findings import findings
from model.wiring.starting import start_volts
from model.wiring.wired import wired
from tests.model.wiring.circuits import one_circuit, one_run

DEMO = open_design(shelf.path("heron.toml")).design
LAMP = Load("Lamp", power_w=20.0, hours_per_day=4.0, circuit="Light")
MAIN = Circuit("Main", "main", runs=(Run("battery", "bar", 0.5), Run("bar", "fuse panel", 1.0)))


def a_van(*circuits: Circuit, loads: tuple[Load, ...] = (LAMP,), **changes: object) -> Design:
    wiring = Wiring(short_circuit_a=None)
    battery = replace(DEMO.battery, installed_ah=200.0, unit_ah=200.0)
    parts = {
        "loads": loads,
        "circuits": circuits,
        "wiring": wiring,
        "battery": battery,
        "inverter": Inverter(),
        **changes,
    }
    return replace(DEMO, **parts)


def dangers(design: Design, word: str = "") -> list[str]:
    return [one.message for one in plan(design).wiring.findings if one.severity == "danger" and word in one.message]


# Cable without a fuse in front of it: 33 CFR 183.455 (7 inches; 40 in a sheath), 183.460 (72 inches at a battery)


def behind(main_a: float, **changes: object) -> list[tuple[str, str]]:
    """Findings on a cable from the panel, fused at its end, behind a main fuse of main_a."""
    panel = Source("feed", "panel", 12.0, 12.8, 12.0, 13.6, 0.01, 0.02, backup_breaks_a=20_000, backup_a=main_a)
    run = one_run(end_protection=Protection(5.0, "Type F", 0.1), **changes)
    found = findings(wired(one_circuit(run, PointLoad("pump", "a", 24.0, 12.0), source=panel)))
    return [(one.severity, one.message) for one in found if "first fuse" in one.message]


def test_a_thin_cable_with_its_fuse_at_the_wrong_end_is_in_danger_behind_a_large_main_fuse():
    ((severity, message),) = behind(110.0, length_m=6.0, conductor=conductor("mm2", "0.75"))
    assert severity == "danger" and "110 A" in message and "5.90 m" in message


def test_a_main_fuse_that_the_cable_bears_protects_it():
    """10 mm2 bears more than 30 A: no cable needs a second fuse of its own."""
    assert behind(30.0, length_m=6.0, conductor=conductor("mm2", "10")) == []


def test_what_only_a_sheath_allows_is_told():
    ((severity, message),) = behind(110.0, length_m=1.0, conductor=conductor("mm2", "0.75"))
    assert severity == "warning" and "0.18 m" in message and "1.02 m" in message
    assert behind(110.0, length_m=0.25, conductor=conductor("mm2", "0.75")) == []
    ((bare, _),) = behind(110.0, length_m=1.0, conductor=conductor("mm2", "0.75"), sheathed=False)
    assert bare == "danger"


# The short circuit that is typed


def test_the_short_circuit_is_typed_of_one_battery():
    """Three that drive 2500 A each drive 7500 A together on bus bars without resistance (Kirchhoff)."""
    found = bank("LFP", 300, 3, 12, Wiring(short_circuit_a=2_500, take_off="bus bars", link_ohm=0)).source
    assert found.full_v / found.ohm_least == pytest.approx(7_500)


@pytest.mark.parametrize("typed_a", [3.0, 60.0])
def test_a_slip_of_the_keyboard_makes_no_battery_harmless(typed_a: float):
    own, slip = (bank("LFP", 200, 1, 12, Wiring(short_circuit_a=typed)) for typed in (None, typed_a))
    assert slip.source == own.source and slip.disbelieved_a == typed_a
    design = a_van(MAIN, Circuit("Light", runs=(Run(end="lamp", length_m=3.0),)))
    slipped = replace(design, wiring=replace(design.wiring, short_circuit_a=typed_a))
    (said,) = dangers(slipped, "is typed for one battery")
    assert f"{typed_a:g} A" in said


def test_fuses_are_made_for_the_full_battery():
    """Four NMC cells are at 16.8 V when full: fuses rated 14 V are none for them; four LFP cells at 13.6 V may have them."""
    run = one_run(start="battery", protection=Protection(), conductor=conductor("mm2", "16"))
    chosen = {}
    for chemistry in ("NMC", "LFP"):
        source = replace(bank(chemistry, 100, 1, 12, Wiring(short_circuit_a=8_000)).source, point="battery")
        load = PointLoad("pump", "a", 400.0, 12.0)
        (found,) = wired(one_circuit(run, load, source=source)).circuit.runs
        chosen[chemistry] = found.protection.family
    assert chosen == {"NMC": "Class T", "LFP": "terminal"}


# Names of points


@pytest.mark.parametrize("start", ["positive bar", "panle", "x"])
def test_a_first_point_that_does_not_exist_is_in_danger(start: str):
    design = a_van(MAIN, Circuit("Light", runs=(Run(start, "lamp", 3.0),)))
    (said,) = dangers(design, "no point of the main feed")
    assert start in said and "the fuse panel" in said


@pytest.mark.parametrize("start", ["", "fuse panel", "Fuse Panel", "bar", "panel"])
def test_a_first_point_that_exists_is_taken(start: str):
    assert dangers(a_van(MAIN, Circuit("Light", runs=(Run(start, "lamp", 3.0),)))) == []


def test_a_charger_that_ends_at_no_point_is_told():
    controller = Circuit("Controller", "controller", runs=(Run("charge controller", "positive bar", 1.0),))
    found = plan(a_van(MAIN, controller)).wiring.findings
    assert any("ends at positive bar, no point" in one.message for one in found)
    there = replace(controller, runs=(Run("charge controller", "bar", 1.0),))
    assert not any("no point of" in one.message for one in plan(a_van(MAIN, there)).wiring.findings)


def test_a_second_source_on_a_circuit_with_loads_is_in_danger():
    split = Circuit("Split", feed="battery", runs=(Run("battery", "starter battery", 4.0),))
    (said,) = dangers(a_van(MAIN, split), "source itself")
    assert "starter battery" in said


def test_the_place_of_a_dc_dc_charger_is_not_guessed_in_silence():
    runs = (Run("starter battery", "bulkhead", 2.0), Run("bulkhead", "box 7", 1.0), Run("box 7", "battery", 1.0))
    (said,) = dangers(a_van(MAIN, Circuit("Driving", "alternator", runs=runs)), "DC-DC charger")
    assert "bulkhead" in said
    named = (runs[0], Run("bulkhead", "DC-DC charger", 1.0), Run("DC-DC charger", "battery", 1.0))
    assert dangers(a_van(MAIN, Circuit("Driving", "alternator", runs=named)), "DC-DC charger") == []


# Chargers that are not used, panels and bars


def test_a_charger_that_is_entered_is_planned_for_what_it_gives():
    charger = Circuit("Shore", "charger", runs=(Run("charger", "battery", 2.0),))
    found = plan(a_van(MAIN, charger, shore=Shore(nights_per_week=0.0, charger_a=60.0))).wiring
    (one,) = [each for each in found.circuits if each.entered.kind == "charger"]
    assert one.wired.running.current_a[0] == pytest.approx(60.0)


def test_an_array_without_modules_is_not_planned_for_nothing():
    array = Circuit("Array", "array", runs=(Run("array", "charge controller", 4.0),))
    assert dangers(a_van(MAIN, array, array=replace(DEMO.array, count=0)), "no modules")


def test_what_leaves_from_a_bar_is_no_load_of_the_panel():
    heavy = Load("Stove", power_w=576.0, hours_per_day=1.0, circuit="Stove")
    circuits = (
        MAIN,
        Circuit("Light", runs=(Run(end="lamp", length_m=3.0),)),
        Circuit("Stove", runs=(Run("bar", "stove", 2.0),)),
    )
    design = a_van(*circuits, loads=(LAMP, heavy))
    design = replace(design, wiring=replace(design.wiring, panel_a=30.0))
    assert plan(design).wiring.panel_a < 2.0
    assert dangers(design, "All ways together") == []


def test_joints_of_a_bar_that_chargers_feed_are_measured_at_their_current():
    """60 A through a millohm are 3.6 W (Joule); the lamp alone would be 3 mW."""
    from model.wiring.papers.joint_list import joint_list

    charger = Circuit("Shore", "charger", runs=(Run("charger", "bar", 2.0),))
    light = Circuit("Light", runs=(Run(end="lamp", length_m=3.0),))
    made = plan(
        a_van(
            MAIN, light, charger, shore=Shore(nights_per_week=1.0, charger_a=60.0), array=replace(DEMO.array, count=0)
        )
    )
    rows = [
        row
        for row in joint_list(made.wiring)
        if "M-1" in row.cables or "main-1" in row.cables or row.point == "battery"
    ]
    assert rows and max(row.load_a for row in rows) >= 60.0
    assert max(row.heat_w for row in rows) >= 3.6


def behind_the_bar(**changes: object) -> list[str]:
    """A bar at which a charger of 120 A ends, and a panel behind it."""
    runs = (
        Run("battery", "bar", 0.5, fuse_a=100.0, conductor="25 mm2"),
        Run("bar", "fuse panel", 1.0, conductor="25 mm2", **changes),
    )
    charger = Circuit("Shore", "charger", runs=(Run("charger", "bar", 2.0),))
    light = Circuit("Light", runs=(Run(end="lamp", length_m=3.0),))
    none = replace(DEMO.array, count=0)
    design = a_van(
        replace(MAIN, runs=runs), light, charger, shore=Shore(nights_per_week=1.0, charger_a=120.0), array=none
    )
    found = plan(replace(design, wiring=replace(design.wiring, panel_a=150.0))).wiring.findings
    return [one.message for one in found if one.severity == "warning" and "chargers give" in one.message]


def test_a_fuse_and_chargers_together_are_held_against_what_follows():
    """25 mm2 at 105 °C bears more than 100 A and less than 100 + 120 A (33 CFR 183.425, table 5); the panel 150 A."""
    cable, panel = behind_the_bar()
    assert "100 A" in cable and "120 A" in cable and "150 A" in panel
    assert behind_the_bar(fuse="at start", fuse_a=50.0) == []


# Cold


def test_a_start_is_harder_in_the_cold():
    """LFP cells at 0 °C have about twice the resistance that they have at 25 °C (from memory, a cautious round figure)."""
    warm, cold = (bank("LFP", 100, 1, 12, Wiring(), at).source for at in (25.0, 0.0))
    assert cold.start_ohm / warm.start_ohm == pytest.approx(2.0)
    assert (cold.ohm_least, cold.ohm_most) == (warm.ohm_least, warm.ohm_most)  # fuses must break the warm one
    pump = Load("Pump", power_w=200.0, hours_per_day=0.1, circuit="Light", surge_w=600.0)
    light = Circuit("Light", runs=(Run(end="pump", length_m=3.0),))

    def volts(place: str) -> float:
        battery = replace(DEMO.battery, installed_ah=100.0, unit_ah=100.0, place=place)
        found = plan(a_van(MAIN, light, loads=(pump,), battery=battery)).wiring
        (start,) = [one for each in found.circuits if each.entered.kind == "loads" for one in start_volts(each)]
        return start.volts

    assert volts("outside") < volts("heated cabin") - 0.05


def test_a_deep_start_without_a_cut_out_is_told():
    pump = Load("Pump", power_w=300.0, hours_per_day=0.1, circuit="Light", surge_w=900.0)
    light = Circuit("Light", runs=(Run(end="pump", length_m=6.0, conductor="6 mm2"),))
    design = a_van(MAIN, light, loads=(pump,))
    assert [one.where for one in plan(design).wiring.findings if "no cut-out is typed" in one.message] == [
        "loads/0/cut_out_v"
    ]
    mild = a_van(MAIN, light, loads=(replace(pump, surge_w=None),))
    assert not [one for one in plan(mild).wiring.findings if "no cut-out is typed" in one.message]


def test_what_else_is_on_counts_at_a_start():
    """The panel's volts on a low battery: less what all its circuits draw through the cells."""
    heavy = Load("Stove", power_w=576.0, hours_per_day=1.0, circuit="Stove")
    pump = Load("Pump", power_w=100.0, hours_per_day=0.1, circuit="Light", surge_w=300.0)
    light = Circuit("Light", runs=(Run(end="pump", length_m=3.0),))
    stove = Circuit("Stove", runs=(Run("bar", "stove", 2.0),))

    def volts(loads: tuple[Load, ...]) -> float:
        main = replace(MAIN, runs=tuple(replace(run, conductor="35 mm2") for run in MAIN.runs))
        found = plan(a_van(main, light, stove, loads=loads)).wiring
        return next(one.volts for each in found.circuits for one in start_volts(each) if one.load == "Pump")

    assert volts((pump, heavy)) < volts((pump,)) - 0.05


# Batteries in parallel


def test_each_of_several_batteries_wants_a_fuse_of_its_own():
    battery = replace(DEMO.battery, installed_ah=300.0, unit_ah=100.0)
    light = Circuit("Light", runs=(Run(end="lamp", length_m=3.0),))
    settings = Wiring(short_circuit_a=5_000)
    design = a_van(MAIN, light, battery=battery, wiring=settings)
    (said,) = [one for one in plan(design).wiring.findings if one.where == "wiring/battery_fuse_a"]
    assert said.severity == "warning" and "10000 A" in said.message  # the two others, 5000 A each
    fused = replace(design, wiring=replace(settings, battery_fuse_a=100.0))
    assert not [one for one in plan(fused).wiring.findings if one.where == "wiring/battery_fuse_a"]
    small = replace(design, wiring=replace(settings, battery_fuse_a=1.0), loads=(replace(LAMP, power_w=200.0),))
    assert dangers(small, "fuse of each of 3")


def test_what_no_fuse_breaks_is_said_once_for_all_circuits_of_the_design():
    """Four of 100 Ah drive more than the 20 kA that the strongest fuse listed breaks, behind main feed and inverter alike."""
    battery = replace(DEMO.battery, installed_ah=400.0, unit_ah=100.0)
    inverter = replace(DEMO.inverter, fitted=True, rated_w=2000.0)
    design = a_van(
        battery=battery, inverter=inverter, wiring=Wiring(short_circuit_a=8_000, link_ohm=0.0, take_off="bus bars")
    )
    said = dangers(design, "Class T")
    assert len(said) == 1 and "Main feed" in said[0] and "Inverter feed" in said[0]
    assert "cartridge" in said[0]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"fuse_a": 12.0, "fuse_family": "Type F"}, "10 A and 15 A are the nearest"),
        ({"fuse_a": 40.0, "fuse_family": "Type F"}, "it ends at 30 A"),
        ({"fuse_a": 15.0, "fuse_family": "Type F"}, ""),
    ],
)
def test_a_rating_that_nobody_makes_is_told(changes: dict[str, object], words: str):
    """ISO 8820-3, type F: 2 to 30 A in steps, from memory."""
    design = a_van(MAIN, Circuit("Light", runs=(Run(end="lamp", length_m=3.0, **changes),)))
    told = [one.message for one in plan(design).wiring.findings if "has no" in one.message]
    assert [words in message for message in told] == ([True] if words else [])


def test_a_rating_of_no_fuse_is_told():
    inner = Run(end="lamp", length_m=2.0, fuse_a=20.0)
    runs = (Run(end="joint", length_m=1.0), inner)
    design = a_van(MAIN, Circuit("Light", runs=runs))
    (said,) = [one for one in plan(design).wiring.findings if "this run has none" in one.message]
    assert said.where == "circuits/1/runs/1/fuse_a"
