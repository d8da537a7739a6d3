"""The pictures of the README, made by driving the program: `python -m tests.pictures` writes docs/pictures/*.svg.

The same program makes the same bytes: the state folder is new, nothing on the screen tells the time, and names in the SVG are
made the same in every run. The pictures ask no network for a font.
"""

from __future__ import annotations

import asyncio
import os
import re
import tempfile
import zlib
from collections.abc import Awaitable, Callable
from pathlib import Path

from textual.pilot import Pilot

from tui.app import Ampledger

FOLDER = Path(__file__).resolve().parent.parent / "docs" / "pictures"
NARROW, WIDE = (80, 24), (120, 40)
Steps = Callable[[Pilot[None]], Awaitable[None]]


def keys(*presses: str) -> Steps:
    """Press keys, one after another, the figures following each."""

    async def steps(pilot: Pilot[None]) -> None:
        for key in presses:
            await pilot.press(key)
            await settled(pilot)

    return steps


PICTURES: dict[str, tuple[tuple[int, int], Steps]] = {
    "loads-80x24": (NARROW, keys("down", "down", "down")),
    "sun-120x40": (WIDE, keys("s")),
    "battery-120x40": (WIDE, keys("b")),
    "working-80x24": (NARROW, keys("end", "left", "w")),
    "place-search-80x24": (NARROW, keys("p", *"greensbro")),
    "findings-120x40": (WIDE, keys("f")),
    "year-120x40": (WIDE, keys("y")),
    "map-120x40": (WIDE, keys("y", "v", "v")),
    "circuits-80x24": (NARROW, keys("i")),
    "circuit-120x40": (WIDE, keys("i", *["down"] * 5, "enter")),
    "report-120x40": (WIDE, keys("r", "down", "down", "down")),
}


async def settled(pilot: Pilot[None]) -> None:
    """Wait until the figures are those of the design on the screen and nothing is being painted."""
    app = pilot.app
    assert isinstance(app, Ampledger)
    for _ in range(1000):
        await pilot.pause(0.02)
        if any(worker.is_running for worker in app.workers if worker.group in ("odds", "year", "map", "report")):
            continue  # the odds come from a thread
        if app.document is not None and app.plan is not None and app.plan.design == app.document.design:
            await pilot.pause(0.1)
            return
    raise TimeoutError("the plan did not come")


async def taken(size: tuple[int, int], steps: Steps) -> str:
    """The screen as SVG after `steps`."""
    app = Ampledger()
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await steps(pilot)
        return plain(app.export_screenshot(title="Ampledger"))


def plain(svg: str) -> str:
    """Without the fonts of a distant server and a window's buttons, and with identifiers that are the same in every run."""
    svg = re.sub(r"\s*@font-face \{.*?\}", "", svg, flags=re.DOTALL)
    svg = re.sub(r"font-family: (?:Fira Code|arial)[^;]*;", "font-family: ui-monospace, monospace;", svg)
    svg = re.sub(r"\s*<circle [^>]*/>", "", svg)
    number = re.findall(r"terminal-(\d+)", svg)[0]
    return svg.replace(f"terminal-{number}", f"terminal-{zlib.crc32(svg.replace(number, '').encode())}")


async def main() -> None:
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, (size, steps) in PICTURES.items():
        with tempfile.TemporaryDirectory() as state:
            os.environ["AMPLEDGER_STATE"] = state
            (FOLDER / f"{name}.svg").write_text(await taken(size, steps), encoding="utf-8")
        print(f"{name}.svg")


if __name__ == "__main__":
    asyncio.run(main())
