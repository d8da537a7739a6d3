"""A form with every field of one record of the wiring, and with the rows of the list in it: connectors, jacket colours."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget

from model import edit
from model.design import Connector, Design, Jacket
from model.wiring.reshape import enter
from model.wiring.table import CircuitPlan
from tui.screens.dialog import Dialog
from tui.screens.fields import record_fields
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_table import EditTable
from tui.widgets.field_list import Field, FieldList

if TYPE_CHECKING:
    from tui.app import Ampledger

LISTS: dict[str, tuple[str, type]] = {"runs": ("connectors", Connector), "wiring": ("jackets", Jacket)}
"""The list within a record of that kind, and what its rows are."""
ONE_OF = {"connectors": "Connector", "jackets": "Jacket colour"}


class CircuitForm(Dialog[None]):
    """Fields of the record at `path`, the cursor on `field`. `made`: the circuit of the path where the program made it; the
    first edit then enters it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "new_row", show=False),
        Binding("delete", "remove_row", show=False),
    ]

    def __init__(self, owner: Ampledger, path: str, field: str = "", made: CircuitPlan | None = None) -> None:
        super().__init__()
        self._owner, self._path, self._field, self._made = owner, path, field, made
        parts = path.split("/")
        self._list = LISTS.get(parts[0] if path == "wiring" else parts[-2], ("", Connector))
        keys = "Enter edits · space goes to the next choice · Esc back"
        name = self._list[0]
        self.keys_text = (
            f"{keys} · n one more {ONE_OF[name].lower()} · Del removes it" if name else f"type to replace · {keys}"
        )
        self.title_text = self._title()

    def _title(self) -> str:
        if self._path == "wiring":
            return "What holds for all cables"
        record = edit.get(self._design, self._path)
        if "/runs/" not in self._path:
            return getattr(record, "name", "") or "Circuit"
        circuit = edit.get(self._design, "/".join(self._path.split("/")[:2]))
        return f"{circuit.name or 'Circuit'}: run to {record.end or 'its end'}"

    @property
    def _design(self) -> Design:
        """The design on the screen, in which the circuit is entered."""
        assert self._owner.document is not None
        design = self._owner.document.design
        return enter(design, self._made)[0] if self._made is not None else design

    def body(self) -> list[Widget]:
        self._fields = FieldList(label_width=40, value_width=18, in_dialog=not self._list[0], id="form-fields")
        return [self._fields, EditLine(self._fields)]

    def on_mount(self) -> None:
        self._show()
        self._fields.focus()
        wanted = self._field.replace("/contacts/", "/connectors/")
        if wanted and not self._fields.put_cursor(wanted, "value"):
            self._fields.put_cursor(wanted.rpartition("/")[0], "value")

    def _show(self) -> None:
        design = self._design
        self._fields.show_fields(design, form_fields(design, self._path, self._list[0]))

    @on(EditTable.CellEdited)
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        field = self._fields.title(event.row_key, event.text)
        title = field if field.startswith(f"{self.title_text}: ") else f"{self.title_text}: {field}"
        self._take(self._fields.new_design(event.row_key, event.text), title)

    def _take(self, design: Design, title: str) -> None:
        """Take an edit; after it the circuit is one of the design's own."""
        entered = "entered from now on; " if self._made is not None else ""
        self._made = None
        self._owner.edit(design, f"{entered}{title}")
        self._show()

    def action_new_row(self) -> None:
        """One more row of the list within the record."""
        name, record = self._list
        if name:
            path = f"{self._path}/{name}"
            design = self._design
            at = len(edit.get(design, path))
            self._take(edit.insert(design, path, at, [record()]), f"{self.title_text}: one more {ONE_OF[name].lower()}")
            self._fields.put_cursor(f"{path}/{at}/{'name' if name == 'connectors' else 'system'}", "value")

    def action_remove_row(self) -> None:
        """The row of that list under the cursor, out of it."""
        name, _ = self._list
        cell = self._fields.cursor
        inside = f"{self._path}/{name}/"
        if name and cell is not None and cell.row_key.startswith(inside):
            at = int(cell.row_key.removeprefix(inside).split("/")[0])
            design = edit.remove(self._design, inside.rstrip("/"), [at])
            self._take(design, f"{self.title_text}: {ONE_OF[name].lower()} removed")


def form_fields(design: Design, path: str, name: str) -> tuple[Field, ...]:
    """Every field of the record at `path`, then those of each row of its list `name`."""
    fields = list(record_fields(path, edit.get(design, path)))
    if name:
        for at, row in enumerate(edit.get(design, f"{path}/{name}")):
            called = getattr(row, "name", "") or getattr(row, "system", "")
            fields.append(Field("", f"{ONE_OF[name]} {at + 1}" + (f": {called}" if called else "")))
            fields += record_fields(f"{path}/{name}/{at}", row)
    return tuple(fields)
