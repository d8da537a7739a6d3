"""What an eye trips over: where things stand, what touches, what is cut although there is room."""

from __future__ import annotations

import pytest

from tests.tui.conftest import NARROW, WIDE, opened, press, screen_text, shown
from tui.app import Ampledger


def _column(text: str, words: str) -> int:
    """The column at which `words` begin on the screen."""
    return next(line.index(words) for line in text.splitlines() if words in line)


@pytest.mark.parametrize("size", [NARROW, WIDE])
async def test_pictures_and_tables_begin_in_the_same_column(size: tuple[int, int]) -> None:
    async with opened(size=size) as pilot:
        app = pilot.app
        assert isinstance(app, Ampledger)
        text = screen_text(app)
        beside = "average" if size == WIDE else "Load  "  # a wide screen has the picture beside the table
        assert _column(text, "A day in December") == _column(text, beside)
        await press(pilot, "s")
        text = screen_text(app)
        assert _column(text, "July has") == _column(text, "Array, 4 modules")
        await press(pilot, "b", "v")
        text = screen_text(app)
        assert _column(text, "PUTTING THE BATTERY") == _column(text, "Days of autonomy") == 1
        await press(pilot, "y")
        await shown(pilot, "empty days in 10")
        text = screen_text(app)
        assert _column(text, "Income falls short") == _column(text, "Month How") == 1


async def test_a_week_has_the_height_of_a_narrow_terminal() -> None:
    async with opened(size=NARROW) as pilot:
        await press(pilot, "y")
        await shown(pilot, "empty days in 10")
        await press(pilot, "v")
        text = await shown(pilot, "Darkest week of December")
        rows = text.splitlines()
        assert [row for row in rows if "day 7" in row] and not [row for row in rows if "Given up" in row]
        first = next(at for at, row in enumerate(rows) if "100▔" in row)
        last = next(at for at, row in enumerate(rows) if "day 7" in row)
        assert last - first >= 10


async def test_a_form_keeps_labels_and_values_in_sight_on_a_small_screen():
    async with opened(size=(60, 20)) as pilot:
        await pilot.press("e")
        text = screen_text(pilot.app)
        assert "Power of one while running" in text and "45 W" in text
        await pilot.press("escape")
    async with opened() as pilot:
        await pilot.press("e")
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        text = screen_text(pilot.app)
        assert "Power of one while running" in text and "45 W" in text
