"""Two designs side by side: what differs is said, with the right sign; what agrees stays out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model import edit, shelf
from model.compare import Compared, as_text, compare, differing, entered
from model.design import Design, Load
from model.plan import plan
from model.record.files import open_design


@pytest.fixture(scope="module")
def heron() -> Design:
    return open_design(shelf.path("heron.toml")).design


def rows(here: Design, there: Design) -> dict[tuple[str, str], Compared]:
    return {(row.part, row.label): row for row in differing(compare(plan(here), plan(there)))}


def test_a_design_differs_in_nothing_from_itself(heron: Design):
    every = compare(plan(heron), plan(heron))
    assert differing(every) == ()
    assert len(every) > 30
    assert as_text((), "a", "b") == "a and b: nothing differs."


def test_what_was_entered_and_what_comes_of_it(heron: Design):
    """Twice the days without sun are twice the capacity: IEEE 1013, 6.1."""
    found = rows(edit.put(heron, "battery/autonomy_days", 4.0), heron)
    assert found["Entered", "Battery: Days of autonomy"].difference == "↑ 100 % more"
    assert found["Battery", "Capacity needed"].difference == "↑ 100 % more"
    assert not any(part == "Loads, use a day" for part, _ in found)


def test_the_arrow_turns_with_the_sides(heron: Design):
    other = edit.put(heron, "loads/4/power_w", 4.0)
    assert rows(other, heron)["Loads, use a day", "Router"].difference == "↓ 50 % less"
    assert rows(heron, other)["Loads, use a day", "Router"].difference == "↑ 100 % more"


def test_loads_of_one_design_alone_and_namesakes(heron: Design):
    here = replace(heron, loads=(Load("Lamp", power_w=5, hours_per_day=2), Load("Lamp", power_w=9, hours_per_day=2)))
    there = replace(heron, loads=(Load("Lamp", power_w=5, hours_per_day=2), Load("Radio", power_w=9, hours_per_day=2)))
    found = rows(here, there)
    assert ("Loads, use a day", "Lamp") not in found
    assert found["Loads, use a day", "Lamp (2)"].difference == "only here"
    assert found["Loads, use a day", "Radio"].difference == "only there"


def test_a_load_that_uses_the_same_but_is_entered_otherwise(heron: Design):
    found = rows(edit.put(heron, "loads/4/note", "in the cupboard"), heron)
    assert found["Loads, use a day", "Router"].difference == "another note"


def test_rows_within_records(heron: Design):
    found = rows(edit.put(heron, "roof/obstacles/0/x_m", 1.2), heron)
    assert found["Entered", "Roof, roof fan: From the front"].difference == "↑ 20 % more"
    fewer = rows(edit.remove(heron, "roof/obstacles", [0]), heron)["Entered", "Roof, roof fan"]
    assert (fewer.here, fewer.there, fewer.difference) == ("-", "row", "only there")


def test_what_was_entered_goes_by_names_and_sees_another_order(heron: Design):
    moved = replace(heron, loads=(heron.loads[1], heron.loads[0], *heron.loads[2:]))
    assert [row.label for row in entered(moved, heron)] == ["Order of loads"]
    renamed = edit.put(heron, "loads/0/name", "Cool box")
    assert [(row.label, row.here) for row in entered(renamed, heron)] == [("Cool box: Load", "Cool box")]
    assert [row.label for row in entered(edit.remove(heron, "loads", [0]), heron)] == ["Compressor fridge"]
    assert entered(heron, heron) == ()


def test_one_of_them_without_climate(heron: Design):
    nowhere = replace(heron, place=replace(heron.place, latitude_deg=-40.0, longitude_deg=-120.0))  # the open Pacific
    assert plan(nowhere).supply is None
    found = rows(nowhere, heron)
    assert found["Array", "Sun"].here == "no climate data"
    assert found["Verdict", "Income covers, December"].difference == "only there"


def test_as_text_stays_in_columns(heron: Design):
    other = edit.put(edit.put(heron, "battery/chemistry", "AGM"), "month", 6)
    lines = as_text(differing(compare(plan(other), plan(heron))), "mine.toml", "heron.toml").splitlines()
    end = lines[0].index("mine.toml") + len("mine.toml")
    figures = [line for line in lines[1:] if line.startswith("  ")]
    assert len(figures) > 20
    assert all(line[end - 1] != " " and line[end : end + 2] == "  " for line in figures)
