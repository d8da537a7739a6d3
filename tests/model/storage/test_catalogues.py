"""The shipped catalogues: complete, sourced, and readable by the same door as what people type."""

import re
from itertools import pairwise

import pytest

from model import entry, shelf
from model.design import CHEMISTRIES, Load
from model.storage.chemistry import CHEMISTRY_NAMES, chemistries
from model.storage.temperature import factor_table, tabled_factor

TABLES = ("chemistries.csv", "temperature_factors.csv", "loads.csv", "inverter_curve.csv", "acid.csv")
CERTAINTY = re.compile(r"seen|second-hand|data|own|from memory \d\d %")


@pytest.mark.parametrize("name", TABLES)
def test_every_row_names_its_source_and_how_certain_it_is(name):
    rows = shelf.rows(name)
    assert rows
    for row in rows:
        assert None not in row and None not in row.values(), row  # as many cells as titles
        assert row["source"].strip(), row
        assert CERTAINTY.fullmatch(row["certainty"]), row
        assert re.fullmatch(r"20\d\d-\d\d-\d\d", row["checked_on"]), row
        assert row["address"] in ("", "address withheld") or row["address"].startswith("https://"), row


def test_all_eight_chemistries_are_there_and_in_order():
    assert tuple(chemistries()) == CHEMISTRY_NAMES == CHEMISTRIES
    assert len(CHEMISTRY_NAMES) == 8


@pytest.mark.parametrize("name", CHEMISTRIES)
def test_a_chemistry_is_possible(name):
    one = chemistries()[name]
    assert 0 < one.cell_empty_v < one.cell_nominal_v < one.cell_full_v < 5
    assert 0 < one.depth_of_discharge <= (one.deepest or 1) <= 1
    assert one.daily_depth is None or 0 < one.daily_depth < one.depth_of_discharge
    assert (one.daily_depth is not None) == one.lead
    assert 0.5 < one.round_trip_efficiency <= one.coulombic_efficiency <= 1
    assert one.peukert_exponent >= 1
    assert one.charge_temperature_min_c < 25 < one.charge_temperature_max_c
    assert one.discharge_temperature_min_c <= one.charge_temperature_min_c
    assert one.gassing in ("none", "vrla", "vented")
    depths, cycles = zip(*one.cycle_life, strict=True)
    assert list(depths) == sorted(depths) and list(cycles) == sorted(cycles, reverse=True)
    assert factor_table(one.temperature_table)
    assert one.cells(24) > one.cells(12) and one.cells(48) == 2 * one.cells(24)


def test_ranges_hold_their_defaults():
    for row in shelf.rows("chemistries.csv"):
        for end, sign in (("low", 1), ("high", -1)):
            try:
                default, bound = float(row["default"]), float(row[end])
            except ValueError:
                continue  # words and lists
            assert sign * (default - bound) >= 0, row


@pytest.mark.parametrize("table", sorted({row["table"] for row in shelf.rows("temperature_factors.csv")}))
def test_colder_never_needs_less(table):
    temperatures_c = [step / 2 for step in range(-120, 130)]
    factors = [tabled_factor(table, celsius) for celsius in temperatures_c]
    assert factors == sorted(factors, reverse=True)
    # continuous: half a kelvin never jumps by more than the steepest stretch of any table does
    assert max(before - after for before, after in pairwise(factors)) < 0.06


def test_typical_loads_pass_the_door():
    """Each can be put into the load table as it stands: months, time of day, numbers within the fields' bounds."""
    rows = shelf.rows("loads.csv")
    assert len(rows) >= 35 and len({row["name"] for row in rows}) == len(rows)
    entries = entry.entries(Load)
    for row in rows:
        texts = {name: text for name, text in row.items() if name in entries and text}
        texts["hours_per_day"] += " h"
        texts["duty"] = f"{float(texts['duty']):.0%}"
        texts["converter_efficiency"] = f"{float(texts['converter_efficiency']):.0%}"
        for name, unit in (
            ("power_w", "W"),
            ("current_a", "A"),
            ("rated_v", "V"),
            ("standby_w", "W"),
            ("surge_w", "W"),
        ):
            if name in texts:
                texts[name] += f" {unit}"
        load = Load(**{name: entry.read(Load, name, text) for name, text in texts.items()})
        assert (load.power_w is None) != (load.current_a is None), row
        assert (load.current_a is None) or load.rated_v, row
        assert 0 < load.hours_per_day * load.duty <= 24, row
        assert load.surge_w is None or load.surge_w > (load.power_w or 0), row


def test_touch_dimmer_is_among_the_typical_loads():
    row = next(row for row in shelf.rows("loads.csv") if "dimmer" in row["name"])
    assert float(row["current_a"]) == 0.02 and float(row["hours_per_day"]) == 24
