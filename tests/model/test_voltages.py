"""The same van at 12, 24 and 48 V, against Ohm's law and figures that one works out on paper."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model import edit, shelf
from model.design import Alternator, Battery, Circuit, Design, Inverter, Load, Run, Shore, System, Tap, Wiring
from model.plan import plan
from model.record.files import open_design
from model.voltages import AtVoltage, at_voltage, needs_converter, system_of, voltages
from model.voltages_words import against, as_text, changes, converters, heads, table

HERON = open_design(shelf.path("heron.toml")).design
STOVE = Load("Stove", power_w=96, hours_per_day=2)


def a_van(*loads: Load, conductor: str | None = "16 mm2", **changes) -> Design:
    """One load 3 m behind the panel, the panel 1 m behind the battery."""
    main = Circuit("Main", "main", runs=(Run("battery", "panel", 1.0, conductor),))
    first = Circuit("First", runs=(Run("panel", "end", 3.0, conductor),), taps=tuple(Tap(one.name) for one in loads))
    return Design(loads=loads, circuits=(main, first), **changes)


def at_each(design: Design) -> dict[float, AtVoltage]:
    return {one.system_v: one for one in voltages(plan(design))}


def test_twice_the_volts_halve_the_current_and_quarter_the_share_lost():
    """P = U I and dU / U = I R / U. Constant power draws a little more where more is lost, hence two per cent.

    On a circuit of its own at the battery, for the panel's voltage is taken in steps.
    """
    one = Circuit("Stove", feed="battery", runs=(Run("battery", "stove", 4.0, "16 mm2"),), taps=(Tap("Stove"),))
    found = at_each(Design(loads=(STOVE,), circuits=(one,), system=System(always_on_w=0)))
    currents = [found[volts].current_a.value for volts in (12, 24, 48)]
    drops = [found[volts].drop.value for volts in (12, 24, 48)]
    assert currents[0] == pytest.approx(96 / 12.8, rel=0.02)  # four cells of 3.2 V carry it
    assert currents[0] / currents[1] == pytest.approx(2, rel=0.02)
    assert currents[1] / currents[2] == pytest.approx(2, rel=0.02)
    assert drops[0] / drops[1] == pytest.approx(4, rel=0.02)
    assert drops[1] / drops[2] == pytest.approx(4, rel=0.02)
    assert [found[volts].current_a.where for volts in (12, 48)] == ["Stove, battery to stove"] * 2


def test_copper_of_typed_conductors_stays_and_is_length_times_section_times_density():
    """8.96 g/cm3: (1 m + 3 m + slack) x 2 conductors x 16 mm2."""
    found = at_each(a_van(STOVE, wiring=Wiring(slack_m=0.25)))
    kg = (1.5 + 3.5) * 2 * 16 * 8.96e-3
    assert [found[volts].copper_kg for volts in (12, 24, 48)] == pytest.approx([kg] * 3)
    assert found[24].heavy_kg == pytest.approx(1.5 * 2 * 16 * 8.96e-3)
    assert {one.conductor[0].name for one in found.values()} == {"16 mm2"}


def test_chosen_conductors_grow_thin_with_more_volts():
    """A battery with a small short circuit: else the smallest fuse that breaks it decides, not the current."""
    found = at_each(a_van(replace(STOVE, power_w=240), conductor=None, wiring=Wiring(short_circuit_a=900)))
    assert found[24].copper_kg < found[12].copper_kg
    assert found[24].heavy_kg < found[12].heavy_kg
    assert found[24].conductor[0].conducting_area_mm2 < found[12].conductor[0].conducting_area_mm2


def test_the_voltage_as_entered_is_the_plan_itself():
    made = plan(HERON)
    own = voltages(made)[0]
    assert own.plan is made and own.entered and own.against == ()
    assert own.controller_a == made.supply.wiring.controller_a
    at_24 = plan(edit.put(HERON, "system/nominal_v", 24.0))
    assert [one.entered for one in voltages(at_24)] == [False, True, False]


def test_the_watts_stay_whatever_the_voltage():
    """Also those of a load typed by its current, and of a resistance; a converter takes its own on top."""
    loads = (Load("Fan", current_a=2, hours_per_day=5), Load("Mat", power_w=60, behaviour="resistive", hours_per_day=1))
    found = at_each(a_van(*loads))
    uses = [one.plan.demand.month.energy_wh_per_day for one in found.values()]
    assert uses == pytest.approx([uses[0]] * 3)


def test_chargers_give_as_many_watts():
    design = a_van(
        STOVE, alternator=Alternator(True, charger_a=30, kind="relay"), shore=Shore(2, charger_a=20),
        inverter=Inverter(True, cut_out_v=10.5), battery=Battery(installed_ah=200),
    )  # fmt: skip
    other = at_voltage(design, 48.0)
    assert other.alternator.charger_a * 48 == 30 * 12
    assert other.shore.charger_a * 48 == 20 * 12
    assert other.battery.installed_ah * 48 == 200 * 12
    assert other.inverter.cut_out_v == 42
    assert other.alternator.kind == "DC-DC charger"  # a relay joins no 12 V with 48 V
    assert at_voltage(design, 12.0) == design


def test_what_is_meant_for_another_voltage_needs_a_converter():
    """60 W for 2 h at 90 %: 13.3 Wh lost; 1 W all day: 24 Wh."""
    loads = (
        Load("Fridge", power_w=60, hours_per_day=2, rated_v=12.8, cut_out_v=10.4),
        Load("Router", power_w=8, hours_per_day=24),
        Load("Telephone", power_w=10, hours_per_day=1, rated_v=5),
        Load("Kettle", power_w=500, hours_per_day=0.1, rated_v=230, supply="AC"),
        Load("Radio", power_w=5, hours_per_day=1, rated_v=12, on=False),
        Load("Winch", power_w=90, hours_per_day=0.1, rated_v=28, quantity=2),
    )
    found = at_each(a_van(*loads, inverter=Inverter(True)))
    assert [found[volts].converter_names for volts in (12, 24, 48)] == [("Winch",), ("Fridge",), ("Fridge", "Winch")]
    assert [found[volts].converter_w for volts in (12, 24, 48)] == [180, 60, 240]
    assert found[24].converter_wh_per_day == pytest.approx(60 * 2 * (1 / 0.9 - 1) + 24)
    assert found[24].unknown == ("Router", "Telephone")
    design = at_voltage(a_van(*loads), 24.0)
    assert design.loads[0].converter_efficiency == 0.9 and design.loads[0].cut_out_v is None
    assert design.loads[5].converter_efficiency == 1
    assert design.system.always_on_w == System().always_on_w + 1
    words = converters(voltages(plan(a_van(*loads))))
    assert any("24 V: Fridge through a converter of 60 W" in one for one in words)
    assert "Look at the label" in words[-1] and "Router, Telephone" in words[-1]


@pytest.mark.parametrize(
    ("system_v", "rated"),
    [(12.0, (12, 13.8, 14.4)), (24.0, (24, 25.6, 28)), (48.0, (48, 51.2, 54)), (None, (None, 5, 19, 36, 230))],
)
def test_systems_by_rated_voltage(system_v: float | None, rated: tuple[float | None, ...]):
    for rated_v in rated:
        load = replace(STOVE, rated_v=rated_v)
        assert system_of(load) == system_v
        assert not needs_converter(replace(load, quantity=0), 12)


def test_batteries_join_in_series():
    """Units of 12.8 V: one, two, four in series (IEEE 1013, 8.2); a typed short circuit stays that of one string."""
    found = at_each(HERON)
    chosen = {volts: found[volts].plan.storage.chosen for volts in (12, 24, 48)}
    assert [chosen[volts].units_series for volts in (12, 24, 48)] == [1, 2, 4]
    assert [chosen[volts].units_parallel for volts in (12, 24, 48)] == [3, 2, 1]
    assert [found[volts].plan.design.wiring.short_circuit_a for volts in (12, 24, 48)] == [2500, 2500, 2500]


def test_three_batteries_that_are_there_make_no_24_volts():
    there = replace(HERON.battery, unit_v=12.8, unit_ah=100, installed_ah=300)
    found = at_each(replace(HERON, battery=there))
    assert [found[volts].batteries_fit for volts in (12, 24, 48)] == [True, False, False]
    assert any("24 V: the batteries that are there" in one for one in against(tuple(found.values())))
    four = at_each(replace(HERON, battery=replace(there, installed_ah=400)))
    assert [four[volts].batteries_fit for volts in (12, 24, 48)] == [True, True, True]
    assert at_each(HERON)[24].batteries_fit is None


def test_one_feed_carries_as_much_more_as_the_volts():
    """The largest class T fuse of the list, 400 A, over 1.25 for continuous load: 320 A."""
    found = at_each(HERON)
    assert [found[volts].feed_w for volts in (12, 24, 48)] == [12 * 320, 24 * 320, 48 * 320]


def test_what_speaks_against_is_what_the_design_has_not_yet():
    found = at_each(HERON)
    had = {(said.severity, said.where) for said in plan(HERON).findings}
    for one in found.values():
        assert all((said.severity, said.where) not in had and said.severity != "note" for said in one.against)
    assert any("to fill a 48 V battery" in said.message for said in found[48].against)


def test_without_climate_or_loads_there_are_gaps():
    nowhere = replace(HERON, place=replace(HERON.place, latitude_deg=-40.0, longitude_deg=-120.0))  # the open Pacific
    assert at_each(nowhere)[24].controller_a is None
    empty = voltages(plan(Design()))
    assert all(one.drop is None and one.converter_names == () for one in empty)
    assert as_text(empty)


def test_the_table_and_its_words():
    found = voltages(plan(HERON))
    assert heads(found) == ("12 V, entered", "24 V", "48 V")
    rows = {row.label: row for row in table(found)}
    assert rows["Copper of all cables, kg"].texts == tuple(f"{one.copper_kg:.2f}" for one in found)
    assert rows["Copper of all cables, kg"].words == changes(found)
    assert rows["Battery: series x parallel"].texts == ("1 x 3, 300 Ah", "2 x 2, 200 Ah", "4 x 1, 100 Ah")
    assert "Inverter, battery to inverter" in rows["Largest current, A"].words[0]
    assert "inverter and charger on the way from the alternator" in changes(found)[0]
    text = as_text(found)
    assert all(row.label in text for row in rows.values()) and "What speaks against it" in text
