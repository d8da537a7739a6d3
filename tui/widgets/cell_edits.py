"""The edit of a cell in its place, without a key: the text being typed, what is taken of it, what is refused and kept.

The table judges nothing: `check` does, or the owner answers the message. Text that was refused is never thrown away: it stays in
its cell, marked, until it is put right or restored.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeAlias

from rich.text import Text
from textual.reactive import reactive

from tui.widgets import edit_messages
from tui.widgets.edit_buffer import LONGEST, EditBuffer, completion, next_choice
from tui.widgets.edit_state import Edit
from tui.widgets.row_table import Cell, RowTable
from tui.widgets.table_rows import Column, edit_text, fit

Check = Callable[[str, str, str], str | None]
"""(row key, column key, text) -> None when the text makes sense, else what is wrong with it and what is accepted."""

TOO_LONG = f"not put in: a cell takes at most {LONGEST} characters"


class CellEdits(RowTable):
    """A table that holds an edit of one cell, and the texts that were refused in others."""

    message: reactive[str] = reactive("")
    """What is wrong with the text under the cursor; empty when nothing is."""
    hint: reactive[str] = reactive("")
    """The spellings that the cell under the cursor takes; empty when it takes no edit."""

    CellEdited: TypeAlias = edit_messages.CellEdited
    Typing: TypeAlias = edit_messages.Typing
    EditingHint: TypeAlias = edit_messages.EditingHint
    Pasted: TypeAlias = edit_messages.Pasted

    def __init__(
        self,
        columns: Sequence[Column],
        *,
        check: Check | None = None,
        id: str | None = None,
        classes: str | None = None,
    ) -> None:
        super().__init__(columns, id=id, classes=classes)
        self.check = check
        self._typed: dict[Cell, str] = {}  # taken from the person, not yet in the owner's rows
        self._pending: dict[Cell, Edit] = {}  # refused text in cells that the person has left
        self._edit: Edit | None = None
        self._last: Edit | None = None  # the edit that the owner was told of last

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

    def _leave(self) -> None:
        """The person turns elsewhere: take the text if it makes sense, else keep it in its cell, marked."""
        edit = self._edit
        if edit is not None and not self.commit():
            self._edit = None
            self._pending[edit.cell] = edit
            self._draw(edit.cell)

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
