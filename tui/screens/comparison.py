"""Two designs side by side: only what differs, or every figure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widget import Widget

from model.compare import Compared, differing
from tui.display import local
from tui.screens.dialog import Dialog
from tui.widgets.row_table import RowTable
from tui.widgets.table_rows import Column, Row

COLUMNS = (
    Column("label", "", 22, flex=True),
    Column("here", "This design", 14, "right"),
    Column("there", "The other", 14, "right"),
    Column("difference", "This one is", 15),
)


class Comparison(Dialog[None]):
    """The lines of `model.compare`, part by part; figures that agree are left out until they are asked for."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("v", "every", show=False)]
    keys_text = "v every figure, or what differs · up, down scroll · Esc back"

    def __init__(self, rows: Sequence[Compared], other: str) -> None:
        super().__init__()
        self._rows = tuple(rows)
        self._every = False
        self.title_text = f"This design beside the other: {other}"

    def body(self) -> list[Widget]:
        self._table = RowTable(COLUMNS, id="comparison-table")
        return [self._table]

    def on_mount(self) -> None:
        self._table.cursor_type = "row"
        self._show()
        self._table.focus()

    def action_every(self) -> None:
        """Every figure, or only those that differ."""
        self._every = not self._every
        self._show()

    def _show(self) -> None:
        self._table.set_rows(table_rows(self._rows if self._every else differing(self._rows)))


def table_rows(rows: Sequence[Compared]) -> list[Row]:
    """One row a figure, each part under its own heading."""
    if not rows:
        return [Row("nothing", {"label": "Nothing differs."})]
    shown: list[Row] = []
    part = ""
    for index, row in enumerate(rows):
        if row.part != part:
            part = row.part
            shown.append(Row(f"part.{index}", {"label": part}, strong=frozenset({"label"})))
        cells = {"label": f"· {row.label}", "here": row.here, "there": row.there, "difference": row.difference}
        shown.append(Row(f"{row.part}.{row.label}.{index}", {key: local(text) for key, text in cells.items()}))
    return shown
