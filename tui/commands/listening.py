"""Which commands listen in a place, and which of them its footer shows."""

from __future__ import annotations

from collections.abc import Iterable

from tui.commands.command import Command
from tui.commands.declared import EVERY_COMMAND


def key_text(name: str) -> str:
    """The key of a command by its name, as a person reads it."""
    return next(command.key_text for command in EVERY_COMMAND if command.name == name)


def keys_of(functions: Iterable[str]) -> frozenset[str]:
    """The keys of the commands that run these functions."""
    there = (command for command in EVERY_COMMAND if command.does in functions)
    return frozenset(key for command in there for key in command.keys_now.split(","))


def active(place: str) -> tuple[Command, ...]:
    """The commands that listen in `place`."""
    return tuple(command for command in EVERY_COMMAND if not command.places or place in command.places)


def footer(place: str, width: int) -> tuple[Command, ...]:
    """The commands that the footer of `place` has room for at `width` columns, in their order."""
    shown: list[Command] = []
    used = 0
    for command in sorted((one for one in active(place) if one.footer), key=lambda one: one.footer):
        needed = len(command.key_text) + 1 + len(command.title)
        if used + needed <= width:
            shown.append(command)
            used += needed + 2
    return tuple(shown)
