"""All circuits, one a row, what is on none of them, what is left of the panel; below, the one under the cursor in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Static

from model import names
from model.wiring.across_spare import spare_a
from model.wiring.conductors import Conductor
from model.wiring.papers.ways import ways
from model.wiring.table import CircuitPlan, WiringPlan
from model.wiring.wired import feed_current_a, first_fuse
from model.wiring.wording import amps
from model.working import Finding
from tui import display
from tui.screens.circuit_way import way_to
from tui.screens.circuit_words import (
    SIGNS,
    drop_share,
    figure,
    findings_lines,
    keys_line,
    limit_at,
    worst_of,
    worst_place,
)
from tui.widgets.drop_plot import DropPlot, Way
from tui.widgets.row_table import RowTable
from tui.widgets.table_rows import Column, Row

COLUMNS = (
    Column("name", "Circuit", 16, flex=True),
    Column("key", "Key", 10),
    Column("load", names.CURRENT.head, 9, "right"),
    Column("fuse", names.FUSE.head, 6, "right"),
    Column("thinnest", "Thinnest", 8, "right"),
    Column("drop", names.LARGEST_DROP.head, 6, "right"),
    Column("findings", "Findings", 11),
)
NARROW = tuple(one for one in COLUMNS if one.key not in ("key", "thinnest"))
WIDE = (
    replace(COLUMNS[0], width=22, flex=False),
    COLUMNS[1],
    Column("feeds", "Feeds", 12),
    *COLUMNS[2:-1],
    Column("at", "Lost most at", 17),
    COLUMNS[-1],
)
UNPLACED, PANEL = "unplaced", "panel"
KEYS = (
    "Enter opens",
    "n new",
    "v papers",
    "e name, way, feed",
    "j its loads",
    "g all cables",
    "d copies",
    "shift+up, down swap ways",
)


def columns_for(width: int) -> tuple[Column, ...]:
    """The columns that `width` cells have room for, with a gap before each and the bar beside them."""
    spare = width - _room(WIDE)
    if spare >= 0:
        return tuple(replace(one, width=one.width + spare) if one.key == "feeds" else one for one in WIDE)
    return COLUMNS if width >= _room(COLUMNS) else NARROW


def _room(columns: Sequence[Column]) -> int:
    return sum(column.width + 1 for column in columns) + 1


class CircuitList(Vertical):
    """The list. Row keys are the paths of the circuits, their keys where the program made them."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._plan: WiringPlan | None = None
        self._said = Text()
        self._wanted = ""  # where the cursor goes as soon as there is such a row

    def compose(self) -> ComposeResult:
        yield RowTable(COLUMNS, id="circuits-table")
        with Horizontal(id="circuits-below"):
            yield VerticalScroll(Static("", id="circuits-words", markup=False), id="circuits-about")
            yield DropPlot(id="circuits-plot")
        yield Static(id="circuits-keys")

    @property
    def table(self) -> RowTable:
        return self.query_one("#circuits-table", RowTable)

    def on_mount(self) -> None:
        self.query_one("#circuits-about").can_focus = False

    def on_resize(self) -> None:
        self.query_one("#circuits-keys", Static).update(Text(keys_line(KEYS, self.size.width - 2), style="dim"))
        if self._plan is not None:
            self.show(self._plan)

    def show(self, plan: WiringPlan) -> None:
        """Show the circuits of `plan`."""
        self._plan = plan
        cursor, columns = self.table.cursor, columns_for(self.size.width)
        if self.table.set_columns(columns) and cursor is not None:
            self._wanted = cursor.row_key
        feeds = next((column.width for column in columns if column.key == "feeds"), 0)
        self.table.set_rows(list_rows(plan, feeds))
        if self._wanted and self.table.put_cursor(self._wanted, "name"):
            self._wanted = ""
        self.show_words()

    def seek(self, row: str) -> None:
        """Put the cursor on a row, now or when the plan brings it."""
        self._wanted = "" if self.table.put_cursor(row, "name") else row

    def neighbour(self, by: int) -> int | None:
        """Index, among the circuits entered, of the one so many rows on; None where none is."""
        rows = [row_key(one) for one in self._plan.circuits] if self._plan is not None else []
        at = rows.index(self.row) + by if self.row in rows else -1
        head, _, index = (rows[at] if 0 <= at < len(rows) else "").partition("/")
        return int(index) if head == "circuits" else None

    def on_data_table_cell_highlighted(self) -> None:
        self.show_words()

    def show_words(self) -> None:
        """What the row under the cursor means."""
        if self._plan is None:
            return
        said = words(self._plan, self.row)
        if said != self._said:  # the same words again would have the whole screen laid out anew
            self._said = said
            self.query_one("#circuits-words", Static).update(said)
        one = circuit_of(self._plan, self.row)
        self.query_one(DropPlot).show(way_to(one, worst_place(one)) if one is not None else Way())

    @property
    def row(self) -> str:
        """Key of the row under the cursor; empty in an empty table."""
        cell = self.table.cursor
        return cell.row_key if cell is not None else ""

    def figure_key(self) -> str | None:
        """Key of the figure under the cursor."""
        cell = self.table.cursor
        if cell is None or self._plan is None:
            return None
        if cell.row_key == PANEL:
            return "wiring.panel.current_a"
        plan = circuit_of(self._plan, cell.row_key)
        return None if plan is None else _figure_key(plan, cell.column_key)


def row_key(plan: CircuitPlan) -> str:
    """Key of its row: it stays when the circuit gets another way, and so another label."""
    return plan.path or plan.key


def circuit_of(plan: WiringPlan, row: str) -> CircuitPlan | None:
    """The circuit of a row."""
    return next((one for one in plan.circuits if row_key(one) == row), None)


def _figure_key(plan: CircuitPlan, column: str) -> str | None:
    one, base = plan.wired, f"wiring.{plan.key}"
    if not one.shape.order:
        return None
    first, thinnest = (
        one.shape.order[0],
        min(one.shape.order, key=lambda run: one.runs[run].conductor.conducting_area_mm2),
    )
    ends = [(run, end) for run in one.shape.order for end in ("start", "end") if _has_fuse(plan, run, end)]
    keys = {
        "load": f"{base}.run.{first}.current_a",
        "fuse": f"{base}.run.{ends[0][0]}.{ends[0][1]}.fuse_a" if ends else f"{base}.run.{first}.passing_a",
        "thinnest": f"{base}.run.{thinnest}.conductor",
        "findings": "findings",
    }
    return keys.get(column, f"{base}.point.{one.shape.points[worst_place(plan)]}.drop_percent")


def _has_fuse(plan: CircuitPlan, run: int, end: str) -> bool:
    full = plan.wired.circuit.runs[run]
    device = full.protection if end == "start" else full.end_protection
    return device is not None and device.rating_a is not None


def list_rows(plan: WiringPlan, feeds_width: int = 0) -> list[Row]:
    """A row for each circuit, in the plan's order; then the loads on none, and the panel."""
    rows = [_row(one, feeds_width) for one in plan.circuits]
    if plan.unplaced:
        count = len(plan.unplaced)
        rows.append(
            Row(UNPLACED, {"name": f"{count} load{'' if count == 1 else 's'} on no circuit", "findings": "a hangs one"})
        )
    on_panel = sum(one.takes_a_way for one in plan.circuits)
    if on_panel:
        used = f"Panel: {on_panel} of {plan.settings.panel_ways:g} ways"
        spare = sum(way.free for way in ways(plan))
        cells = {"name": used, "load": figure(plan.panel_a), "findings": f"{spare} spare" if spare else "none spare"}
        rows.append(Row(PANEL, cells, kind="footer"))
    return rows


def _row(plan: CircuitPlan, feeds_width: int) -> Row:
    place = worst_place(plan)
    one, fuse, share = plan.wired, first_fuse(plan.wired), drop_share(plan, place)
    thinnest: Conductor | None = min(
        (run.conductor for run in one.runs), key=lambda each: each.conducting_area_mm2, default=None
    )
    dangers = any(said.severity == "danger" for said in plan.findings)
    cells = {
        "name": plan.name,
        "key": plan.key,
        "load": figure(feed_current_a(one, one.running)),
        "fuse": display.local(f"{fuse.rating_a:g}") if fuse is not None and fuse.rating_a is not None else "none",
        "thinnest": display.local(thinnest.name) if thinnest is not None else "no run",
        "drop": display.local(f"{share * 100:.1f}") if share is not None else "-",
        "at": one.shape.points[place] if place else "",
        "feeds": names_fitting(plan.feeds, feeds_width) if feeds_width else "",
        "findings": counted(plan.findings),
    }
    strong = frozenset({"findings"}) if dangers else frozenset[str]()
    return Row(
        row_key(plan),
        cells,
        kind="derived" if plan.automatic else "plain",
        word="made" if plan.automatic else "",
        strong=strong,
    )


def names_fitting(names: Sequence[str], width: int) -> str:
    """As many whole names as fit, and how many more there are: "Fridge, Heater +3"."""
    for count in range(len(names), 0, -1):
        text = ", ".join(names[:count]) + (f" +{len(names) - count}" if count < len(names) else "")
        if len(text) <= width:
            return text
    return f"{len(names)} load{'' if len(names) == 1 else 's'}" if names else ""


def counted(findings: Sequence[Finding]) -> str:
    """The worst kind in a word, and how many more there are of any kind: "danger +2"."""
    return worst_of(findings) + (f" +{len(findings) - 1}" if len(findings) > 1 else "")


def words(plan: WiringPlan, key: str) -> Text:
    """What a row of the list means: what the circuit feeds, where it loses most, what is said about it."""
    text = Text()
    if key == UNPLACED:
        text.append(", ".join(plan.unplaced), style="bold")
        text.append(" on no circuit. The main feed carries them all the same; Enter puts one on a circuit.")
        return text
    if key == PANEL:
        return _panel(plan)
    one = circuit_of(plan, key)
    if one is None:
        if not plan.circuits:
            text.append("No circuit yet, and no load that needs one: n adds a circuit, l leads to the loads.")
        return text
    text.append(f"{one.name}", style="bold")
    nothing = " feeds nothing yet." if one.entered.kind == "loads" else "."
    text.append(f" feeds {', '.join(one.feeds)}." if one.feeds else nothing)
    place = worst_place(one)
    share, limit = drop_share(one, place), limit_at(one, place)
    if share is not None and place:
        allowed = f" of {display.percent(limit)} allowed there" if limit is not None else ""
        text.append(
            f" Most is lost on the way to {one.wired.shape.points[place]}: {display.percent(share, 1)}{allowed}."
        )
    if one.automatic:
        text.append(" Made by the program from the rest of the design; any edit enters it.")
    if one.free_a is not None:
        text.append(f" Fuse and cable bear {display.local(spare_a(one.free_a))} more for long.")
    if one.entered.note:
        text.append(f" {one.entered.note}")
    for sign, message, advice in findings_lines(one):
        text.append(f"\n{sign} {message}", style="" if sign == SIGNS["note"] else "bold")
        text.append(f" {advice}", style="dim")
    return text


def _panel(plan: WiringPlan) -> Text:
    free = [f"{way.way}" for way in ways(plan) if way.free]
    text = Text(f"{amps(plan.panel_a)} together with everything on. ")
    text.append(f"Spare ways: {', '.join(free)}." if free else "No way is spare.", style="bold")
    if plan.panel_spare is not None:
        text.append(f" {spare_a(plan.panel_spare.free_a)} may be added for long.")
    lost = display.show(plan.loss_wh_per_day, "energy")
    text.append(f" Cables from the battery to the loads lose {lost} a day.")
    return Text(display.local(text.plain), spans=text.spans) if display.wish().comma else text
