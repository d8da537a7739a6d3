"""The papers of the job on the screen: each a table to scroll in, as it goes into its file."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from model.plan import Plan
from model.wiring.papers import PAPERS, Job, Paper
from tui.widgets.row_table import RowTable
from tui.widgets.table_rows import Column, Row

WIDEST = 46
SHORT = {
    "schedule": "Schedule",
    "cut-list": "Cut list",
    "ways": "Ways",
    "commissioning": "Commissioning",
    "shopping": "Shopping",
}


class PapersView(Vertical):
    """One paper at a time, under the line of their names."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._plan: Plan | None = None
        self._table: list[list[str]] = []
        self.paper = next(iter(PAPERS))
        """Name of the paper that is shown."""

    def compose(self) -> ComposeResult:
        yield Static("", id="papers-names")
        yield Vertical(id="papers-sheet")
        yield Static("", id="papers-words", markup=False)

    def show(self, plan: Plan) -> None:
        """Show the paper of `plan`; the table is made anew, since every paper has columns of its own."""
        self._plan = plan
        paper = PAPERS[self.paper]
        self._table = paper.table(Job(plan.wiring, plan.design, plan.storage.chosen))
        self._show_names()
        self._show_words(paper)
        sheet = self.query_one("#papers-sheet")
        there = self.query(f"#paper-{self.paper}")
        columns, rows = paper_columns(paper, self._table), paper_rows(self._table)
        table = there.first(RowTable) if there else None
        if table is not None and [one.width for one in table.columns.values()] == [one.width + 1 for one in columns]:
            table.set_rows(rows)
            return
        focused = self.has_focus_within
        sheet.remove_children()
        table = RowTable(columns, classes="paper")
        sheet.mount(table)
        table.fixed_columns = 1
        self.call_after_refresh(table.set_rows, rows)
        if focused:
            table.focus()

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all papers, in their order."""
        return tuple(PAPERS)

    @property
    def title(self) -> str:
        """Title of the paper that is shown."""
        return PAPERS[self.paper].title

    def take_focus(self) -> None:
        """The paper's table."""
        for table in self.query(RowTable):
            table.focus()

    def turn(self, by: int) -> str | None:
        """Go on to the next paper, or the one before; answers its title, None past the last."""
        names = list(PAPERS)
        at = names.index(self.paper) + by
        if not 0 <= at < len(names):
            return None
        self.paper = names[at]
        if self._plan is not None:
            self.show(self._plan)
        return PAPERS[self.paper].title

    def text(self) -> str:
        """The paper as a spreadsheet takes it: cells between tabs."""
        return "\n".join("\t".join(row) for row in self._table)

    def _show_names(self) -> None:
        line = Text(" v ", style="bold", no_wrap=True, overflow="ellipsis")
        for name, paper in PAPERS.items():
            line.append(f" {SHORT.get(name, paper.title)} ", style="bold reverse" if name == self.paper else "not bold")
        self.query_one("#papers-names", Static).update(line)

    def _show_words(self, paper: Paper) -> None:
        count = len(self._table) - 1
        line = Text(f"{paper.title}: {count} line{'' if count == 1 else 's'}. ", style="bold")
        line.append(" ".join(paper.remarks), style="not bold dim")
        self.query_one("#papers-words", Static).update(line)


def paper_columns(paper: Paper, table: Sequence[Sequence[str]]) -> list[Column]:
    """Columns as wide as what they hold; empty ones are left out of sight."""
    columns = []
    for at, head in enumerate(table[0]):
        cells = [row[at] for row in table[1:]]
        if cells and not any(cells) and at:
            continue
        width = min(WIDEST, max(len(text) for text in (head, *cells)))
        figures = all(not text or text.replace(".", "").replace("-", "").isdigit() for text in cells)
        columns.append(Column(str(at), head, width, "right" if figures and cells and at else "left"))
    return columns


def paper_rows(table: Sequence[Sequence[str]]) -> list[Row]:
    """A row for each line of the paper."""
    return [Row(str(number), {str(at): text for at, text in enumerate(row)}) for number, row in enumerate(table[1:])]
