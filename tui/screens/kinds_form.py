"""Kinds of day: work day, rain day, away; how many of each a week has, and what is used on them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Static

from model import edit, names
from model.calendar import month_name
from model.demand.kinds import REST_NAME, WEEK_DAYS, Kind, day_name, kinds_of, renamed
from model.design import Day, Design
from model.quantities import Refusal
from tui import display
from tui.screens.dialog import Dialog
from tui.widgets.check import tried
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_state import digits_only
from tui.widgets.edit_table import EditTable
from tui.widgets.table_rows import Column, Row

if TYPE_CHECKING:
    from model.demand.table import KindDemand, MonthDemand
    from model.plan import Plan
    from tui.app import Ampledger

COLUMNS = (
    Column("name", "Kind of day", 11, editable=True, kind_hint="a short name, without commas; Enter edits it", flex=True),
    Column("days_per_week", "Days/week", 9, "right", editable=True, kind_hint="days a week, such as 4, or 2.5; up to 7 in all"),
    Column("energy", names.USE.head, 6, "right"),
    Column("charge", f"{names.USE.short} Ah", 6, "right"),
    Column("rows", "Loads", 8, "right"),
)  # fmt: skip
REST, MEAN = "rest", "mean"
NONE_YET = (
    "Every day is alike so far. n adds a kind of day: work day, rain day, away; then l says which loads run on it."
)
NAMED = (
    "l says which loads run on which kinds of day. Days of the week that no kind takes are other days: on them only loads"
    " run that run on every day."
)
ALIKE = 1e-9  # days of the same loads differ by rounding alone
NO_NAME = "give this kind of day a name first"


class DesignDialog(Dialog[None]):
    """A dialog whose edits are those of the design in hand, so undo takes them one by one."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("u", "undo", show=False), Binding("U", "redo", show=False)]

    def __init__(self, owner: Ampledger) -> None:
        super().__init__()
        self._owner = owner
        self._plan = owner.plan

    @property
    def _design(self) -> Design:
        assert self._owner.document is not None
        return self._owner.document.design

    def show_plan(self, plan: Plan) -> None:
        self._plan = plan
        self._show()

    def _show(self) -> None:
        """Put the design in hand on the screen, with the figures of the last plan."""
        raise NotImplementedError

    def _take(self, design: Design, title: str) -> None:
        self._owner.edit(design, title)
        self._show()

    def action_undo(self) -> None:
        from tui.edits.history import undo

        undo(self._owner)
        self._show()

    def action_redo(self) -> None:
        from tui.edits.history import redo

        redo(self._owner)
        self._show()


class KindsForm(DesignDialog):
    """The kinds of day, how many a week, what is used on each; `l` leads to the loads that run on them."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "new", show=False),
        Binding("l", "loads", show=False),
        Binding("delete", "remove", show=False),
    ]
    keys_text = "n new · l loads · Del removes · u undo · Esc back"

    def __init__(self, owner: Ampledger) -> None:
        super().__init__(owner)
        self.title_text = f"Kinds of day, and what is used in {month_name(self._design.month)}"

    def body(self) -> list[Widget]:
        self._table = EditTable(COLUMNS, check=tried(self._with_text), typing_starts_edit=digits_only, id="kinds-table")
        return [self._table, EditLine(self._table), Static("", id="kinds-words", markup=False)]

    def on_mount(self) -> None:
        self._show()
        self._table.focus()

    def on_screen_resume(self) -> None:
        """Back from the loads, which may run on other kinds of day now."""
        self._plan = self._owner.plan
        self._show()

    def _show(self) -> None:
        design = self._design
        self._table.set_rows(table_rows(design, self._plan))
        claimed = sum(day.days_per_week for day in design.days)
        too_many = f"{_days(claimed)} days a week are shrunk to seven in proportion. " if claimed > WEEK_DAYS else ""
        self.query_one("#kinds-words", Static).update(too_many + (NAMED if design.days else NONE_YET))

    # -- editing ------------------------------------------------------------------------------------------------

    def _with_text(self, row_key: str, column_key: str, text: str) -> Design:
        """The design with one cell as typed, and the loads following a new name; Refusal where it does not fit."""
        design, index = self._design, int(row_key)
        new = edit.put_text(design, f"days/{row_key}/{column_key}", text)
        if column_key != "name":
            return new
        others = [day.name for place, day in enumerate(design.days) if place != index]
        name = new.days[index].name
        if "," in name:
            raise Refusal("a name without commas: they part the kinds of day that a load names")
        if " ".join(name.split()).casefold() in {
            " ".join(one.split()).casefold() for one in (*others, REST_NAME) if one
        }:
            raise Refusal(f"there are {name} already: take another name")
        return replace(new, loads=renamed(design.loads, design.days[index].name, name))

    @on(EditTable.CellEdited)
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        name = day_name(int(event.row_key), self._design.days[int(event.row_key)])
        what = "renamed" if event.column_key == "name" else "days a week"
        self._take(self._with_text(event.row_key, event.column_key, event.text), f"{name}: {what} {event.text}")

    @on(EditTable.Typing)
    def _preview(self, event: EditTable.Typing) -> None:
        """The figures follow the typing."""
        event.stop()
        typed = None if event.text is None else self._with_text(event.row_key, event.column_key, event.text)
        self._owner.work_out(typed or self._design)

    def action_new(self) -> None:
        """One more kind of day, below the cursor, its name being typed at once."""
        cell, design = self._table.cursor, self._design
        if len(design.days) >= edit.MOST_ROWS:
            return
        index = int(cell.row_key) + 1 if cell is not None and cell.row_key.isdigit() else len(design.days)
        left = max(0.0, WEEK_DAYS - sum(day.days_per_week for day in design.days))
        self._take(edit.insert(design, "days", index, [Day("", min(1.0, left))]), "one more kind of day")
        self._table.put_cursor(str(index), "name")
        self._table.begin_edit()

    def action_remove(self) -> None:
        """Remove the kind of day under the cursor; loads that name it say so in the findings."""
        cell, design = self._table.cursor, self._design
        if cell is None or not cell.row_key.isdigit():
            self._table.message = "the program makes this row; n adds a kind of day"
            return
        index = int(cell.row_key)
        name = day_name(index, design.days[index])
        self._take(edit.remove(design, "days", [index]), f"removed {name}")

    def action_loads(self) -> None:
        """Which loads run on which kinds of day."""
        if not self._design.days:
            self._table.message = "n adds a kind of day first"
        elif any(not day.name.strip() for day in self._design.days):
            self._table.message = NO_NAME
        else:
            from tui.screens.kinds_loads import KindsLoads

            self.app.push_screen(KindsLoads(self._owner))


def table_rows(design: Design, plan: Plan | None) -> list[Row]:
    """A row for each kind of day, one for what they leave of the week, and the average day."""
    kinds, month = (kinds_of(design.loads, design.days) if design.days else ()), design.month - 1
    found = [one.months[month] for one in _found(kinds, plan)]
    energies = [day.energy_wh_per_day for day in found]
    most = max(energies, default=0.0)
    differ = most > min(energies, default=0.0) * (1 + ALIKE)
    rows = []
    for index, kind in enumerate(kinds):
        entered = design.days[index] if index < len(design.days) else None
        there = found[index] if found else None
        word = "most" if differ and there is not None and there.energy_wh_per_day >= most * (1 - ALIKE) else ""
        cells = {"name": kind.name, "days_per_week": _days(kind.days_per_week), "rows": _rows_on(kind, design)}
        cells |= _energy(there)
        if entered is None:
            rows.append(Row(REST, cells, "derived", frozenset(), word=word))
        else:
            cells |= {name: display.write(Day, name, getattr(entered, name)) for name in ("name", "days_per_week")}
            rows.append(Row(str(index), cells, word=word))
    mean = plan.demand.months[month] if plan is not None else None
    total = max(WEEK_DAYS, sum(day.days_per_week for day in design.days))
    name = "on average" if kinds else "every day"
    rows.append(Row(MEAN, {"name": name, "days_per_week": _days(total), **_energy(mean)}, "footer"))
    return rows


def _found(kinds: tuple[Kind, ...], plan: Plan | None) -> tuple[KindDemand, ...]:
    """The figures of `kinds`, where the plan has as many."""
    found = plan.demand.kinds if plan is not None else ()
    return found if len(found) == len(kinds) else ()


def _energy(day: MonthDemand | None) -> dict[str, str]:
    if day is None:
        return {"energy": "…", "charge": "…"}
    return {
        "energy": display.show(day.energy_wh_per_day, "energy", unit=False),
        "charge": display.show(day.charge_ah_per_day, "charge", unit=False),
    }


def _rows_on(kind: Kind, design: Design) -> str:
    runs = [runs for runs, load in zip(kind.runs, design.loads, strict=True) if load.on]
    return f"{sum(runs)} of {len(runs)}"


def _days(days: float) -> str:
    return display.local(f"{days:.3g}")
