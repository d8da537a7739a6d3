"""Twelve monthly values of irradiation and temperature, typed in place of the built-in climate."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget

from model.calendar import MONTHS
from model.design import Weather
from model.quantities import read as read_quantity
from model.quantities import write as write_quantity
from tui import display
from tui.screens.dialog import Dialog
from tui.widgets.check import tried
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_state import digits_only
from tui.widgets.edit_table import EditTable
from tui.widgets.table_rows import Column, Row

COLUMNS = (
    Column("month", "Month", 10),
    Column(
        "ghi", "Sun on the flat a day", 21, "right", editable=True, kind_hint="kWh/m2 a day, such as 2.4, or 8.6 MJ/m2"
    ),
    Column(
        "air", "Mean air", 12, "right", editable=True, kind_hint="°C or °F; all empty: those of the built-in climate"
    ),
)
KINDS = {"ghi": "irradiation", "air": "temperature"}


def read(text: str, kind: str) -> float:
    """As typed here, where a bare temperature is in the degrees on the screen."""
    return read_quantity(display.typed(text, kind), kind)


def write(value: float, kind: str) -> str:
    """As it may be typed here."""
    return write_quantity(value, kind, display.wish())


class MonthsForm(Dialog[Weather]):
    """Answers the typed weather; one with no values at all means: back to the built-in climate."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("k", "keep", show=False),
        Binding("z", "built_in", show=False),
        Binding("escape", "leave", show=False),
    ]
    title_text = "Own weather; air left empty: the built-in climate"
    keys_text = "k keeps these values · z takes the built-in climate again · Esc back"

    def __init__(self, weather: Weather | None, guess: tuple[float, ...] | None) -> None:
        """`guess` is what the months begin with where there is no `weather`; None where nothing is known."""
        super().__init__()
        ghi = weather.ghi_kwh_per_m2_day if weather is not None else tuple(round(value, 2) for value in guess or ())
        air = weather.temperature_c if weather is not None else None
        self._texts = {
            "ghi": [write(value, "irradiation") for value in ghi] or [""] * 12,
            "air": [write(value, "temperature") for value in air] if air is not None else [""] * 12,
        }
        self._lowest = weather.lowest_c if weather is not None else None
        self._typed = False

    def body(self) -> list[Widget]:
        self._table = EditTable(COLUMNS, check=tried(self._read), typing_starts_edit=digits_only, id="months-table")
        return [self._table, EditLine(self._table)]

    def on_mount(self) -> None:
        self._show()
        self._table.focus()
        self._table.put_cursor("0", "ghi")

    def _show(self) -> None:
        self._table.set_rows(
            Row(str(index), {"month": name, "ghi": self._texts["ghi"][index], "air": self._texts["air"][index]})
            for index, name in enumerate(MONTHS)
        )

    def _read(self, _row_key: str, column_key: str, text: str) -> None:
        """Refusal where the text is none for its column; an empty one leaves the temperature as it is built in."""
        if text or column_key != "air":
            read(text, KINDS[column_key])

    @on(EditTable.CellEdited)
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        self._texts[event.column_key][int(event.row_key)] = event.text
        self._typed = True
        self._show()

    def action_leave(self) -> None:
        """Typed values are not dropped on one key."""
        if self._typed:
            self._typed = False
            self._table.message = "k keeps what you typed; Esc once more drops it"
        else:
            self.dismiss(None)

    def action_built_in(self) -> None:
        self.dismiss(Weather())

    def action_keep(self) -> None:
        empty = [MONTHS[index] for index, text in enumerate(self._texts["ghi"]) if not text]
        if empty:
            self._table.message = f"{12 - len(empty)} of 12 months are typed: {empty[0]} is still empty"
            return
        air = [text for text in self._texts["air"] if text]
        if air and len(air) != len(MONTHS):
            self._table.message = f"{len(air)} of 12 temperatures are typed: type all, or none"
            return
        self.dismiss(
            Weather(
                source="typed",
                ghi_kwh_per_m2_day=tuple(read(text, "irradiation") for text in self._texts["ghi"]),
                temperature_c=tuple(read(text, "temperature") for text in air) if air else None,
                lowest_c=self._lowest,
            )
        )
