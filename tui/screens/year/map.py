"""The map of the Year: battery against array with lines of equal chance, and below it the sizes that keep a chance."""

from __future__ import annotations

from time import sleep
from typing import TYPE_CHECKING, cast

from rich.table import Table
from rich.text import Text
from textual import work
from textual.app import ComposeResult
from textual.containers import Container
from textual.reactive import reactive
from textual.widgets import Static
from textual.worker import get_current_worker

from tui import display
from tui.screens.place import REST_S, tell
from tui.screens.year.reach import TARGETS, Reach, error_words, field_of, reach, table_of, what_it_hangs_on
from tui.widgets.map_chart import Field, MapChart

if TYPE_CHECKING:
    from model.plan import Plan
    from tui.app import Ampledger


class MapView(Container):
    """The map. `ask` has it made where it is not there yet; `state` says how far it is."""

    state: reactive[str] = reactive("")

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.found: Reach | None = None
        self.aim = TARGETS[-1]
        self._wanted: Plan | None = None

    def compose(self) -> ComposeResult:
        yield MapChart(id="map-chart")
        yield Static("", id="map-words")

    def ask(self, plan: Plan) -> None:
        """Have the map of `plan` made; the old one stays until the new one is there."""
        self._wanted = plan
        if self.found is not None and what_it_hangs_on(self.found.plan.design) == what_it_hangs_on(plan.design):
            self._show(self.found)
            return
        if plan.supply is None:
            self.forget()
            return
        self.state = "~ drawing the map …"
        if self.found is None:
            self.query_one(MapChart).show(Field((), (), (), title="Battery against array"))
        self._make(plan)

    def forget(self) -> None:
        """There is nothing to show."""
        self.workers.cancel_group(self, "map")
        self.found, self.state = None, ""
        self.query_one(MapChart).show(Field((), (), (), title="No climate data for this place"))
        self.query_one("#map-words", Static).update("")

    @work(thread=True, exclusive=True, group="map")
    def _make(self, plan: Plan) -> None:
        from model.year import Cancelled, NoYear

        worker = get_current_worker()
        sleep(REST_S)
        if worker.is_cancelled:
            return

        def progress(share: float) -> None:
            tell(worker, self._tell, f"~ drawing the map {display.progress(share)} · k stops it")

        measured = cast("Ampledger", self.app).session.measured(plan.design)
        try:
            for found in reach(plan, measured, progress, lambda: worker.is_cancelled):
                tell(worker, self._deliver, found)
        except Cancelled:
            return
        except NoYear as reason:
            tell(worker, self._tell, str(reason))

    def _tell(self, words: str) -> None:
        self.state = words

    def _deliver(self, found: Reach) -> None:
        if found.plan is self._wanted:
            self.found = found
            self._show(found)

    def stop(self) -> bool:
        """Give the map up where it is being made; False where it is not."""
        running = any(worker.group == "map" and worker.is_running for worker in self.workers)
        if running:
            self.workers.cancel_group(self, "map")
            self.state = "~ stopped; the map shown is that of an earlier design" if self.found else "~ stopped"
        return running

    def next_target(self) -> str:
        """Aim at the next chance; answers it in words. The map need not be made again for that."""
        self.aim = TARGETS[(TARGETS.index(self.aim) + 1) % len(TARGETS)]
        if self.found is not None:
            self._show(self.found)
        return f"aimed at: under 1 empty day in {self.aim}"

    def _show(self, found: Reach) -> None:
        self.state = f"t aims elsewhere · {error_words(found)}"
        self.query_one(MapChart).show(field_of(found, self.aim))
        wide = self.app.screen_stack[0].has_class("-wide")
        words = words_of(found, self.aim, stacked=wide, columns=2 if wide or self.app.size.width >= 78 else 1)
        self.query_one("#map-words", Static).update(words)

    def on_resize(self) -> None:
        if self.found is not None:
            self.call_after_refresh(self._show, self.found)


def words_of(found: Reach, aim: int, *, stacked: bool, columns: int = 2) -> Table:
    """The sizes that keep the chance: month and months of use beside each other, or `stacked`, one below the other.

    `columns`: how many of the two have room.
    """
    headings, *lines = (line[: 1 + columns] for line in table_of(found, aim))
    grid = Table.grid(padding=(0, 2, 0, 0))
    under = Text(f"Under 1 empty day in {aim}", "bold")
    if not stacked:
        grid.add_row(under, *(Text(words, "bold") for words in headings[1:]))
        for line in lines:
            grid.add_row(*line)
        return grid
    grid.add_row(under)
    for column, words in enumerate(headings[1:], 1):
        grid.add_row("")
        grid.add_row(Text(words, "bold"))
        for line in lines:
            grid.add_row(line[0], line[column])
    return grid
