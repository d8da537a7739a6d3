"""The program under a pilot: opened on a design, its first plan worked out, at the sizes that people have."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.waiting import patient_pilots, screen_text, settled, shown, until
from tui.app import Ampledger

__all__ = ["NARROW", "WIDE", "opened", "press", "screen_text", "settled", "shown", "type_text", "until"]

NARROW, WIDE = (80, 24), (120, 40)
Opened = Callable[..., AbstractAsyncContextManager[Pilot[None]]]


@pytest.fixture(autouse=True)
def state_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Recovery journals of tests lie in a folder of their own."""
    folder = tmp_path / "state"
    monkeypatch.setenv("AMPLEDGER_STATE", str(folder))
    return folder


@pytest.fixture(autouse=True)
def patient() -> Iterator[None]:
    """Pilots that wait until the program rests, in whatever way a test opens it."""
    with patient_pilots():
        yield


@asynccontextmanager
async def opened(path: Path | None = None, size: tuple[int, int] = NARROW) -> AsyncIterator[Pilot[None]]:
    """The program with its plan on the screen."""
    app = Ampledger(path)
    with patient_pilots():
        async with app.run_test(size=size) as pilot:
            await settled(pilot)
            yield pilot


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Press keys, then wait for the figures."""
    await pilot.press(*keys)
    await settled(pilot)


async def type_text(pilot: Pilot[None], text: str) -> None:
    """Type a text character by character."""
    names = {" ": "space", ",": "comma", ".": "full_stop", "-": "minus", "%": "percent_sign", ":": "colon"}
    await pilot.press(*[names.get(character, character) for character in text])
