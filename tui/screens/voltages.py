"""The same van at 12, 24 and 48 V: a column each, and below in words what the line under the cursor means."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from model.voltages import AtVoltage
from model.voltages_words import heads, paragraphs, table
from tui.display import local
from tui.screens.dialog import Dialog
from tui.widgets.row_table import RowTable
from tui.widgets.table_rows import Column, Row


class Voltages(Dialog[None]):
    """The table of `model.voltages_words`; `v` shows all its words instead of those of one line."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("v", "words", show=False)]
    keys_text = "up, down another line · v all the words · Tab scrolls them · Esc back"
    title_text = "This van at 12, 24 and 48 V"

    def __init__(self, found: Sequence[AtVoltage]) -> None:
        super().__init__()
        self._found = tuple(found)
        self._rows = {row.label: row for row in table(found)}

    def body(self) -> list[Widget]:
        columns = [Column("label", "", 26, flex=True)]
        columns += [Column(f"at{at}", head, 13, "right") for at, head in enumerate(heads(self._found))]
        self._table = RowTable(columns, id="voltages-table")
        self._words = Static(id="voltages-words", markup=False)
        return [self._table, VerticalScroll(self._words, id="voltages-scroll")]

    def on_mount(self) -> None:
        self._table.cursor_type = "row"
        own = next(at for at, one in enumerate(self._found) if one.entered)
        self._table.set_rows(
            Row(
                label,
                {"label": label, **{f"at{at}": local(text) for at, text in enumerate(row.texts)}},
                strong=frozenset({f"at{own}"}),
            )
            for label, row in self._rows.items()
        )
        self._table.focus()
        self._show()

    def on_data_table_row_highlighted(self) -> None:
        self._show()

    def action_words(self) -> None:
        """All the words at once, or those of the line under the cursor."""
        self._table.display = not self._table.display
        self.query_one("#voltages-scroll").focus() if not self._table.display else self._table.focus()
        self._show()

    def _show(self) -> None:
        if not self._table.display:
            text = Text()
            for head, sentences in paragraphs(self._found):
                text.append(f"{head}\n", "bold")
                text.append("".join(f"{local(one)}\n" for one in sentences) + "\n")
        else:
            cell = self._table.cursor
            row = self._rows.get(cell.row_key) if cell is not None else None
            text = Text(local("\n".join(row.words)) if row is not None else "")
        self._words.update(text)
        self.query_one("#voltages-scroll").scroll_home(animate=False)
