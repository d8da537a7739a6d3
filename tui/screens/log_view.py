"""A log of real days beside the plan, in words: what would mend the plan first, then month by month."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from model.calendar import month_name
from model.logged import Logged, month_in_words, what_follows
from tui.display import local
from tui.screens.dialog import Dialog


class LogView(Dialog[None]):
    """What a log says, or why it was not taken, in a text that scrolls."""

    keys_text = "up, down scroll · Esc back"

    def __init__(self, title: str, words: RenderableType) -> None:
        super().__init__()
        self.title_text = title
        self._words = words

    def body(self) -> list[Widget]:
        return [VerticalScroll(Static(self._words, id="log-words"), id="log-scroll")]

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()


def log_text(found: Logged) -> RenderableType:
    """What follows for the plan in bold, then a paragraph for each month under its name; lines that wrap stay under it."""
    parts: list[RenderableType] = [Text(f"{local(line)}\n", "bold") for line in what_follows(found)]
    for month in found.months:
        lines = Text("\n").join(Text(local(line)) for line in month_in_words(month))
        parts += [Text(month_name(month.month), "bold"), Padding(lines, (0, 0, 1, 4))]
    return Group(*parts)
