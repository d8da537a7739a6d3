"""Year: income against use month by month, and how often the battery is empty, from many synthetic years."""

from __future__ import annotations

from time import sleep
from typing import TYPE_CHECKING

from textual import work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Static
from textual.worker import get_current_worker

from model.calendar import MONTHS, SHORT_MONTHS, month_name
from model.design import Design
from model.quantities import percent
from tui.screens.place import REST_S, Place
from tui.widgets.edit_table import EditTable
from tui.widgets.fan_chart import FanChart
from tui.widgets.table_rows import Column, Row
from tui.widgets.year_chart import Year as YearOfChart
from tui.widgets.year_chart import YearChart

if TYPE_CHECKING:
    from model.plan import Plan
    from model.storage.odds import MonthOdds
    from model.working import Finding, Step
    from model.year import Year

COLUMNS = (
    Column("month", "Month", 5),
    Column("words", "How often", 32, flex=True),
    Column("chance", "Chance", 14, "right"),
    Column("unmet", "Unmet", 6, "right"),
    Column("forgone", "Given up", 8, "right"),
    Column("lost", "Left Wh", 7, "right"),
)
KEYS = {"unmet": "storage.unmet_fraction.{}"}


class YearPlace(Place):
    place = "year"

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.found: Year | None = None
        self._wanted: Plan | None = None

    def compose(self) -> ComposeResult:
        with Horizontal(id="year-top"):
            yield YearChart(id="year-chart")
            yield FanChart(id="year-fan")
        with Vertical(id="year-bottom"):
            yield EditTable(COLUMNS, id="year-table")
            yield Static("", id="year-state", markup=False)

    def on_mount(self) -> None:
        self.query_one("#year-fan").add_class("put-away")

    @property
    def table(self) -> EditTable:
        return self.query_one("#year-table", EditTable)

    def take_focus(self) -> None:
        self.table.focus()

    def show_design(self, design: Design) -> None:
        """Nothing is entered here; the figures come with the plan."""

    def show_plan(self, plan: Plan) -> None:
        self._show_income(plan)
        if self.found is not None and self.found.plan.design == plan.design:
            return
        self._wanted = plan
        if plan.supply is None:
            self.table.set_rows([])
            self._say(
                "No climate data for this place: t types twelve months, r reads a weather file, p changes the place."
            )
            return
        self._say("~ simulating …")
        self._simulate(plan)

    @work(thread=True, exclusive=True, group="year")
    def _simulate(self, plan: Plan) -> None:
        """Many years of the plan, in a thread: it tells how far it is, and stops when another plan is wanted."""
        from model.year import Cancelled, NoYear, year

        worker = get_current_worker()
        sleep(REST_S)
        if worker.is_cancelled:
            return

        def progress(share: float) -> None:
            self.app.call_from_thread(self._say, f"~ simulating: {percent(share)} · k stops it")

        try:
            found = year(plan, progress=progress, cancelled=lambda: worker.is_cancelled)
        except Cancelled:
            return
        except NoYear as reason:
            self.app.call_from_thread(self._say, str(reason))
            return
        if not worker.is_cancelled:
            self.app.call_from_thread(self._deliver, found)

    def stop(self) -> None:
        """Give the simulation up; the figures of before stay, marked as old."""
        self.workers.cancel_group(self, "year")
        self._say("~ stopped; the odds shown are those of an earlier design" if self.found else "stopped")

    def _deliver(self, found: Year) -> None:
        if found.plan is not self._wanted:
            return
        from model.year_working import in_words

        self.found = found
        odds, design = found.odds, found.plan.design
        self.table.set_rows(
            _row(month, in_words(month, odds.years), month.month == design.month) for month in odds.months
        )
        self.table.put_cursor(str(design.month), "words")
        error = f"{odds.empty_days_per_year:.1f} ± {odds.empty_days_error:.1f} empty days a year"
        self._say(
            f"{error} · {odds.years} synthetic years · longest dark spell survived {odds.longest_spell_survived} days"
            f" · {found.plan.storage.chosen.chemistry} lasts {odds.life_years:.0f} years at this use"
        )
        option = found.plan.storage.chosen
        title = f"State of charge in the darkest week of {month_name(design.month)}"
        self.query_one(FanChart).show(found.month.darkest_week, 1 - option.depth_of_discharge, title)

    def _show_income(self, plan: Plan) -> None:
        supply = plan.supply
        chart = self.query_one("#year-chart", YearChart)
        if supply is None:
            chart.show(YearOfChart((), title="No climate data for this place"))
            return
        income = [one.harvest_wh_per_day + one.other_income_wh_per_day for one in supply.months]
        cautious = [one.harvest_cautious_wh_per_day + one.other_income_wh_per_day for one in supply.months]
        short = [MONTHS[i] for i, one in enumerate(supply.months) if income[i] < one.use_wh_per_day]
        title = "Income meets use in every month" if not short else f"Income falls short in {_listed(short)}"
        chart.show(
            YearOfChart(
                typical=income,
                low=cautious,
                high=[2 * typical - bad for typical, bad in zip(income, cautious, strict=True)],
                use=[one.use_wh_per_day for one in supply.months],
                unit="Wh a day",
                chosen=plan.design.month,
                title=title,
                typical_word="income",
                band_word="cautious to bright year",
            )
        )

    def _say(self, words: str) -> None:
        self.query_one("#year-state", Static).update(words)

    def next_view(self) -> str:
        """Income by month, or the fan of the month looked at."""
        chart, fan = self.query_one("#year-chart"), self.query_one("#year-fan")
        chart.toggle_class("put-away")
        fan.set_class(not chart.has_class("put-away"), "put-away")
        return "income against use" if fan.has_class("put-away") else "the battery in the darkest week"

    def more_findings(self) -> tuple[Finding, ...]:
        fresh = self.found is not None and self.found.plan is self._wanted
        return self.found.findings if fresh and self.found is not None else ()

    def figure_key(self) -> str | None:
        cell = self.table.cursor
        if cell is None:
            return None
        return KEYS.get(cell.column_key, "storage.chance_of_empty_day.{}").format(cell.row_key)

    def chain_of(self, key: str) -> tuple[Step, ...]:
        """The working of a figure of the simulation."""
        return self.found.chain(key) if self.found is not None else ()

    def go_to(self, path: str) -> bool:
        return False


def _row(month: MonthOdds, words: str, looked_at: bool) -> Row:
    cells = {
        "month": SHORT_MONTHS[month.month - 1] + ("◂" if looked_at else ""),
        "words": words,
        "chance": _chance(month),
        "unmet": percent(month.unmet_fraction, 1),
        "forgone": percent(month.forgone_fraction),
        "lost": f"{max(0.0, month.curtailed_wh_per_day):.0f}",
    }
    return Row(str(month.month), cells, strong=frozenset(cells) if looked_at else frozenset())


def _chance(month: MonthOdds) -> str:
    """The chance of an empty day with its error; a chance too small to be told from none says so."""
    if month.chance_of_empty_day + month.chance_error < 0.001:
        return "below 0.1 %"
    return f"{percent(month.chance_of_empty_day, 1)} ± {percent(month.chance_error, 1)}"


def _listed(names: list[str]) -> str:
    if len(names) > 4:
        return f"{len(names)} months"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
