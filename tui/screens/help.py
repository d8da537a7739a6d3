"""Help: what this place is for, then its keys, both from the list of commands."""

from __future__ import annotations

from rich.text import Text
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from model.record.words import CAUTIONS
from tui.commands import PLACE_TITLES, active
from tui.screens.dialog import Dialog

PURPOSE = {
    "loads": "List everything that uses electricity and how long it runs on a day of use.\n"
    "Move with the arrows; type a number to replace the one under the cursor, Enter or F2 to edit it.\n"
    "Escape restores, Enter goes down, Tab goes right. Units are understood: 45 W, 20 mA, 90 min, 1,5 h.",
    "sun": "Say where and when you travel, and what fits on the roof.\n"
    "The figures show what an array gives there in the month looked at, in a typical and in a dull year.\n"
    "Without data for a place: type twelve monthly values, or read a weather file.",
    "battery": "Say how many days the battery must last without sun.\n"
    "Each chemistry stands in its column; the gate that decides its size is named below it.\n"
    "The line at the bottom says what speaks against the one under the cursor.",
}


class Help(Dialog[None]):
    keys_text = "up, down scroll · Esc back"

    def __init__(self, place: str) -> None:
        super().__init__()
        self._place = place
        self.title_text = PLACE_TITLES[place]

    def body(self) -> list[Widget]:
        return [VerticalScroll(Static(self._text()), id="help-scroll")]

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    def _text(self) -> Text:
        text = Text(PURPOSE[self._place] + "\n\n")
        for command in active(self._place):
            text.append(f"{command.key_text:>12}  ", style="bold")
            text.append(f"{command.sentence}\n")
        text.append("\nCautions\n", style="bold")
        text.append("\n".join(CAUTIONS) + "\n")
        return text
