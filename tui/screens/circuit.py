"""One circuit: its tree of runs, edited in place, and below what one wants to see of it: volts, a short, findings, the bench."""

from __future__ import annotations

from rich.table import Table
from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Static

from model.wiring.entered import same
from model.wiring.reshape import root
from model.wiring.table import CircuitPlan
from tui.screens.bench import BenchView
from tui.screens.circuit_rows import COLUMNS, LOAD_HINTS, SOURCE, Opened, circuit_rows, columns_for
from tui.screens.circuit_way import way_to
from tui.screens.circuit_words import findings_lines, heading, keys_line, short_in_a_line, short_lines, worst_place
from tui.widgets.cell_edits import Check
from tui.widgets.drop_plot import DropPlot
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_state import digits_only
from tui.widgets.edit_table import EditTable

VIEWS = {"volts": "Volts", "short": "Short circuit", "said": "Findings", "bench": "Bench", "tree": "Tree alone"}
SAID = {
    "volts": "the voltage along the cable",
    "short": "a short circuit at the point under the cursor",
    "said": "what a careful friend would say",
    "bench": "the finished circuit on the bench",
    "tree": "the tree alone",
}
KEYS = ("Esc back", "n run", "a load", "e details", "j its load", "g all cables", "d branch")
BESIDE = {"volts": "short", "short": "volts", "said": "volts", "bench": "volts"}
"""What a wide terminal shows beside a view."""


class CircuitView(Vertical):
    """The circuit that is open. Row keys of both tables are paths within it: "runs/2", "taps/0", "readings/1"."""

    def __init__(self, check: Check, id: str | None = None) -> None:
        super().__init__(id=id)
        self._check = check
        self.opened: Opened | None = None
        self.view = "volts"

    def compose(self) -> ComposeResult:
        table = EditTable(COLUMNS, check=self._check, typing_starts_edit=digits_only, id="circuit-table")
        bench = BenchView(self._check, id="circuit-bench")
        yield Static("", id="circuit-heading", markup=False)
        yield table
        yield EditLine(table, id="circuit-line")
        yield Static("", id="circuit-views")
        with Horizontal(id="circuit-below"):
            yield DropPlot(id="circuit-plot")
            yield VerticalScroll(Static("", id="circuit-short-words", markup=False), id="circuit-short")
            yield VerticalScroll(Static("", id="circuit-said-words", markup=False), id="circuit-said")
            yield bench

    def on_mount(self) -> None:
        self.table.fixed_columns = 1
        self.query_one(BenchView).mount(EditLine(self.bench.table), after="#bench-table")
        self.set_view("volts")

    @property
    def table(self) -> EditTable:
        return self.query_one("#circuit-table", EditTable)

    @property
    def bench(self) -> BenchView:
        return self.query_one(BenchView)

    # -- showing ------------------------------------------------------------------------------------------------

    def show(self, opened: Opened) -> None:
        """Show a circuit, with its figures as far as they are there."""
        other = self.opened is None or (self.opened.path, self.opened.entered.kind) != (
            opened.path,
            opened.entered.kind,
        )
        self.opened = opened
        cursor = self.table.cursor
        if not self.table.editing and self.table.set_columns(columns_for(self.size.width)):
            self.table.set_rows(circuit_rows(opened))
            if cursor is not None:
                self.table.put_cursor(*cursor)
        self.table.set_rows(circuit_rows(opened))
        if other and self.table.cursor is not None:
            self.table.put_cursor("runs/0", "length")
        made = opened.figures
        parts = heading(made) if made is not None else [opened.entered.name]
        title = keys_line(parts, max(20, self.size.width - 2))
        self.query_one("#circuit-heading", Static).update(title, layout=False)
        self.show_below()

    def show_below(self) -> None:
        """What stands below the table, for the point under the cursor."""
        opened = self.opened
        if opened is None:
            return
        if self.view == "bench":
            self.bench.show(opened.entered, opened.figures)
        made = opened.figures
        if made is None:
            return
        place = self.place
        self.query_one(DropPlot).show(way_to(made, worst_place(made, place)))
        self.query_one("#circuit-short-words", Static).update(_short(made, place))
        self.query_one("#circuit-said-words", Static).update(_said(made))

    @property
    def point(self) -> str:
        """Name of the point under the cursor, or of the one on which the load under the cursor hangs."""
        opened, cell = self.opened, self.table.cursor
        if opened is None:
            return ""
        keys = list(self.table._shown_rows)
        at = keys.index(cell.row_key) if cell is not None and cell.row_key in keys else 0
        for key in reversed(keys[: at + 1]):
            if key == SOURCE:
                break
            if key.startswith("runs/"):
                return opened.points[int(key.split("/")[1])][1]
        return opened.points[0][0] if opened.points else ""

    @property
    def place(self) -> int:
        """Its place in the circuit's tree; the source's where it hangs on nothing."""
        made = self.opened.figures if self.opened is not None else None
        return made.wired.shape.place.get(self.point, 0) if made is not None else 0

    def _has_place(self) -> bool:
        """Whether the point under the cursor is one of the tree, whose figures are there."""
        made = self.opened.figures if self.opened is not None else None
        return made is not None and len(made.wired.shape.points) > 1 and self.point in made.wired.shape.place

    # -- views --------------------------------------------------------------------------------------------------

    def set_view(self, view: str) -> None:
        """Show one of VIEWS below the table."""
        self.view = view
        wide = self.app.screen_stack[0].has_class("-wide")
        for name in VIEWS:
            self.set_class(name == view, f"-{name}")
        line = Text(" v ", no_wrap=True, style="bold")
        for name, title in VIEWS.items():
            shown = name == view or (wide and BESIDE.get(view) == name)
            line.append(f" {title} ", style="bold reverse" if shown else "not bold")
        room = self.size.width - 2 - line.cell_len - 3
        line.append(f"   {keys_line(KEYS, room)}", style="not bold dim")
        self.query_one("#circuit-views", Static).update(line)
        self.show_below()

    def next_view(self, by: int = 1) -> str:
        """Show the next picture; answers what it is."""
        names = list(VIEWS)
        wide = self.app.screen_stack[0].has_class("-wide")
        new = names[(names.index(self.view) + by) % len(names)]
        if wide and BESIDE.get(new) == self.view and BESIDE.get(self.view) == new:  # both are shown already
            new = names[(names.index(new) + by) % len(names)]
        self.set_view(new)
        self.take_focus()
        return SAID[self.view]

    def on_resize(self) -> None:
        self.call_after_refresh(self._fit)

    def _fit(self) -> None:
        if self.opened is not None:
            self.show(self.opened)
        self.set_view(self.view)

    def take_focus(self) -> None:
        """The bench's readings where they are shown, else the tree."""
        (self.bench.table if self.view == "bench" else self.table).focus()

    # -- cursor -------------------------------------------------------------------------------------------------

    @on(EditTable.EditingHint, "#circuit-table")
    def _moved(self, event: EditTable.EditingHint) -> None:
        event.stop()
        cell = self.table.cursor
        if cell is not None and cell.row_key.startswith("taps/") and self.table.hint:
            self.table.hint = LOAD_HINTS.get(cell.column_key, self.table.hint)
        elif cell is not None and not self.table.hint and self._has_place():
            made = self.opened.figures if self.opened is not None else None
            self.table.hint = short_in_a_line(made, self.place) if made is not None else ""
        self.show_below()

    def row(self) -> tuple[str, int] | None:
        """List and index of the row under the cursor: ("runs", 2), ("taps", 0), ("readings", 1); None on rows without one."""
        if self.view == "bench":
            index = self.bench.reading()
            return None if index is None else ("readings", index)
        cell = self.table.cursor
        head, _, tail = (cell.row_key if cell is not None else "").partition("/")
        return (head, int(tail)) if head in ("runs", "taps") else None

    def named_load(self) -> int | None:
        """Index of the load under the cursor where it hangs here by naming this circuit, not by a tap."""
        cell = self.table.cursor
        head, _, tail = (cell.row_key if cell is not None else "").partition("/")
        return int(tail) if head == "loads" else None

    def load_under_cursor(self) -> int | None:
        """Index, in the load table, of the load whose line the cursor is on; None on points."""
        cell = self.table.cursor
        on_load = cell is not None and cell.row_key.startswith(("loads/", "taps/"))
        return self.load_index() if on_load else None

    def points_in_order(self) -> list[str]:
        """The points from the source on, as the tree shows them."""
        opened = self.opened
        if opened is None or not opened.points:
            return []
        runs = (key.partition("/")[2] for key in self.table._shown_rows if key.startswith("runs/"))
        return [root(opened.entered), *(opened.points[int(run)][1] for run in runs)]

    def load_index(self) -> int | None:
        """Index of the load under the cursor in the load table, or of the first one that hangs at the point or beyond it."""
        opened, cell = self.opened, self.table.cursor
        if opened is None:
            return None
        key = cell.row_key if cell is not None else ""
        if key.startswith("loads/"):
            return int(key.split("/")[1])
        if key.startswith("taps/"):
            return next((one.index for one in opened.hung if one.where == f"{opened.path}/{key}"), None)
        made = opened.figures
        here = self.place
        for one in opened.hung:
            place = made.wired.shape.place.get(one.point, 0) if made is not None else 0
            if place == here or (made is not None and _leads_over(made, place, here)):
                return one.index
        return opened.hung[0].index if opened.hung else None

    def figure_key(self) -> str | None:
        """Key of the figure under the cursor."""
        opened, cell = self.opened, self.table.cursor
        made = opened.figures if opened is not None else None
        if made is None or cell is None:
            return None
        if self.view == "bench" and made.wired.shape.order:
            return f"wiring.{made.key}.run.{made.wired.shape.order[0]}.current_a"
        return figure_key(made, cell.row_key, cell.column_key, self.point)


def figure_key(made: CircuitPlan, row: str, column: str, point: str) -> str | None:
    """Key of the working behind a cell."""
    base = f"wiring.{made.key}"
    if row == SOURCE:
        kind = made.wired.circuit.source.kind
        first = f"{base}.run.{made.wired.shape.order[0]}.current_a" if made.wired.shape.order else None
        return {"panel": "wiring.panel.volts", "battery": "wiring.battery.running_v"}.get(kind, first)
    head, _, index = row.partition("/")
    if head == "runs":
        full = made.wired.circuit.runs[int(index)]
        end = "end" if full.protection is None and full.end_protection is not None else "start"
        fused = full.protection is not None or full.end_protection is not None
        keys = {
            "length": f"run.{index}.drop_v",
            "conductor": f"run.{index}.conductor",
            "fuse": f"run.{index}.{end}.fuse_a" if fused else f"run.{index}.passing_a",
            "amps": f"run.{index}.current_a",
            "governs": f"run.{index}.allowed_a",
            "drop": f"point.{point}.drop_percent",
            "said": "findings",
        }
        key = keys.get(column, f"point.{point}.volts")
        return key if key == "findings" else f"{base}.{key}"
    loads = [at for at, load in enumerate(made.wired.circuit.loads) if load.point == point]
    taps = made.entered.taps
    if head == "taps" and int(index) < len(taps):
        name = same(taps[int(index)].load)
        loads = [at for at in loads if same(made.wired.circuit.loads[at].name).endswith(name)] or loads  # "2 x Lamp"
    return f"{base}.load.{loads[0]}.design_a" if loads else None


def _leads_over(made: CircuitPlan, place: int, over: int) -> bool:
    """Whether the way to a place leads over another."""
    while place > over:
        place = made.wired.shape.parent[place]
    return place == over


def _short(made: CircuitPlan, place: int) -> Table:
    """The words of a short circuit: what, in a column of its own, and the sentence."""
    grid = Table.grid(padding=(0, 1), expand=True)
    grid.add_column(no_wrap=True, min_width=7)
    grid.add_column(ratio=1)
    grid.add_row(Text(""), Text(f"A short circuit at {made.wired.shape.points[place]}", style="bold"))
    for name, sentence in short_lines(made, place):
        grid.add_row(Text(name, style="dim"), Text(sentence))
    return grid


def _said(made: CircuitPlan) -> Table:
    grid = Table.grid(padding=(0, 1), expand=True)
    grid.add_column(no_wrap=True, min_width=2)
    grid.add_column(ratio=1)
    for sign, message, advice in findings_lines(made):
        grid.add_row(Text(sign, style="bold"), Text(message, style="bold"))
        grid.add_row("", Text(advice, style="dim"))
    if not made.findings:
        grid.add_row("", Text("No findings: it meets the checks listed."))
    return grid
