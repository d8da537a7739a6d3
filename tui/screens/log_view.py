"""A log of real days beside the plan, in words: what would mend the plan first, then month by month."""

from __future__ import annotations

from collections.abc import Sequence

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

    def __init__(self, title: str, words: Text) -> None:
        super().__init__()
        self.title_text = title
        self._words = words

    def body(self) -> list[Widget]:
        return [VerticalScroll(Static(self._words, id="log-words"), id="log-scroll")]

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()


def log_text(found: Logged) -> Text:
    """What follows for the plan in bold, then a paragraph for each month under its name."""
    parts = [Text(local(line), "bold") for line in what_follows(found)]
    parts += [_paragraph(month_name(month.month), month_in_words(month)) for month in found.months]
    return Text("\n\n").join(parts)


def _paragraph(heading: str, lines: Sequence[str]) -> Text:
    return Text("\n").join([Text(heading, "bold underline"), *(Text(local(f"· {line}")) for line in lines)])
