"""What is typed is done in its order: early keys wait for the design, fast ones for the dialog that the key before them opens."""

import asyncio
import threading

from textual import events

from tests.tui.conftest import NARROW, settled, until
from tui.app import Ampledger
from tui.edits import places
from tui.screens.help import Help
from tui.screens.picker import Picker
from tui.session import Session


def held_back(monkeypatch) -> threading.Event:
    """Let reading a design wait for the event that is returned."""
    go, read = threading.Event(), Session.read

    def late(self):
        assert go.wait(20)
        return read(self)

    monkeypatch.setattr(Session, "read", late)
    return go


def type_at_once(app: Ampledger, *keys: str) -> None:
    """Have keys come faster than any can be done."""
    for key in keys:
        app.post_message(events.Key(key, key if len(key) == 1 else None))


async def test_what_is_typed_early_is_done_once_there_is_a_design(monkeypatch):
    go = held_back(monkeypatch)
    app = Ampledger(None)
    async with app.run_test(size=NARROW) as pilot:
        type_at_once(app, "down", "right", "7", "2", "enter")
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


async def test_letters_behind_the_key_of_a_dialog_are_for_the_dialog():
    """As a fast hand types them, or a slow line brings them: each letter of the name is a command of the load table."""
    app = Ampledger(None)
    async with app.run_test(size=NARROW) as pilot:
        await settled(pilot)
        type_at_once(app, "p", *"inari")
        await until(pilot, lambda: isinstance(app.screen, Picker))
        assert app.screen.query_one("Input").value == "inari"
        assert app.place == "loads"
        assert not app.document.past


async def test_letters_wait_for_a_dialog_that_is_slow_to_come(monkeypatch):
    choose = places.choose_place

    async def slow(app):
        await asyncio.sleep(0.2)
        await choose(app)

    monkeypatch.setattr(places, "choose_place", slow)
    app = Ampledger(None)
    async with app.run_test(size=NARROW) as pilot:
        await settled(pilot)
        type_at_once(app, "p", *"sw")
        await until(pilot, lambda: isinstance(app.screen, Picker))
        await until(pilot, lambda: app.screen.query_one("Input").value == "sw")
        assert app.place == "loads"


async def test_letters_behind_the_key_that_closes_a_dialog_are_commands_again():
    app = Ampledger(None)
    async with app.run_test(size=NARROW) as pilot:
        await settled(pilot)
        type_at_once(app, "p", *"inari", "enter", "b", "w", "escape", "p", "escape", "s", "m")
        await until(pilot, lambda: app.place == "sun" and app.document.design.month == 1)
        assert app.document.design.place.name.startswith("Inari")
        assert [title for title, _ in app.document.past] == ["place: Inari, Lapland, Finland", "month: January"]


async def test_a_key_that_is_never_answered_for_holds_the_keyboard_for_a_moment_only(monkeypatch):
    monkeypatch.setattr("tui.typed._climb", lambda node, then: None)
    monkeypatch.setattr("tui.typed.LONGEST_S", 0.05)
    app = Ampledger(None)
    async with app.run_test(size=NARROW) as pilot:
        await settled(pilot)
        type_at_once(app, "s", "m", "b")
        await until(pilot, lambda: app.place == "battery" and app.document.design.month == 1)
