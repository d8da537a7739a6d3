"""A form with every field of one record of the design; each field is an edit of its own, so undo takes them one by one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import on
from textual.widget import Widget

from model import edit
from tui.screens.dialog import Dialog
from tui.screens.fields import record_fields
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_table import EditTable
from tui.widgets.field_list import VALUE, Field, FieldList

if TYPE_CHECKING:
    from tui.app import Ampledger


class Form(Dialog[None]):
    keys_text = "type or Enter edits · space takes the next choice · Esc back"

    def __init__(self, owner: Ampledger, path: str, fields: Sequence[Field] = (), *, at: str = "") -> None:
        """Every field of the record at `path`; or `fields` of the design, the path being empty then. The cursor begins on
        the field whose path is `at`, where one is named."""
        super().__init__()
        assert owner.document is not None
        self._owner, self._path, self._chosen, self._at = owner, path, tuple(fields), at
        if self._chosen:
            self.title_text = "The design"
            return
        record = edit.get(owner.document.design, path)
        self.title_text = getattr(record, "name", "") or {"inverter": "Inverter", "system": "The whole van"}.get(
            path, "Row"
        )

    def body(self) -> list[Widget]:
        self._fields = FieldList(label_width=40, value_width=18, in_dialog=True, id="form-fields")
        return [self._fields, EditLine(self._fields)]

    def on_mount(self) -> None:
        self._show()
        if self._at:
            self._fields.put_cursor(self._at, VALUE)
        self._fields.focus()

    def _show(self) -> None:
        assert self._owner.document is not None
        design = self._owner.document.design
        fields = self._chosen or record_fields(self._path, edit.get(design, self._path))
        self._fields.show_fields(design, fields)

    @on(EditTable.CellEdited)
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        title = f"{self.title_text}: {self._fields.title(event.row_key, event.text)}"
        self._owner.edit(self._fields.new_design(event.row_key, event.text), title)
        self._show()
