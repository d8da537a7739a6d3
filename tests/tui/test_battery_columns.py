"""The chemistries side by side: whole columns at every width, and those that are not wanted put away for good."""

from __future__ import annotations

import pytest
from textual.widgets import Static

from model.design import CHEMISTRIES
from model.year import chances
from tests.tui.conftest import opened, press, screen_text
from tui import settings
from tui.screens.battery import compare_columns


@pytest.mark.parametrize("room", [59, 79, 99, 119, 159])
@pytest.mark.parametrize("count", [1, 3, 5, 8])
def test_whole_columns_fill_the_room(room: int, count: int):
    first, *others = compare_columns(CHEMISTRIES[:count], room)
    used = first.width + 1 + sum(column.width + 1 for column in others)
    if used > room:  # the rest is scrolled to, a whole column at a time
        whole = (room - first.width - 1) // (others[0].width + 1)
        assert first.width + 1 + whole * (others[0].width + 1) == room
        assert first.label == f"{whole} of {count} →"
    assert all(column.width >= 11 for column in others)


async def test_no_column_is_cut_at_eighty_columns_scrolled_or_not():
    async with opened() as pilot:
        await press(pilot, "b")
        for _ in range(len(CHEMISTRIES)):
            line = next(line for line in screen_text(pilot.app).splitlines() if line.startswith(" units"))
            assert all(part.endswith("Ah") for part in line.removeprefix(" units").strip().split("  ") if part.strip())
            await pilot.press("right")
            await pilot.pause(0.02)


def heads(app) -> str:
    """The line with the names of the chemistries."""
    return screen_text(app).splitlines()[8]


async def test_a_chemistry_is_put_away_kept_away_and_shown_again():
    async with opened() as pilot:
        await press(pilot, "b", "right", "h")
        assert "LFP" in heads(pilot.app) and "NMC" not in heads(pilot.app)
        assert settings.load()[0].hidden == ("NMC",)
        await press(pilot, "left", "left", "left", "h")
        assert "The chosen chemistry stays" in screen_text(pilot.app)
    async with opened() as pilot:
        await press(pilot, "b")
        assert "LFP" in heads(pilot.app) and "NMC" not in heads(pilot.app)
        await press(pilot, "H")
        assert "NMC" in heads(pilot.app)
        assert settings.load()[0].hidden == ()


async def test_a_hidden_chemistry_that_is_chosen_is_shown():
    async with opened(size=(120, 40)) as pilot:
        await press(pilot, "b", "right", "h")
        pilot.app.here.fields.put_cursor("battery/chemistry", "value")
        pilot.app.here.fields.focus()
        await press(pilot, "space")
        assert pilot.app.document.design.battery.chemistry == "NMC"
        names = next(line for line in screen_text(pilot.app).splitlines() if "sodium-ion" in line and "gel" in line)
        assert "NMC" in names


async def test_totals_stay_in_sight_above_a_scrollbar():
    async with opened(size=(60, 20)) as pilot:
        assert "12 loads" in screen_text(pilot.app)
        await press(pilot, *["down"] * 12)
        text = screen_text(pilot.app)
        assert "12 loads" in text and "Always on" not in text.split("12 loads")[1]


async def test_what_the_simulated_years_do_to_the_chemistry_under_the_cursor_stands_beside_it():
    async with opened() as pilot:
        await press(pilot, "b")
        for _ in range(400):
            await pilot.pause(0.02)
            if "Simulated:" in screen_text(pilot.app):
                break
        odds = chances(pilot.app.plan, "LFP")
        beside = pilot.app.query_one("#battery-against", Static).render()
        told = f"{odds.full_cycles_per_year:.0f} full cycles a year, {odds.life_years:.0f} years of life"
        assert told in str(beside)
