"""Loads: what runs, how much and how long, with each row's share of the day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar, cast

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical

from model import edit
from model.calendar import month_name
from model.design import Design, Load
from tui.display import show
from tui.screens import paste
from tui.screens.load_cells import load_with_text
from tui.screens.load_rows import (
    ALWAYS_ON,
    COLUMNS,
    INVERTER,
    TOTAL,
    always_on_row,
    columns_for,
    governs,
    inverter_row,
    load_figures,
    load_row,
    load_texts,
)
from tui.screens.place import Place
from tui.widgets.check import tried
from tui.widgets.day_chart import DayChart
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_state import digits_only
from tui.widgets.edit_table import EditTable
from tui.widgets.parts import Parts
from tui.widgets.table_rows import Row

if TYPE_CHECKING:
    from model.plan import Plan
    from tui.app import Ampledger

HARDLY = 0.25  # of the duty that was typed
REFUSED_SHOWN = 8  # cells that a paste left out, named in one question
DERIVED_PATHS = {
    (INVERTER, "power"): "inverter/idle_w",
    (INVERTER, "hours_per_day"): "inverter/hours_on",
    (ALWAYS_ON, "power"): "system/always_on_w",
}


class LoadsPlace(Place):
    """The load table. Row keys are the index of the load as text, and the names of the rows made by the program."""

    place = "loads"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "forget_marks", show=False)]

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._design: Design | None = None
        self._plan: Plan | None = None
        self.begun: int | None = None  # the row that was begun last
        self.marked: tuple[int, ...] = ()
        """Indices of the marked loads, in their order."""

    def compose(self) -> ComposeResult:
        table = EditTable(COLUMNS, check=tried(self._with_text), typing_starts_edit=digits_only, id="load-table")
        with Vertical(id="load-left"):
            yield table
            yield EditLine(table, id="load-line")
        with Vertical(id="load-right"):
            yield Parts(id="load-figures")
            yield DayChart(id="load-chart")

    @property
    def table(self) -> EditTable:
        return self.query_one("#load-table", EditTable)

    def on_mount(self) -> None:
        self.table.fixed_columns = 1  # where the table is wider than the screen, the names stay
        self.table.focus()

    # -- showing ------------------------------------------------------------------------------------------------

    def show_texts(self, rows: Sequence[Mapping[str, str]]) -> None:
        """The first paint: the rows as they stand in the file, nothing checked and nothing worked out."""
        self.table.set_rows(
            Row(
                str(index),
                {
                    "name": row.get("name", ""),
                    "quantity": row.get("quantity", "1"),
                    "power": row.get("power", row.get("current", "")),
                    "hours_per_day": row.get("hours", ""),
                    "duty": row.get("duty", "100 %"),
                    "when": row.get("when", "all day"),
                    "months": row.get("months", "all"),
                    "charge": "…",
                    "share": "…",
                },
                editable=frozenset(),
            )
            for index, row in enumerate(rows)
        )

    def show_design(self, design: Design) -> None:
        if self._design is not None and len(self._design.loads) != len(design.loads):
            self.marked = ()  # they would be on other rows
        self._design = design
        self._fill(design)

    def show_plan(self, plan: Plan) -> None:
        self._plan = plan
        month = plan.demand.month
        self._fill(self._design or plan.design)
        self.query_one("#load-figures", Parts).update(
            f"average {show(month.average_w, 'power')} · peak {show(month.peak_w, 'power')}"
            f" · surge {show(month.surge_w, 'power')}{governs(plan)}"
        )
        sun = plan.supply.month.hourly_harvest_w if plan.supply is not None else ()
        self.query_one(DayChart).show(month.profile_w, sun, f"A day in {month_name(month.month)}: use against sun")

    def on_resize(self) -> None:
        self.call_after_refresh(self._fit)

    def _fit(self) -> None:
        """Have the columns that there is room for."""
        if self._design is not None:
            self._fill(self._design)

    def _fit_columns(self, design: Design) -> bool:
        """Show the columns that there is room for; not while text waits in a cell, whose column could go."""
        room = self.table.scrollable_content_region.width
        if not room or self.table.pending or not self.table.set_columns(columns_for(design.days, room)):
            return False
        self.table.fixed_columns = 1
        return True

    def _fill(self, design: Design) -> None:
        """Rows of `design`, with the figures of the last plan where they belong to these rows."""
        figures = load_figures(self._plan, design)
        rows = [
            load_row(index, load, figures.get(str(index), {}), marked=index in self.marked)
            for index, load in enumerate(design.loads)
        ]
        rows.append(inverter_row(design, figures.get(INVERTER, {})))
        rows.append(always_on_row(design, figures.get(ALWAYS_ON, {})))
        on = sum(load.on for load in design.loads)
        rows.append(Row(TOTAL, {"name": f"{on} load{'' if on == 1 else 's'}", **figures.get(TOTAL, {})}, kind="footer"))
        before = self.table.cursor
        changed = self._fit_columns(design)
        self.table.set_rows(rows)
        if changed and before is not None:
            _ = self.table.put_cursor(*before) or self.table.put_cursor(before.row_key, "name")

    # -- editing ------------------------------------------------------------------------------------------------

    def _with_text(self, row_key: str, column_key: str, text: str) -> Design:
        """The design with one cell as typed; Refusal where it does not fit."""
        assert self._design is not None
        if path := DERIVED_PATHS.get((row_key, column_key)):
            return edit.put_text(self._design, path, text)
        index = int(row_key)
        return edit.put(self._design, f"loads/{index}", load_with_text(self._design.loads[index], column_key, text))

    @on(EditTable.CellEdited)
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        title = f"{self._row_name(event.row_key)}: {event.column_key.replace('_', ' ')} {event.text}"
        self.post_message(self.Edited(self._with_text(event.row_key, event.column_key, event.text), title))

    @on(EditTable.Typing)
    def _preview(self, event: EditTable.Typing) -> None:
        event.stop()
        design = None if event.text is None else self._with_text(event.row_key, event.column_key, event.text)
        self.post_message(self.Typing(design))

    @on(EditTable.EditingHint)
    def _say_days(self, event: EditTable.EditingHint) -> None:
        """On its name and its figures a load says what the table has no room for: on which kinds of day it runs, and why a
        refrigerator uses next to nothing."""
        event.stop()
        if self._design is None or not event.row_key.isdigit():
            return
        if self.begun is not None and int(event.row_key) not in (self.begun, self.begun + 1):
            self.begun = None  # the cursor has been elsewhere since
        if event.column_key not in ("name", "charge", "share"):
            return
        days, cold = self._design.loads[int(event.row_key)].days, self._hardly_runs(int(event.row_key))
        if (days or cold) and not self.table.editing:
            parts = ("" if cold else event.hint, f"runs on: {days}" if days else "", cold)
            self.table.hint = " · ".join(part for part in parts if part)

    def _hardly_runs(self, index: int) -> str:
        """Why a load that follows the cabin's heat hardly runs: nobody said that the cabin is heated."""
        plan = self._plan
        if plan is None or index >= len(plan.demand.parts) or plan.design.system.cabin_heated_to_c is not None:
            return ""
        load, duty = plan.design.loads[index], plan.demand.parts[index].duty[plan.design.month - 1]
        if not load.follows_heat or duty >= HARDLY * load.duty:
            return ""
        return f"hardly runs in {month_name(plan.design.month)}: the cabin counts as not heated (shift+E)"

    @on(EditTable.Pasted)
    def _paste(self, event: EditTable.Pasted) -> None:
        """Cells pasted from a spreadsheet: as new rows where they begin with a name, else over the cells that are there."""
        event.stop()
        if self._design is None:
            return
        if event.column_key not in paste.PASTE_ORDER:
            self.table.message = "put the cursor on a name to paste rows: these figures are worked out"
            return
        index = int(event.row_key) if event.row_key.isdigit() else None
        design, count, refused = paste.pasted(self._design, index, event.column_key, event.rows)
        if count == 0:
            self.table.message = "nothing pasted: there is no row below the headings"
            return
        self.post_message(self.Edited(design, paste.words(count, refused)))
        if cells := paste.cells_of(refused):
            self._tell_refused(cells)

    @work
    async def _tell_refused(self, cells: Sequence[str]) -> None:
        """Each cell that was left out, and why; with the way back."""
        from tui.edits.history import undo
        from tui.screens.ask import Ask

        told = [
            *cells[:REFUSED_SHOWN],
            *([f"… and {len(cells) - REFUSED_SHOWN} more"] if len(cells) > REFUSED_SHOWN else []),
        ]
        answers = (("k", "keep what was taken"), ("u", "undo the whole paste"))
        if await self.app.push_screen_wait(Ask("Left out of the paste", "\n".join(told), answers)) == "u":
            undo(cast("Ampledger", self.app))

    def _row_name(self, row_key: str) -> str:
        if self._design is None or not row_key.isdigit():
            return row_key
        return self._design.loads[int(row_key)].name or f"row {int(row_key) + 1}"

    def row_index(self) -> int | None:
        """Index of the load under the cursor; None on the rows that the program makes."""
        cell = self.table.cursor
        return int(cell.row_key) if cell is not None and cell.row_key.isdigit() else None

    def mark(self, indices: Iterable[int]) -> None:
        """Mark these loads and no others."""
        self.marked = tuple(sorted(indices))
        if self._design is not None:
            self._fill(self._design)

    def action_forget_marks(self) -> None:
        """Escape, where no cell has anything to restore."""
        self.mark(())

    def texts(self, index: int) -> list[str]:
        """The cells of a load as they may be pasted again."""
        assert self._design is not None
        texts = load_texts(self._design.loads[index])
        return [texts[name] for name in paste.PASTE_ORDER]

    def details(self) -> tuple[str, type] | None:
        """Path and record type of the row under the cursor, for the form with every field."""
        cell = self.table.cursor
        if self._design is None or cell is None or cell.row_key == TOTAL:
            return None
        if cell.row_key.isdigit():
            return f"loads/{cell.row_key}", Load
        path = "inverter" if cell.row_key == INVERTER else "system"
        return path, type(getattr(self._design, path))

    # -- figures and findings -----------------------------------------------------------------------------------

    def take_focus(self) -> None:
        self.table.focus()

    def next_view(self) -> str:
        """The table alone, or with the day below it."""
        day = self.query_one("#load-right")
        day.toggle_class("put-away")
        return "the table alone" if day.has_class("put-away") else "the table and the day"

    def figure_key(self) -> str | None:
        cell = self.table.cursor
        if cell is None:
            return None
        if cell.row_key == TOTAL:
            return "demand.charge_ah_per_day"
        if cell.row_key == INVERTER:
            return "demand.idle_wh_per_day"
        if cell.row_key == ALWAYS_ON:
            return "demand.always_on_wh_per_day"
        return f"demand.load.{cell.row_key}." + ("running_a" if cell.column_key == "power" else "energy_wh_per_day")

    def go_to(self, path: str) -> bool:
        head, *rest = path.split("/")
        if path == "loads":
            self.table.focus()
            return True
        if head == "loads" and rest:
            column = rest[1] if len(rest) > 1 else "name"
            column = {"power_w": "power", "current_a": "power"}.get(column, column)
            found = self.table.put_cursor(rest[0], column) or self.table.put_cursor(rest[0], "name")
        elif head == "inverter":
            found = self.table.put_cursor(INVERTER, "hours_per_day" if path.endswith("hours_on") else "power")
        elif path == "system/always_on_w":
            found = self.table.put_cursor(ALWAYS_ON, "power")
        else:
            return False
        self.table.focus()
        return found
