"""The first minute: a demonstration that says what to do, and five questions that lead to a design of one's own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from textual.pilot import Pilot

from model.design import Design, Place
from model.record.files import save, untitled
from model.record.start import starter
from tests.tui.conftest import opened, press, screen_text, settled, type_text
from tui import settings
from tui.app import WELCOME, Ampledger
from tui.screens.new_design import darkest_month
from tui.settings import Settings


async def answer(pilot: Pilot[None], *texts: str) -> None:
    """Type the answers, each taken with Enter, which goes on to the next."""
    for text in texts:
        await type_text(pilot, text)
        await pilot.press("enter")


async def test_the_demonstration_says_what_to_do_first():
    async with opened() as pilot:
        assert WELCOME in screen_text(pilot.app)
    assert len(WELCOME) <= 78


async def test_enter_takes_the_answers_that_stand_there():
    """Seven keys to the loads: six answers as they are, and the last line."""
    async with opened() as pilot:
        await pilot.press("N")
        await pilot.pause(0.05)
        await pilot.press(*["enter"] * 7)
        await pilot.pause(0.1)
        assert "Typical loads" in screen_text(pilot.app)


async def test_five_answers_and_three_loads_give_battery_and_array():
    """Place, months, nights, roof, then three loads picked by a word each; test_keystrokes counts the keys."""
    async with opened() as pilot:
        app = pilot.app
        await pilot.press("N")
        await pilot.pause(0.05)
        await answer(pilot, "granada", "Oct-Apr", "3", "4 m", "1.7 m", "24 V")
        await pilot.press("enter")
        await pilot.pause(0.1)
        assert WELCOME not in screen_text(app), "it speaks of the demonstration"
        for word in ("fridge", "lamp", "pump"):
            await type_text(pilot, word)
            await pilot.press("enter")
            await pilot.pause(0.1)
        await press(pilot, "escape")
        design = app.document.design
        assert design.place.name.startswith("Granada, Andalusia") and design.place.latitude_deg == pytest.approx(
            37.2, abs=0.1
        )
        assert design.months_of_use == (1, 2, 3, 4, 10, 11, 12) and design.month == 12
        assert (design.battery.autonomy_days, design.roof.length_m, design.roof.width_m) == (3.0, 4.0, 1.7)
        assert design.system.nominal_v == 24.0
        long = replace(design.place, name="Bristol, England, United Kingdom")
        app.edit(replace(design, place=long), "place")
        await press(pilot)
        heading = screen_text(app).splitlines()[0].rstrip()
        assert "…" in heading and heading.endswith("m December"), "the place gives way, not the month"
        await press(pilot, "u")
        assert len(design.loads) == 3
        assert app.plan.storage.chosen.capacity_needed_ah > 0 and app.plan.supply.month.needed_w > 0
        assert "3 loads" in screen_text(app)
        await press(pilot, "u", "u")
        assert "1 load " in screen_text(app) and "1 loads" not in screen_text(app)
        await press(pilot, "u")
        assert app.document.design.loads == ()


async def test_what_cannot_be_understood_waits_to_be_put_right():
    async with opened() as pilot:
        app = pilot.app
        before = app.document
        await pilot.press("N")
        await pilot.pause(0.05)
        await answer(pilot, "qqqqqqqq")
        assert "no such place" in screen_text(app)
        await pilot.press(*["down"] * 6, "enter")
        await pilot.pause(0.05)
        assert "put it right" in screen_text(app)
        await pilot.press("escape", "escape")
        await settled(pilot)
        assert app.document is before


async def test_new_designs_begin_as_the_settings_say():
    settings.save(replace(Settings(), chemistry="AGM", conductors="AWG"))
    async with opened() as pilot:
        await pilot.press("N")
        await pilot.pause(0.05)
        await pilot.press(*["enter"] * 7)
        await pilot.pause(0.1)
        await press(pilot, "escape")
        design = pilot.app.document.design
        assert (design.battery.chemistry, design.wiring.conductors) == ("AGM", "AWG")


async def test_a_file_just_made_is_asked_about_and_can_be_undone(tmp_path: Path):
    path = tmp_path / "mine.toml"
    save(untitled(starter()), starter(), path)
    app = Ampledger(path, begin=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.pause(0.1)
        await answer(pilot, "oslo")
        await pilot.press(*["down"] * 5, "enter")
        await pilot.pause(0.1)
        await press(pilot, "escape")
        assert app.document.design.place.name.startswith("Oslo")
        await press(pilot, "u")
        assert app.document.design == starter()


@pytest.mark.parametrize(
    ("months", "latitude_deg", "month"),
    [((6, 7, 8), 45, 8), ((10, 11, 1, 2), 45, 11), ((12, 1, 2), -33, 2), (tuple(range(1, 13)), -33, 6)],
)
def test_the_month_looked_at_is_the_darkest_of_use(months: tuple[int, ...], latitude_deg: float, month: int):
    """Nearest to the solstice of the hemisphere's winter; of two as near the one that is named first."""
    design = Design(months_of_use=months, place=Place("here", latitude_deg, 0))
    assert darkest_month(design) == month


async def test_the_name_of_the_design_is_edited():
    async with opened() as pilot:
        app = pilot.app
        await pilot.press("E", "enter", "ctrl+u")
        await type_text(pilot, "Egret")
        await press(pilot, "enter")
        assert app.document.design.name == "Egret"
        await press(pilot, "escape", "u")
        assert app.document.design.name != "Egret"
