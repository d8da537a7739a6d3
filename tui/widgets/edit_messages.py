"""What an editable table tells its owner. Handlers are named after the table: `on_edit_table_cell_edited` and so on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from tui.widgets.cell_edits import CellEdits


class _CellMessage(Message):
    """A message about one cell of `table`."""

    def __init__(self, table: CellEdits, row_key: str, column_key: str) -> None:
        super().__init__()
        self.table, self.row_key, self.column_key = table, row_key, column_key

    @property
    def control(self) -> CellEdits:
        return self.table


class CellEdited(_CellMessage, namespace="edit_table"):
    """Text was entered. Answer with the table's `accept` or `refuse` if there is no check or it knows too little."""

    def __init__(self, table: CellEdits, row_key: str, column_key: str, text: str) -> None:
        super().__init__(table, row_key, column_key)
        self.text = text


class Typing(_CellMessage, namespace="edit_table"):
    """The text being typed makes sense so far: `text`; None when the person went back to what was there."""

    def __init__(self, table: CellEdits, row_key: str, column_key: str, text: str | None) -> None:
        super().__init__(table, row_key, column_key)
        self.text = text


class EditingHint(_CellMessage, namespace="edit_table"):
    """The cursor came to a cell, which takes the spellings in `hint`; an empty hint when it takes no edit."""

    def __init__(self, table: CellEdits, row_key: str, column_key: str, hint: str) -> None:
        super().__init__(table, row_key, column_key)
        self.hint = hint


class Pasted(_CellMessage, namespace="edit_table"):
    """Several lines or columns were pasted with the cursor on this cell; the owner puts them in place."""

    def __init__(self, table: CellEdits, rows: list[list[str]], row_key: str, column_key: str) -> None:
        super().__init__(table, row_key, column_key)
        self.rows = rows
