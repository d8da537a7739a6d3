"""Settings: what holds for all designs, kept as soon as it is changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text
from textual import on
from textual.widget import Widget
from textual.widgets import Static

from model.entry import entries
from tui.screens.dialog import Dialog
from tui.settings import Settings
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_table import EditTable
from tui.widgets.field_list import Field, FieldList

if TYPE_CHECKING:
    from tui.app import Ampledger

NOTE = "What is read on the screen follows; formulas, files, the report and copied papers stay metric. Any spelling may be typed."
KEYS = "Keys changed under [keys] of this file hold from the next start:"


class SettingsForm(Dialog[None]):
    title_text = "Settings for all designs"
    keys_text = "type or Enter edits · space takes the next choice · Esc back"

    def __init__(self, owner: Ampledger) -> None:
        super().__init__()
        self._owner = owner

    def body(self) -> list[Widget]:
        from model.record.settings_file import settings_path

        self._fields = FieldList(label_width=28, value_width=16, in_dialog=True, id="settings-fields")
        keys = Text.assemble(f"{KEYS}\n", (str(settings_path()), "bold"))
        return [
            self._fields,
            EditLine(self._fields),
            Static(keys, id="settings-keys"),
            Static(NOTE, id="settings-note", markup=False),
        ]

    def on_mount(self) -> None:
        self._show()
        self._fields.focus()

    def _show(self) -> None:
        self._fields.show_fields(self._owner.settings, [Field(name) for name in entries(Settings)])

    @on(EditTable.CellEdited)
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        self._owner.take_settings(self._fields.new_design(event.row_key, event.text))
        self._show()
