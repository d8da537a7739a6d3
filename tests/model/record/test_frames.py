"""The tables as DataFrames: their columns are the keys of `plan --json`, their figures its figures."""

from __future__ import annotations

from typing import Any

import pytest
from pandas.api.types import is_numeric_dtype

from model.record.frames import frame, frames
from model.record.tables import TABLES
from tests.model.record.reports import demo, demo_json, odd_plans

CONTRACT = {
    "loads": ("demand", "loads"),
    "months": ("supply", "months"),
    "chemistries": ("storage", "options"),
    "circuits": ("wiring", "circuits"),
    "schedule": ("wiring", "cables"),
    "labels": ("wiring", "labels"),
    "findings": ("findings",),
    "working": ("steps",),
}
SAME = {
    "circuits": {"name", "kind", "current_a", "fuse_a", "loss_wh_per_day"}
}  # the rest is a list in the contract, or is ""


def contract(name: str) -> list[dict[str, Any]]:
    found: Any = demo_json()
    for part in CONTRACT[name]:
        found = found[part]
    return list(found)


@pytest.mark.parametrize("name", CONTRACT)
def test_every_figure_is_that_of_the_contract(name):
    table, wanted = frame(name, demo().plan, demo().year), contract(name)
    together = SAME.get(name) or set(table.columns) & set(wanted[0]) - {"month"}  # a name here, a number there
    assert len(together) >= 3
    rows = table.to_dict("records")
    if name == "findings":  # those of the year come with them
        assert len(rows) >= len(wanted)
    elif name == "working":  # the trip's steps are no part of it
        wanted = wanted[: len(rows)]
    assert len(rows) >= len(wanted) >= 8
    for row, other in zip(rows, wanted, strict=False):
        for column in together:
            value = row[column]
            assert value == other[column] or (value != value and other[column] is None), (name, column)


def test_figures_are_numeric_columns_without_units_in_them():
    for name, table in frames(demo().plan, demo().year).items():
        for column in table.columns:
            if (
                column.endswith(("_wh", "_wh_per_day", "_ah", "_a", "_v", "_m", "_kg", "_percent"))
                and table[column].notna().any()
            ):
                assert is_numeric_dtype(table[column]), (name, column)


def test_every_table_has_a_frame_and_a_name_of_its_own():
    plan, year = demo().plan, demo().year
    found = frames(plan, year)
    assert set(found) == set(TABLES)
    for name, table in found.items():
        assert table.equals(frame(name, plan, year))
    with pytest.raises(KeyError):
        frame("nothing", plan)


def test_sums_of_a_frame_are_those_of_the_plan():
    loads = frame("loads", demo().plan)
    assert loads["energy_wh_per_day"].sum() == pytest.approx(demo_json()["demand"]["energy_wh_per_day"], rel=1e-9)
    assert loads["share_percent"].sum() == pytest.approx(100)


@pytest.mark.parametrize("name", odd_plans())
def test_a_design_at_the_edge_has_frames(name):
    found = frames(odd_plans()[name])
    assert is_numeric_dtype(found["months"]["chance_of_empty_day_percent"])  # nothing was simulated: no number, no text
    assert len(found["months"]) == 12 and list(found["loads"].columns) == [
        column.field for column in TABLES["loads"].columns
    ]
