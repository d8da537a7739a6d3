"""What is typed, done one key after the other.

Textual hands a key on at once, while the one before may still be on its way to a dialog; and nothing can be done with a key
before the design is read. So each key and paste waits here for the one before it, and all of them for the design.
"""

from __future__ import annotations

import time
from collections import deque
from functools import partial
from typing import TYPE_CHECKING

from textual import events

from tui.commands.listening import keys_of

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

    from textual.message_pump import MessagePump
    from textual.worker import Worker

    from tui.app import Ampledger

NEEDS_NO_DESIGN = ("looking.help_here", "file_dialogs.leave")
LONGEST_S = 1.0  # so long a key waits for the one before it: a keyboard that answers late is better than a dead one
LOOK_S = 0.01  # so often one looks whether a dialog has come


class TypedKeys:
    """Keys and pastes of `app`, in their order. `then` does one: it hands the event to whatever has the focus."""

    def __init__(self, app: Ampledger, then: Callable[[events.Event], Awaitable[None]]) -> None:
        self._app = app
        self._then = then
        self._waiting: deque[events.Event] = deque()
        self._under_way: events.Event | None = None
        self._asking: Worker[None] | None = None
        self._alone_since = 0.0  # since when that worker has had no dialog on the screen

    @property
    def busy(self) -> bool:
        """Whether one is under way."""
        return self._under_way is not None

    async def take(self, event: events.Event) -> bool:
        """Take an event where it is one that was typed; whether it was."""
        if not isinstance(event, events.Key | events.Paste) or event.is_forwarded:
            return False
        if self._app.document is None and getattr(event, "key", "") in keys_of(NEEDS_NO_DESIGN):
            return False
        self._waiting.append(event)
        await self.go_on()
        return True

    def drop(self) -> None:
        """Forget what waits: what was typed blindly must answer no question."""
        self._waiting.clear()

    def asks(self, worker: Worker[None]) -> None:
        """The key under way began a command that opens a dialog: the next one is for that dialog."""
        self._asking, self._alone_since = worker, time.monotonic()

    async def go_on(self) -> None:
        """Do the next one, if none is under way."""
        if self._under_way is not None or not self._waiting or self._app.document is None:
            return
        self._under_way = event = self._waiting.popleft()
        node = self._app.focused or self._app.screen
        patience = self._app.set_timer(LONGEST_S, partial(self._done, event))
        await self._then(event)

        async def done() -> None:
            patience.stop()
            await self._arrived(event)

        # Twice: what a widget tells the ones above of a key, as that an answer was given, starts a step behind the key itself.
        _climb(node, partial(_climb_again, node, done))

    async def _arrived(self, event: events.Event) -> None:
        """All that hears the key has heard it; a dialog that it asked for may be yet to come."""
        if self._opening():
            self._app.set_timer(LOOK_S, partial(self._arrived, event))
        else:
            await self._done(event)

    async def _done(self, event: events.Event) -> None:
        if self._under_way is event:
            self._under_way = None
            await self.go_on()

    def _opening(self) -> bool:
        """Whether a command that asks is on its way to its dialog, or to the next one."""
        if self._asking is None or self._asking.is_finished:
            self._asking = None
            return False
        if len(self._app.screen_stack) > 1:
            self._alone_since = time.monotonic()
            return not self._app.screen.is_mounted
        return time.monotonic() - self._alone_since < LONGEST_S


async def _climb_again(node: MessagePump, then: Callable[[], Awaitable[None]]) -> None:
    _climb(node, then)


def _climb(node: MessagePump, then: Callable[[], Awaitable[None]]) -> None:
    """Call `then` behind all that is on its way from `node` up to the program: some keys act going down, others going up."""
    above = node._parent
    heard = node.call_later(then if above is None else partial(_climb, above, then))
    if not heard and above is not None:  # the key has closed it
        _climb(above, then)
