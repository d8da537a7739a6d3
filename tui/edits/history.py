"""Edits taken back, and made again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.screens.loads import LoadsPlace
from tui.widgets.edit_table import EditTable

if TYPE_CHECKING:
    from tui.app import Ampledger


def undo(app: Ampledger) -> None:
    """Take the last edit back; a text that was refused and left in its cell goes first."""
    assert app.document is not None
    for table in app.here.query(EditTable):
        if (text := table.give_up()) is not None:
            app.say(f"“{text}” is gone: it was not taken · u once more takes back the edit before")
            return
    _turned(app, "undone", app.document.undo())


def redo(app: Ampledger) -> None:
    """Make the edit again that was taken back."""
    assert app.document is not None
    _turned(app, "done again", app.document.redo())


def _turned(app: Ampledger, word: str, title: str | None) -> None:
    app.query_one(LoadsPlace).marked = ()  # they would be on other rows
    app.say(f"{word}: {title}" if title else f"nothing to be {word}")
    app.show_design()
