"""What an editable table is made of: columns, rows, and how a cell's text is laid out in its width."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from rich.cells import cell_len, set_cell_size
from rich.text import Text

from tui.widgets.edit_buffer import EditBuffer, completion


@dataclass(frozen=True, slots=True)
class Column:
    """One column. `width` counts the text alone; a gap of one cell is drawn before it.

    `kind_hint` says which spellings the column takes ("hours a day: 3.5 h, 3h30, 210 min"). With `choices`, space goes to
    the next choice and a first letter finds one; other text is for the check to judge. With `takes_letters`, typing a
    letter begins an edit (directly behind Tab, or at all times as the table has it), where otherwise it is left to the
    program's keys. A `flex` column takes the room left over; one with a `least`
    width gives up to that much where there is too little.
    """

    key: str
    label: str
    width: int
    align: Literal["left", "right"] = "left"
    editable: bool = False
    kind_hint: str = ""
    choices: tuple[str, ...] | None = None
    takes_letters: bool = False
    flex: bool = False
    least: int | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the text of each cell by column key, a missing one being empty.

    `kind`: "plain"; "derived", made by the program; "off", kept but not counted; "footer", totals at the end, which stay
    in sight and take no edits. `editable` names the columns that take edits in this row, None meaning those of the table.
    `edit_texts` holds the text to begin editing with where it is not the text shown. `word` stands behind the first
    column's text; an "off" row has one even if none is given. `strong` names cells drawn bold. A `marked` row has a sign
    before its first column, and is bold.
    """

    key: str
    cells: Mapping[str, str]
    kind: Literal["plain", "derived", "off", "footer"] = "plain"
    editable: frozenset[str] | None = None
    edit_texts: Mapping[str, str] = field(default_factory=dict)
    word: str = ""
    strong: frozenset[str] = frozenset()
    marked: bool = False

    def takes_edit(self, column: Column) -> bool:
        """Whether this row's cell in `column` may be edited."""
        if self.kind == "footer":
            return False
        return column.editable if self.editable is None else column.key in self.editable

    def text_to_edit(self, column: Column) -> str:
        """The text an edit of this row's cell in `column` begins with."""
        return self.edit_texts.get(column.key, self.cells.get(column.key, ""))

    @property
    def shown_word(self) -> str:
        """The word behind the first column's text, so that a row's kind never hangs on its style alone."""
        return self.word or ("off" if self.kind == "off" else "")

    @property
    def style(self) -> str:
        """Style of the row's text."""
        return {"plain": "", "derived": "italic", "off": "dim", "footer": "bold"}[self.kind]


def fit(text: str, width: int, align: Literal["left", "right"] = "left") -> str:
    """`text` in exactly `width` cells, cut with an ellipsis where it is longer."""
    text = " ".join(text.split())
    if cell_len(text) > width:
        return set_cell_size(text, max(0, width - 1)) + "…"[: max(0, width)]
    padding = " " * (width - cell_len(text))
    return padding + text if align == "right" else text + padding


def cell_text(row: Row, column: Column, text: str, width: int, *, first: bool) -> str:
    """A cell's text in `width` cells; the first column ends with the row's word, which is never cut."""
    word = row.shown_word if first else ""
    if not word or width < len(word) + 4:
        return fit(text, width, column.align)
    return fit(text, width - len(word) - 1) + " " + word


def edit_text(buffer: EditBuffer, column: Column, width: int, *, wrong: bool) -> Text:
    """The text being typed, behind a gap or a "!": underlined, the caret in reverse, the rest of a choice dim behind it."""
    before, under, after = buffer.window(width)
    tail = ""
    if column.choices and buffer.caret == len(buffer.text):
        whole = completion(buffer.text, column.choices) or ""
        tail = whole[len(buffer.text.strip()) :]
        under, after = (tail[:1] or under), tail[1:]
    text = Text(before, style="underline")
    text.append(under, style="reverse")
    text.append(after, style="dim" if tail else "")
    text.truncate(width)
    padding = " " * (width - text.cell_len)
    left, right = (padding, "") if column.align == "right" else ("", padding)
    # The cursor's reverse is taken back for the cell being edited: only the caret has it.
    return Text.assemble("!" if wrong else " ", left, text, right, style="not reverse underline", no_wrap=True)


def widths(columns: Sequence[Column], room: int) -> list[int]:
    """The width of each column's text so that flex columns share what `room` leaves (the first takes the odd cells)."""
    left = room - sum(column.width + 1 for column in columns)
    flexible = [index for index, column in enumerate(columns) if column.flex]
    result = [column.width for column in columns]
    for index, column in enumerate(columns):
        if left < 0 and column.least is not None:
            result[index] = max(column.least, column.width + left)
            left += column.width - result[index]
    if left > 0 and flexible:
        for place, index in enumerate(flexible):
            result[index] += left // len(flexible) + (left % len(flexible) if place == 0 else 0)
    return result
