"""A list of fields with their values, each edited in its cell: the form behind every place, every row and the settings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from textual import events
from textual.coordinate import Coordinate

from model import edit
from model.entry import entries
from tui import display
from tui.widgets.check import tried
from tui.widgets.edit_buffer import next_choice
from tui.widgets.edit_state import anything, digits_only
from tui.widgets.edit_table import EditTable
from tui.widgets.table_rows import Column, Row

LABEL, VALUE = "label", "value"
LEAST_LABEL = 24  # so narrow a label may become on a small screen before the table is scrolled


@dataclass(frozen=True, slots=True)
class Field:
    """One line: the path of a field of the design, or a heading where `path` is empty.

    `label` replaces the field's own; `empty` is what an empty value is shown as ("as many as fit").
    """

    path: str
    label: str = ""
    empty: str = "-"


class FieldList(EditTable):
    """Fields of a design or of the settings, one a line. `show_fields` fills it; the row key of an edit is the path."""

    def __init__(
        self, *, label_width: int = 22, value_width: int = 12, in_dialog: bool = False, id: str | None = None
    ) -> None:
        """With `in_dialog` letters begin an edit too: no command listens there."""
        columns = (
            Column(LABEL, "", label_width, flex=True, least=min(label_width, LEAST_LABEL)),
            Column(VALUE, "", value_width, "right", editable=True, flex=True),
        )
        super().__init__(
            columns,
            check=tried(lambda path, _column, text: self.new_design(path, text)),
            typing_starts_edit=anything if in_dialog else digits_only,
            id=id,
        )
        self.show_header = False
        self._design: Any = None

    def show_fields(self, design: Any, fields: Sequence[Field]) -> None:
        """Show `fields` of `design`; at first the cursor stands on the first of them."""
        first = self._design is None
        self._design = design
        self.set_rows(_row(design, index, field) for index, field in enumerate(fields))
        if first:
            self.put_cursor(next((field.path for field in fields if field.path), ""), VALUE)

    def validate_cursor_coordinate(self, value: Coordinate) -> Coordinate:
        """The cursor stays on the values: a label takes no edit, so typing on one would go nowhere."""
        within = super().validate_cursor_coordinate(value)
        return Coordinate(within.row, 1) if len(self.columns) > 1 else within

    def title(self, path: str, text: str) -> str:
        """What an edit did, in the words on the screen: "Days of autonomy: 3"."""
        assert self._design is not None
        shown = self._shown_rows[path].cells[LABEL] if path in self._shown_rows else path
        return f"{shown}: {text or 'nothing'}"

    def new_design(self, path: str, text: str) -> Any:
        """The design with the field at `path` as typed; Refusal where it does not fit."""
        assert self._design is not None
        record, name = edit.record_at(self._design, path)
        return edit.put_text(self._design, path, display.typed(text, entries(record)[name].kind))

    def on_edit_table_editing_hint(self, event: EditTable.EditingHint) -> None:
        if event.hint == "":
            self._show_hint()

    def on_focus(self) -> None:
        self._show_hint()

    def on_blur(self) -> None:
        """What a field takes is of no use while another table has the focus."""
        self.hint = ""

    def _show_hint(self) -> None:
        cell = self.cursor
        if self._design is not None and cell is not None and cell.column_key == VALUE:
            heading = cell.row_key.startswith("heading.")
            self.hint = "" if heading or not self.has_focus else self._hint_of(cell.row_key)

    def _hint_of(self, path: str) -> str:
        record, name = edit.record_at(self._design, path)
        words = self.typing_starts_edit is not anything and entries(record)[name].kind in (
            "text",
            "when",
            "months",
            "date",
        )
        return edit.hint_at(self._design, path) + ("; Enter edits it" if words else "")

    def on_key(self, event: events.Key) -> None:
        if event.key == "space" and not self.editing and self._next_choice():
            event.stop()
            event.prevent_default()  # keeps the table's own on_key, which Textual calls next, from seeing it too

    def _next_choice(self) -> bool:
        """Space goes to the next choice of a field that has some."""
        cell = self.cursor
        if self._design is None or cell is None or cell.row_key.startswith("heading."):
            return False
        record, name = edit.record_at(self._design, cell.row_key)
        entry = entries(record)[name]
        choices = ("yes", "no") if entry.kind == "yes/no" else entry.choices
        if not choices:
            return False
        self.put_cursor(cell.row_key, VALUE)
        self.begin_edit(next_choice(edit.text_at(self._design, cell.row_key), choices))
        self.commit()
        return True


def _row(design: Any, index: int, field: Field) -> Row:
    if not field.path:
        return Row(f"heading.{index}", {LABEL: field.label, VALUE: ""}, editable=frozenset(), strong=frozenset({LABEL}))
    record, name = edit.record_at(design, field.path)
    shown, text = display.cell(design, field.path)
    return Row(
        field.path,
        {LABEL: field.label or entries(record)[name].label, VALUE: shown or field.empty},
        edit_texts={VALUE: text},
    )
