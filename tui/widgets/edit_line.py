"""The line under a table that says what is wrong, or what is accepted."""

from __future__ import annotations

from rich.text import Text
from textual.widgets import Static

from tui.display import local
from tui.widgets.edit_table import EditTable


class EditLine(Static):
    """The line under a table: what is wrong with the text being typed, or which spellings the cell takes."""

    DEFAULT_CSS = "EditLine { height: auto; max-height: 2; min-height: 1; padding: 0 1; }"

    def __init__(self, table: EditTable, *, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)
        self._table = table

    def on_mount(self) -> None:
        self.watch(self._table, "message", self._show)
        self.watch(self._table, "hint", self._show)

    def _show(self) -> None:
        table = self._table
        way_out = " · Esc restores" if table.editing or table.pending else ""
        wrong = f"! {local(table.message)}{way_out}" if table.message else ""
        self.update(Text(wrong, style="bold") if wrong else Text(table.hint, style="dim"))
