"""Marked rows: seen without colour, taken together, one undo step."""

from __future__ import annotations

import pytest
from textual import events

from tests.tui.conftest import opened, press, screen_text, settled
from tui.widgets.pasted_cells import pasted_cells

MARKED_TWO = ("asterisk", "down", "asterisk")  # the first and the third row


def names(app) -> list[str]:
    return [load.name for load in app.document.design.loads]


async def test_marks_are_seen_counted_and_forgotten():
    async with opened() as pilot:
        await press(pilot, *MARKED_TWO)
        lines = screen_text(pilot.app).splitlines()
        assert [line[0] for line in lines[3:7]] == ["*", " ", "*", " "]
        assert any("2 rows marked" in line for line in lines)
        await press(pilot, "escape")
        assert not any(line.startswith("*") for line in screen_text(pilot.app).splitlines())


@pytest.mark.parametrize("key", ["delete", "x", "d", "K", "J"])
async def test_what_is_done_to_marked_rows_is_one_edit(key: str):
    async with opened() as pilot:
        app = pilot.app
        before = app.document.design
        await press(pilot, "down", *MARKED_TWO, key)  # the second and the fourth
        a, b, c, d, e, *_ = [load.name for load in before.loads]
        wanted = {
            "delete": [a, c, e],
            "x": [a, b, c, d, e],
            "d": [a, b, c, d, f"{b} copy", f"{d} copy", e],
            "K": [b, a, d, c, e],
            "J": [a, c, b, e, d],
        }
        assert names(app)[: len(wanted[key])] == wanted[key]
        assert [load.on for load in app.document.design.loads[:5]].count(False) == (2 if key == "x" else 0)
        await press(pilot, "u")
        assert app.document.design == before
        assert app.here.marked == ()


async def test_marks_go_with_the_rows_and_stop_at_the_top():
    async with opened() as pilot:
        app = pilot.app
        before = names(app)
        await press(pilot, "down", *MARKED_TWO, "K", "K", "K", "K")
        assert app.here.marked == (0, 1)
        assert names(app)[:4] == [before[1], before[3], before[0], before[2]]


async def test_marked_rows_are_copied_as_they_can_be_pasted():
    async with opened() as pilot:
        app = pilot.app
        before = app.document.design
        await press(pilot, *MARKED_TWO, "C", "escape")
        app.here.table.post_message(events.Paste(app.clipboard))
        await settled(pilot)
        await pilot.pause(0.05)
        pasted = app.document.design.loads[4:6]  # below the cursor, which went on to the fourth row
        for new, old in zip(pasted, (before.loads[0], before.loads[2]), strict=True):
            assert (new.name, new.power_w, new.hours_per_day, new.duty) == (
                old.name,
                old.power_w,
                old.hours_per_day,
                old.duty,
            )


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("1,5 h", [["1,5 h"]]),
        ("Oct, Nov", [["Oct, Nov"]]),
        ("1,5 h\n2,5 h\n", [["1,5 h"], ["2,5 h"]]),
        ("Jan, Mar\nOct, Nov", [["Jan, Mar"], ["Oct, Nov"]]),
        ("Radio;1;5,5 W;2 h", [["Radio", "1", "5,5 W", "2 h"]]),
        ("Radio;1;5,5 W\nLamp;2;1,2 W\n\n", [["Radio", "1", "5,5 W"], ["Lamp", "2", "1,2 W"]]),
        ("Radio,1,5 W\nLamp,2,1.2 W", [["Radio", "1", "5 W"], ["Lamp", "2", "1.2 W"]]),
        ('"Radio, old",1\nLamp,2', [["Radio, old", "1"], ["Lamp", "2"]]),
        ("Radio,1\nLamp", [["Radio,1"], ["Lamp"]]),
        ("Radio, old\t1\nLamp;2", [["Radio, old", "1"], ["Lamp;2"]]),
        ("", []),
        ('a,"b\nc,d', [['a,"b'], ["c,d"]]),
    ],
)
def test_what_parts_the_cells_of_a_paste_is_found_out(text: str, rows: list[list[str]]):
    assert pasted_cells(text) == rows


async def test_rows_between_semicolons_become_loads():
    async with opened() as pilot:
        app = pilot.app
        app.here.table.post_message(events.Paste("Radio;1;5,5 W;2 h\nScope;2;20 W;1,5 h\n"))
        await settled(pilot)
        await pilot.pause(0.05)
        radio = next(load for load in app.document.design.loads if load.name == "Radio")
        assert (radio.power_w, radio.hours_per_day) == (5.5, 2.0)
