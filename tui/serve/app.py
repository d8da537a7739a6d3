"""The program as it runs in a browser."""

from __future__ import annotations

from textual import events
from textual.screen import Screen

from tui.app import Ampledger


class Fitted(Screen[None]):
    """A screen that lays itself out for the size that holds now, and passes over sizes that are outdated.

    Textual 8.2's own screen can be caught between two of them. A page opens with one size and corrects it at once, so both
    wait in the screen's queue. Laying out for the first posts it again, behind the second; laying out for the second posts
    that again behind the first. Neighbours in the queue would be merged, but while painting is held back (and the end of the
    program does that for good) a callback stands between them. So the two chase each other for ever; the queue is never
    empty, the loop never turns to anything else, and neither a signal nor the request to quit is heard.
    """

    def on_resize(self, event: events.Resize) -> None:
        if event.size != self.app.size:
            event.prevent_default()
            event.stop()


class Served(Ampledger):
    """The program on a screen that keeps up with a browser."""

    CSS_PATH = "../app.tcss"  # Textual looks beside the subclass

    def get_default_screen(self) -> Screen[None]:
        return Fitted(id="_default")
