"""The whole chain: what does not depend on an edit is not computed again, and every figure and finding leads somewhere."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model import edit, shelf
from model.design import (
    CHEMISTRIES,
    Alternator,
    Array,
    Battery,
    Design,
    Generator,
    Load,
    Place,
    Roof,
    Shore,
    Weather,
)
from model.plan import battery_temperature_c, plan
from model.record.files import open_design
from model.record.words import verdict

DEMO = open_design(shelf.path("heron.toml")).design
TROUBLED = (
    DEMO,
    Design(),
    replace(DEMO, place=Place("Honolulu", 21.3, -157.85)),
    replace(DEMO, place=Place("Tromsø", 69.65, 18.96), month=12),
    replace(DEMO, array=Array(count=20, in_series=9, tilt_deg=60.0)),
    replace(DEMO, roof=Roof(length_m=0.3, width_m=0.3)),
    replace(DEMO, battery=Battery(chemistry="NMC", place="outside", unit_v=5.0, installed_ah=20.0)),
    replace(DEMO, battery=Battery(chemistry="flooded", autonomy_days=9.0, depth_of_discharge=0.95)),
    replace(DEMO, weather=Weather(ghi_kwh_per_m2_day=(9.0,) * 12)),
    replace(
        DEMO, loads=(Load(), Load("kettle", power_w=3000, hours_per_day=24, supply="AC", surge_w=9000), *DEMO.loads)
    ),
    replace(DEMO, loads=(Load("fan", power_w=9, hours_per_day=9, months=(7,)),), months_of_use=(1,)),
    replace(DEMO, alternator=Alternator(True, "relay", 9.0), shore=Shore(2.0, 4.0, 90.0), battery=Battery("gel")),
    replace(
        DEMO, alternator=Alternator(True, "relay", 9.0, smart=False, vehicle_v=24.0), place=Place("", 21.3, -157.9)
    ),
    replace(
        DEMO,
        alternator=Alternator(True, driving_hours_per_week=9.0, charger_a=200.0, rating_a=70.0),
        generator=Generator(5.0, 90.0),
        place=Place("Inari", 68.9, 27.0),
        battery=Battery(place="outside", installed_ah=100.0),
    ),
)


@pytest.mark.parametrize("design", TROUBLED, ids=range(len(TROUBLED)))
def test_every_finding_leads_to_a_field_of_the_design(design: Design):
    made = plan(design)
    for finding in made.findings:
        edit.get(design, finding.where)  # KeyError where there is no such field
        assert finding.message and finding.advice
    assert list(made.findings) == sorted(
        made.findings, key=lambda one: ("danger", "warning", "note").index(one.severity)
    )


@pytest.mark.parametrize("design", TROUBLED, ids=range(len(TROUBLED)))
def test_every_step_has_words_and_a_source_and_uses_figures_that_exist(design: Design):
    made = plan(design)
    keys = [step.key for step in made.steps]
    assert len(keys) == len(set(keys))
    for step in made.steps:
        assert step.label and step.formula and step.source, step.key
    if made.supply is not None:
        missing = {used for step in made.steps for used in step.uses} - set(keys)
        assert not missing


def test_the_chain_of_a_figure_begins_with_its_causes():
    made = plan(DEMO)
    chain = [step.key for step in made.chain("supply.array_needed_w")]
    assert chain[-1] == "supply.array_needed_w"
    assert chain.index("demand.load.0.energy_wh_per_day") < chain.index("demand.energy_wh_per_day")
    assert made.chain("no.such.figure") == ()


def test_every_figure_of_the_verdict_has_its_working():
    made = plan(DEMO)
    for figure in verdict(made):
        assert figure.key == "findings" or made.chain(figure.key), figure.key


def test_figures_of_the_stages_agree():
    made = plan(DEMO)
    for month, sunny in zip(made.demand.months, made.supply.months, strict=True):
        assert sunny.use_wh_per_day == month.energy_wh_per_day
        assert sunny.temperature_c == pytest.approx(made.climate.temperature_c[month.month - 1])
    steps = made.working
    assert steps["demand.energy_wh_per_day"].value == made.demand.month.energy_wh_per_day
    assert steps["supply.array_needed_w"].value == made.supply.month.needed_w
    for option in made.storage.options:
        assert steps[f"storage.{option.chemistry}.capacity_needed_wh"].value == option.capacity_needed_wh


def test_a_place_without_climate_still_adds_up_its_loads():
    made = plan(replace(DEMO, place=Place("Honolulu", 21.3, -157.85)))
    assert made.supply is None and made.climate is None
    assert made.demand.month.energy_wh_per_day > 0
    assert "twelve monthly values" in made.findings[0].message + made.findings[0].advice


def test_an_edit_of_a_load_leaves_climate_and_panels_alone():
    first = plan(DEMO)
    second = plan(edit.put(DEMO, "loads/0/power_w", 46.0))
    assert second.climate is first.climate
    assert second.demand is not first.demand


@pytest.mark.parametrize(
    ("place", "expected"),
    [("heated cabin", (16.0, 20.0)), ("unheated locker", (-3.0, 20.0)), ("outside", (-8.0, 15.0))],
)
def test_where_the_battery_stands_sets_its_temperature(place: str, expected: tuple[float, float]):
    outside = (-3.0,) * 6 + (20.0,) * 6
    temperatures = battery_temperature_c(Battery(place=place), DEMO.system, outside)
    assert (temperatures[0], temperatures[-1]) == expected


def test_a_heated_cabin_without_a_heater_is_a_locker():
    cold = (-3.0,) * 12
    unheated = replace(DEMO.system, cabin_heated_to_c=None)
    assert battery_temperature_c(Battery(place="heated cabin"), unheated, cold) == cold


@settings(max_examples=30, deadline=None)
@given(
    st.floats(-58, 72),
    st.floats(-180, 180),
    st.integers(1, 12),
    st.sampled_from(CHEMISTRIES),
    st.floats(0, 90),
    st.sampled_from((12.0, 24.0, 48.0)),
)
def test_any_place_month_chemistry_and_tilt_gives_a_plan(latitude, longitude, month, chemistry, tilt, volts):
    design = replace(
        DEMO,
        place=Place("somewhere", latitude, longitude),
        month=month,
        system=replace(DEMO.system, nominal_v=volts),
        array=replace(DEMO.array, tilt_deg=tilt),
        battery=replace(DEMO.battery, chemistry=chemistry, unit_ah=None),
    )
    made = plan(design)
    assert made.storage.chosen.chemistry == chemistry
    if made.supply is not None:
        assert all(0 <= one.harvest_cautious_wh_per_day <= one.harvest_wh_per_day + 1e-9 for one in made.supply.months)
