"""The trip of the Year: its stops in a table, the state of charge along the way, and what would mend the worst stop."""

from __future__ import annotations

from time import sleep
from typing import TYPE_CHECKING, cast

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.reactive import reactive
from textual.widgets import Static
from textual.worker import get_current_worker

from model import edit, names
from model.design import Design, Stop
from tui import display
from tui.display import percent
from tui.screens.place import REST_S, Place, tell
from tui.screens.year.odds import bare
from tui.screens.year.trip_words import brief_words_of, fan_of, words_of
from tui.widgets.check import tried
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_state import digits_only
from tui.widgets.edit_table import EditTable
from tui.widgets.fan_chart import Fan, FanChart
from tui.widgets.table_rows import Column, Row

if TYPE_CHECKING:
    from model.plan import Plan
    from model.trip import StopOdds, Trip
    from tui.app import Ampledger

COLUMNS = (
    Column(
        "name",
        "Stop",
        14,
        editable=True,
        kind_hint="any name; Enter edits it, p looks its place up",
        takes_letters=True,
        flex=True,
    ),
    Column(
        "arrival",
        "Arrival",
        8,
        editable=True,
        kind_hint="such as 24 Dec, or 2026-12-24; empty: when the stop before ends",
    ),
    Column("nights", "Nights", 6, "right", editable=True, kind_hint="nights spent here, such as 3"),
    Column(
        "driving_hours", "Drive", 6, "right", editable=True, kind_hint="driving on the way there, such as 5 h, 3h30"
    ),
    Column("shore_nights", "Shore", 5, "right", editable=True, kind_hint="of the nights, on shore power, such as 1"),
    Column("chance", names.CHANCE.head, 8, "right"),
    Column("leaves", "Leaves %", 8, "right"),
    Column("bad", "1 in 20", 7, "right"),
    Column(
        "off",
        "Off",
        8,
        editable=True,
        kind_hint="loads switched off here, by name, such as Router, Field laptop",
        takes_letters=True,
        flex=True,
    ),
)
LIST_ROWS, WIDE_COLUMNS = 30, 78  # of the terminal: from there on the cures are a list, and have their chances
FIELDS = ("name", "arrival", "nights", "driving_hours", "shore_nights", "off")
NO_STOPS = (
    "No stops yet. n adds one: search its place by name, then say how many nights, the hours of driving on the way there,"
    " and the nights on shore power. The battery is followed from stop to stop, through many winters or summers."
)


class TripView(Container):
    """The stops and what comes of them. `ask` has the trip simulated; `state` says how far it is."""

    state: reactive[str] = reactive("")

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.found: Trip | None = None
        self._design: Design | None = None
        self._wanted: tuple[Plan, int] | None = None

    def compose(self) -> ComposeResult:
        table = EditTable(COLUMNS, check=tried(self._new_design), typing_starts_edit=digits_only, id="trip-stops")
        yield table
        yield EditLine(table, id="trip-line")
        with Container(id="trip-below"):
            yield FanChart(id="trip-fan")
            yield VerticalScroll(Static("", id="trip-words"), id="trip-scroll")

    def on_mount(self) -> None:
        self.table.fixed_columns = 1

    @property
    def table(self) -> EditTable:
        return self.query_one("#trip-stops", EditTable)

    # -- showing ------------------------------------------------------------------------------------------------

    def show_design(self, design: Design) -> None:
        """Put the stops on the screen, with the figures of the last trip where they belong to these stops."""
        self._design = design
        found = (
            self.found if self.found is not None and len(self.found.plan.design.stops) == len(design.stops) else None
        )
        odds = {one.index: one for one in found.stops} if found is not None else {}
        worst = found.worst_stop.index if found is not None and found.worst_stop is not None else None
        self.table.set_rows(
            _row(index, stop, odds.get(index), index == worst) for index, stop in enumerate(design.stops)
        )
        if not design.stops:
            self.found = None
            self.query_one("#trip-words", Static).update(NO_STOPS)
            self.query_one(FanChart).show(Fan(title="No stops yet"))

    def ask(self, plan: Plan, aim: int) -> None:
        """Have the trip of `plan` simulated, its cures for one empty day in `aim`."""
        self._wanted = plan, aim
        if self.found is not None and self.found.plan.design == plan.design and self._aim_of(self.found) == aim:
            self._show(self.found)
        elif not plan.design.stops:
            self.workers.cancel_group(self, "trip")
            self.state = "n adds a stop"
        else:
            self.state = "~ travelling …"
            self._simulate(plan, aim)

    @staticmethod
    def _aim_of(found: Trip) -> int:
        return round(1 / found.target)

    @work(thread=True, exclusive=True, group="trip")
    def _simulate(self, plan: Plan, aim: int) -> None:
        from model.trip import NoTrip, trip
        from model.year import Cancelled

        worker = get_current_worker()
        sleep(REST_S)
        if worker.is_cancelled:
            return

        def progress(share: float) -> None:
            tell(worker, self._tell, f"~ travelling {display.progress(share)} · k stops it")

        try:
            found = trip(
                plan,
                target=1 / aim,
                measured=cast("Ampledger", self.app).session.measured(plan.design),
                progress=progress,
                cancelled=lambda: worker.is_cancelled,
            )
        except Cancelled:
            return
        except NoTrip as reason:
            tell(worker, self._refused, str(reason))
            return
        tell(worker, self._deliver, found)

    def _tell(self, words: str) -> None:
        self.state = words

    def _refused(self, words: str) -> None:
        self.found, self.state = None, words
        self.query_one(FanChart).show(Fan(title="No trip"))
        self.query_one("#trip-words", Static).update("")

    def _deliver(self, found: Trip) -> None:
        if self._wanted == (found.plan, self._aim_of(found)):
            self.found = found
            self._show(found)

    def _show(self, found: Trip) -> None:
        if self._design is not None:
            self.show_design(self._design)
        self.post_message(Place.Learned())
        self.query_one(FanChart).show(fan_of(found))
        self._show_words(found)

    def _show_words(self, found: Trip) -> None:
        """The cures in a list where there is room for one, else in a few lines: the picture needs its height too."""
        from model.trip.working import trips_in_words

        size = self.app.size
        wide = size.width >= WIDE_COLUMNS
        words = words_of(found) if size.height >= LIST_ROWS else brief_words_of(found, chances=wide)
        self.query_one("#trip-words", Static).update(words)
        aims = " · t aims elsewhere" if wide else ""
        self.state = f"{trips_in_words(found)} · begun at {percent(found.start_charge)} charge{aims}"

    def on_resize(self) -> None:
        if self.found is not None and not self.state.startswith("~"):
            self._show_words(self.found)

    def stop(self) -> bool:
        """Give the trip up where it is being simulated; False where it is not."""
        running = any(worker.group == "trip" and worker.is_running for worker in self.workers)
        if running:
            self.workers.cancel_group(self, "trip")
            self.state = "~ stopped; the trip shown is that of an earlier design" if self.found else "~ stopped"
        return running

    # -- editing ------------------------------------------------------------------------------------------------

    def _new_design(self, row_key: str, column_key: str, text: str) -> Design:
        assert self._design is not None
        return edit.put_text(self._design, f"stops/{row_key}/{column_key}", text)

    @on(EditTable.CellEdited, "#trip-stops")
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        assert self._design is not None
        name = self._design.stops[int(event.row_key)].name or f"stop {int(event.row_key) + 1}"
        title = f"{name}: {event.column_key.replace('_', ' ')} {event.text or 'nothing'}"
        self.post_message(Place.Edited(self._new_design(event.row_key, event.column_key, event.text), title))

    @on(EditTable.Typing, "#trip-stops")
    def _preview(self, event: EditTable.Typing) -> None:
        event.stop()
        design = None if event.text is None else self._new_design(event.row_key, event.column_key, event.text)
        self.post_message(Place.Typing(design))

    def stop_index(self) -> int | None:
        """Index of the stop under the cursor."""
        cell = self.table.cursor
        return int(cell.row_key) if cell is not None else None

    def go_to(self, path: str) -> bool:
        """Put the cursor on the field of a stop."""
        _, index, *name = (*path.split("/"), "0")
        column = name[0] if name and name[0] in FIELDS else "name"
        self.table.focus()
        return self.table.put_cursor(index, column) or path == "stops"

    def figure_key(self) -> str | None:
        """Key of the figure under the cursor."""
        index = self.stop_index()
        if index is None or self.found is None or self.table.cursor is None:
            return None
        figure = {"leaves": "departure", "bad": "departure"}.get(self.table.cursor.column_key, "chance_of_empty_day")
        return f"trip.{index}.{figure}"


def _row(index: int, stop: Stop, odds: StopOdds | None, worst: bool) -> Row:
    texts = {name: edit_text(stop, name) for name in FIELDS}
    figures = {"chance": "…", "leaves": "…", "bad": "…"}
    shown = dict(texts)
    if odds is not None:
        figures = {
            "chance": chance(odds.chance_of_empty_day),
            "leaves": bare(odds.departure[2]),
            "bad": bare(odds.departure[0]),
        }
        shown["arrival"] = texts["arrival"] or f"({odds.arrives})"
    return Row(
        str(index),
        {**shown, **figures},
        edit_texts={"arrival": texts["arrival"]},
        word="worst" if worst else "",
        strong=frozenset({"name", "chance"}) if worst else frozenset(),
    )


def edit_text(stop: Stop, name: str) -> str:
    """A field of a stop as a person types it."""
    return display.write(Stop, name, getattr(stop, name))


def chance(value: float) -> str:
    """A chance in a cell of a column that has the sign in its head."""
    return f"< {bare(0.001, 1)}" if value < 0.001 else bare(value, 1)
