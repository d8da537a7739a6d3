"""The command palette: every command that listens in the place, found by a few of its letters."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from contextlib import suppress
from typing import TYPE_CHECKING, cast

from textual.app import App
from textual.command import CommandPalette, DiscoveryHit, Hit, Hits, Provider

from tui.commands import Command, active

if TYPE_CHECKING:
    from tui.app import Ampledger


class Commands(Provider):
    """The command palette, filled from the one list of commands."""

    async def discover(self) -> Hits:
        for command, run in self._commands():
            yield DiscoveryHit(command.title, run, help=f"{command.sentence}  [{command.key_text}]")

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for command, run in self._commands():
            score = max(matcher.match(command.title), matcher.match(command.sentence))
            if score > 0:
                yield Hit(
                    score, matcher.highlight(command.title), run, help=f"{command.sentence}  [{command.key_text}]"
                )

    def _commands(self) -> list[tuple[Command, Callable[[], Awaitable[None]]]]:
        app = cast("Ampledger", self.app)
        return [(command, _runner(app, command.action)) for command in active(app.place)]


class Palette(CommandPalette):
    """Textual's palette. Its list fails (8.2.8) at a page key that comes before what was found is laid out."""

    def _action_command_list(self, action: str) -> None:
        with suppress(KeyError):
            super()._action_command_list(action)


def _runner(app: App[None], action: str) -> Callable[[], Awaitable[None]]:
    async def run() -> None:
        await app.run_action(action)

    return run
