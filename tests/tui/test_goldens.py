"""What each screen shows on the demonstration, as plain text, so that a change of it is seen and meant: one journey by keyboard
through all of them, at four sizes.

After a change that is meant: `AMPLEDGER_GOLDENS=write .venv/bin/python -m pytest tests/tui/test_goldens.py`, then read the
difference before committing it.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.conftest import opened, screen_text, settled, until

FOLDER = Path(__file__).parent / "goldens"
THREADS = ("odds", "year", "report", "sensitivity")
SIZES = ((80, 24), (100, 30), (120, 40), (160, 50))
JOURNEY = {
    "loads": (),
    "working": ("end", "left", "w"),
    "findings": ("escape", "f"),
    "help": ("escape", "question_mark"),
    "sun": ("escape", "s"),
    "sun-months": ("v",),
    "battery": ("b",),
    "year": ("y",),
    "circuits": ("i",),
    "circuit": (*["down"] * 5, "enter"),
    "schedule": ("escape", "v"),
    "report": ("r", "down", "down"),
}
"""The keys from each screen to the next."""


async def at_rest(pilot: Pilot[None]) -> None:
    """Wait for what comes from threads: figures, odds, the report, what a figure hangs on."""
    await settled(pilot)
    await until(pilot, lambda: not any(one.is_running and one.group in THREADS for one in pilot.app.workers))
    await pilot.pause(0.1)


@pytest.mark.parametrize("size", SIZES, ids=["x".join(map(str, size)) for size in SIZES])
async def test_screens_as_text(size: tuple[int, int]):
    shown = {}
    async with opened(size=size) as pilot:
        for name, keys in JOURNEY.items():
            for key in keys:
                await pilot.press(key)
            await at_rest(pilot)
            shown[FOLDER / f"{name}-{size[0]}x{size[1]}.txt"] = screen_text(pilot.app)
    if os.environ.get("AMPLEDGER_GOLDENS") == "write":
        FOLDER.mkdir(exist_ok=True)
        for golden, text in shown.items():
            golden.write_text(text, encoding="utf-8")
    for golden, text in shown.items():
        assert text == golden.read_text(encoding="utf-8"), golden.stem
        assert max(len(line) for line in text.splitlines()) <= size[0]


def test_no_golden_is_left_over():
    assert {one.stem.rpartition("-")[0] for one in FOLDER.iterdir()} == set(JOURNEY)
