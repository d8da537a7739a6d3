"""Keys that the settings give to commands, in place of those declared."""

from __future__ import annotations

from collections.abc import Mapping

from tui.commands.command import Command, own_keys
from tui.commands.declared import EVERY_COMMAND
from tui.commands.keys import key_named, spelled


def take_keys(wanted: Mapping[str, str]) -> tuple[str, ...]:
    """Give commands (by name) the keys of the settings; answers what could not be done, in words.

    Digits and signs stay with the cells. A key that another command of the same place has is not taken from it.
    """
    own_keys.clear()
    notes = []
    known = {command.name for command in EVERY_COMMAND}
    for name, text in wanted.items():
        key = key_named(text)
        if name not in known:
            notes.append(f"Settings, keys: there is no command {name}")
        elif key is None:
            notes.append(f"Settings, keys: {name} cannot be on {text!r}; letters, signs and F keys can carry commands")
        else:
            own_keys[name] = key
    while clash := _clash():
        mine, other = clash
        key = spelled(own_keys.pop(mine.name))
        notes.append(f"Settings, keys: {key} belongs to {other.name} already, not to {mine.name}")
    return tuple(notes)


def _clash() -> tuple[Command, Command] | None:
    """A command whose own key another one has in the same place."""
    for mine in EVERY_COMMAND:
        for other in EVERY_COMMAND:
            together = not mine.places or not other.places or set(mine.places) & set(other.places)
            changed = mine is not other and mine.name in own_keys
            if changed and together and own_keys[mine.name] in other.keys_now.split(","):
                return mine, other
    return None
