"""What is typed before the design is read: kept, and done in its order once there is one."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from textual import events

from tui.commands.listening import keys_of

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

    from textual.message_pump import MessagePump

    from tui.app import Ampledger

NEEDS_NO_DESIGN = ("looking.help_here", "file_dialogs.leave")


class EarlyKeys:
    """Keys and pastes that wait for the design of `app`."""

    def __init__(self, app: Ampledger) -> None:
        self._app = app
        self._kept: list[events.Event] = []

    def keep(self, event: events.Event) -> bool:
        """Keep an event, where it is one that was typed and that needs a design; whether it was kept."""
        typed = isinstance(event, events.Key | events.Paste) and not event.is_forwarded
        if not typed or getattr(event, "key", "") in keys_of(NEEDS_NO_DESIGN):
            return False
        self._kept.append(event)
        return True

    def drop(self) -> None:
        """Forget them: what was typed blindly must answer no question."""
        self._kept.clear()

    def release(self) -> None:
        """Have them done, now that there is a design."""
        self._app.call_after_refresh(self._take, tuple(self._kept))
        self._kept.clear()

    async def _take(self, early: tuple[events.Event, ...]) -> None:
        """Each when the one before has come back up from the widget that it was sent to: some keys act on the way down, others
        on the way up."""
        if early:
            first, *rest = early
            node = self._app.focused or self._app.screen
            await self._app.on_event(first)
            _climb(node, partial(self._take, tuple(rest)))


def _climb(node: MessagePump, then: Callable[[], Awaitable[None]]) -> None:
    """Call `then` behind all that is on its way from `node` up to the program."""
    above = node._parent
    node.call_later(then if above is None else partial(_climb, above, then))
