"""Rows pasted from a spreadsheet into the load table."""

from __future__ import annotations

from textual import events

from model import edit
from model.design import Design, Load
from tests.tui.conftest import opened, press, screen_text, settled
from tui.screens.paste import pasted

TWO = Design(loads=(Load(name="Fridge", power_w=45.0), Load(name="Heater", power_w=20.0)))


def test_rows_that_begin_with_a_name_are_new_loads_below_the_cursor():
    design, count, refused = pasted(TWO, 0, "name", [["Radio", "1", "5 W", "2 h"], ["Drone", "2", "60 W", "1"]])
    assert [load.name for load in design.loads] == ["Fridge", "Radio", "Drone", "Heater"]
    assert (design.loads[2].quantity, design.loads[2].power_w, design.loads[2].hours_per_day) == (2, 60.0, 1.0)
    assert design.loads[0] == TWO.loads[0] and design.loads[3] == TWO.loads[1]
    assert count == 2 and not refused


def test_headings_are_passed_over_and_an_empty_row_is_used():
    begun = edit.insert(TWO, "loads", 1, [Load()])
    design, count, refused = pasted(begun, 1, "name", [["Load", "Qty", "Power", "Hours"], ["Radio", "1", "5 W", "2 h"]])
    assert [load.name for load in design.loads] == ["Fridge", "Radio", "Heater"]
    assert count == 1 and not refused


def test_figures_pasted_alone_replace_those_from_the_cursor_on():
    design, count, refused = pasted(TWO, 1, "power", [["30 W", "4 h"], ["7 W", "25 h"]])
    assert [load.power_w for load in design.loads] == [45.0, 30.0, 7.0]
    assert design.loads[1].hours_per_day == 4.0
    assert count == 2 and len(refused) == 1 and refused[0].startswith("row 3: ") and "24 hours" in refused[0]


def test_no_more_rows_than_a_table_takes():
    design, count, refused = pasted(TWO, None, "name", [[f"row {index}"] for index in range(edit.MOST_ROWS)])
    assert len(design.loads) == edit.MOST_ROWS and count == edit.MOST_ROWS - 2
    assert refused == [f"rows beyond {edit.MOST_ROWS}"]


async def test_a_paste_says_what_it_left_out_and_is_one_edit():
    async with opened() as pilot:
        app = pilot.app
        before = app.document.design
        app.here.table.post_message(events.Paste("Radio\t1\t5 W\t2 h\nBad\tx\t1,500 W\t25\n"))
        await settled(pilot)
        await pilot.pause(0.05)
        assert "pasted 2 rows, 3 cells left out (Bad: " in screen_text(app)
        await press(pilot, "u")
        assert app.document.design == before
