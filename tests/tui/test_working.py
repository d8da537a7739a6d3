"""The working view: the chain at once, then what matters most."""

from __future__ import annotations

from textual.pilot import Pilot

from tests.tui.conftest import opened, press, screen_text
from tui.screens.working import MATTERS


async def tried(pilot: Pilot[None]) -> str:
    """What is shown once the inputs have been tried."""
    for _ in range(400):
        await pilot.pause(0.02)
        if not any(worker.is_running for worker in pilot.app.workers if worker.group == "sensitivity"):
            break
    await pilot.pause(0.05)
    return screen_text(pilot.app)


async def test_the_chain_comes_first_then_what_matters_most():
    async with opened(size=(120, 40)) as pilot:
        await press(pilot, "b")
        await pilot.press("w")
        await pilot.pause()
        assert "LFP: capacity needed: 271.598 Ah" in screen_text(pilot.app)
        text = await tried(pilot)
        assert MATTERS in text
        assert "+10.0 %  2 → 2.2" in text and "  Battery: days of autonomy" in text


async def test_on_a_low_screen_there_is_room_for_both():
    async with opened(size=(60, 20)) as pilot:
        await press(pilot, "b")
        await pilot.press("w")
        text = await tried(pilot)
        assert "Battery: days of autonomy" in text and "2 → 2.2" in text and "IEEE 1013" in text


async def test_leaving_early_is_no_trouble():
    async with opened() as pilot:
        await press(pilot, "b")
        await pilot.press("w", "escape")
        await tried(pilot)
        assert len(pilot.app.screen_stack) == 1
