"""Rows pasted from a spreadsheet into the load table."""

from __future__ import annotations

from textual import events

from model import edit
from model.design import Design, Load
from tests.tui.conftest import opened, press, screen_text, settled
from tui.screens.paste import pasted, words
from tui.screens.paste_head import head_of

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
        told = screen_text(app)
        assert "Left out of the paste" in told and told.count("Bad: ") == 3
        await press(pilot, "k")
        assert "pasted 2 rows, 3 cells left out" in screen_text(app)
        await press(pilot, "u")
        assert app.document.design == before


async def test_a_line_of_headings_alone_is_no_edit():
    async with opened() as pilot:
        pilot.app.here.table.post_message(events.Paste("Load\tPower\tHours"))
        await settled(pilot)
        await pilot.pause(0.05)
        assert not pilot.app.document.past and "nothing pasted" in screen_text(pilot.app)


def test_units_say_which_column_is_which_where_no_head_does():
    design, count, refused = pasted(TWO, None, "name", [["Sat antenna", "40 W", "6 h"]])
    assert count == 1 and not refused
    assert (design.loads[2].name, design.loads[2].power_w, design.loads[2].hours_per_day) == ("Sat antenna", 40.0, 6.0)
    design, count, refused = pasted(TWO, None, "name", [["Radio", "2 h", "5 W", "3"], ["Lamp", "90 min", "4 W", "6"]])
    radio, lamp = design.loads[2:]
    assert (radio.quantity, radio.power_w, radio.hours_per_day) == (3, 5.0, 2.0) and not refused
    assert (lamp.quantity, lamp.power_w, lamp.hours_per_day) == (6, 4.0, 1.5)


def test_thousands_are_asked_about_when_they_are_pasted_too():
    design, _, refused = pasted(TWO, None, "name", [["Kettle", "1", "1.200 W", "6 min"]])
    assert design.loads[2].power_w is None and "1200" in refused[0]


def test_a_head_says_which_column_is_which():
    """A sheet in another order, with a price and with amperes, as somebody keeps it; bare numbers have the unit of their head."""
    rows = [
        ["No.", "Hours a day", "Price", "Device", "Amps", "Qty"],
        ["1", "2,5", "30", "Radio", "0.4", "1"],
        ["2", "90 min", "", "Drone", "5", "2"],
    ]
    design, count, refused = pasted(TWO, 1, "name", rows)
    radio, drone = design.loads[2:]
    assert (radio.name, radio.current_a, radio.hours_per_day, radio.quantity) == ("Radio", 0.4, 2.5, 1)
    assert (drone.name, drone.current_a, drone.hours_per_day, drone.quantity) == ("Drone", 5.0, 1.5, 2)
    assert count == 2 and refused == ["column No.", "column Price"]
    assert words(count, refused) == "pasted 2 rows, without No., Price"


def test_a_heads_unit_goes_for_bare_numbers_alone():
    rows = [["Item", "Power (kW)", "Time on [min]"], ["Kettle", "1.2", "6"], ["Lamp", "4 W", "3 h"]]
    design, _, refused = pasted(TWO, None, "name", rows)
    kettle, lamp = design.loads[2:]
    assert (kettle.power_w, kettle.hours_per_day) == (1200.0, 0.1)
    assert (lamp.power_w, lamp.hours_per_day) == (4.0, 3.0) and not refused


def test_a_column_named_twice_is_taken_once_and_a_lone_head_is_no_head():
    rows = [["Load", "Power", "Watts"], ["Radio", "5", "7"]]
    design, _, refused = pasted(TWO, None, "name", rows)
    assert design.loads[2].power_w == 5.0 and refused == ["column Watts"]
    assert head_of(["Load", "Colour"]) is None and head_of(["Power", "Hours"]) is None
