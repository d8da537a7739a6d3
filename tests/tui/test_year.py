"""Year: the fan in characters, the odds in words, and a simulation that never stands in the way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.tui.conftest import opened, press, screen_text, settled
from tui.screens.year import YearPlace
from tui.widgets.fan_chart import WEEK_H, Fan, draw_fan


@pytest.fixture(autouse=True)
def few_years(monkeypatch):
    """How many years stand behind the map is not what the screen is tested for, and costs seconds."""
    monkeypatch.setattr("tui.screens.year.reach.YEARS", 6)


LEVEL = tuple((level,) * WEEK_H for level in (0.3, 0.4, 0.5, 0.6, 0.9))


@pytest.mark.parametrize(("width", "height"), [(36, 8), (60, 12), (80, 9), (120, 20)])
def test_the_fan_fits_and_says_what_it_shows(width, height):
    lines = draw_fan(Fan(LEVEL, 0.2, "The darkest week of December"), width, height).lines()
    assert len(lines) == height
    assert {len(line) for line in lines} == {width}
    text = "\n".join(lines)
    assert "empty" in text and "┄" in text
    assert "▒" in text and "░" in text
    first, last = ("day 1", "day 7") if width > 50 else ("d1", "d7")
    assert first in lines[-1] and last in lines[-1]


def test_the_fan_stands_at_its_values():
    """Ten rows of 10 %: the middle half, 40 to 60 %, takes two rows, eight of ten years, 30 to 90 %, four more."""
    lines = draw_fan(Fan(LEVEL, 0.05), 60, 13).lines()
    column = [line[30] for line in lines[1:]]  # below the legend
    rows = [row for row in column if row == "▒" or "⠀" <= row <= "⣿"]
    assert column.count("░") == 4
    assert len(rows) == 2


def test_a_band_reaches_a_row_only_where_it_fills_some_of_it_and_shows_behind_the_middle_line():
    """Rows of 20 percent: a band from 41 to 79 percent fills two of them, one from 36 to 84 percent no more."""
    hours = [0.0] * WEEK_H
    level = [[value + hour for hour in hours] for value in (0.36, 0.41, 0.5, 0.79, 0.84)]
    canvas = draw_fan(Fan(level), 40, 7)
    middle = [canvas.at(20, y) for y in range(1, 6)]
    assert [role for _, role in middle] == ["", "load", "on-band", "", "bad"], middle


def test_a_fan_of_another_shape_is_refused():
    with pytest.raises(ValueError, match="five percentiles"):
        draw_fan(Fan(LEVEL[:3], 0.2), 60, 10)
    with pytest.raises(ValueError, match="equally many hours"):
        draw_fan(Fan((*LEVEL[:4], LEVEL[4][:24]), 0.2), 60, 10)
    with pytest.raises(ValueError, match="one level"):
        draw_fan(Fan(LEVEL, (0.2, 0.2)), 60, 10)


def test_a_fan_of_a_journey_names_its_stops_where_they_begin_and_keeps_the_floor_of_each():
    """Two stops of 3.5 days each: the second begins in the middle, with a higher reserve."""
    floor = (0.05,) * 84 + (0.25,) * 84
    lines = draw_fan(Fan(LEVEL, floor, "", [(0, "1 Dec Alder", "Alder"), (84, "4 Dec Birch", "Birch")]), 64, 13).lines()
    assert lines[-1].index("1 Dec Alder") == 4
    assert lines[-1].index("4 Dec Birch") == 4 + 30
    bottom, third = (line for line in (lines[11], lines[9]))
    assert "┄" in bottom[:34] and "┄" not in bottom[34:]
    assert "┄" in third[34:] and "┄" not in third[:34]
    assert "╎" in lines[2]
    narrow = draw_fan(Fan(LEVEL, floor, "", [(0, "1 Dec Alder", "Alder"), (84, "4 Dec Birch", "Birch")]), 20, 9).lines()
    assert narrow[-1][4:].split() == ["Alder", "Birch"]


async def simulated(pilot) -> YearPlace:
    place = pilot.app.query_one(YearPlace)
    for _ in range(800):
        await pilot.pause(0.01)
        if place.found is not None and place.found.plan.design == pilot.app.document.design:
            await pilot.pause()
            return place
    raise AssertionError("the simulation did not come")


async def worked_out(pilot) -> None:
    """Wait until nothing of the Year runs any more."""
    for _ in range(800):
        await pilot.pause(0.01)
        if not any(worker.is_running for worker in pilot.app.workers if worker.group in ("year", "map", "trip")):
            await pilot.pause(0.05)
            return
    raise AssertionError("the Year is still at work")


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


SIZES = ((60, 20), (80, 24), (120, 40))


async def test_every_view_is_whole_at_every_size():
    words = {
        "income": ("Income falls short in", "Decembers"),
        "darkest": ("Darkest week of December", "day 7", "empty days a year"),
        "typical": ("Typical week of December", "day 7", "empty days a year"),
        "map": (
            "1 day in 100",
            "1 day in 10",
            "1 day in 3",
            "◆ this design",
            "smallest battery for 460 W",
            "in December",
        ),
        "trip": ("Stop", "Arrival", "Leaves", "trips", "Loire mouth"),
    }
    async with opened() as pilot:
        await press(pilot, "y")
        place = await simulated(pilot)
        for view, wanted in words.items():
            place.set_view(view)
            await worked_out(pilot)
            for size in SIZES:
                await pilot.resize_terminal(*size)
                await pilot.pause(0.1)
                text = screen_text(pilot.app)
                for word in wanted:
                    assert word in text, (view, size, word, text)
                regions = [
                    widget.region
                    for name in ("views", "chart", "darkest", "typical", "map", "table", "trip", "state")
                    if (widget := place.query_one(f"#year-{name}")).region.area
                ]
                for index, one in enumerate(regions):
                    assert place.region.contains_region(one), (view, size)
                    assert not any(one.overlaps(other) for other in regions[index + 1 :]), (view, size)


async def test_the_wide_year_shows_both_weeks_side_by_side_and_passes_over_one_view():
    async with opened(size=(120, 40)) as pilot:
        await press(pilot, "y")
        place = await simulated(pilot)
        await pilot.press("v")
        await pilot.pause(0.1)
        text = screen_text(pilot.app)
        assert "Typical week of December:" in text and "Darkest week of December:" in text
        assert place.has_class("-typical")


async def test_the_odds_lose_whole_columns_where_there_is_no_room_and_keep_the_cursor():
    async with opened() as pilot:
        await press(pilot, "y")
        place = await simulated(pilot)
        assert "Unmet" in screen_text(pilot.app)
        place.table.put_cursor("11", "unmet")
        await pilot.resize_terminal(60, 20)
        await pilot.pause(0.1)
        text = screen_text(pilot.app)
        assert "Chance" in text and "Un" not in text.replace("Under", "")
        assert place.table.cursor == ("11", "words")
        await pilot.resize_terminal(80, 24)
        await pilot.pause(0.1)
        assert "Unmet" in screen_text(pilot.app)
        assert place.table.cursor == ("11", "words")


async def test_the_target_turns_without_another_simulation():
    async with opened() as pilot:
        await press(pilot, "y")
        place = await simulated(pilot)
        place.set_view("map")
        await worked_out(pilot)
        before = place.map.found
        assert "under 1 empty day in 10" in screen_text(pilot.app).lower()
        await pilot.press("t")
        await pilot.pause()
        text = screen_text(pilot.app)
        assert "Under 1 empty day in 100" in text and "more keeps December under 1 empty day in 100" in text
        assert "▲" in text and "▶" in text, "the ways to the line have signs, not a colour alone"
        assert place.map.found is before


async def test_the_map_is_made_only_where_it_is_looked_at_and_can_be_stopped():
    async with opened() as pilot:
        await press(pilot, "y")
        place = await simulated(pilot)
        assert place.map.found is None and not any(worker.group == "map" for worker in pilot.app.workers)
        place.set_view("map")
        await pilot.pause(0.45)
        await pilot.press("k")
        await pilot.pause(0.05)
        assert "stopped" in screen_text(pilot.app)
        assert place.map.found is None or place.map.found.use is None
        await pilot.press("k")
        await pilot.pause(0.3)
        assert "Nothing is being worked out" in screen_text(pilot.app)


async def test_the_verdict_counts_the_findings_that_the_list_has():
    async with opened(size=(120, 40)) as pilot:
        await press(pilot, "y")
        place = await simulated(pilot)
        more = place.more_findings(pilot.app.plan)
        assert more
        count = len(pilot.app.plan.findings) + len(more)
        assert f"{count} findings" in screen_text(pilot.app).splitlines()[1]
        await pilot.press("l", "f")
        await pilot.pause()
        assert f"{count} findings" in screen_text(pilot.app)
        await pilot.press("escape")
        pilot.app.edit(replace(pilot.app.document.design, month=6), "June")
        await settled(pilot)
        assert f"{len(pilot.app.plan.findings)} finding" in screen_text(pilot.app).splitlines()[1]


async def test_without_colours_signs_and_words_say_it(monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened() as pilot:
        await press(pilot, "y", "t")
        place = await simulated(pilot)
        place.set_view("darkest")
        await pilot.pause(0.05)
        text = screen_text(pilot.app)
        assert all(sign in text for sign in ("▒ half of all years", "░ 8 of 10", "┄", "empty"))
        place.set_view("map")
        await worked_out(pilot)
        text = screen_text(pilot.app)
        assert all(
            sign in text for sign in ("◆", "▲", "▶", "1 day in 100", "1 day in 10", "1 day in 3", "Under 1 empty day")
        )


async def test_a_place_without_climate_says_what_to_do():
    async with opened() as pilot:
        design = pilot.app.document.design
        pilot.app.edit(
            replace(design, place=replace(design.place, latitude_deg=21.3, longitude_deg=-157.85)), "Honolulu"
        )
        await press(pilot, "y")
        assert "t types twelve months" in screen_text(pilot.app)
