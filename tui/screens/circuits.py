"""Circuits: all of them in a list, one of them as a tree with what belongs to it, and the papers of the job."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import DataTable

from model import edit
from model.design import Circuit, Design
from model.plan import Plan
from model.quantities import Refusal
from model.quantities.refusal import quoted
from model.wiring.entered import same
from model.wiring.table import CircuitPlan
from tui.screens.bench import BenchView
from tui.screens.circuit import CircuitView
from tui.screens.circuit_cells import with_text
from tui.screens.circuit_list import PANEL, UNPLACED, CircuitList
from tui.screens.circuit_rows import Opened, hung_on
from tui.screens.papers import PapersView
from tui.screens.place import Place
from tui.widgets.edit_table import EditTable

LIST, ONE, PAPERS = "list", "one", "papers"
COLUMN_OF = {
    "start": "to", "end": "to", "length_m": "length", "conductor": "conductor", "insulation_c": "conductor", "fuse": "fuse",
    "fuse_a": "fuse", "load": "to", "quantity": "length", "point": "conductor",
}  # fmt: skip
"""The cell in which a field of a run or of a tap is edited; the others have the form."""


NAMES = {"to": "name", "supply_v": "supply", "current_a": "amps", "far_v": "volts"}
"""What an edit's title calls a column, where not by its key."""
TAP_NAMES = {"to": "load", "length": "pieces", "conductor": "point"}
"""The same in the line of a load, which shares its columns with the runs."""


class CircuitsPlace(Place):
    """The list, one circuit, or the papers: which of them shows is said in app.tcss, by the place's class."""

    place = "circuits"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", show=False)]

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._design: Design | None = None
        self._plan: Plan | None = None
        self._last: Circuit | None = None  # the open circuit as the program makes it for the design, not for a trial
        self._opened = ""  # path of the circuit that is open; key of one that the program made
        self.level = LIST

    def compose(self) -> ComposeResult:
        yield CircuitList(id="circuits-list")
        yield CircuitView(self._check, id="circuits-one")
        yield PapersView(id="circuits-papers")

    def on_mount(self) -> None:
        self._set_level(LIST)

    @property
    def listing(self) -> CircuitList:
        return self.query_one(CircuitList)

    @property
    def one(self) -> CircuitView:
        return self.query_one(CircuitView)

    @property
    def papers(self) -> PapersView:
        return self.query_one(PapersView)

    # -- showing ------------------------------------------------------------------------------------------------

    def show_design(self, design: Design) -> None:
        before, self._design = self._design, design
        if before is not None and self.level == ONE:
            self._follow(before, design)
        if self.level == ONE:
            self._show_one()

    def _follow(self, before: Design, design: Design) -> None:
        """Rows of the list came or went: stay on the circuit that is open, or go back to the list where it is gone."""
        if len(before.circuits) == len(design.circuits):
            return
        if not self._opened.startswith("circuits/"):
            kinds = [one.kind for one in design.circuits]
            if self._opened in kinds:
                self._opened = f"circuits/{kinds.index(self._opened)}"  # what the program made is entered now
            return
        was = edit.get(before, self._opened) if int(self._opened.split("/")[1]) < len(before.circuits) else None
        if was in design.circuits:
            self._opened = f"circuits/{design.circuits.index(was)}"
        elif was is not None and len(design.circuits) < len(before.circuits) and self._plan is not None:
            made = self._plan.wiring.circuit(was.kind)
            if was.kind == "loads" or made is None:
                self._set_level(LIST)
            else:
                self._opened = was.kind  # it was entered, and that was undone: the program makes it again

    def show_plan(self, plan: Plan) -> None:
        self._plan = plan
        if self._design is None:
            self._design = plan.design
        if self.level == LIST:
            self.listing.show(plan.wiring)
        elif self.level == ONE:
            self._show_one()
        else:
            self.papers.show(plan)

    def opened(self) -> Opened | None:
        """The circuit that is open, as entered in the design on the screen."""
        if self._design is None:
            return None
        made = self.made(self._opened)
        if made is not None and made.path is None:
            self._last = made.entered
        if self._opened.startswith("circuits/"):
            index = int(self._opened.split("/")[1])
            if index >= len(self._design.circuits):
                return None
            names = tuple(load.name for load in self._design.loads)
            return Opened(self._design.circuits[index], self._opened, made, hung_on(self._design, index), names)
        return None if made is None or self._last is None else Opened(self._last, None, made)

    def made(self, opened: str) -> CircuitPlan | None:
        """The figures of a circuit by its path, or by its key where the program made it; also once it is entered."""
        circuits = self._plan.wiring.circuits if self._plan is not None else ()
        return next((one for one in circuits if opened in (one.path, one.key)), None)

    def _show_one(self) -> None:
        opened = self.opened()
        if opened is None:
            self._set_level(LIST)
        else:
            self.one.show(opened)

    # -- going about --------------------------------------------------------------------------------------------

    def _set_level(self, level: str) -> None:
        self.level = level
        for name in (LIST, ONE, PAPERS):
            self.set_class(name == level, f"-{name}")
        if self._plan is None:
            return
        if level == LIST:
            self.listing.show(self._plan.wiring)
        elif level == PAPERS:
            self.papers.show(self._plan)

    def open(self, which: str) -> bool:
        """Open the circuit at a path, or of a key; False where there is none."""
        made = self.made(which)
        self._last = None
        before, self._opened = self._opened, (made.path or made.key) if made is not None else which
        if self.opened() is None:
            self._opened = before
            return False
        self._set_level(ONE)
        self._show_one()
        self.take_focus()
        return True

    @on(DataTable.CellSelected, "#circuits-table")
    async def _open_row(self, event: DataTable.CellSelected) -> None:
        event.stop()
        row = self.listing.row
        if row == UNPLACED:
            await self.app.run_action("do('circuit_loads.add_load')")
        elif row == PANEL:
            self.papers.choose("ways")
            self._set_level(PAPERS)
            self.call_after_refresh(self.take_focus)
        else:
            self.open(row)

    def action_back(self) -> None:
        """Back to the list, the cursor on the circuit that was open."""
        if self.level == LIST:
            return
        self.show_list(self._opened if self.level == ONE else "")

    def show_list(self, row: str = "") -> None:
        """Show all circuits, the cursor on one of them."""
        self._set_level(LIST)
        if row:
            self.listing.seek(row)
        self.take_focus()

    def next_view(self, by: int = 1) -> str:
        """What stands below an open circuit; on the list the papers one after the other, and the list again."""
        if self.level == ONE:
            return self.one.next_view(by)
        if self.level == LIST:
            self.papers.choose(self.papers.names[0 if by > 0 else -1])
            self._set_level(PAPERS)
            self.call_after_refresh(self.take_focus)
            return f"{self.papers.title}; Esc goes back, shift+C copies it"
        title = self.papers.turn(by)
        if title is None:
            self.action_back()
            return "all circuits"
        return title

    def take_focus(self) -> None:
        if self.level == LIST:
            self.listing.table.focus()
        elif self.level == ONE:
            self.one.take_focus()
        else:
            self.papers.take_focus()

    def go_to(self, path: str) -> bool:
        head, *rest = path.split("/")
        if head == "wiring":
            self._form("wiring", path)
            return True
        if head != "circuits":
            return False
        if not rest:
            self.show_list()
            return True
        if not self.open(f"circuits/{rest[0]}"):
            return False
        return self._go_within(f"circuits/{rest[0]}", rest[1:])

    def _go_within(self, base: str, rest: list[str]) -> bool:
        """Put the cursor on the cell of a field of the open circuit; where it has none, the form opens on it."""
        one = self.one
        if one.view == "bench" and rest[:1] != ["readings"]:
            one.set_view("volts")
        if not rest or (rest[0] in ("runs", "taps", "readings") and len(rest) == 1):
            one.table.put_cursor("runs/0", "length") or one.table.put_cursor("source", "to")
        elif rest[0] == "readings":
            one.set_view("bench")
            one.bench.table.put_cursor("/".join(rest[:2]), rest[2] if len(rest) > 2 else "current_a")
        elif rest[0] not in ("runs", "taps"):
            self._form(base, "/".join([base, *rest]))
        else:
            field = rest[2] if len(rest) > 2 else "end" if rest[0] == "runs" else "load"
            row = "/".join(rest[:2])
            one.table.put_cursor(row, COLUMN_OF.get(field, "to"))
            if field not in COLUMN_OF:
                self._form(f"{base}/{row}", "/".join([base, *rest]))
        self.take_focus()
        return True

    def _form(self, path: str, field: str) -> None:
        """Every field of a record, the cursor on one of them."""
        from typing import cast

        from tui.app import Ampledger
        from tui.screens.circuit_form import CircuitForm

        self.app.push_screen(CircuitForm(cast(Ampledger, self.app), path, field))

    # -- editing ------------------------------------------------------------------------------------------------

    def design_with(self, circuit: Circuit, title: str) -> tuple[Design, str]:
        """The design with the open circuit like that, entered where the program had made it; and the title of such an edit."""
        assert self._design is not None
        opened = self.opened()
        assert opened is not None
        design, path = self._design, opened.path
        if path is None:
            title = f"{circuit.name} is entered from now on; {title}"
            return edit.insert(design, "circuits", len(design.circuits), [circuit]), title
        return edit.put(design, path, circuit), title

    def edit(self, circuit: Circuit, title: str) -> None:
        """Take an edit of the open circuit."""
        self.post_message(self.Edited(*self.design_with(circuit, title)))

    def _check(self, row_key: str, column_key: str, text: str) -> str | None:
        opened = self.one.opened
        if opened is None:
            return None
        try:
            with_text(opened, row_key, column_key, text)
            if row_key.startswith("taps/") and column_key == "to":
                self._known_load(text)
        except Refusal as refusal:
            return str(refusal)
        return None

    def _known_load(self, text: str) -> None:
        """Refuse a name that no load has: what hung there would be off the plan without a word."""
        loads = self._design.loads if self._design is not None else ()
        if same(text) not in {same(load.name) for load in loads}:
            raise Refusal(f"no load is called {quoted(text)}: a picks one, l leads to the load table")

    @on(EditTable.CellEdited)
    def _accept(self, event: EditTable.CellEdited) -> None:
        event.stop()
        opened = self.one.opened
        if opened is not None:
            circuit = with_text(opened, event.row_key, event.column_key, event.text)
            name = opened.entered.name or "circuit"
            names = TAP_NAMES if event.row_key.startswith("taps/") else NAMES
            self.edit(circuit, f"{name}: {names.get(event.column_key, event.column_key)} {event.text or 'auto'}")

    @on(EditTable.Typing)
    def _preview(self, event: EditTable.Typing) -> None:
        event.stop()
        opened = self.one.opened
        if event.text is None or opened is None:
            self.post_message(self.Typing(None))
            return
        circuit = with_text(opened, event.row_key, event.column_key, event.text)
        self.post_message(self.Typing(self.design_with(circuit, "")[0]))

    # -- figures ------------------------------------------------------------------------------------------------

    def figure_key(self) -> str | None:
        if self.level == LIST:
            return self.listing.figure_key()
        return self.one.figure_key() if self.level == ONE else None

    def text(self) -> str:
        """The paper on the screen, where one is."""
        return self.papers.text() if self.level == PAPERS else ""

    @property
    def open_path(self) -> str:
        """Path of the circuit that is open, or its key where the program made it."""
        return self._opened

    @property
    def bench(self) -> BenchView:
        """The readings of the open circuit."""
        return self.one.bench
