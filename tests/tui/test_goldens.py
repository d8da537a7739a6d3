"""What each screen shows on the demonstration, as plain text, so that a change of it is seen and meant.

After a change that is meant: `AMPLEDGER_GOLDENS=write .venv/bin/python -m pytest tests/tui/test_goldens.py`, then read the
difference before committing it.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.conftest import NARROW, WIDE, opened, screen_text, settled

FOLDER = Path(__file__).parent / "goldens"
SHOWN = {
    "loads": (),
    "sun": ("s",),
    "sun-months": ("s", "v"),
    "battery": ("b",),
    "year": ("y",),
    "working": ("end", "left", "w"),
    "findings": ("f",),
    "help": ("question_mark",),
}


async def simulated(pilot: Pilot[None]) -> None:
    """Wait for the odds, which come from a thread."""
    for _ in range(1500):
        if not any(worker.is_running for worker in pilot.app.workers if worker.group in ("odds", "year")):
            return
        await pilot.pause(0.02)
    raise AssertionError("the odds did not come")


@pytest.mark.parametrize("size", [NARROW, WIDE], ids=["80x24", "120x40"])
@pytest.mark.parametrize("name", SHOWN)
async def test_screen_as_text(name: str, size: tuple[int, int]):
    async with opened(size=size) as pilot:
        for key in SHOWN[name]:
            await pilot.press(key)
        await settled(pilot)
        await simulated(pilot)
        await pilot.pause(0.1)
        text = screen_text(pilot.app)
    golden = FOLDER / f"{name}-{size[0]}x{size[1]}.txt"
    if os.environ.get("AMPLEDGER_GOLDENS") == "write":
        golden.parent.mkdir(exist_ok=True)
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")
    assert max(len(line) for line in text.splitlines()) <= size[0]
