"""How tests wait for the program: for what they need to see, never for a time.

Textual's pilot waits until the processor rests. On a machine that others keep busy it rests at once, with everything still to be
done; and where a thread of the program works, each key waits for seconds. Here a pilot waits until the program itself
rests: no message waits, no command is on its way to its dialog, nothing is left to be painted. What threads work out is no part
of it; for that there are `settled`, `shown` and `until`.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any
from unittest.mock import patch

from textual.app import App
from textual.message_pump import MessagePump
from textual.pilot import Pilot
from textual.widget import Widget

from tui.app import Ampledger

ROUNDS = 20  # so long a change of room is waited for: widgets that nobody sees never tell of theirs
PATIENCE_S = 60.0
"""Generous, since a wait ends at once when it has what it waits for: only a failure takes this long."""


@contextmanager
def patient_pilots() -> Iterator[None]:
    """Pilots of Textual that wait until the program rests."""

    async def press(pilot: Pilot[Any], *keys: str) -> None:
        for key in keys:
            await pilot.app._press_keys([key])
            await rested(pilot)

    async def pause(pilot: Pilot[Any], delay: float | None = None) -> None:
        await rested(pilot)
        if delay:
            await asyncio.sleep(delay)
            await rested(pilot)

    async def wait_for_idle(_least_s: float = 0, _most_s: float = 0) -> None:
        for _ in range(4):  # a key goes through a thread's door and a task before it stands in the queue
            await asyncio.sleep(0)

    with (
        patch.object(Pilot, "press", press),
        patch.object(Pilot, "pause", pause),
        patch("textual.app.wait_for_idle", wait_for_idle),
    ):
        yield


async def rested(pilot: Pilot[Any]) -> None:
    """Wait until the program has nothing left to do but what its threads do, and has painted it."""
    app = pilot.app
    end, rounds = time.monotonic() + PATIENCE_S, 0
    for _ in range(2):
        await asyncio.sleep(0)
    while app.is_running and app._exception is None:
        await pilot._wait_for_screen(PATIENCE_S)  # what is being dealt with is done, and what waited before
        rounds += 1
        if not _hears(app) and not (rounds < ROUNDS and _grows(app)):
            app.screen._on_timer_update()  # paint now, not at the next sixtieth of a second
            if not _at_work(app):
                return
        assert time.monotonic() < end, f"the program did not come to rest: {list(app.workers)}"
        await asyncio.sleep(0.001)


def _hears(app: App[Any]) -> bool:
    """Whether messages wait."""
    # a new size is seen to with the next frame
    typed = isinstance(app, Ampledger) and app._typed.busy
    return typed or app._resize_event is not None or any(_has_messages(one) for one in (app, *app._registry))


def _grows(app: App[Any]) -> bool:
    """Whether a text was changed that takes another room. Painted before its widget said so, Textual keeps the room of before."""
    return any(one._layout_required for one in app._registry if isinstance(one, Widget))


def _at_work(app: App[Any]) -> bool:
    screen = app.screen
    return bool(
        app._batch_count
        or screen._callbacks
        or screen._layout_required
        or screen._repaint_required
        or screen._scroll_required
        or screen._recompose_required
        or screen._dirty_widgets
        or _hears(app)
        or (len(app.screen_stack) == 1 and asking(app))
    )


def _has_messages(pump: MessagePump) -> bool:
    return pump._running and not pump._closing and bool(pump._next_callbacks or not pump._message_queue.empty())


def asking(app: App[Any]) -> bool:
    """Whether a command that asks is at work: on its way to its dialog, in it, or doing what was answered."""
    return any(one.group == "default" and one.node is app and not one.is_finished for one in app.workers)


async def until(pilot: Pilot[Any], holds: Callable[[], object], what: object = "") -> None:
    """Wait until something holds. `what` is said (or called, and its answer said) where it never does."""
    end = time.monotonic() + PATIENCE_S
    await rested(pilot)
    while not holds():
        assert time.monotonic() < end, what() if callable(what) else what or "waited in vain"
        await asyncio.sleep(0.005)
        await rested(pilot)


async def settled(pilot: Pilot[Any], app: Ampledger | None = None) -> None:
    """Wait until the figures are those of the design on the screen."""
    here = app or pilot.app
    assert isinstance(here, Ampledger)
    await until(
        pilot,
        lambda: here.document is not None and here.plan is not None and here.plan.design == here.document.design,
        "the plan did not come",
    )


async def shown(pilot: Pilot[Any], *words: str) -> str:
    """Wait until all these words stand on the screen; what is on it then."""
    await until(
        pilot,
        lambda: all(word in screen_text(pilot.app) for word in words),
        lambda: f"{words} never came; on the screen:\n{screen_text(pilot.app)}",
    )
    return screen_text(pilot.app)


def screen_text(app: App[Any]) -> str:
    """What the screen shows, as plain text, trailing blanks cut."""
    lines = ("".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips())
    return "\n".join(line.rstrip() for line in lines) + "\n"
