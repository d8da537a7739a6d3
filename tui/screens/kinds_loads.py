"""Which loads run on which kinds of day: a line for each load, a column for each kind."""

from __future__ import annotations

from textual import on
from textual.widget import Widget

from model import edit
from model.demand.kinds import REST_NAME, days_with, kinds_of
from model.design import Design
from model.quantities import Refusal
from tui.screens.kinds_form import DesignDialog
from tui.widgets.check import tried
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_state import digits_only
from tui.widgets.edit_table import EditTable
from tui.widgets.table_rows import Column, Row

RUNS, RESTS = "runs", "–"
HINT = "space: whether it runs on this kind of day"


class KindsLoads(DesignDialog):
    """Space lets a load run, or not, on the kind of day under the cursor."""

    title_text = "Which loads run on which kinds of day"
    keys_text = "space runs or not · u undo · Esc back"

    def body(self) -> list[Widget]:
        days = self._design.days
        self._names = [kind.name for kind in kinds_of(self._design.loads, days)]
        columns = [
            Column(
                str(index),
                REST_NAME if index == len(days) else name,
                max(6, min(12, len(name))),
                editable=True,
                kind_hint=HINT,
                choices=(RUNS, RESTS),
            )
            for index, name in enumerate(self._names)
        ]
        name = Column("load", "Load", 14, flex=True)
        self._table = EditTable(
            [name, *columns], check=tried(self._with_text), typing_starts_edit=digits_only, id="kinds-loads-table"
        )
        return [self._table, EditLine(self._table)]

    def on_mount(self) -> None:
        self._table.fixed_columns = 1
        self._show()
        self._table.focus()
        self._table.put_cursor("0", "0")

    def _show(self) -> None:
        design = self._design
        runs = [kind.runs for kind in kinds_of(design.loads, design.days)]
        if [kind.name for kind in kinds_of(design.loads, design.days)] != self._names:
            self.dismiss(None)  # undo took a kind of day away
            return
        self._table.set_rows(
            Row(
                str(row),
                {"load": load.name or f"load {row + 1}"}
                | {str(index): RUNS if on[row] else RESTS for index, on in enumerate(runs)},
                "plain" if load.on else "off",
            )
            for row, load in enumerate(design.loads)
        )

    def _with_text(self, row_key: str, column_key: str, text: str) -> Design:
        if text not in (RUNS, RESTS):
            raise Refusal("space: it runs, or does not")
        design = self._design
        names = days_with(design.loads[int(row_key)], design.days, self._names[int(column_key)], runs=text == RUNS)
        return edit.put_text(design, f"loads/{row_key}/days", names)

    @on(EditTable.CellEdited)
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        design = self._with_text(event.row_key, event.column_key, event.text)
        load = design.loads[int(event.row_key)]
        self._take(design, f"{load.name or 'load'} runs on {load.days or 'every day'}")

    @on(EditTable.Typing)
    def _preview(self, event: EditTable.Typing) -> None:
        """Nothing is previewed: a mark is typed at once."""
        event.stop()
