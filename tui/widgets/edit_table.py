"""A table whose cells are edited in place: the text being typed is drawn in its own cell.

Typing replaces the cell, F2 or Enter edits what is there, Enter keeps it and goes down, Tab keeps it and goes to the next
cell that takes an edit (letters typed there at once are its text, not keys of the program), Escape restores. The table judges
nothing: `check` does, or the owner answers the message.
Text that was refused is never thrown away: it stays in its cell, marked, until it is put right or restored with Escape.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import events
from textual.widgets import DataTable

from tui.widgets.cell_edits import CellEdits, Check
from tui.widgets.edit_buffer import next_choice, space_is_text
from tui.widgets.edit_state import letter, typing_starts_edit
from tui.widgets.pasted_cells import pasted_cells
from tui.widgets.row_table import Cell
from tui.widgets.table_rows import Column

TYPED_ON_S = 1.0
"""Who types a value pauses no longer between its characters. Common practice, no source."""


class EditTable(CellEdits):
    """A table edited in place. Give it columns, then rows with `set_rows`, as often as the figures change."""

    _MOVES: ClassVar[dict[str, int]] = {"tab": 1, "shift+tab": -1}

    def __init__(
        self,
        columns: Sequence[Column],
        *,
        check: Check | None = None,
        typing_starts_edit: Callable[[Column, str], bool] = typing_starts_edit,
        id: str | None = None,
        classes: str | None = None,
    ) -> None:
        super().__init__(columns, check=check, id=id, classes=classes)
        self.typing_starts_edit = typing_starts_edit
        self._not_taken_at = -TYPED_ON_S
        self._tabbing = False

    def on_key(self, event: events.Key) -> None:
        handled = self._editing_key(event) if self._edit else self._resting_key(event)
        if handled:
            event.stop()
            event.prevent_default()

    def _resting_key(self, event: events.Key) -> bool:
        tabbing, self._tabbing = self._tabbing, False
        cell = self._cell_at(self.cursor_coordinate)
        if cell is None:
            return False
        column = self._shown_columns[cell.column_key]
        if event.key == "escape":
            return self.restore()
        if tabbing and event.key in self._MOVES:
            self._go_on(self._MOVES[event.key])
            return True
        if tabbing and column.takes_letters and self._takes_edit(cell) and letter(event.character):
            return self.begin_edit(event.character)
        if not self._takes_edit(cell):
            return self._not_taken(event, column)
        if event.key in ("enter", "f2"):
            return self.begin_edit()
        if event.key == "backspace":
            return self.begin_edit("")
        if event.key == "space" and column.choices:
            text = next_choice(self._text(cell), column.choices)
            self.begin_edit(text)
            self.commit()
            return True
        if event.is_printable and event.character and self.typing_starts_edit(column, event.character):
            return self.begin_edit(event.character)
        return False

    def _editing_key(self, event: events.Key) -> bool:
        edit = self._edit
        assert edit is not None
        choices = self._shown_columns[edit.cell.column_key].choices
        if event.key in ("escape", "ctrl+z"):
            return self.restore()
        if event.key == "enter":
            if self.commit():
                self.action_cursor_down()
        elif event.key in self._MOVES:
            if self.commit():
                self._go_on(self._MOVES[event.key])
        elif choices and event.key in ("up", "down"):
            self._cycle(choices, 1 if event.key == "down" else -1)
        elif choices and event.key == "space" and not space_is_text(edit.buffer.text, choices):
            self._cycle(choices, 1)
        elif (moved := edit.buffer.key(event.key)) is not None:
            self._change(moved)
        elif event.is_printable and event.character:
            self._change(edit.buffer.insert(event.character))
        else:
            # Nobody is held in a cell: what is refused stays there, marked, and the key goes on. It is sent again, so that
            # it arrives behind the edit and whatever it does sees the new figures.
            self._leave()
            self.post_message(events.Key(event.key, event.character))
        return True

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        cell = self._cell_at(self.cursor_coordinate)
        rows = pasted_cells(event.text)
        if cell is None or not rows:
            return
        if len(rows) > 1 or len(rows[0]) > 1:
            self._leave()
            self.post_message(self.Pasted(self, rows, *cell))
        elif self._edit:
            self._change(self._edit.buffer.insert(rows[0][0]))
        elif not self.begin_edit(rows[0][0].strip()):
            self.message = f"{self._shown_columns[cell.column_key].label or 'this'} is worked out, not typed"

    def _not_taken(self, event: events.Key, column: Column) -> bool:
        """A figure takes no text. What is typed right behind a digit belongs to it: the unit's letters are no commands."""
        typed_on = event.is_printable and event.time - self._not_taken_at < TYPED_ON_S
        if not (typed_on or (event.character and event.character.isdigit())):
            return False
        self._not_taken_at = event.time
        self.message = f"{column.label or 'this'} is worked out, not typed"
        return True

    def on_data_table_cell_selected(self, event: DataTable.CellSelected) -> None:
        """A click on the cell that the cursor was on already: edit it. On a figure the owner gets the message."""
        if self._edit is not None or self.begin_edit():
            event.stop()

    def arrived(self) -> None:
        super().arrived()
        cell = self._cell_at(self.cursor_coordinate)
        if self._edit is not None and self._edit.cell != cell:
            self._leave()
        if cell is None:
            return
        held = self._edit or self._pending.get(cell)
        self.message = held.message if held else ""
        column = self._shown_columns[cell.column_key]
        self.hint = (column.kind_hint or " · ".join(column.choices or ())) if self._takes_edit(cell) else ""
        self.post_message(self.EditingHint(self, *cell, self.hint))

    def on_blur(self) -> None:
        # When the whole terminal loses the focus, half a number must not count as entered: the edit just waits.
        if self.app.app_focus:
            self._leave()

    def _go_on(self, step: int) -> None:
        """Go to the next cell that takes an edit, over the ends of rows; stay where there is none."""
        keys, columns = list(self._shown_rows), list(self._shown_columns)
        place = self.cursor_row * len(columns) + self.cursor_column + step
        while 0 <= place < len(keys) * len(columns):
            row, column = divmod(place, len(columns))
            if self._takes_edit(Cell(keys[row], columns[column])):
                self.move_cursor(row=row, column=column)
                break
            place += step
        self._tabbing = True
