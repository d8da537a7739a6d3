"""What is typed before the design is read waits for it, in its order; help and the way out do not."""

import threading

from textual import events

from tests.tui.conftest import NARROW, settled, until
from tui.app import Ampledger
from tui.screens.help import Help
from tui.session import Session


def held_back(monkeypatch) -> threading.Event:
    """Let reading a design wait for the event that is returned."""
    go, read = threading.Event(), Session.read

    def late(self):
        assert go.wait(20)
        return read(self)

    monkeypatch.setattr(Session, "read", late)
    return go


async def test_what_is_typed_early_is_done_once_there_is_a_design(monkeypatch):
    go = held_back(monkeypatch)
    app = Ampledger(None)
    async with app.run_test(size=NARROW) as pilot:
        for key in ("down", "right", "7", "2", "enter"):
            app.post_message(events.Key(key, key if len(key) == 1 else None))
        await pilot.pause()
        assert app.document is None
        go.set()
        await until(pilot, lambda: app.document is not None and app.document.past)
        await settled(pilot)
        heater = app.document.design.loads[1]
        assert (heater.name, heater.quantity) == ("Diesel air heater", 72.0)


async def test_help_needs_no_design(monkeypatch):
    go = held_back(monkeypatch)
    app = Ampledger(None)
    async with app.run_test(size=NARROW) as pilot:
        app.post_message(events.Key("question_mark", "?"))
        await until(pilot, lambda: isinstance(app.screen, Help))
        go.set()
        await until(pilot, lambda: app.document is not None)
