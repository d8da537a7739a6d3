"""What a new design begins with; the loads come next, and everything else has a default."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from typing import Any

from textual import events, on
from textual.message import Message
from textual.widget import Widget

from model.design import Design
from model.quantities import Refusal
from tui import display
from tui.screens.dialog import Dialog
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_table import EditTable
from tui.widgets.field_list import Field, FieldList

PLACE = "place/name"
LENGTHS = ("roof/length_m", "roof/width_m")
_BARE = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
QUESTIONS = (
    Field(PLACE, "Where do you go?"),
    Field("months_of_use", "In which months?"),
    Field("battery/autonomy_days", "How many days of autonomy (no sun)?"),
    Field("roof/length_m", "Roof: length along the van"),
    Field("roof/width_m", "Roof: width across"),
    Field("system/nominal_v", "System voltage"),
    Field("", "→ on to the loads: Enter here"),
)


class Questions(FieldList):
    """The fields of `QUESTIONS`, and a last line that ends them. Typing anything replaces an answer, since no letter is a
    command here, and Enter takes the one that stands there; a place is searched for by its name, or given by coordinates."""

    class Done(Message):
        """Enter was pressed on the last line."""

    def __init__(self, *, id: str) -> None:
        super().__init__(label_width=27, value_width=22, in_dialog=True, id=id)

    def on_key(self, event: events.Key) -> None:
        cell = self.cursor
        if event.key != "enter" or self.editing or cell is None or cell.row_key in {row for row, *_ in self.pending}:
            return
        event.stop()
        event.prevent_default()  # keeps on_key of the classes above, which Textual calls next, from seeing it too
        if cell.row_key.startswith("heading."):
            self.post_message(self.Done())
        else:
            self.action_cursor_down()  # the answer that stands there is taken

    def _show_hint(self) -> None:
        super()._show_hint()
        if self.cursor is not None and self.cursor.row_key == PLACE and self.has_focus:
            self.hint = "a town, or coordinates such as 36.1, -79.95"

    def new_design(self, path: str, text: str) -> Any:
        if path != PLACE:
            bare = path in LENGTHS and _BARE.fullmatch(text.strip())
            return super().new_design(path, f"{text} {display.length_unit()}" if bare else text)
        found = _place(text.strip())
        assert self._design is not None
        return replace(self._design, place=replace(self._design.place, **found))


@lru_cache(maxsize=64)
def _place(text: str) -> dict[str, Any]:
    """Name and position of the best match; Refusal, with what is near it, where there is none."""
    from model.supply.places import BadPlace, as_entered, resolve

    try:
        return as_entered(resolve(text))
    except BadPlace as bad:
        raise Refusal(str(bad)) from bad


class NewDesign(Dialog[Design]):
    """Answers the design with what was typed; what was not touched keeps its default."""

    title_text = "A new design: place, season, autonomy, roof, volts; then the loads"
    keys_text = "type an answer, or Enter takes the one that is there · Esc back"

    def __init__(self, design: Design) -> None:
        super().__init__()
        self._made = self._began = design

    @property
    def answers(self) -> Design | None:
        """The design with what was answered so far; None where nothing was."""
        return None if self._made == self._began else self._made

    def body(self) -> list[Widget]:
        self._fields = Questions(id="new-fields")
        return [self._fields, EditLine(self._fields)]

    def on_mount(self) -> None:
        self._fields.show_fields(self._made, QUESTIONS)
        self._fields.focus()

    @on(EditTable.CellEdited)
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        self._made = self._fields.new_design(event.row_key, event.text)
        self._fields.show_fields(self._made, QUESTIONS)

    @on(Questions.Done)
    def _keep(self) -> None:
        """To the loads, unless a text waits to be put right."""
        if self._fields.pending:
            self._fields.message = "one answer is not understood yet: put it right"
        else:
            self.dismiss(replace(self._made, month=darkest_month(self._made)))


def darkest_month(design: Design) -> int:
    """Of the months of use the one nearest to the winter solstice: what works then works in the others."""
    solstice = 12 if design.place.latitude_deg >= 0 else 6
    return min(design.months_of_use, key=lambda month: min((month - solstice) % 12, (solstice - month) % 12))
