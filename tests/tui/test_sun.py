"""Sun: every figure beside the picture has its working, with other income and without."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model import shelf
from model.design import Alternator
from model.plan import plan
from model.record.files import open_design
from tests.tui.conftest import opened, press, screen_text, shown
from tui.screens.sun import figure_rows

DEMO = open_design(shelf.path("heron.toml")).design


@pytest.mark.parametrize("design", [DEMO, replace(DEMO, alternator=Alternator())], ids=["driving", "sun alone"])
def test_every_figure_has_its_working(design):
    made = plan(design)
    assert made.supply is not None
    for row in figure_rows(made, made.supply):
        assert made.chain(row.key), row.key


def test_what_income_covers_is_the_balance_of_the_day():
    """(harvest + other) x what the battery gives back / use, worked by hand from the figures beside it."""
    made = plan(DEMO)
    month = made.supply.month
    back = made.working["storage.efficiency"].value
    by_hand = (month.harvest_wh_per_day + month.other_income_wh_per_day) * back / month.use_wh_per_day
    assert made.working["supply.coverage"].value == pytest.approx(100 * by_hand)


async def test_the_array_and_what_is_needed_are_seen_in_a_small_terminal():
    async with opened() as pilot:
        await press(pilot, "s")
        text = screen_text(pilot.app)
        assert "Array, " in text and "Array needed, sun alone" in text and "Income covers" in text
        await pilot.resize_terminal(60, 20)
        needed = next(line for line in (await shown(pilot, "Array needed,")).splitlines() if "Array needed," in line)
        assert f"{pilot.app.plan.supply.month.needed_w:.0f} W" in needed, "its figure is not cut off"
