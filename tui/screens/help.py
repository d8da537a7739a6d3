"""Help: what this place is for, then its keys, both from the list of commands."""

from __future__ import annotations

from rich.console import Group
from rich.table import Table
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
    "The figures show what an array gives there in the month looked at, in a typical year and cautiously counted.\n"
    "Cautious: nine years of ten bring more.\n"
    "Without data for a place: type twelve monthly values, or read a weather file.",
    "year": "See whether the year works: income against use in each month, and how often the battery is empty.\n"
    "Averages hide dark weeks: many years are run hour by hour, with days drawn from the climate of the place, or those of the"
    " weather file as they were. Each chance carries its error.\n"
    "v goes on to the weeks, to the map of battery against array, and to the trip; t aims at another chance on these two.\n"
    "On the trip: Chance is the share of trips with an empty day at that stop, Leaves the charge at the end of the stay in the"
    " middle trip, 1 in 20 that of a bad one. n adds a stop, p looks up the place of the one under the cursor.\n"
    "Left out: the place itself (±10 % of sun), shade, snow, fog, an ageing battery.",
    "battery": "Say how many days the battery must last without sun.\n"
    "Each chemistry stands in its column; the gate that decides its size is named below it.\n"
    "Beside the wishes stands what speaks against the one under the cursor; c takes it.",
    "report": "Take the plan with you: printed inside the cupboard door, to a friend who checks it, to the shop.\n"
    "Above choose what goes in, with Space or Enter; beside stands how it reads, Tab goes there.\n"
    "v parts the papers, so that the shopping list can go to the shop without the rest: shift+X takes it alone.\n"
    "Below choose the kind of file; Enter asks for its name and writes it. Nothing is replaced unasked.",
    "circuits": "Plan every cable before it is buried: one circuit a row; Enter opens it, Escape comes back.\n"
    "Inside, the tree has a line for every point and every load; the voltage follows what is typed into a cell.\n"
    "What is left empty the program chooses and shows in brackets. n adds a run from the point under the cursor, a a load.\n"
    "v goes on below: volts along the cable, a short circuit at the point under the cursor, findings, the bench.\n"
    "On the bench: type volts and amps of the finished circuit; t takes the measured current into the load table.\n"
    'On the list v leads to the papers of the job. Circuits marked "made" follow from the design; an edit enters them.',
}
FIGURES = (
    "Above stands what the plan comes to: shift+tab goes there, left and right choose a figure, "
    "Enter shows how it was made."
)


class Help(Dialog[None]):
    keys_text = "up, down scroll · Esc back"

    def __init__(self, place: str) -> None:
        super().__init__()
        self._place = place
        self.title_text = PLACE_TITLES[place]

    def body(self) -> list[Widget]:
        return [VerticalScroll(Static(self._lines()), id="help-scroll")]

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    def _lines(self) -> Group:
        keys = Table.grid(padding=(0, 2))
        keys.add_column(justify="right")
        for command in active(self._place):
            keys.add_row(Text(command.key_text, "bold"), Text(command.sentence))
        return Group(Text(f"{PURPOSE[self._place]}\n{FIGURES}\n"), keys, Text("\n" + "\n".join(CAUTIONS) + "\n", "dim"))
