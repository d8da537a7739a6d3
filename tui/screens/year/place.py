"""Year: income against use month by month, how often the battery is empty, what size would mend it, and the trip.

Five views, one at a time where the terminal is narrow: which of them shows what is said in app.tcss, by the place's class.
"""

from __future__ import annotations

from time import sleep
from typing import TYPE_CHECKING, cast

from rich.text import Text
from textual import work
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Static
from textual.worker import get_current_worker

from model.design import Design, Stop
from tui import display
from tui.screens.place import REST_S, Place, tell
from tui.screens.year.map import MapView
from tui.screens.year.odds import COLUMNS, NARROW, ROOM, key_of, rows_of, summary
from tui.screens.year.pictures import income_of, week_of
from tui.screens.year.trip import TripView
from tui.widgets.edit_table import EditTable
from tui.widgets.fan_chart import FanChart
from tui.widgets.parts import Parts
from tui.widgets.year_chart import YearChart

if TYPE_CHECKING:
    from model.plan import Plan
    from model.working import Finding, Step
    from model.year import Year
    from tui.app import Ampledger

VIEWS = {"income": "Income", "darkest": "Darkest week", "typical": "Typical week", "map": "Map", "trip": "Trip"}
BESIDE = {"income": "darkest", "typical": "darkest"}
"""What a wide terminal shows beside a view."""
SAID = {
    "income": "income against use",
    "darkest": "the battery in the darkest week",
    "typical": "the battery in a typical week",
    "map": "battery against array",
    "trip": "the trip, stop by stop",
}


class YearPlace(Place):
    place = "year"

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.found: Year | None = None
        self._wanted: Plan | None = None
        self._odds_state = ""
        self._view = "income"

    def compose(self) -> ComposeResult:
        yield Static("", id="year-views")
        with Horizontal(id="year-top"):
            yield YearChart(id="year-chart")
            yield FanChart(id="year-darkest")
            yield FanChart(id="year-typical")
        yield MapView(id="year-map")
        yield EditTable(COLUMNS, id="year-table")
        yield TripView(id="year-trip")
        yield Parts(id="year-state")

    def on_mount(self) -> None:
        for view in (self.map, self.trip):
            self.watch(view, "state", self._show_state)
        self.set_view("income")

    @property
    def table(self) -> EditTable:
        return self.query_one("#year-table", EditTable)

    @property
    def map(self) -> MapView:
        return self.query_one(MapView)

    @property
    def trip(self) -> TripView:
        return self.query_one(TripView)

    # -- views --------------------------------------------------------------------------------------------------

    @property
    def _owner(self) -> Ampledger:
        return cast("Ampledger", self.app)

    @property
    def on_trip(self) -> bool:
        """Whether the trip is what is shown."""
        return self._view == "trip"

    def set_view(self, view: str) -> None:
        """Show one of VIEWS; what it needs is worked out now, and not before."""
        self._view = view
        for name in VIEWS:
            self.set_class(name == view, f"-{name}")
        self._show_views()
        self._show_state()
        if self._wanted is not None:
            self._ask(self._wanted)

    def next_view(self) -> str:
        """Show the next picture; answers its name. A wide terminal shows the weeks side by side."""
        names = [name for name in VIEWS if not (self._wide and name == "darkest")]
        here = names.index(self._view) if self._view in names else 0
        self.set_view(names[(here + 1) % len(names)])
        self.take_focus()
        return SAID[self._view]

    @property
    def _wide(self) -> bool:
        return self.app.screen_stack[0].has_class("-wide")

    def on_resize(self) -> None:
        self.call_after_refresh(self._show_views)
        self.call_after_refresh(self._fit_columns)
        self.call_after_refresh(self._keep_in_sight)

    def _fit_columns(self) -> None:
        """Whole columns of the odds, as many as there is room for."""
        cursor = self.table.cursor
        if self.table.set_columns(COLUMNS if self.size.width > ROOM else NARROW) and self.found is not None:
            self._show_odds(self.found)
            if cursor is not None and not self.table.put_cursor(*cursor):
                self.table.put_cursor(cursor.row_key, "words")

    def _keep_in_sight(self) -> None:
        """A smaller table must not scroll its cursor away."""
        for table in (self.table, self.trip.table):
            if table.row_count:
                table.move_cursor(row=table.cursor_row, scroll=True)

    def _show_views(self) -> None:
        line = Text(" v ", no_wrap=True)
        line.stylize("bold")
        for name, title in VIEWS.items():
            shown = name == self._view or (self._wide and BESIDE.get(self._view) == name)
            line.append(f" {title} ", "bold reverse" if shown else "")
            line.append(" ")
        self.query_one("#year-views", Static).update(line)

    def _show_state(self) -> None:
        words = {"map": self.map.state, "trip": self.trip.state}.get(self._view, self._odds_state)
        if self._view != "trip" and words == self.map.state and self._odds_state.startswith("~"):
            words = self._odds_state
        self.query_one("#year-state", Parts).update(display.local(words))

    def take_focus(self) -> None:
        (self.trip.table if self.on_trip else self.table).focus()

    # -- showing ------------------------------------------------------------------------------------------------

    def show_design(self, design: Design) -> None:
        self.trip.show_design(design)

    def show_plan(self, plan: Plan) -> None:
        self._show_income(plan)
        self._wanted = plan
        self._ask(plan)

    def _ask(self, plan: Plan) -> None:
        """The odds first, which take a moment; the map, or the trip, when they are there."""
        if plan.supply is None:
            self.workers.cancel_group(self, "year")
            self.found = None
            self.table.set_rows([])
            self._say(
                "No climate data for this place. In Sun (s), t types twelve months and shift+T reads a weather file;"
                " p changes the place."
            )
            self._show_weeks()
            self._ask_view(plan)
        elif self.found is not None and self.found.plan.design == plan.design:
            self._ask_view(plan)
        else:
            self._say("~ simulating …")
            self._simulate(plan)

    def _ask_view(self, plan: Plan) -> None:
        if self._view == "map":
            self.map.ask(plan)
        elif self._view == "trip":
            self.trip.ask(plan, self.map.aim)

    @work(thread=True, exclusive=True, group="year")
    def _simulate(self, plan: Plan) -> None:
        """Many years of the plan, in a thread: it tells how far it is, and stops when another plan is wanted."""
        from model.year import Cancelled, NoYear, year

        worker = get_current_worker()
        sleep(REST_S)
        if worker.is_cancelled:
            return

        def progress(share: float) -> None:
            tell(worker, self._say, f"~ simulating {display.progress(share)} · k stops it")

        try:
            found = year(
                plan,
                measured=self._owner.session.measured(plan.design),
                progress=progress,
                cancelled=lambda: worker.is_cancelled,
            )
        except Cancelled:
            return
        except NoYear as reason:
            tell(worker, self._say, str(reason))
            return
        tell(worker, self._deliver, found)

    def stop(self) -> None:
        """Give up what is being worked out; the figures of before stay, marked as old."""
        running = any(worker.group == "year" and worker.is_running for worker in self.workers)
        if running:
            self.workers.cancel_group(self, "year")
            self._say("~ stopped; the odds shown are those of an earlier design" if self.found else "~ stopped")
        if not any([running, self.map.stop(), self.trip.stop()]):
            self._owner.say("Nothing is being worked out.")

    def _deliver(self, found: Year) -> None:
        if self._wanted is None or found.plan.design != self._wanted.design:
            return
        self.found = found
        self._show_odds(found)
        self.table.put_cursor(str(found.plan.design.month), "words")
        self._say(summary(found, refill=self.app.size.width >= 78))
        self._show_weeks()
        self.post_message(self.Learned())
        self._ask_view(found.plan)

    def _show_odds(self, found: Year) -> None:
        self.table.set_rows(rows_of(found))

    def _show_weeks(self) -> None:
        for name in ("darkest", "typical"):
            self.query_one(f"#year-{name}", FanChart).show(week_of(self.found, name))

    def _show_income(self, plan: Plan) -> None:
        self.query_one("#year-chart", YearChart).show(income_of(plan))

    def _say(self, words: str) -> None:
        self._odds_state = words
        self._show_state()

    # -- the target and the stops -------------------------------------------------------------------------------

    def next_target(self) -> str:
        """Aim at another chance, on the map and for the trip; answers it in words."""
        said = self.map.next_target()
        if self.on_trip and self._wanted is not None:
            self._ask_view(self._wanted)
            return f"aimed at: an empty day in under 1 trip in {self.map.aim}"
        return said

    def stop_index(self) -> int | None:
        """Index of the stop under the cursor; None where the trip is not shown, or has none."""
        return self.trip.stop_index() if self.on_trip else None

    def details(self) -> tuple[str, type] | None:
        """Path and record type of the stop under the cursor, for the form with every field."""
        index = self.stop_index()
        return None if index is None else (f"stops/{index}", Stop)

    # -- figures and findings -----------------------------------------------------------------------------------

    def more_findings(self, plan: Plan) -> tuple[Finding, ...]:
        """Those of the odds, and of the trip once it was looked at, as long as they are those of this design."""
        found = [one for one in (self.found, self.trip.found) if one is not None and one.plan.design == plan.design]
        return tuple(finding for one in found for finding in one.findings)

    def figure_key(self) -> str | None:
        if self.on_trip:
            return self.trip.figure_key()
        cell = self.table.cursor
        if cell is None:
            return None
        return key_of(cell.column_key, cell.row_key)

    def chain_of(self, key: str) -> tuple[Step, ...]:
        """The working of a figure of the simulation, or of the trip."""
        for found in (self.found, self.trip.found):
            if found is not None and (steps := found.chain(key)):
                return steps
        return ()

    def go_to(self, path: str) -> bool:
        if path.split("/")[0] != "stops":
            return False
        self.set_view("trip")
        return self.trip.go_to(path)
