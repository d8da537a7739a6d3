"""A table whose cells are edited in place: the text being typed is drawn in its own cell.

Typing replaces the cell, F2 or Enter edits what is there, Enter keeps it and goes down, Tab keeps it and goes to the next
cell that takes an edit, Escape restores. The table judges nothing: `check` does, or the owner answers the message.
Text that was refused is never thrown away: it stays in its cell, marked, until it is put right or restored with Escape.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar, NamedTuple

from rich.text import Text
from textual import events
from textual.coordinate import Coordinate
from textual.message import Message
from textual.reactive import reactive
from textual.strip import Strip
from textual.widgets import DataTable, Static
from textual.widgets.data_table import ColumnKey

from tui.widgets.edit_buffer import LONGEST, EditBuffer, completion, next_choice
from tui.widgets.table_rows import Column, Row, cell_text, fit, widths

Check = Callable[[str, str, str], str | None]
"""(row key, column key, text) -> None when the text makes sense, else what is wrong with it and what is accepted."""

TOO_LONG = f"not put in: a cell takes at most {LONGEST} characters"


class Cell(NamedTuple):
    """The keys of a cell."""

    row_key: str
    column_key: str


@dataclass(slots=True)
class Edit:
    """Text typed into a cell and not yet taken; `message` says why not, `told` whether the owner heard of it."""

    cell: Cell
    buffer: EditBuffer
    original: str
    message: str = ""
    told: bool = False


def typing_starts_edit(column: Column, character: str) -> bool:
    """Whether typing `character` on an editable cell begins an edit; if not, the program's keys get it.

    Digits, signs and decimal marks always do, letters in text columns, and the first letter of a choice.
    """
    if character.isdigit() or character in ".,+-−":
        return True
    if column.takes_letters:
        return character.isprintable() and not character.isspace()
    return any(choice.startswith(character) for choice in column.choices or ())


class EditTable(DataTable[Text]):
    """A table edited in place. Give it columns, then rows with `set_rows`, as often as the figures change."""

    DEFAULT_CSS = """
    EditTable {
        height: 1fr; background: $background; scrollbar-size-vertical: 1; scrollbar-gutter: stable; overflow-x: auto;
        &:focus { background-tint: $foreground 0%; }
        & > .datatable--header, &:focus > .datatable--header {
            background: $panel; color: $foreground; text-style: bold; background-tint: $foreground 0%;
        }
        & > .datatable--cursor { background: $background; color: $foreground; text-style: bold underline; }
        &:focus > .datatable--cursor { background: $background; color: $foreground; text-style: reverse; }
        & > .datatable--fixed, & > .datatable--even-row, & > .datatable--odd-row { background: $background; }
        & > .datatable--hover { background: $panel; }
    }
    """

    message: reactive[str] = reactive("")
    """What is wrong with the text under the cursor; empty when nothing is."""
    hint: reactive[str] = reactive("")
    """The spellings that the cell under the cursor takes; empty when it takes no edit."""

    class CellEdited(Message):
        """Text was entered. Answer with the table's `accept` or `refuse` if there is no check or it knows too little."""

        def __init__(self, table: EditTable, row_key: str, column_key: str, text: str) -> None:
            super().__init__()
            self.table, self.row_key, self.column_key, self.text = table, row_key, column_key, text

        @property
        def control(self) -> EditTable:
            return self.table

    class Typing(Message):
        """The text being typed makes sense so far: `text`; None when the person went back to what was there."""

        def __init__(self, table: EditTable, row_key: str, column_key: str, text: str | None) -> None:
            super().__init__()
            self.table, self.row_key, self.column_key, self.text = table, row_key, column_key, text

        @property
        def control(self) -> EditTable:
            return self.table

    class EditingHint(Message):
        """The spellings that the cell under the cursor takes; an empty hint when it takes no edit."""

        def __init__(self, table: EditTable, column_key: str, hint: str) -> None:
            super().__init__()
            self.table, self.column_key, self.hint = table, column_key, hint

        @property
        def control(self) -> EditTable:
            return self.table

    class Pasted(Message):
        """Several lines or columns were pasted with the cursor on this cell; the owner puts them in place."""

        def __init__(self, table: EditTable, rows: list[list[str]], row_key: str, column_key: str) -> None:
            super().__init__()
            self.table, self.rows, self.row_key, self.column_key = table, rows, row_key, column_key

        @property
        def control(self) -> EditTable:
            return self.table

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
        super().__init__(id=id, classes=classes, show_row_labels=False, cell_padding=0)
        self.check = check
        self.typing_starts_edit = typing_starts_edit
        self._shown_columns: dict[str, Column] = {column.key: column for column in columns}
        self._widths: list[int] = [column.width for column in columns]
        self._shown_rows: dict[str, Row] = {}
        self._drawn: dict[Cell, Text] = {}
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
    def cursor(self) -> Cell | None:
        """Row key and column key of the cell under the cursor; None in an empty table."""
        return self._cell_at(self.cursor_coordinate)

    @property
    def pending(self) -> list[tuple[str, str, str, str]]:
        """Text that was typed and not taken: row key, column key, text, what is wrong with it."""
        edits = [*self._pending.values(), *([self._edit] if self._edit else [])]
        return [(*edit.cell, edit.buffer.text, edit.message) for edit in edits]

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
        touched = {cell.row_key for cell in self._typed}
        self._typed.clear()
        if list(before) != list(wanted):
            self._arrange(before, wanted)
        for key, row in wanted.items():
            if before.get(key) != row or key in touched:
                self._draw_row(row)
        if cursor is not None and list(before) != list(wanted):
            index = list(wanted).index(cursor.row_key) if cursor.row_key in wanted else min(old_index, len(wanted) - 1)
            self.move_cursor(row=max(0, index))

    def put_cursor(self, row_key: str, column_key: str) -> bool:
        """Put the cursor on a cell; False when there is no such cell."""
        if row_key not in self._shown_rows or column_key not in self._shown_columns:
            return False
        self.move_cursor(row=self.get_row_index(row_key), column=self.get_column_index(column_key))
        return True

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
        self.message = ""
        self._draw(edit.cell)
        if edit.told:
            self.post_message(self.Typing(self, *edit.cell, None))
        return True

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
        if not self._takes_edit(cell):
            if event.character and event.character.isdigit():
                self.message = f"{column.label or 'this'} is worked out, not typed"
            return False
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
        elif choices and event.key == "space" and not _space_is_text(edit.buffer.text, choices):
            self._cycle(choices, 1)
        elif (moved := edit.buffer.key(event.key)) is not None:
            self._change(moved)
        elif event.is_printable and event.character:
            self._change(edit.buffer.insert(event.character))
        elif self.commit():
            # The key is sent again, so that it arrives behind the edit: whatever it does sees the new figures.
            self.post_message(events.Key(event.key, event.character))
        return True

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        cell = self._cell_at(self.cursor_coordinate)
        rows = [line.split("\t") for line in event.text.splitlines()]
        while rows and not any(part.strip() for part in rows[-1]):
            rows.pop()
        if cell is None or not rows:
            return
        if len(rows) > 1 or len(rows[0]) > 1:
            self._leave()
            self.post_message(self.Pasted(self, rows, *cell))
        elif self._edit:
            self._change(self._edit.buffer.insert(rows[0][0]))
        elif not self.begin_edit(rows[0][0].strip()):
            self.message = f"{self._shown_columns[cell.column_key].label or 'this'} is worked out, not typed"

    def on_data_table_cell_selected(self, event: DataTable.CellSelected) -> None:
        """A click on the cell that the cursor was on already: edit it. On a figure the owner gets the message."""
        if self._edit is not None or self.begin_edit():
            event.stop()

    def on_data_table_cell_highlighted(self) -> None:
        cell = self._cell_at(self.cursor_coordinate)
        if self._edit is not None and self._edit.cell != cell:
            self._leave()
        if cell is None:
            return
        held = self._edit or self._pending.get(cell)
        self.message = held.message if held else ""
        column = self._shown_columns[cell.column_key]
        self.hint = (column.kind_hint or " · ".join(column.choices or ())) if self._takes_edit(cell) else ""
        self.post_message(self.EditingHint(self, cell.column_key, self.hint))
        self.call_after_refresh(self._clear_footers)

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

    def _cell_at(self, coordinate: Coordinate) -> Cell | None:
        if not self.is_valid_coordinate(coordinate):
            return None
        row_key, column_key = self.coordinate_to_cell_key(coordinate)
        return Cell(row_key.value or "", column_key.value or "")

    def _takes_edit(self, cell: Cell) -> bool:
        return self._shown_rows[cell.row_key].takes_edit(self._shown_columns[cell.column_key])

    def _text(self, cell: Cell) -> str:
        """The text an edit of `cell` begins with."""
        if cell in self._typed:
            return self._typed[cell]
        return self._shown_rows[cell.row_key].text_to_edit(self._shown_columns[cell.column_key])

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
            for held in (self._drawn, self._pending):
                for cell in [cell for cell in held if cell.row_key == key]:
                    del held[cell]
            if self._edit is not None and self._edit.cell.row_key == key:
                self._edit, self.message = None, ""
        for key, row in wanted.items():
            if key not in before:
                cells = {Cell(key, name): self._cell(Cell(key, name)) for name in self._shown_columns}
                self._drawn.update(cells)
                self.add_row(*cells.values(), key=row.key)
        # Sorting hands over cells without their key, but every cell's text is an object of its own.
        first = next(iter(self._shown_columns))
        order = {id(self._drawn[Cell(key, first)]): index for index, key in enumerate(wanted)}
        self.sort(first, key=lambda text: order[id(text)])

    def _cell(self, cell: Cell) -> Text:
        """The text of `cell` in exactly the column's width, a gap before it."""
        row, column = self._shown_rows[cell.row_key], self._shown_columns[cell.column_key]
        index = list(self._shown_columns).index(cell.column_key)
        width = self._widths[index]
        if self._edit is not None and self._edit.cell == cell:
            return self._edit_text(self._edit, column, width)
        if (held := self._pending.get(cell)) is not None:
            return Text("!" + fit(held.buffer.text, width, column.align), style="bold underline", no_wrap=True)
        shown = self._typed.get(cell, row.cells.get(cell.column_key, ""))
        style = "bold" if cell.column_key in row.strong else row.style
        return Text(" " + cell_text(row, column, shown, width, first=index == 0), style=style, no_wrap=True)

    def _edit_text(self, edit: Edit, column: Column, width: int) -> Text:
        """The text being typed: underlined, the caret in reverse, the rest of a choice dim behind it."""
        before, under, after = edit.buffer.window(width)
        tail = ""
        if column.choices and edit.buffer.caret == len(edit.buffer.text):
            whole = completion(edit.buffer.text, column.choices) or ""
            tail = whole[len(edit.buffer.text.strip()) :]
            under, after = (tail[:1] or under), tail[1:]
        text = Text(before, style="underline")
        text.append(under, style="reverse")
        text.append(after, style="dim" if tail else "")
        text.truncate(width)
        padding = " " * (width - text.cell_len)
        left, right = (padding, "") if column.align == "right" else ("", padding)
        # The cursor's reverse is taken back for the cell being edited: only the caret has it.
        return Text.assemble(
            "!" if edit.message else " ", left, text, right, style="not reverse underline", no_wrap=True
        )

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
        for cell, text in list(self._drawn.items())[:1]:
            self.update_cell(*cell, text, update_width=True)  # has the table measure itself again

    # -- totals that stay in sight --------------------------------------------------------------------------------

    @property
    def _footers(self) -> int:
        rows = list(self._shown_rows.values())
        return next((count for count, row in enumerate(reversed(rows)) if row.kind != "footer"), len(rows))

    def render_line(self, y: int) -> Strip:
        """A line of the table; where it scrolls, the last lines are the footer rows."""
        hidden = self.virtual_size.height - self.size.height
        if hidden > 0 and y >= self.size.height - self._footers:
            y += hidden - round(self.scroll_offset.y)
        return super().render_line(y)

    def _clear_footers(self) -> None:
        """Scroll so that the cursor is not behind the footer rows."""
        footers = self._footers
        if not footers or self.cursor_row >= self.row_count - footers:
            return
        last = self.size.height - footers - self.header_height - 1
        beyond = self.cursor_row - round(self.scroll_target_y) - last
        if beyond > 0 and last >= 0:
            self.scroll_to(y=self.scroll_target_y + beyond, animate=False)


class EditLine(Static):
    """The line under a table: what is wrong with the text being typed, or which spellings the cell takes."""

    DEFAULT_CSS = "EditLine { height: 1; padding: 0 1; }"

    def __init__(self, table: EditTable, *, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)
        self._table = table

    def on_mount(self) -> None:
        self.watch(self._table, "message", self._show)
        self.watch(self._table, "hint", self._show)

    def _show(self) -> None:
        table = self._table
        self.update(Text(f"! {table.message}", style="bold") if table.message else Text(table.hint, style="dim"))


def _space_is_text(text: str, choices: tuple[str, ...]) -> bool:
    """Whether a space goes on with `text`: some choice continues with one, or none begins with it at all."""
    if completion(text, choices) is None:
        return bool(text)
    return any(choice.casefold().startswith(text.casefold() + " ") for choice in choices)
