"""The program under a pilot: opened on a design, its first plan worked out, at the sizes that people have."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tui.app import Ampledger

NARROW, WIDE = (80, 24), (120, 40)
Opened = Callable[..., AbstractAsyncContextManager[Pilot[None]]]


@pytest.fixture(autouse=True)
def state_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Recovery journals of tests lie in a folder of their own."""
    folder = tmp_path / "state"
    monkeypatch.setenv("AMPLEDGER_STATE", str(folder))
    return folder


@pytest.fixture
def brisk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys without the wait until the processor rests, which Textual's pilot puts twice behind each: 40 ms, and 2 s while a
    simulation runs in a thread. Messages are still worked off. For tests that press many keys and look by `settled`."""

    async def wait_for_idle(_least_s: float = 0, _most_s: float = 0) -> None:
        await asyncio.sleep(0.004)  # a key goes through two queues before anything happens

    for user in ("app", "pilot"):
        monkeypatch.setattr(f"textual.{user}.wait_for_idle", wait_for_idle)


@asynccontextmanager
async def opened(path: Path | None = None, size: tuple[int, int] = NARROW) -> AsyncIterator[Pilot[None]]:
    """The program with its plan on the screen."""
    app = Ampledger(path)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        yield pilot


async def settled(pilot: Pilot[None], app: Ampledger | None = None) -> None:
    """Wait until the figures are those of the design on the screen."""
    here = app or pilot.app
    assert isinstance(here, Ampledger)
    for _ in range(400):
        await pilot.pause(0.01)
        if here.document is not None and here.plan is not None and here.plan.design == here.document.design:
            await pilot.pause()
            return
    raise AssertionError("the plan did not come")


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Press keys, then wait for the figures."""
    await pilot.press(*keys)
    await settled(pilot)


async def type_text(pilot: Pilot[None], text: str) -> None:
    """Type a text character by character."""
    names = {" ": "space", ",": "comma", ".": "full_stop", "-": "minus", "%": "percent_sign", ":": "colon"}
    await pilot.press(*[names.get(character, character) for character in text])


def screen_text(app: Ampledger) -> str:
    """What the screen shows, as plain text, trailing blanks cut."""
    lines = ("".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips())
    return "\n".join(line.rstrip() for line in lines) + "\n"
