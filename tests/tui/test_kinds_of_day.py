"""Kinds of day on the screen: named, given days of the week and loads, every edit one step of undo."""

from __future__ import annotations

import pytest

from model.demand.kinds import days_with, renamed
from model.design import Day, Load
from model.quantities import Refusal
from tests.tui.conftest import opened, press, screen_text, settled, type_text
from tui.screens.kinds_form import KindsForm
from tui.screens.kinds_loads import KindsLoads
from tui.widgets.edit_table import EditTable

SIZES = [(60, 20), (80, 24), (120, 40)]


async def two_kinds(pilot) -> None:
    """Work on four days a week, Away on one; two days are left over."""
    await press(pilot, "k")
    for name, count in (("Work", "4"), ("Away", "1")):
        await press(pilot, "n")
        await type_text(pilot, name)
        await press(pilot, "tab")
        await type_text(pilot, count)
        await press(pilot, "enter")


async def at(pilot, row, column) -> None:
    """The cursor on a cell of the kinds."""
    assert pilot.app.screen.query_one("#kinds-table", EditTable).put_cursor(row, column)
    await pilot.pause()


@pytest.mark.parametrize("size", SIZES, ids=["60x20", "80x24", "120x40"])
async def test_kinds_are_entered_and_given_loads_with_the_keyboard_alone(size):
    async with opened(size=size) as pilot:
        start = pilot.app.document.design
        await two_kinds(pilot)
        assert [(day.name, day.days_per_week) for day in pilot.app.document.design.days] == [("Work", 4), ("Away", 1)]
        text = screen_text(pilot.app)
        for word in ("Kind of day", "Days/week", "Use Wh", "Use Ah", "12 of 12", "other days", "on average", "l loads"):
            assert word in text, (word, text)
        await press(pilot, "l")
        assert isinstance(pilot.app.screen, KindsLoads)
        await press(pilot, "down", "down", "down", "right", "space")
        laptop = pilot.app.document.design.loads[3]
        assert (laptop.name, laptop.days) == ("Field laptop", "Work")
        text = screen_text(pilot.app)
        line = next(line for line in text.splitlines() if "Field laptop" in line and "runs" in line)
        assert line.split("Field laptop")[1].split()[:3] == ["runs", "–", "–"]
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, KindsForm)
        text = screen_text(pilot.app)
        away = next(line for line in text.splitlines() if "Away" in line)
        assert "11 of 12" in away
        await press(pilot, "escape")
        while pilot.app.document.design != start:
            await press(pilot, "u")
        assert not pilot.app.document.dirty


async def test_a_load_off_on_four_of_seven_days_uses_its_share_of_the_week():
    """By hand: 60 W for 3 h through the same losses, on 4 days of 7 instead of all: 3/7 of its energy goes."""
    async with opened() as pilot:
        before = pilot.app.plan
        await two_kinds(pilot)
        await press(pilot, "l", "down", "down", "down", "right", "space")
        after = pilot.app.plan
        share = after.demand.loads[3].energy_wh_per_day / before.demand.loads[3].energy_wh_per_day
        assert share == pytest.approx(4 / 7, rel=1e-6)


async def test_a_kind_that_is_renamed_keeps_its_loads():
    async with opened() as pilot:
        await two_kinds(pilot)
        await press(pilot, "l", "right", "space", "escape")
        assert pilot.app.document.design.loads[0].days == "Work"
        await at(pilot, "0", "name")
        await pilot.press("enter", *["backspace"] * 4)
        await type_text(pilot, "Hide day")
        await press(pilot, "enter")
        assert pilot.app.document.design.days[0].name == "Hide day"
        assert pilot.app.document.design.loads[0].days == "Hide day"
        await press(pilot, "u")
        assert pilot.app.document.design.loads[0].days == "Work"


async def test_what_does_not_fit_is_said_in_place_and_nothing_is_taken():
    async with opened() as pilot:
        await press(pilot, "k")
        before = pilot.app.document.design
        await press(pilot, "l")
        assert "n adds a kind of day first" in screen_text(pilot.app)
        await press(pilot, "n")
        await press(pilot, "escape")
        await press(pilot, "l")
        assert "a name first" in screen_text(pilot.app)
        await press(pilot, "enter")
        await type_text(pilot, "wet, cold")
        await press(pilot, "enter")
        assert "without commas" in screen_text(pilot.app)
        await press(pilot, *["backspace"] * 9)
        await type_text(pilot, "other days")
        await press(pilot, "enter")
        assert "already" in screen_text(pilot.app)
        await press(pilot, "escape")
        await at(pilot, "0", "days_per_week")
        await press(pilot, "9", "enter")
        assert "7" in pilot.app.screen.query_one("#kinds-table", EditTable).message
        await press(pilot, "escape", "u")
        assert pilot.app.document.design == before


async def test_more_than_seven_days_are_said_to_shrink():
    async with opened() as pilot:
        await two_kinds(pilot)
        await at(pilot, "0", "days_per_week")
        await type_text(pilot, "6.5")
        await press(pilot, "enter")
        assert "shrunk to seven" in screen_text(pilot.app)


async def test_undo_that_takes_the_kinds_away_leads_back_from_their_loads():
    async with opened() as pilot:
        await two_kinds(pilot)
        await press(pilot, "l", "u", "u")
        await settled(pilot)
        assert isinstance(pilot.app.screen, KindsForm)


def test_leaving_one_kind_leaves_the_other_days_too_and_nothing_is_left_to_run_never():
    days = (Day("Work", 4), Day("Away", 1))
    assert days_with(Load(), days, "Work", runs=False) == "Away"
    assert days_with(Load(days="Away"), days, "work", runs=True) == "Work, Away"
    assert days_with(Load(days="Away"), days, "other days", runs=True) == ""
    assert days_with(Load(), days, "other days", runs=False) == "Work, Away"
    assert days_with(Load(), days, "Work", runs=True) == ""
    with pytest.raises(Refusal, match="no day at all"):
        days_with(Load(days="Away"), days, "Away", runs=False)


def test_only_rows_that_name_the_kind_are_renamed():
    loads = (Load(days="work,  Away"), Load(), Load(days="Workshop"))
    assert [load.days for load in renamed(loads, "Work", "Hide")] == ["Hide, Away", "", "Workshop"]
    assert renamed(loads, "", "Hide") == loads
