"""From the design to circuits worked out: names, sources, fuses, loads at their points, circuits that the design implies."""

from dataclasses import replace

import pytest

from model import edit, shelf
from model.demand.load import device_power_w
from model.design import (
    Alternator,
    Array,
    Circuit,
    Connector,
    Design,
    Inverter,
    Jacket,
    Load,
    Module,
    Run,
    Shore,
    System,
    Tap,
    Wiring,
)
from model.plan import plan
from model.record.files import open_design
from model.wiring.automatic import as_entered
from model.wiring.bank import bank
from model.wiring.conductors import conductor
from model.wiring.ends import PANEL_STEP_V
from model.wiring.protection import needed_a
from model.wiring.wired import feed_current_a

DEMO = open_design(shelf.path("heron.toml")).design
LAMPS = Load("Ceiling lamps", 6, power_w=1.75, hours_per_day=5)
PUMP = Load("Water pump", power_w=48, surge_w=150, hours_per_day=0.5)
HEATER = Load("Heating mat", power_w=60, behaviour="resistive", hours_per_day=2)
LAPTOP = Load("Laptop", power_w=60, converter_efficiency=0.8, need="can wait", hours_per_day=3)
TRUNK = Circuit(
    "Lamps",
    system="lighting",
    way=3,
    runs=(Run("", "lamp 1", 3.0), Run("", "lamp 2", 1.0), Run("lamp 1", "", 2.0)),
    taps=(Tap("ceiling  LAMPS ", "Lamp 1", 2), Tap("Ceiling lamps", " lamp 2")),
)


def a_design(*circuits: Circuit, loads: tuple[Load, ...] = (LAMPS, PUMP, HEATER, LAPTOP), **changes) -> Design:
    return Design(loads=loads, circuits=circuits, **changes)


def said(design: Design, where: str) -> list[str]:
    return [one.message for one in plan(design).wiring.findings if one.where == where]


# Mapping


def test_points_take_their_names_from_the_run_before_and_from_numbers():
    one = plan(a_design(TRUNK)).wiring.circuit("L3").wired
    assert [(run.start, run.end) for run in one.circuit.runs] == [
        ("fuse panel", "lamp 1"),
        ("lamp 1", "lamp 2"),
        ("lamp 1", "point 3"),
    ]
    assert not one.shape.faults


def test_taps_find_load_and_point_whatever_their_blanks_and_capitals():
    made = plan(a_design(TRUNK)).wiring.circuit("L3")
    assert [(load.name, load.point, load.power_w) for load in made.wired.circuit.loads] == [
        ("2 x Ceiling lamps", "lamp 1", 3.5),
        ("4 x Ceiling lamps", "lamp 2", 7.0),
    ]
    assert made.feeds == ("Ceiling lamps",) and made.path == "circuits/0" and not made.automatic


def test_pieces_without_a_number_are_spread_over_their_taps():
    taps = tuple(Tap("Ceiling lamps", point) for point in ("lamp 1", "lamp 2", "lamp 2", "lamp 1"))
    loads = plan(a_design(replace(TRUNK, taps=taps))).wiring.circuit("L3").wired.circuit.loads
    assert [load.power_w / 1.75 for load in loads] == [2, 2, 1, 1]


def test_a_load_that_names_its_circuit_hangs_at_the_last_point():
    circuit = Circuit("Pump", system="water", runs=(Run("", "switch", 2.0), Run("", "pump", 1.0)))
    made = plan(a_design(circuit, loads=(replace(PUMP, circuit=" PUMP"), LAMPS))).wiring
    [load] = made.circuit("W1").wired.circuit.loads
    assert load.point == "pump" and made.unplaced == ("Ceiling lamps",)


def test_laws_adaptors_starts_and_limits_of_drop():
    taps = (Tap("Water pump"), Tap("Heating mat"), Tap("Laptop"), Tap("Ceiling lamps"))
    made = plan(a_design(Circuit("All", runs=(Run("", "a", 1.0),), taps=taps))).wiring
    pump, mat, laptop, lamps = made.circuit("C1").wired.circuit.loads
    assert pump.law == "power" and pump.start_a == 150 / 12 and pump.drop_limit == 0.03
    assert mat.law == "resistance" and mat.start_a is None
    assert laptop.power_w == pytest.approx(60 / 0.8) and laptop.drop_limit == 0.10
    assert lamps.drop_limit == 0.03
    assert plan(a_design(TRUNK)).wiring.circuit("L3").wired.circuit.loads[0].drop_limit == 0.10
    typed = replace(PUMP, drop_limit=0.05, cut_out_v=10.5, circuit="All")
    other = plan(a_design(Circuit("All", runs=(Run("", "a", 1.0),)), loads=(typed,))).wiring.circuit("C1")
    assert (other.wired.circuit.loads[0].drop_limit, other.wired.circuit.loads[0].cut_out_v) == (0.05, 10.5)


def test_runs_keep_what_is_typed_and_take_the_rest_from_the_settings():
    plain, typed = Run("", "a", 2.0, place="roof"), Run("a", "b", 1.0, "12 AWG", insulation_c=90, ambient_c=41)
    settings = Wiring(
        conductors="SAE", tinned=True, insulation_c=125, panel_fuses="Type C", jackets=(Jacket("Data", "violet"),)
    )
    circuit = Circuit("Desk", system="data", runs=(plain, replace(typed, jacket="white")), taps=(Tap("Laptop"),))
    made = plan(a_design(circuit, wiring=settings)).wiring.circuit("D1")
    first, second = made.wired.circuit.runs
    assert (first.insulation_c, first.ambient_c, first.conductor.family, first.conductor.tinned) == (
        125,
        60,
        "SAE",
        True,
    )
    assert (second.insulation_c, second.ambient_c, second.conductor) == (90, 41, conductor("AWG", "12", True))
    assert first.protection.family == "Type C" and second.protection is None
    assert made.jackets == ("violet", "white")


def test_a_fuse_stands_where_it_is_needed_or_where_it_is_typed():
    def devices(fuse: str):
        run = plan(a_design(replace(TRUNK, runs=(Run("", "lamp 1", 3.0, fuse=fuse), Run("", "lamp 2")))))
        first, second = run.wiring.circuit("L3").wired.circuit.runs
        assert second.protection is None and second.end_protection is None
        return first.protection is not None, first.end_protection is not None

    assert devices("where needed") == devices("at start") == (True, False)
    assert (devices("at end"), devices("at both ends"), devices("none")) == (
        (False, True),
        (True, True),
        (False, False),
    )
    dangers = plan(a_design(replace(TRUNK, runs=(Run("", "lamp 1", fuse="none"), Run("", "lamp 2")))))
    assert any(one.severity == "danger" and "nothing protects" in one.message for one in dangers.wiring.findings)


def test_connectors_become_contacts_and_their_findings_lead_back():
    plug = Connector("plug", "end", rating_a=3, loaded=2, poles=2)
    circuit = Circuit("Pump", runs=(Run("", "pump", 2.0, connectors=(plug,)),), taps=(Tap("Water pump"),))
    made = plan(a_design(circuit))
    assert any(one.where == "circuits/0/runs/0/connectors/0/rating_a" for one in made.findings)
    for one in made.findings:
        edit.get(made.design, one.where)


def test_keys_follow_system_and_way_and_not_the_order_of_the_list():
    names = [("lighting", 4), ("water", 1), ("", 2), ("lighting", None), ("été", None), ("漢", None)]
    circuits = tuple(Circuit(f"c{at}", system=system, way=way) for at, (system, way) in enumerate(names))
    made = plan(a_design(*circuits, Circuit("m", kind="main"))).wiring
    assert {one.name: one.key for one in made.circuits if one.path} == {
        "c0": "L4", "c1": "W1", "c2": "C2", "c3": "L1", "c4": "E1", "c5": "C1", "m": "main",
    }  # fmt: skip
    turned = plan(a_design(*reversed(circuits))).wiring
    assert {one.name: one.key for one in turned.circuits if one.entered.way} == {"c0": "L4", "c1": "W1", "c2": "C2"}


# Sources


def test_current_into_the_panel_is_the_sum_of_its_circuits():
    """Kirchhoff's law of currents. The panel's voltage is taken in steps, downwards, so that the circuits draw a trace more."""
    for design in (
        DEMO,
        a_design(TRUNK, Circuit("P", runs=(Run("", "p", 2.0),), taps=(Tap("Water pump"), Tap("Heating mat")))),
    ):
        made = plan(design).wiring
        main = made.circuit("main").wired
        parts = [one for one in made.circuits if one.entered.kind == "loads" and one.entered.feed == "panel"]
        panel_v = parts[0].wired.circuit.source.running_v
        loose_w = design.system.always_on_w + sum(
            device_power_w(load, 12) / load.converter_efficiency for load in design.loads if load.name in made.unplaced
        )
        summed = sum(feed_current_a(one.wired, one.wired.running) for one in parts)
        assert made.panel_a == pytest.approx(summed, rel=1e-12)
        exact_v = main.running.volts[-1]
        assert panel_v <= exact_v + 1e-9 and exact_v - panel_v < 2 * PANEL_STEP_V
        assert feed_current_a(main, main.running) * exact_v == pytest.approx(summed * panel_v + loose_w, rel=1e-9)


def test_voltage_lost_before_the_panel_counts_in_the_circuits():
    made = plan(DEMO).wiring
    lamps, main = made.circuit("L1").wired, made.circuit("main").wired
    battery = main.circuit.source
    assert lamps.circuit.source.running_v == pytest.approx(battery.running_v - lamps.circuit.source.upstream_drop_v)
    assert lamps.circuit.source.ohm_least > battery.ohm_least
    assert lamps.circuit.source.backup_breaks_a == 10_000  # the terminal fuse at 14 V


def test_the_batterys_short_circuit_is_the_makers_or_its_cells():
    """Four LFP cells of 280 Ah with links: 1.0 to 1.5 mohm (from memory); the least of the range of one cell lies below."""
    alone = bank("LFP", 280, 1, 12, Wiring())
    assert 0.9e-3 < alone.source.ohm_least < 1.1e-3 < alone.source.ohm_most < 1.7e-3
    two = bank("LFP", 560, 2, 12, Wiring(take_off="bus bars", link_ohm=0))
    assert two.source.ohm_least == pytest.approx(alone.source.ohm_least / 2) and two.shares == (0.5, 0.5)
    typed = bank("LFP", 280, 1, 12, Wiring(short_circuit_a=5_000))
    assert typed.source.full_v / typed.source.ohm_least == pytest.approx(5_000)


# Circuits that the design implies


def test_inverter_example_after_wiles():
    """2500 W at 24 V, 22 V low, efficiency 0.85: 134 A, x 1.25 = 167 A (NEC example after Sandia and Wiles)."""
    inverter = Inverter(True, rated_w=2500, curve="fixed", efficiency=0.85)
    design = a_design(
        system=System(24.0), inverter=inverter, battery=replace(DEMO.battery, chemistry="AGM", unit_ah=None)
    )
    made = plan(design).wiring.circuit("inverter")
    assert made.automatic and made.wired.passing_a[0] / 1.25 == pytest.approx(133.7, abs=0.05)
    assert made.wired.passing_a[0] == pytest.approx(167.1, abs=0.05)
    assert made.wired.circuit.runs[0].protection.rating_a >= 167.1


def test_two_parallel_strings_of_a_controller_manual():
    """Isc 5.75 A, two in parallel: 17.94 A with 1.56 (a charge controller's manual); with 1.25 x 1.25 it is 17.97 A."""
    module = replace(Module(), isc_a=5.75)
    made = plan(replace(DEMO, circuits=(), module=module, array=Array(2, 1))).wiring.circuit("array")
    assert made.wired.passing_a[0] == pytest.approx(17.97, abs=0.005)
    assert made.wired.runs[0].allowed_a >= 17.97
    assert not [one for one in made.findings if one.severity == "danger"]


def test_every_string_gets_its_fuse_where_strings_could_burn_one():
    """Three strings of 5.75 A: 2 x 1.25 x 5.75 = 14.4 A into a failed one; fuse from 1.56 x 5.75 = 9.0 A on, so 10 A."""
    module = Module(rated_w=100, voc_v=22.5, isc_a=5.75, series_fuse_a=10.0)
    made = plan(replace(DEMO, circuits=(), module=module, array=Array(count=6, in_series=2))).wiring
    fuses = made.string_fuses
    assert (fuses.strings, fuses.rating_a) == (3, 10.0) and fuses.least_a == pytest.approx(1.5625 * 5.75)
    assert fuses.open_v > 2 * 22.5  # colder than 25 °C
    [told] = [one for one in made.findings if "Each of 3 strings" in one.message]
    assert (
        told.severity == "note"
        and "10 A" in told.message
        and "10 A in each string" in made.circuit("array").entered.note
    )
    weak = replace(module, series_fuse_a=8.0)
    [told] = [
        one
        for one in plan(replace(DEMO, circuits=(), module=weak, array=Array(count=6, in_series=2))).wiring.findings
        if "Each of 3 strings" in one.message
    ]
    assert told.severity == "danger" and "no standard one fits" in told.message
    two = plan(
        replace(DEMO, circuits=(), module=replace(module, series_fuse_a=15.0), array=Array(count=4, in_series=2))
    ).wiring
    assert two.string_fuses is None


def test_every_return_ends_behind_the_shunt_found_from_the_circuits():
    """Each circuit with an end at the battery, and the chassis bond where anything returns through the chassis."""

    def returns(design: Design) -> str:
        return next(one for one in said(design, "wiring/take_off") if "shunt" in one)

    assert "Main feed, Inverter, Charging while driving and Solar controller end" in returns(DEMO)
    direct = Circuit("Winch", feed="battery", runs=(Run("", "winch", 2.0),))
    assert "Winch" in returns(replace(DEMO, circuits=(*DEMO.circuits, direct)))
    assert "Shore charger" in returns(replace(DEMO, shore=Shore(2.0, 8.0, 20.0)))
    chassis = replace(TRUNK, runs=(replace(TRUNK.runs[0], returns="chassis"), *TRUNK.runs[1:]))
    assert "the bond to the chassis" in returns(a_design(chassis)) and "chassis" not in returns(a_design(TRUNK))


def test_batteries_in_parallel_share_by_their_links_and_their_own_resistance():
    """Two batteries taken off at one end: the far one has two more links in its loop; R / (2 R + 2 r) by Kirchhoff's rules."""
    settings = Wiring(take_off="one end", link_ohm=0.001)
    whole = bank("LFP", 200.0, 2, 12.0, settings)
    own = whole.one_least_ohm
    assert whole.shares == pytest.approx(((own + 0.002) / (2 * own + 0.002), own / (2 * own + 0.002)))


def test_book_example_of_an_inverter_cable():
    """2400 W at 12 V over two leads of 1.6 mohm: 200 A lose 0.64 V to first order; solved, 11.32 V and 212.0 A."""
    inverter = Inverter(True, rated_w=2400, curve="fixed", efficiency=1.0)
    run = Run("", "inverter", 0.0, joints_ohm=0.0032)
    design = a_design(
        Circuit("Inverter", "inverter", runs=(run,)), inverter=inverter, battery=replace(DEMO.battery, chemistry="AGM")
    )
    flow = plan(design).wiring.circuit("inverter").wired.running
    assert flow.volts[-1] == pytest.approx(11.32, abs=0.005) and flow.current_a[0] == pytest.approx(212.0, abs=0.05)


def test_driving_charges_through_a_cable_with_a_source_and_a_fuse_at_each_end():
    """30 A x 14.4 V / (0.9 x 12.2 V) = 39.3 A into the DC-DC charger: its power over efficiency and voltage."""
    made = plan(replace(DEMO, circuits=())).wiring.circuit("alternator")
    first, second = made.wired.circuit.runs
    assert first.protection is not None and second.end_protection is not None
    assert {one.kind for one in (made.wired.circuit.source, *made.wired.circuit.others)} == {"battery"}
    assert made.wired.running.current_a == pytest.approx((30 * 14.4 / (0.9 * 12.2), 30.0))
    runs = tuple(replace(run, fuse="none" if at else "at start") for at, run in enumerate(made.entered.runs))
    found = plan(replace(DEMO, circuits=(replace(made.entered, runs=runs),))).findings
    assert any(one.severity == "danger" and "from the battery at battery" in one.message for one in found)


def test_a_relay_passes_the_same_current_at_both_ends():
    design = replace(DEMO, circuits=(), alternator=Alternator(True, "relay", 5.0, 25.0))
    assert plan(design).wiring.circuit("alternator").wired.running.current_a == pytest.approx((25.0, 25.0))


def test_controller_and_shore_charger_have_their_fuse_at_the_battery():
    """1.25 x rated controller current, fuse at the battery's end (NEC 690.8, from memory, to be checked)."""
    made = plan(replace(DEMO, circuits=(), shore=Shore(2.0, 8.0, 20.0))).wiring
    for key, amps in (("controller", DEMO.controller.limit_a), ("charger", 20.0)):
        [run] = made.circuit(key).wired.circuit.runs
        assert run.protection is None and run.end_protection.rating_a >= 1.25 * amps
        assert made.circuit(key).wired.passing_a[0] == pytest.approx(1.25 * amps)
        assert made.circuit(key).wired.drop_v(1) <= 0.2 + 1e-4  # charger to battery: 0.1 to 0.2 V, common practice


def test_an_entered_circuit_takes_the_place_of_the_automatic_one_and_begins_as_it():
    before = plan(replace(DEMO, circuits=())).wiring
    for key in ("main", "inverter", "alternator", "array", "controller"):
        automatic = before.circuit(key)
        assert automatic.automatic
        after = plan(replace(DEMO, circuits=(as_entered(automatic),))).wiring.circuit(key)
        assert after.path == "circuits/0"
        assert after.wired.runs == automatic.wired.runs and after.wired.running == automatic.wired.running


def test_nothing_implies_a_circuit_that_is_not_there():
    assert plan(Design()).wiring.circuits == ()
    assert [one.key for one in plan(Design(loads=(LAMPS,))).wiring.circuits] == ["main"]


def test_an_entered_main_feed_carries_the_panel_at_the_point_of_that_name():
    main = Circuit(
        "Feed", "main", runs=(Run("", "bus bar", 0.5), Run("bus bar", "Fuse Panel", 1.0), Run("bus bar", "spare", 1.0))
    )
    made = plan(a_design(main, TRUNK)).wiring
    assert {load.point for load in made.circuit("main").wired.circuit.loads} == {"Fuse Panel"}


# Names that fit nothing


@pytest.mark.parametrize(
    ("circuit", "where", "words"),
    [
        (replace(TRUNK, taps=(Tap("Chandelier", "lamp 1"),)), "circuits/0/taps/0/load", "no load Chandelier"),
        (replace(TRUNK, taps=(Tap("Ceiling lamps", "attic"),)), "circuits/0/taps/0/point", "no run leads to attic"),
        (replace(TRUNK, taps=(Tap("Ceiling lamps", "lamp 1", 7),)), "circuits/0/taps/0/quantity", "6 of 6 are left"),
        (
            replace(TRUNK, taps=(Tap("Ceiling lamps", "lamp 1", 6), Tap("Ceiling lamps"))),
            "circuits/0/taps/1/load",
            "nothing of",
        ),
        (replace(TRUNK, taps=(Tap("Kettle"),)), "circuits/0/taps/0/load", "through the inverter"),
        (replace(TRUNK, way=13), "circuits/0/way", "the panel has 12 ways"),
        (replace(TRUNK, feed="inverter"), "circuits/0/taps/0/load", "cannot hang behind the inverter"),
        (replace(TRUNK, feed="inverter", taps=()), "inverter/fitted", "none is fitted"),
        (replace(TRUNK, runs=()), "circuits/0/runs", "no runs yet"),
    ],
)
def test_a_name_that_fits_nothing_is_said_where_it_stands(circuit: Circuit, where: str, words: str):
    design = a_design(circuit, loads=(LAMPS, Load("Kettle", power_w=900, supply="AC")))
    assert any(words in message for message in said(design, where)), said(design, where)
    edit.get(design, where)


def test_circuits_on_one_way_and_of_one_name():
    design = a_design(TRUNK, replace(TRUNK, name=" lamps", taps=()))
    assert "both on way 3" in said(design, "circuits/1/way")[0]
    assert "Two circuits are called" in said(design, "circuits/1/name")[0]
    assert len({one.key for one in plan(design).wiring.circuits}) == 3
    assert "which there is not" in said(a_design(TRUNK, loads=(replace(PUMP, circuit="Bilge"),)), "loads/0/circuit")[0]


# All together


def test_what_is_on_no_circuit_is_said_once_and_still_carried_by_the_feed():
    made = plan(a_design(TRUNK)).wiring
    assert made.unplaced == ("Water pump", "Heating mat", "Laptop")
    assert len([one for one in made.findings if "on no circuit" in one.message]) == 1
    carried = sum(load.power_w for load in made.circuit("main").wired.circuit.loads)
    assert carried > 48 + 60 + 75 + 10.5


def test_ways_to_spare_panel_rating_lugs_and_shares():
    crowded = replace(DEMO, wiring=replace(DEMO.wiring, panel_ways=7))
    assert said(crowded, "wiring/panel_ways") and not said(DEMO, "wiring/panel_ways")
    assert "lets 40 A pass" in said(replace(DEMO, wiring=replace(DEMO.wiring, panel_a=30)), "wiring/panel_a")[0]
    more = replace(DEMO, shore=Shore(2.0, 8.0, 20.0))
    assert any("5 cables end at the battery" in one for one in said(more, "wiring/take_off"))
    uneven = replace(DEMO, wiring=replace(DEMO.wiring, take_off="one end", link_ohm=0.001))
    assert any("batteries in parallel" in one for one in said(uneven, "wiring/take_off"))
    assert any("exactly one bond" in one.message for one in plan(more).findings)


def test_chassis_return_is_warned_of():
    runs = (replace(TRUNK.runs[0], returns="chassis", chassis_ohm=0.01), *TRUNK.runs[1:])
    assert any(
        "returns through the chassis" in one for one in said(a_design(replace(TRUNK, runs=runs)), "circuits/0/runs")
    )


def test_loss_of_a_day_is_heat_of_the_runs_over_their_hours():
    """I²R of one run, copper warmed by its own current a little, over the hours of its only load."""
    circuit = Circuit("Mat", runs=(Run("", "mat", 3.0, "2.5 mm2"),), taps=(Tap("Heating mat"),))
    made = plan(a_design(circuit, loads=(HEATER,), system=System(always_on_w=0.0))).wiring
    one, main = made.circuit("C1").wired, made.circuit("main").wired
    ohm = 2 * 3.0 * 7.98e-3 * (1 + 0.00393 * (one.running.temperature_c[0] - 20))  # IEC 60228, class 5
    amps = one.running.current_a[0]
    assert one.loss_wh_per_day == pytest.approx(amps**2 * ohm * 2.0, rel=1e-6)
    assert made.loss_wh_per_day == pytest.approx(one.loss_wh_per_day + main.loss_wh_per_day, rel=1e-9)


def test_losses_counted_take_the_place_of_the_typed_efficiency():
    """Use behind the cables + their heat = use at the battery: nothing is lost twice."""
    typed = plan(DEMO)
    counted = plan(replace(DEMO, wiring=replace(DEMO.wiring, losses_counted=True)))
    bare = plan(replace(DEMO, system=replace(DEMO.system, wiring_efficiency=1.0)))
    at_loads_wh = bare.demand.month.energy_wh_per_day
    assert typed.demand.month.energy_wh_per_day == pytest.approx(at_loads_wh / 0.98)
    assert counted.demand.month.energy_wh_per_day == pytest.approx(at_loads_wh + typed.wiring.loss_wh_per_day)
    assert counted.design.system.wiring_efficiency == 0.98 and typed.wiring.efficiency is None
    assert counted.working["wiring.efficiency"].value == pytest.approx(counted.wiring.efficiency)


def test_every_step_of_every_circuit_has_a_key_of_its_own_and_uses_figures_that_exist():
    made = plan(DEMO)
    keys = [step.key for step in made.wiring.steps]
    assert len(keys) == len(set(keys)) > 200
    assert {used for step in made.wiring.steps for used in step.uses} <= set(made.working)
    assert made.chain("wiring.L1.point.lamp 6.volts")[-1].value == pytest.approx(
        made.wiring.circuit("L1").wired.running.volts[-1]
    )


def test_what_protection_must_pass_is_reckoned_from_the_circuit_as_it_stands():
    for one in plan(DEMO).wiring.circuits:
        for part in one.wired.parts or (one.wired,):
            needed = needed_a(part.circuit, part.shape)
            for index in part.shape.order:
                assert one.wired.passing_a[index] == pytest.approx(needed[index])


def test_the_demonstration_teaches_one_thing_and_has_no_danger():
    found = plan(DEMO).wiring.findings
    assert [one.where for one in found if one.severity != "note"] == ["loads/1/cut_out_v"]
    assert plan(DEMO).wiring.unplaced == ()


def test_an_inverter_that_would_cut_out_at_its_surge_gets_a_thicker_cable():
    """Its own cut-out, at its surge, on a low battery: by comparison of both cables at the same current."""
    inverter = Inverter(True, 800, 1600)
    plain = plan(a_design(TRUNK, inverter=inverter)).wiring.circuit("inverter").wired
    low_v = plain.starting.volts[-1]
    fussy = replace(inverter, cut_out_v=round(low_v + 0.1, 2))
    grown = plan(a_design(TRUNK, inverter=fussy)).wiring.circuit("inverter").wired
    assert grown.runs[0].governs == "cut-out" and grown.starting.volts[-1] >= fussy.cut_out_v - 1e-4
    assert grown.runs[0].conductor.conducting_area_mm2 > plain.runs[0].conductor.conducting_area_mm2
    dead = replace(inverter, cut_out_v=11.5)
    [told] = said(a_design(TRUNK, inverter=dead), "inverter/cut_out_v")
    assert "inverter sees" in told and "cuts out at 11.5 V" in told
