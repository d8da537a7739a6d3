"""Sun: place, roof, array and controller on the left; what they give, month by month, on the right."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from model import edit, names
from model.calendar import SHORT_MONTHS, month_name
from model.design import Design, Obstacle
from tui import display
from tui.display import percent, show
from tui.screens.fields import SUN_FIELDS
from tui.screens.place import Place
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_table import EditTable
from tui.widgets.field_list import FieldList
from tui.widgets.roof_plan import Area, RoofPlan
from tui.widgets.table_rows import Column, Row
from tui.widgets.year_chart import Year, YearChart

if TYPE_CHECKING:
    from model.plan import Plan
    from model.supply.table import MonthSupply, Supply

FIGURE_COLUMNS = (Column("figure", "", 28), Column("value", "", 13, "right"))
SLIM_COLUMNS = (Column("figure", "", 19, flex=True), Column("value", "", 11, "right"))
MONTH_COLUMNS = (
    Column("month", "Month", 5),
    Column("flat", names.FLAT.head, 11, "right"),
    Column("cautious", names.FLAT_CAUTIOUS.short, 8, "right"),  # in the unit of its neighbour
    Column("panel", names.PANEL.short, 5, "right"),
    Column("yield", names.YIELD.head, 10, "right"),
    Column("air", names.TEMPERATURE.head, 7, "right"),
    Column("harvest", names.HARVEST.head, 10, "right"),
    Column("use", names.USE.head, 6, "right"),
)
MONTH_KEYS = {
    "harvest": "supply.harvest_wh_per_day.{}",
    "yield": "supply.yield_wh_per_w_day.{}",
    "use": "demand.energy_wh_per_day.{}",
}
LOOKED_AT_KEYS = {
    "flat": "supply.ghi_kwh_per_m2_day",
    "cautious": "supply.ghi_cautious_kwh_per_m2_day",
    "panel": "supply.poa_kwh_per_m2_day",
    "air": "supply.temperature_c",
}
"""What is worked out for the month looked at alone."""
VIEWS = ("chart", "months", "roof")


class SunPlace(Place):
    place = "sun"

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._design: Design | None = None
        self._figures: Sequence[Row] = ()

    def compose(self) -> ComposeResult:
        fields = FieldList(label_width=15, value_width=8, id="sun-fields")
        with Horizontal():
            with Vertical(id="sun-left"):
                yield fields
                yield RoofPlan(id="sun-roof")
            with Vertical(id="sun-right"):
                yield YearChart(id="sun-chart")
                yield EditTable(MONTH_COLUMNS, id="sun-months")
                yield EditTable(FIGURE_COLUMNS, id="sun-figures")
        yield EditLine(fields, id="sun-line")

    def on_mount(self) -> None:
        self.query_one("#sun-figures", EditTable).show_header = False
        self.set_view("chart")
        self.fields.focus()

    @property
    def fields(self) -> FieldList:
        return self.query_one("#sun-fields", FieldList)

    def set_view(self, view: str) -> None:
        """Which picture a narrow terminal shows; a wide one shows all."""
        self.query_one("#sun-chart").set_class(view == "months", "put-away")
        self.query_one("#sun-months").set_class(view != "months", "put-away")
        self.query_one("#sun-roof").set_class(view != "roof", "put-away")
        self.query_one("#sun-left").set_class(view == "months", "put-away")  # twelve rows of figures need the width
        self._view = view

    def next_view(self) -> str:
        """Show the next picture; answers its name."""
        self.set_view(VIEWS[(VIEWS.index(self._view) + 1) % len(VIEWS)])
        return {"chart": "the year", "months": "month by month", "roof": "the roof from above"}[self._view]

    # -- showing ------------------------------------------------------------------------------------------------

    def show_design(self, design: Design) -> None:
        self._design = design
        self.fields.show_fields(design, SUN_FIELDS(design))

    def _show_figures(self, rows: Sequence[Row]) -> None:
        """Where room is short the names give way: a figure that is cut off is none."""
        self._figures = rows
        figures = self.query_one("#sun-figures", EditTable)
        room = 0 < figures.size.width < sum(column.width for column in FIGURE_COLUMNS)
        cursor = figures.cursor if figures.set_columns(SLIM_COLUMNS if room else FIGURE_COLUMNS) else None
        figures.set_rows(rows)
        if cursor is not None:
            figures.put_cursor(*cursor)

    def on_resize(self) -> None:
        self.call_after_refresh(lambda: self._show_figures(self._figures))  # the table has its new width by then

    def show_plan(self, plan: Plan) -> None:
        months = self.query_one("#sun-months", EditTable)
        if plan.supply is None or plan.climate is None:
            ways = ("t types twelve months", "shift+T reads a weather file", "p changes the place")
            self._show_figures([Row(f"way.{way[0]}", {"figure": way, "value": ""}) for way in ways])
            months.set_rows([])
            self.query_one(YearChart).show(Year((), title="No climate data for this place"))
            return
        supply = plan.supply
        self._show_figures(figure_rows(plan, supply))
        months.relabel("air", f"{names.TEMPERATURE.short} {display.degree_sign()}")
        months.set_rows(_month_row(one, one.month == plan.design.month) for one in supply.months)
        index = {probability: place for place, probability in enumerate(_probabilities())}
        days = plan.climate.quantiles_kwh_per_m2_day
        self.query_one(YearChart).show(
            Year(
                typical=tuple(one.ghi_kwh_per_m2_day for one in supply.months),
                low=tuple(month[index[0.1]] for month in days),
                high=tuple(month[index[0.9]] for month in days),
                chosen=plan.design.month,
                unit="kWh/m2 a day",
                title=_year_title(supply),
            )
        )
        roof = plan.design.roof
        self.query_one(RoofPlan).show(
            roof.length_m,
            roof.width_m,
            [Area(one.x_m, one.y_m, one.length_m, one.width_m) for one in supply.modules],
            [Area(one.x_m, one.y_m, one.length_m, one.width_m, one.name) for one in roof.obstacles],
            f"{len(supply.modules)} of {len(supply.fit.modules)} modules that fit",
        )

    # -- editing ------------------------------------------------------------------------------------------------

    @on(EditTable.CellEdited, "#sun-fields")
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        design = self.fields.new_design(event.row_key, event.text)
        self.post_message(self.Edited(design, self.fields.title(event.row_key, event.text)))

    @on(EditTable.Typing, "#sun-fields")
    def _preview(self, event: EditTable.Typing) -> None:
        event.stop()
        self.post_message(
            self.Typing(None if event.text is None else self.fields.new_design(event.row_key, event.text))
        )

    def obstacle_index(self) -> int | None:
        """Index of the obstacle under the cursor, if it is on one."""
        cell = self.fields.cursor
        parts = cell.row_key.split("/") if cell is not None else []
        return int(parts[2]) if parts[:2] == ["roof", "obstacles"] and len(parts) > 2 else None

    def new_obstacle(self) -> Design | None:
        """The design with one more obstacle on the roof."""
        if self._design is None:
            return None
        rows = self._design.roof.obstacles
        return edit.insert(self._design, "roof/obstacles", len(rows), [Obstacle(name=f"obstacle {len(rows) + 1}")])

    # -- figures and findings -----------------------------------------------------------------------------------

    def take_focus(self) -> None:
        self.fields.focus()

    def figure_key(self) -> str | None:
        months, figures = self.query_one("#sun-months", EditTable), self.query_one("#sun-figures", EditTable)
        if months.has_focus and months.cursor is not None:
            column = months.cursor.column_key
            if (
                self._design is not None
                and months.cursor.row_key == str(self._design.month)
                and column in LOOKED_AT_KEYS
            ):
                return LOOKED_AT_KEYS[column]
            pattern = MONTH_KEYS.get(column, "supply.yield_wh_per_w_day.{}")
            return pattern.format(months.cursor.row_key)
        if figures.has_focus and figures.cursor is not None:
            return figures.cursor.row_key
        return "supply.array_needed_w"

    def go_to(self, path: str) -> bool:
        fields = self.fields
        known = {field.path for field in SUN_FIELDS(self._design)} if self._design is not None else set()
        wanted = path if path in known else next((one for one in known if one.startswith(f"{path}/")), "")
        if not wanted or not fields.put_cursor(wanted, "value"):
            return False
        fields.focus()
        return True


def figure_rows(plan: Plan, supply: Supply) -> list[Row]:
    """The figures of the month looked at, those first that a person came for; each row's key is the key of its working."""
    month, worst, wiring, covered = supply.month, supply.worst, supply.wiring, supply.coverage_with_other
    cautious = "· cautious (9 years of 10)"
    name, controller = SHORT_MONTHS[month.month - 1], plan.design.controller
    lines = (
        ("supply.array_w", f"{names.ARRAY.full}, {wiring.count - wiring.idle} modules", show(supply.array_w, "power")),
        ("supply.array_needed_w", f"{names.ARRAY_NEEDED.full}, sun alone, {name}", show(month.needed_w, "power")),
        ("supply.array_needed_cautious_w", cautious, show(month.needed_cautious_w, "power")),
        ("supply.array_needed_for_rest_w", names.ARRAY_NEEDED_FOR_REST.full, show(month.needed_for_rest_w, "power")),
        ("supply.array_needed_worst_w", f"{names.ARRAY_NEEDED.full}, worst: {SHORT_MONTHS[worst.month - 1]}",
         show(worst.needed_w, "power")),
        ("supply.array_needed_worst_cautious_w", cautious, show(worst.needed_cautious_w, "power")),
        ("supply.harvest_wh_per_day", f"{names.HARVEST.full} a day", show(month.harvest_wh_per_day, "energy")),
        ("supply.other_income_wh_per_day", f"{names.OTHER_INCOME.full} a day", show(month.other_income_wh_per_day, "energy")),
        ("demand.energy_wh_per_day", f"{names.USE.full} a day", show(month.use_wh_per_day, "energy")),
        ("supply.coverage", names.COVERAGE.full, "-" if covered is None else percent(covered)),
        ("supply.ghi_kwh_per_m2_day", f"{names.FLAT.full} a day, {name}", _with(month.ghi_kwh_per_m2_day, names.FLAT)),
        ("supply.ghi_cautious_kwh_per_m2_day", cautious, _with(month.ghi_cautious_kwh_per_m2_day, names.FLAT)),
        ("supply.poa_kwh_per_m2_day", f"{names.PANEL.full} a day", _with(month.poa_kwh_per_m2_day, names.PANEL)),
        ("supply.yield_wh_per_w_day", f"{names.YIELD.full} a day", _with(month.yield_wh_per_w_day, names.YIELD)),
        ("supply.temperature_c", names.TEMPERATURE.full, display.degrees(month.temperature_c)),
        ("supply.controller_a", names.CONTROLLER.full, f"{show(wiring.controller_a, 'current')} of {controller.limit_a:g}"),
        ("supply.lowest_c", "Lowest temperature", display.degrees(wiring.lowest_c)),
        ("supply.cold_voc_v", names.COLD_VOLTAGE.full,
         f"{show(wiring.cold_voc_v, 'voltage')} of {controller.limit_v:g}"),
    )  # fmt: skip
    return [Row(key, {"figure": label, "value": display.local(value)}) for key, label, value in lines]


def _with(value: float, name: names.Name) -> str:
    return f"{show(value, 'number')} {name.unit}"


def _month_row(month: MonthSupply, looked_at: bool) -> Row:
    cells = {
        "month": SHORT_MONTHS[month.month - 1] + ("◂" if looked_at else ""),
        "flat": show(month.ghi_kwh_per_m2_day, "number"),
        "cautious": show(month.ghi_cautious_kwh_per_m2_day, "number"),
        "panel": show(month.poa_kwh_per_m2_day, "number"),
        "yield": show(month.yield_wh_per_w_day, "number"),
        "air": display.degrees(month.temperature_c, unit=False),
        "harvest": show(month.harvest_wh_per_day, "energy", unit=False),
        "use": show(month.use_wh_per_day, "energy", unit=False),
    }
    return Row(str(month.month), cells, strong=frozenset(cells) if looked_at else frozenset())


def _year_title(supply: Supply) -> str:
    darkest = min(supply.months, key=lambda month: month.ghi_kwh_per_m2_day)
    brightest = max(supply.months, key=lambda month: month.ghi_kwh_per_m2_day)
    if darkest.ghi_kwh_per_m2_day <= 0.05:
        return f"No sun worth the name in {month_name(darkest.month)}"
    times = brightest.ghi_kwh_per_m2_day / darkest.ghi_kwh_per_m2_day
    return f"{month_name(brightest.month)} has {display.local(f'{times:.1f}')} times the sun of {month_name(darkest.month)}"


def _probabilities() -> tuple[float, ...]:
    from model.supply.daily_distribution import PROBABILITIES

    return PROBABILITIES
