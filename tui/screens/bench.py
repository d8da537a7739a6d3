"""The finished circuit on the bench: readings as rows, edited in place, and below what they mean."""

from __future__ import annotations

from dataclasses import replace

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Static

from model import names
from model.design import Circuit, Reading
from model.wiring.bench_check import bench_check
from model.wiring.bench_words import explained
from model.wiring.table import CircuitPlan
from tui import display
from tui.screens.circuit_words import figure, volts
from tui.widgets.cell_edits import Check
from tui.widgets.edit_table import EditTable
from tui.widgets.table_rows import Column, Row

COLUMNS = (
    Column("date", "Date", 10, editable=True, kind_hint="day of the reading, such as 2026-12-24 or 24 Dec"),
    Column("supply_v", "Supply V", 8, "right", editable=True, kind_hint="volts at the supply, such as 12.7, 12.7 V"),
    Column("current_a", names.CURRENT.head, 9, "right", editable=True, kind_hint="out of the supply, such as 0.86, 860 mA"),
    Column("planned", "Plan A", 8, "right"),
    Column("point", "Point", 12, editable=True, kind_hint="where volts were read: a point of this circuit", takes_letters=True),
    Column("far_v", names.VOLTS.short, 6, "right", editable=True, kind_hint="volts read there, all on, such as 12.4, 12.4 V"),
    Column("planned_v", "Plan V", 6, "right"),
    Column("note", "Note", 10, editable=True, kind_hint="any words", takes_letters=True, flex=True),
)  # fmt: skip
NARROW = tuple(replace(one, width=8) if one.key == "point" else one for one in COLUMNS if one.key != "note")
NOT_READ = (
    "Switch everything on this circuit on, and type what the meters show: volts and amps at the supply, volts far out."
)
NONE_YET = (
    "No readings yet. n adds one: everything on the circuit switched on, volts at the supply and amps out of it; and volts at"
    " its far end, if you can reach it. The difference to the plan is then told in words, and t takes the measured current"
    " into the load table."
)


class BenchView(Vertical):
    """Readings of one circuit. Row keys are "readings/<index>", as the owner edits them."""

    def __init__(self, check: Check, id: str | None = None) -> None:
        super().__init__(id=id)
        self._check = check
        self._plan: CircuitPlan | None = None
        self._readings: tuple[Reading, ...] = ()

    def compose(self) -> ComposeResult:
        yield EditTable(COLUMNS, check=self._check, id="bench-table")
        yield VerticalScroll(Static("", id="bench-words", markup=False), id="bench-about")

    @property
    def table(self) -> EditTable:
        return self.query_one("#bench-table", EditTable)

    def on_mount(self) -> None:
        self.query_one("#bench-about").can_focus = False

    def show(self, circuit: Circuit, plan: CircuitPlan | None) -> None:
        """Show the readings of `circuit` against `plan`."""
        self._plan, self._readings = plan, circuit.readings
        narrow = 0 < self.size.width < sum(column.width + 1 for column in COLUMNS) + 1
        cursor = self.table.cursor
        if not self.table.editing and self.table.set_columns(NARROW if narrow else COLUMNS) and cursor is not None:
            self.table.set_rows(_row(circuit, index, plan) for index in range(len(circuit.readings)))
            self.table.put_cursor(*cursor)
        self.table.set_rows(_row(circuit, index, plan) for index in range(len(circuit.readings)))
        self.show_words()

    def reading(self) -> int | None:
        """Index of the reading under the cursor; the last one where the cursor is elsewhere, None where there is none."""
        cell = self.table.cursor
        if not self._readings:
            return None
        return int(cell.row_key.split("/")[1]) if cell is not None else len(self._readings) - 1

    def on_data_table_cell_highlighted(self) -> None:
        self.show_words()

    def show_words(self) -> None:
        """What the reading under the cursor means."""
        index, plan = self.reading(), self._plan
        text = Text()
        if index is None or index >= len(self._readings):
            text.append(NONE_YET)
        elif plan is not None:
            reading = self._readings[index]
            if _not_read(reading):
                self.query_one("#bench-words", Static).update(NOT_READ)
                return
            for at, sentence in enumerate(explained(plan, reading, bench_check(plan, reading))):
                text.append(("\n" if at else "") + display.local(sentence), style="bold" if at == 0 else "")
            text.append("\nt takes the measured current into the load table.", style="dim")
        self.query_one("#bench-words", Static).update(text)


def _not_read(reading: Reading) -> bool:
    """Whether a reading was only begun."""
    return reading.current_a == 0 and reading.far_v is None


def _row(circuit: Circuit, index: int, plan: CircuitPlan | None) -> Row:
    reading, path = circuit.readings[index], f"readings/{index}"
    cells, texts = {}, {}
    for name in ("date", "supply_v", "current_a", "point", "far_v", "note"):
        value = getattr(reading, name)
        cells[name] = texts[name] = display.write(Reading, name, value)
        if isinstance(value, float):
            cells[name] = display.local(f"{value:.6g}")  # its unit stands in the head
    if plan is not None:
        found = bench_check(plan, reading)
        cells["planned"] = "-" if found.planned_a is None else figure(found.planned_a)
        cells["planned_v"] = "" if found.planned_v is None else volts(found.planned_v)
        if not found.agrees and not _not_read(reading):
            cells["planned"] += " !"
    return Row(path, cells, edit_texts=texts)
