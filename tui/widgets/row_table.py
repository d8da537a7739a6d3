"""A table of rows that are handed in again and again: only what changed is drawn, the cursor stays on its row,
columns grow with the terminal, and totals at the end stay in sight. Nothing is edited here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from rich.text import Text
from textual.coordinate import Coordinate
from textual.strip import Strip
from textual.widgets import DataTable
from textual.widgets.data_table import ColumnKey

from tui.widgets.table_rows import Column, Row, cell_text, fit, widths

MARK = "*"


class Cell(NamedTuple):
    """The keys of a cell."""

    row_key: str
    column_key: str


class RowTable(DataTable[Text]):
    """A table of `Row`s. Give it columns, then rows with `set_rows`, as often as the figures change."""

    DEFAULT_CSS = """
    RowTable {
        height: 1fr; background: $background; scrollbar-size-vertical: 1; scrollbar-gutter: stable; overflow-x: auto;
        &:focus { background-tint: $foreground 0%; }
        & > .datatable--header, &:focus > .datatable--header {
            background: $panel; color: $foreground; text-style: bold; background-tint: $foreground 0%;
        }
        & > .datatable--cursor, & > .datatable--fixed-cursor {
            background: $background; color: $foreground; text-style: none;
        }
        &:focus > .datatable--cursor, &:focus > .datatable--fixed-cursor {
            background: $background; color: $foreground; text-style: reverse;
        }
        & > .datatable--fixed, & > .datatable--even-row, & > .datatable--odd-row { background: $background; }
        & > .datatable--hover { background: $panel; }
    }
    """

    def __init__(self, columns: Sequence[Column], *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes, show_row_labels=False, cell_padding=0)
        self._shown_columns: dict[str, Column] = {column.key: column for column in columns}
        self._widths: list[int] = [column.width for column in columns]
        self._shown_rows: dict[str, Row] = {}
        self._drawn: dict[Cell, Text] = {}

    # -- what others ask ----------------------------------------------------------------------------------------

    @property
    def cursor(self) -> Cell | None:
        """Row key and column key of the cell under the cursor; None in an empty table."""
        return self._cell_at(self.cursor_coordinate)

    def set_rows(self, rows: Iterable[Row]) -> None:
        """Show `rows`: only cells that changed are drawn again, and the cursor stays on its row.

        ValueError when two rows have the same key.
        """
        self._add_columns()
        wanted: dict[str, Row] = {}
        for row in rows:
            if row.key in wanted:
                raise ValueError(f"two rows have the key {row.key!r}")
            wanted[row.key] = row
        cursor, old_index = self.cursor, self.cursor_row
        before, self._shown_rows = self._shown_rows, wanted
        overlaid = self._forget_overlay()
        if list(before) != list(wanted):
            self._arrange(before, wanted)
        for key, row in wanted.items():
            if before.get(key) != row or key in overlaid:
                self._draw_row(row)
        if cursor is not None and list(before) != list(wanted):
            index = list(wanted).index(cursor.row_key) if cursor.row_key in wanted else min(old_index, len(wanted) - 1)
            self.move_cursor(row=max(0, index))
            self.call_later(self.arrived)  # the cell under the cursor may be another one at the same place

    def put_cursor(self, row_key: str, column_key: str) -> bool:
        """Put the cursor on a cell; False when there is no such cell."""
        if row_key not in self._shown_rows or column_key not in self._shown_columns:
            return False
        self.move_cursor(row=self.get_row_index(row_key), column=self.get_column_index(column_key))
        return True

    def relabel(self, column_key: str, label: str) -> None:
        """Give a column another head."""
        old = self._shown_columns[column_key]
        if old.label == label:
            return
        self._shown_columns[column_key] = column = replace(old, label=label)
        if self.columns:
            width = self._widths[list(self._shown_columns).index(column_key)]
            self.columns[ColumnKey(column_key)].label = self._header(column, width)
            self._measure_again()

    def set_columns(self, columns: Sequence[Column]) -> bool:
        """Show other columns; the rows go, and are to be set again. False where the columns are these already."""
        if list(self._shown_columns.values()) == list(columns):
            return False
        self.clear(columns=True)
        self._shown_columns = {column.key: column for column in columns}
        self._widths = widths(columns, self.scrollable_content_region.width)
        self._shown_rows, self._drawn = {}, {}
        self._add_columns()
        return True

    # -- what a table that is edited adds -------------------------------------------------------------------------

    def arrived(self) -> None:
        """The cursor came to a cell, or another cell came under the cursor."""
        self.call_after_refresh(self._clear_footers)

    def _forget_overlay(self) -> set[str]:
        """New rows are here: forget what was shown in place of the old ones; returns the rows to draw again."""
        return set()

    def _row_gone(self, key: str) -> None:
        """The row `key` is no longer in the table."""

    def _cell(self, cell: Cell) -> Text:
        """The text of `cell` in exactly the column's width, a gap before it."""
        return self._plain_cell(cell, self._shown_rows[cell.row_key].cells.get(cell.column_key, ""))

    # -- drawing --------------------------------------------------------------------------------------------------

    def _plain_cell(self, cell: Cell, shown: str) -> Text:
        row, column = self._shown_rows[cell.row_key], self._shown_columns[cell.column_key]
        index = list(self._shown_columns).index(cell.column_key)
        style = f"bold {row.style}" if cell.column_key in row.strong or row.marked else row.style
        before = MARK if row.marked and index == 0 else " "
        text = cell_text(row, column, shown, self._widths[index], first=index == 0)
        return Text(before + text, style=style.strip(), no_wrap=True)

    def on_data_table_cell_highlighted(self) -> None:
        self.arrived()

    def _cell_at(self, coordinate: Coordinate) -> Cell | None:
        if not self.is_valid_coordinate(coordinate):
            return None
        row_key, column_key = self.coordinate_to_cell_key(coordinate)
        return Cell(row_key.value or "", column_key.value or "")

    def _header(self, column: Column, width: int) -> Text:
        return Text(" " + fit(column.label, width, column.align), no_wrap=True)

    def on_mount(self) -> None:
        self._add_columns()

    def _add_columns(self) -> None:
        """The base class measures headers with the running app, so columns cannot be added before there is one."""
        if not self.columns:
            for column, width in zip(self._shown_columns.values(), self._widths, strict=True):
                self.add_column(self._header(column, width), width=width + 1, key=column.key)

    def _arrange(self, before: dict[str, Row], wanted: dict[str, Row]) -> None:
        """Remove, add and reorder rows so that the table has `wanted`."""
        for key in before.keys() - wanted.keys():
            self.remove_row(key)
            for name in self._shown_columns:
                self._drawn.pop(Cell(key, name), None)
            self._row_gone(key)
        for key, row in wanted.items():
            if key not in before:
                cells = {Cell(key, name): self._cell(Cell(key, name)) for name in self._shown_columns}
                self._drawn.update(cells)
                self.add_row(*cells.values(), key=row.key)
        # Sorting hands over cells without their key, but every cell's text is an object of its own.
        first = next(iter(self._shown_columns))
        order = {id(self._drawn[Cell(key, first)]): index for index, key in enumerate(wanted)}
        self.sort(first, key=lambda text: order[id(text)])

    def _draw(self, cell: Cell) -> None:
        """Draw `cell` again if it looks different from what it did."""
        if cell.row_key not in self._shown_rows:
            return
        text = self._cell(cell)
        old = self._drawn.get(cell)
        if old is None or old != text or old.style != text.style or old.spans != text.spans:
            self._drawn[cell] = text
            self.update_cell(*cell, text)

    def _draw_row(self, row: Row) -> None:
        for name in self._shown_columns:
            self._draw(Cell(row.key, name))

    def on_resize(self) -> None:
        columns = list(self._shown_columns.values())
        new = widths(columns, self.scrollable_content_region.width)
        if new == self._widths:
            return
        self._widths = new
        for column, width in zip(columns, new, strict=True):
            shown = self.columns[ColumnKey(column.key)]
            shown.width, shown.label = width + 1, self._header(column, width)
        for row in self._shown_rows.values():
            self._draw_row(row)
        self._measure_again()

    def _measure_again(self) -> None:
        for cell, text in list(self._drawn.items())[:1]:
            self.update_cell(*cell, text, update_width=True)

    # -- totals that stay in sight --------------------------------------------------------------------------------

    @property
    def _footers(self) -> int:
        rows = list(self._shown_rows.values())
        return next((count for count, row in enumerate(reversed(rows)) if row.kind != "footer"), len(rows))

    def render_line(self, y: int) -> Strip:
        """A line of the table; where it scrolls, the last lines are the footer rows."""
        height = self.scrollable_content_region.height  # without the scrollbar below, where there is one
        hidden = self.virtual_size.height - height
        if hidden > 0 and height - self._footers <= y < height:
            y += hidden - round(self.scroll_offset.y)
        return super().render_line(y)

    def _clear_footers(self) -> None:
        """Scroll so that the cursor is not behind the footer rows."""
        footers = self._footers
        if not footers or self.cursor_row >= self.row_count - footers:
            return
        last = self.scrollable_content_region.height - footers - (self.header_height if self.show_header else 0) - 1
        beyond = self.cursor_row - round(self.scroll_target_y) - last
        if beyond > 0 and last >= 0:
            self.scroll_to(y=self.scroll_target_y + beyond, animate=False)
