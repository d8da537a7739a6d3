"""Year: the fan in characters, the odds in words, and a simulation that never stands in the way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.tui.conftest import opened, press, screen_text, settled
from tui.screens.year import YearPlace
from tui.widgets.fan_chart import WEEK_H, draw_fan

LEVEL = tuple((level,) * WEEK_H for level in (0.3, 0.4, 0.5, 0.6, 0.9))


@pytest.mark.parametrize(("width", "height"), [(36, 8), (60, 12), (80, 9), (120, 20)])
def test_the_fan_fits_and_says_what_it_shows(width, height):
    lines = draw_fan(LEVEL, 0.2, width, height, "The darkest week of December").lines()
    assert len(lines) == height
    assert {len(line) for line in lines} == {width}
    text = "\n".join(lines)
    assert "empty" in text and "┄" in text
    assert "▒" in text and "░" in text
    first, last = ("day 1", "day 7") if width > 50 else ("d1", "d7")
    assert first in lines[-1] and last in lines[-1]


def test_the_fan_stands_at_its_values():
    """Ten rows of 10 %: the middle half, 40 to 60 %, takes two rows, eight of ten years, 30 to 90 %, four more."""
    lines = draw_fan(LEVEL, 0.05, 60, 13).lines()
    column = [line[30] for line in lines[1:]]  # below the legend
    rows = [row for row in column if row == "▒" or "⠀" <= row <= "⣿"]
    assert column.count("░") == 4
    assert len(rows) == 2


def test_a_fan_of_another_shape_is_refused():
    with pytest.raises(ValueError, match="168 hours"):
        draw_fan(LEVEL[:3], 0.2, 60, 10)


async def simulated(pilot) -> YearPlace:
    place = pilot.app.query_one(YearPlace)
    for _ in range(800):
        await pilot.pause(0.01)
        if place.found is not None and place.found.plan.design == pilot.app.document.design:
            await pilot.pause()
            return place
    raise AssertionError("the simulation did not come")


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
async def test_the_year_tells_its_odds_and_follows_an_edit(size):
    async with opened(size=size) as pilot:
        await press(pilot, "y")
        place = await simulated(pilot)
        before = place.found.odds.empty_days_per_year
        text = screen_text(pilot.app)
        assert "Decembers" in text and "empty days a year" in text
        assert "Income falls short in" in text
        pilot.app.edit(
            replace(pilot.app.document.design, battery=replace(pilot.app.document.design.battery, installed_ah=2000.0)),
            "a large battery",
        )
        await settled(pilot)
        assert (await simulated(pilot)).found.odds.empty_days_per_year < before


async def test_the_working_of_a_chance_names_its_source():
    async with opened() as pilot:
        await press(pilot, "y")
        await simulated(pilot)
        await pilot.press("w")
        await pilot.pause()
        text = screen_text(pilot.app)
        assert "Chance of an empty day, December" in text
        assert "synthetic days" in text


async def test_a_place_without_climate_says_what_to_do():
    async with opened() as pilot:
        design = pilot.app.document.design
        pilot.app.edit(
            replace(design, place=replace(design.place, latitude_deg=21.3, longitude_deg=-157.85)), "Honolulu"
        )
        await press(pilot, "y")
        assert "t types twelve months" in screen_text(pilot.app)
