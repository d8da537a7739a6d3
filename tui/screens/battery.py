"""Battery: what is asked of it above, the chemistries side by side below, and why not this one in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from time import sleep
from typing import TYPE_CHECKING, Any, cast

from rich.text import Text
from textual import on, work
from textual.app import App, ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Static
from textual.worker import get_current_worker

from model import names
from model.calendar import SHORT_MONTHS
from model.design import CHEMISTRIES, Design
from model.record.as_text import handing_over_text
from tui import display
from tui.display import percent, show
from tui.screens.fields import BATTERY_FIELDS
from tui.screens.place import REST_S, Place, tell
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_table import EditTable
from tui.widgets.field_list import FieldList
from tui.widgets.table_rows import Column, Row

if TYPE_CHECKING:
    from model.plan import Plan
    from model.storage.odds import MonthOdds, Odds
    from model.storage.options import Option
    from tui.app import Ampledger

FIGURE_WIDTH, LEAST_WIDTH, MOST_WIDTH = 14, 11, 15


def compare_columns(shown: Sequence[str], room: int) -> tuple[Column, ...]:
    """Columns for these chemistries, as wide as lets whole ones fit into `room`; the head of the first says if some do not."""
    left = room - FIGURE_WIDTH - 1
    fit = max(1, left // (LEAST_WIDTH + 1))
    width = min(MOST_WIDTH, left // min(fit, max(1, len(shown))) - 1)
    head = f"{fit} of {len(shown)} →" if fit < len(shown) else ""
    if not head and len(shown) < len(CHEMISTRIES):
        head = f"{len(shown)} of {len(CHEMISTRIES)}, H all"
    width = max(LEAST_WIDTH, width)
    # What whole columns leave goes to the first, so that none is cut at either edge, scrolled or not.
    first = FIGURE_WIDTH if fit >= len(shown) else max(FIGURE_WIDTH, room - 1 - fit * (width + 1))
    return (
        Column("figure", head, first),
        *(Column(chemistry, chemistry, width, "right") for chemistry in shown),
    )


class BatteryPlace(Place):
    place = "battery"

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._plan: Plan | None = None
        self._odds: dict[str, str] = {}  # chemistry -> how often it is empty in the month looked at
        self._wear: dict[str, str] = {}  # chemistry -> what the simulated years do to it, in words

    def compose(self) -> ComposeResult:
        fields = FieldList(label_width=21, value_width=13, id="battery-fields")
        table = EditTable(compare_columns(CHEMISTRIES, self.app.size.width - 1), id="battery-table")
        with Horizontal(id="battery-top"):
            yield fields
            yield Static("", id="battery-against", markup=False)
        with Vertical(id="battery-bottom"):
            yield table
            yield VerticalScroll(Static("", id="battery-papers", markup=False), id="battery-handing-over")
            yield EditLine(fields, id="battery-line")

    def on_mount(self) -> None:
        table = self.table
        self.query_one("#battery-handing-over").add_class("put-away")
        table.fixed_columns = 1
        table.focus()

    @property
    def fields(self) -> FieldList:
        return self.query_one("#battery-fields", FieldList)

    @property
    def table(self) -> EditTable:
        return self.query_one("#battery-table", EditTable)

    def show_design(self, design: Design) -> None:
        self.fields.show_fields(design, BATTERY_FIELDS)

    def show_plan(self, plan: Plan) -> None:
        first = self._plan is None
        if first or self._plan is None or self._plan.design != plan.design:
            self._odds, self._wear = {}, {}
            if plan.supply is not None:
                self._ask_odds(plan)
        self._plan = plan
        self._fit_columns()
        self.table.set_rows(compare_rows(plan, self._odds))
        if first:
            self.table.put_cursor("capacity_needed_ah", plan.storage.chosen.chemistry)
        self._show_against()
        papers = handing_over_text(plan, max(30, self.app.size.width - 4))
        self.query_one("#battery-papers", Static).update(display.local(papers))

    def on_resize(self) -> None:
        self.call_after_refresh(self._fit_columns)

    def _fit_columns(self) -> None:
        """Show the chemistries that were not put away, as whole columns; the chosen one is always among them."""
        plan, table = self._plan, self.table
        if plan is None:
            return
        chosen = plan.storage.chosen.chemistry
        shown = [name for name in CHEMISTRIES if name == chosen or name not in hidden_chemistries(self.app)]
        columns = compare_columns(shown, self.app.size.width - 1)
        before, keys = table.cursor, [str(key.value) for key in table.columns]
        if table.set_columns(columns):
            table.fixed_columns = 1
            table.set_rows(compare_rows(plan, self._odds))
            if before is not None:
                at = keys.index(before.column_key) if before.column_key in keys else 0
                nearest = [
                    before.column_key,
                    *keys[at + 1 :],
                    *reversed(keys[1:at]),
                    chosen,
                ]  # the column that moved in
                next((key for key in nearest if table.put_cursor(before.row_key, key)), None)

    @work(thread=True, exclusive=True, group="odds")
    def _ask_odds(self, plan: Plan) -> None:
        """The odds of every chemistry, one after the other, in a thread; the chosen one first."""
        from model.year import Cancelled, chances

        worker = get_current_worker()
        sleep(REST_S)
        if worker.is_cancelled:
            return
        measured = cast("Ampledger", self.app).session.measured(plan.design)
        options = sorted(plan.storage.options, key=lambda option: option is not plan.storage.chosen)
        for option in options:
            try:
                odds = chances(plan, option.chemistry, measured=measured, cancelled=lambda: worker.is_cancelled)
            except Cancelled:
                return
            tell(worker, self._take_odds, plan, option.chemistry, odds)

    def _take_odds(self, plan: Plan, chemistry: str, odds: Odds) -> None:
        if self._plan is plan:
            self._odds[chemistry] = days_in_ten(odds.months[plan.design.month - 1], odds.years)
            self._wear[chemistry] = (
                f"Simulated: {odds.full_cycles_per_year:.0f} full cycles a year, {odds.life_years:.0f} years of life."
            )
            self.table.set_rows(compare_rows(plan, self._odds))
            self._show_against()

    def next_view(self) -> str:
        """The table, or how the chosen battery is put together and what its monitor is set to."""
        papers = self.query_one("#battery-handing-over")
        papers.toggle_class("put-away")
        shown = not papers.has_class("put-away")
        self.table.set_class(shown, "put-away")
        (papers if shown else self.table).focus()
        return "putting the chosen battery together" if shown else "the chemistries side by side"

    @on(EditTable.EditingHint, "#battery-table")
    def _moved(self, event: EditTable.EditingHint) -> None:
        event.stop()
        self._show_against()

    def _show_against(self) -> None:
        option = self.option()
        if option is not None and self._plan is not None:
            self.query_one("#battery-against", Static).update(
                _in_words(option, option is self._plan.storage.chosen, self._wear.get(option.chemistry, ""))
            )

    def option(self) -> Option | None:
        """The chemistry under the cursor."""
        cell = self.table.cursor
        if self._plan is None or cell is None:
            return None
        name = self._plan.storage.chosen.chemistry if cell.column_key == "figure" else cell.column_key
        return next((option for option in self._plan.storage.options if option.chemistry == name), None)

    @on(EditTable.CellEdited, "#battery-fields")
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        design = self.fields.new_design(event.row_key, event.text)
        self.post_message(self.Edited(design, self.fields.title(event.row_key, event.text)))

    @on(EditTable.Typing, "#battery-fields")
    def _preview(self, event: EditTable.Typing) -> None:
        event.stop()
        self.post_message(
            self.Typing(None if event.text is None else self.fields.new_design(event.row_key, event.text))
        )

    def take_focus(self) -> None:
        self.table.focus()

    def figure_key(self) -> str | None:
        option, cell = self.option(), self.table.cursor
        if option is None or cell is None:
            return None
        figure = WORKING_OF.get(cell.row_key, cell.row_key)
        return f"storage.{option.chemistry}.{figure}"

    def go_to(self, path: str) -> bool:
        if path == "battery/chemistry" and self._plan is not None:
            self.table.focus()
            return self.table.put_cursor("capacity_needed_ah", self._plan.storage.chosen.chemistry)
        if self.fields.put_cursor(path, "value"):
            self.fields.focus()
            return True
        return False


def hidden_chemistries(app: App[Any]) -> tuple[str, ...]:
    """Those that the settings put away."""
    settings = getattr(app, "settings", None)
    return settings.hidden if settings is not None else ()


EMPTY = "empty"
# Rows whose figure is worked out under another key
WORKING_OF = {
    "units": "installed_ah",
    "bank_v": "capacity_needed_ah",
    "governs": "capacity_needed_wh",
    "cold": "charge_limit_a",
    "cycles": "life_years",
}


def compare_rows(plan: Plan, odds: Mapping[str, str]) -> list[Row]:
    """One row a figure, one column a chemistry; the chosen one is marked with a word."""
    options = plan.storage.options

    def figures(key: str, name: names.Name, text: Callable[[Option], str]) -> Row:
        return row(key, name.small_head, *map(text, options))

    def row(key: str, label: str, *texts: str) -> Row:
        cells = {option.chemistry: text for option, text in zip(options, texts, strict=True)}
        return Row(key, {"figure": label, **cells}, strong=frozenset({plan.storage.chosen.chemistry}))

    return [
        row("verdict", "", *(_standing(option, plan) for option in options)),
        figures(
            "capacity_needed_ah", names.CAPACITY_NEEDED, lambda one: show(one.capacity_needed_ah, "charge", unit=False)
        ),
        figures("bank_v", names.NOMINAL, lambda one: display.local(f"{one.bank_v:.1f}")),
        row("units", "units", *(_units(option) for option in options)),
        figures("usable_wh", names.USABLE, lambda one: show(one.usable_wh, "energy", unit=False)),
        figures("autonomy_days", names.AUTONOMY, lambda one: display.local(f"{one.autonomy_days:.1f}")),
        row(
            EMPTY,
            f"{names.EMPTY_DAYS.small} {SHORT_MONTHS[plan.design.month - 1]}",
            *(odds.get(option.chemistry, "…") for option in options),
        ),
        row("governs", names.DECIDED_BY.small, *(option.governs.split(" at ")[0] for option in options)),
        figures("depth_of_discharge", names.DEPTH, lambda one: percent(one.depth_of_discharge).removesuffix(" %")),
        figures("mass_kg", names.MASS, lambda one: show(one.mass_kg, "mass", unit=False)),
        figures("volume_l", names.VOLUME, lambda one: f"{one.volume_l:.0f}"),
        figures("life_years", names.LIFE, lambda one: f"{one.life_years:.0f}"),
        figures("charge_limit_a", names.CHARGE_LIMIT, lambda one: show(one.charge_limit_a, "current", unit=False)),
        figures("ventilation_m3_per_h", names.VENTILATION, _air),
        row("price", "price", *(show(option.price, "money") for option in options)),
    ]


def days_in_ten(month: MonthOdds, years: int) -> str:
    """Empty days in ten months of this name, short enough for a column."""
    in_ten = 10 * month.empty_days
    if month.bad_months == 0:
        return f"0 in {years}"
    return f"{in_ten:.0f} in 10" if in_ten >= 1 else "< 1 in 10"


def _standing(option: Option, plan: Plan) -> str:
    if option is plan.storage.chosen:
        return "chosen"
    return "ruled out" if option.ruled_out else ""


def _units(option: Option) -> str:
    count = (
        f"{option.units_parallel} x" if option.units_series == 1 else f"{option.units_series}s{option.units_parallel}p"
    )
    return display.local(f"{count} {option.unit_ah:g} Ah")


def _air(option: Option) -> str:
    return show(option.ventilation_m3_per_h, "number") if option.ventilation_m3_per_h else "none"


def _in_words(option: Option, chosen: bool, wear: str) -> Text:
    """What speaks for and against one chemistry, and what the years do to it, for a person who decides."""
    text = Text()
    text.append(option.chemistry, style="bold")
    text.append(" · chosen\n" if chosen else " · c takes it\n")
    text.append(display.local(f"{names.DECIDED_BY.full} {option.governs}.\n"))
    if option.ruled_out:
        text.append(display.local(f"Ruled out: {option.ruled_out}\n"), style="bold")
    text.append(display.local(f"Against it: {option.against}.\n{wear}"))
    return text
