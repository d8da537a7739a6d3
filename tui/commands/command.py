"""What a command is, and the places where it may be active."""

from __future__ import annotations

import re
from dataclasses import dataclass

from tui.commands.keys import spelled

PLACES = ("loads", "sun", "battery", "year", "circuits", "report")
PLACE_TITLES = {
    "loads": "Loads",
    "sun": "Sun",
    "battery": "Battery",
    "year": "Year",
    "circuits": "Circuits",
    "report": "Report",
}

own_keys: dict[str, str] = {}
"""Name of a command -> the key that the settings give it."""


@dataclass(frozen=True, slots=True)
class Command:
    """One command. `does` names the function behind it, "module.function" below tui, called with the app and `arguments`.

    `places` says where it is active, empty for everywhere; `footer` is the order in which the footer shows it, 0 for never;
    `asks`: it opens a dialog and waits for the answer, while the program goes on.
    """

    does: str
    keys: str
    title: str
    sentence: str
    places: tuple[str, ...] = ()
    footer: int = 0
    shown_key: str = ""
    arguments: tuple[str | int, ...] = ()
    asks: bool = False

    @property
    def action(self) -> str:
        """The app's action, as bindings and the palette name it."""
        return f"do({', '.join(repr(part) for part in (self.does, *self.arguments))})"

    @property
    def name(self) -> str:
        """What the command is called in the table of keys of the settings: "move-up"."""
        return re.sub("[ /]", "-", self.title.lower())

    @property
    def keys_now(self) -> str:
        """The keys as Textual names them, those of the settings first."""
        return own_keys.get(self.name, self.keys)

    @property
    def key_text(self) -> str:
        """The key as a person reads it."""
        if self.name in own_keys:
            return spelled(own_keys[self.name])
        return self.shown_key or self.keys.split(",")[0]
