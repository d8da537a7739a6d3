"""A table whose cells are edited in place: the text being typed is drawn in its own cell.

Typing replaces the cell, F2 or Enter edits what is there, Enter keeps it and goes down, Tab keeps it and goes to the next
cell that takes an edit (letters typed there at once are its text, not keys of the program), Escape restores. The table judges
nothing: `check` does, or the owner answers the message.
Text that was refused is never thrown away: it stays in its cell, marked, until it is put right or restored with Escape.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar, TypeAlias

from rich.text import Text
from textual import events
from textual.reactive import reactive
from textual.widgets import DataTable

from tui.widgets import edit_messages
from tui.widgets.edit_buffer import LONGEST, EditBuffer, completion, next_choice, space_is_text
from tui.widgets.edit_state import Edit, letter, typing_starts_edit
from tui.widgets.pasted_cells import pasted_cells
from tui.widgets.row_table import Cell, RowTable
from tui.widgets.table_rows import Column, edit_text, fit

Check = Callable[[str, str, str], str | None]
"""(row key, column key, text) -> None when the text makes sense, else what is wrong with it and what is accepted."""

TYPED_ON_S = 1.0
"""Who types a value pauses no longer between its characters. Common practice, no source."""
TOO_LONG = f"not put in: a cell takes at most {LONGEST} characters"


class EditTable(RowTable):
    """A table edited in place. Give it columns, then rows with `set_rows`, as often as the figures change."""

    message: reactive[str] = reactive("")
    """What is wrong with the text under the cursor; empty when nothing is."""
    hint: reactive[str] = reactive("")
    """The spellings that the cell under the cursor takes; empty when it takes no edit."""

    CellEdited: TypeAlias = edit_messages.CellEdited
    Typing: TypeAlias = edit_messages.Typing
    EditingHint: TypeAlias = edit_messages.EditingHint
    Pasted: TypeAlias = edit_messages.Pasted

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
        super().__init__(columns, id=id, classes=classes)
        self.check = check
        self.typing_starts_edit = typing_starts_edit
        self._not_taken_at = -TYPED_ON_S
        self._typed: dict[Cell, str] = {}  # taken from the person, not yet in the owner's rows
        self._pending: dict[Cell, Edit] = {}  # refused text in cells that the person has left
        self._edit: Edit | None = None
        self._last: Edit | None = None  # the edit that the owner was told of last
        self._tabbing = False

    # -- what others ask ----------------------------------------------------------------------------------------

    @property
    def editing(self) -> bool:
        """Whether a cell is being edited."""
        return self._edit is not None

    @property
    def pending(self) -> list[tuple[str, str, str, str]]:
        """Text that was typed and not taken: row key, column key, text, what is wrong with it."""
        edits = [*self._pending.values(), *([self._edit] if self._edit else [])]
        return [(*edit.cell, edit.buffer.text, edit.message) for edit in edits]

    def begin_edit(self, text: str | None = None) -> bool:
        """Edit the cell under the cursor: the text in it, or `text` in its place. False when it takes no edit."""
        cell = self._cell_at(self.cursor_coordinate)
        if cell is None or not self._takes_edit(cell):
            return False
        held = self._pending.get(cell)
        original = held.original if held else self._text(cell)
        begun = (held.buffer.text if held else original) if text is None else text
        buffer = EditBuffer().insert(begun)
        if buffer is None:
            self.message = TOO_LONG
            return True
        self._pending.pop(cell, None)
        self._edit = Edit(cell, buffer, original, told=held.told if held else False)
        self._judge()
        self._draw(cell)
        return True

    def commit(self) -> bool:
        """Take the text being typed. False when it is refused, in which case it stays and `message` says why."""
        edit = self._edit
        if edit is None:
            return True
        text = self._entered(edit)
        if text == edit.original.strip():
            self.restore()
            return True
        message = self.check(*edit.cell, text) if self.check else None
        if message:
            edit.message = self.message = message
            return False
        edit.buffer = EditBuffer.at_end(text)
        self._edit, self._last, self.message = None, edit, ""
        self._typed[edit.cell] = text
        self._draw(edit.cell)
        self.post_message(self.CellEdited(self, *edit.cell, text))
        return True

    def restore(self) -> bool:
        """Give up the text typed in the cell under the cursor and show what was there. False when there is none."""
        edit, self._edit = self._edit, None
        if edit is None:
            cell = self._cell_at(self.cursor_coordinate)
            edit = self._pending.pop(cell, None) if cell else None
        if edit is None:
            return False
        self._given_up(edit)
        return True

    def give_up(self) -> str | None:
        """Give up the text that was refused last and left behind, wherever the cursor is. Answers it; None: there is none."""
        if not self._pending:
            return None
        _, edit = self._pending.popitem()
        self._given_up(edit)
        return edit.buffer.text

    def _given_up(self, edit: Edit) -> None:
        self.message = ""
        self._draw(edit.cell)
        if edit.told:
            self.post_message(self.Typing(self, *edit.cell, None))

    def accept(self, text: str) -> None:
        """Answer to `CellEdited`: show `text`, which may be spelled better than what was typed."""
        if self._last is not None:
            self._typed[self._last.cell] = text
            self._draw(self._last.cell)

    def refuse(self, message: str) -> None:
        """Answer to `CellEdited`: put the typed text back into its cell, with what is wrong with it."""
        edit, self._last = self._last, None
        if edit is None:
            return
        self._typed.pop(edit.cell, None)
        edit.message = message
        if self._edit is None and self.has_focus and self.put_cursor(*edit.cell):
            self._edit = edit
            self.message = message
        else:
            self._pending[edit.cell] = edit
        self._draw(edit.cell)

    # -- keys, paste, mouse, focus --------------------------------------------------------------------------------

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

    def _leave(self) -> None:
        """The person turns elsewhere: take the text if it makes sense, else keep it in its cell, marked."""
        edit = self._edit
        if edit is not None and not self.commit():
            self._edit = None
            self._pending[edit.cell] = edit
            self._draw(edit.cell)

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

    # -- the edit -------------------------------------------------------------------------------------------------

    def _change(self, buffer: EditBuffer | None) -> None:
        edit = self._edit
        assert edit is not None
        if buffer is None:
            self.message = TOO_LONG
            return
        same = buffer.text == edit.buffer.text
        edit.buffer = buffer
        if not same:
            self._judge()
        self._draw(edit.cell)

    def _cycle(self, choices: tuple[str, ...], step: int) -> None:
        assert self._edit is not None
        self._change(EditBuffer.at_end(next_choice(self._edit.buffer.text, choices, step)))

    def _judge(self) -> None:
        """Say what is wrong with the text so far, or tell the owner what it would be."""
        edit = self._edit
        assert edit is not None
        text = self._entered(edit)
        if text == edit.original.strip():
            message, offered = None, None
        else:
            message = self.check(*edit.cell, text) if self.check else None
            offered = None if message else text
        edit.message = self.message = message or ""
        if offered is not None or edit.told:
            edit.told = offered is not None
            self.post_message(self.Typing(self, *edit.cell, offered))

    def _entered(self, edit: Edit) -> str:
        """The text as it would be entered: in a column with choices, the choice that it begins."""
        choices = self._shown_columns[edit.cell.column_key].choices
        text = edit.buffer.text.strip()
        return (completion(text, choices) if choices else None) or text

    # -- drawing --------------------------------------------------------------------------------------------------

    def _takes_edit(self, cell: Cell) -> bool:
        return self._shown_rows[cell.row_key].takes_edit(self._shown_columns[cell.column_key])

    def _text(self, cell: Cell) -> str:
        """The text an edit of `cell` begins with."""
        if cell in self._typed:
            return self._typed[cell]
        return self._shown_rows[cell.row_key].text_to_edit(self._shown_columns[cell.column_key])

    def _forget_overlay(self) -> set[str]:
        keys = {cell.row_key for cell in self._typed}
        self._typed.clear()
        return keys

    def _row_gone(self, key: str) -> None:
        self._pending = {cell: edit for cell, edit in self._pending.items() if cell.row_key != key}
        if self._edit is not None and self._edit.cell.row_key == key:
            self._edit, self.message = None, ""

    def _cell(self, cell: Cell) -> Text:
        column = self._shown_columns[cell.column_key]
        width = self._widths[list(self._shown_columns).index(cell.column_key)]
        if self._edit is not None and self._edit.cell == cell:
            return edit_text(self._edit.buffer, column, width, wrong=bool(self._edit.message))
        if (held := self._pending.get(cell)) is not None:
            return Text("!" + fit(held.buffer.text, width, column.align), style="bold underline", no_wrap=True)
        return self._plain_cell(
            cell, self._typed.get(cell, self._shown_rows[cell.row_key].cells.get(cell.column_key, ""))
        )
