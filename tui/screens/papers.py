"""The papers of the job on the screen: each a table, as it goes into its file. As many whole columns as fit stand there; the
arrows go on to the next ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Static

from model.plan import Plan
from model.wiring.papers import PAPERS, Job, Paper
from tui import display
from tui.widgets.row_table import RowTable
from tui.widgets.table_rows import Column, Row

REMARK_LINES = 3
LONG, LEAST = 36, 24
"""Columns that are longer are shortened to the room that is left, where that is not too little."""
NAMES = {
    "schedule": ("Schedule", "Cables"),
    "cut-list": ("Cut list", "Cuts"),
    "shopping": ("Shopping", "Shopping"),
    "ways": ("Ways", "Ways"),
    "commissioning": ("Commissioning", "Commission"),
}
"""What a paper is called in the line of their names, where not by its title; and on a narrow terminal."""


class PaperTable(RowTable):
    """The table of a paper; at its edges the arrows ask for the columns beyond."""

    class Beyond(Message):
        """The cursor is at the edge: the next columns (1), or those before (-1)."""

        def __init__(self, by: int) -> None:
            super().__init__()
            self.by = by

    def action_cursor_right(self) -> None:
        if self.cursor_column >= len(self.columns) - 1:
            self.post_message(self.Beyond(1))
        else:
            super().action_cursor_right()

    def action_cursor_left(self) -> None:
        if self.cursor_column == 0:
            self.post_message(self.Beyond(-1))
        else:
            super().action_cursor_left()


class PapersView(Vertical):
    """One paper at a time, under the line of their names."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._plan: Plan | None = None
        self._table: list[list[str]] = []  # as it goes into its file
        self._shown: list[list[str]] = []  # as it is read
        self._pages: list[list[Column]] = [[]]
        self._page = 0
        self.paper = next(iter(PAPERS))
        """Name of the paper that is shown."""

    def compose(self) -> ComposeResult:
        yield Static("", id="papers-names")
        yield Static("", id="papers-words", markup=False)
        yield PaperTable((), id="papers-table")
        yield Static("", id="papers-row")

    @property
    def table(self) -> PaperTable:
        return self.query_one(PaperTable)

    def on_resize(self) -> None:
        if self._plan is not None:
            self.show(self._plan)

    def show(self, plan: Plan) -> None:
        """Show the paper of `plan`."""
        self._plan = plan
        paper = PAPERS[self.paper]
        self._table = paper.table(Job(plan.wiring, plan.design, plan.storage.chosen))
        self._shown = as_read(self._table)
        room = self.size.width - 2
        self._pages = pages(paper_columns(self._shown, room), room)
        self._page = min(self._page, len(self._pages) - 1)
        row = self.table.cursor_row
        self.table.set_columns(self._pages[self._page])
        self.table.set_rows(paper_rows(self._shown))
        self.table.move_cursor(row=row)
        self._show_row()
        self._show_names()
        self._show_words(paper)

    def on_data_table_cell_highlighted(self) -> None:
        self._show_row()

    def _show_row(self) -> None:
        """The line under the cursor with all that stands in it, also what the columns on the screen have no room for."""
        at, text = self.table.cursor_row + 1, Text()
        for head, cell in zip(self._shown[0], self._shown[at], strict=True) if 0 < at < len(self._shown) else ():
            if cell:
                text.append(f"{' · ' if text else ''}{head} ", style="dim")
                text.append(cell)
        self.query_one("#papers-row", Static).update(text)

    def on_paper_table_beyond(self, event: PaperTable.Beyond) -> None:
        event.stop()
        page = self._page + event.by
        if self._plan is not None and 0 <= page < len(self._pages):
            self._page = page
            self.show(self._plan)
            self.table.move_cursor(column=1 if event.by > 0 else len(self._pages[page]) - 1)

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
        self.table.focus()

    def choose(self, name: str) -> None:
        """Show the paper of that name, from its first column and row on."""
        self.paper, self._page = name, 0
        if self._plan is not None:
            self.show(self._plan)
            self.table.move_cursor(row=0, column=0)

    def turn(self, by: int) -> str | None:
        """Go on to the next paper, or the one before; answers its title, None past the last."""
        at = self.names.index(self.paper) + by
        if not 0 <= at < len(PAPERS):
            return None
        self.choose(self.names[at])
        return self.title

    def text(self) -> str:
        """The paper as a spreadsheet takes it: cells between tabs."""
        return "\n".join("\t".join(row) for row in self._table)

    def _show_names(self) -> None:
        """All names, the short ones where the others have no room; as many as fit where none have, with a mark for the rest."""
        line = Text(" v ", style="bold", no_wrap=True)
        room, at = self.size.width - line.cell_len, self.names.index(self.paper)
        titles = names_for(room)
        widths = [len(title) + 2 for title in titles]
        shown = range(len(titles)) if sum(widths) <= room else in_sight(widths, at, room - 2)
        if len(shown) < len(titles):
            line.append("‹" if shown.start else " ", style="not bold")
        for index in shown:
            line.append(f" {titles[index]} ", style="bold reverse" if index == at else "not bold")
        if shown.stop < len(titles):
            line.append("›", style="not bold")
        self.query_one("#papers-names", Static).update(line)

    def _show_words(self, paper: Paper) -> None:
        count = len(self._table) - 1
        line = Text(f"{paper.title}, {count} line{'' if count == 1 else 's'}", style="bold")
        if len(self._pages) > 1:
            before = sum(len(page) - 1 for page in self._pages[: self._page])
            here, all_of_them = len(self._pages[self._page]) - 1, sum(len(page) - 1 for page in self._pages)
            line.append(f" · columns {before + 2}-{before + here + 1} of {all_of_them + 1} ← →")
        line.append("\n")
        line.append(
            _fitting([display.local(one) for one in paper.remarks], REMARK_LINES * (self.size.width - 12)),
            style="not bold dim",
        )
        self.query_one("#papers-words", Static).update(line)


def _fitting(remarks: Sequence[str], room: int) -> str:
    """As many of the remarks as fit into `room` cells, none of them cut; the paper's file has them all."""
    text = ""
    for remark in remarks:
        if len(text) + len(remark) + 1 <= room:
            text = f"{text} {remark}".lstrip()
    return text


def names_for(room: int) -> list[str]:
    """The names of all papers for a line of `room` cells, a blank at both sides of each."""
    pairs = [NAMES.get(name, (paper.title, paper.title)) for name, paper in PAPERS.items()]
    full = [pair[0] for pair in pairs]
    return full if sum(len(title) + 2 for title in full) <= room else [pair[1] for pair in pairs]


def in_sight(widths: Sequence[int], chosen: int, room: int) -> range:
    """Which of some names in a line are shown, the chosen one among them: all if there is room, else from its side on."""
    start = 0
    while start < chosen and sum(widths[start : chosen + 1]) > room:
        start += 1
    end = chosen + 1
    while end < len(widths) and sum(widths[start : end + 1]) <= room:
        end += 1
    return range(start, end)


def pages(columns: Sequence[Column], room: int) -> list[list[Column]]:
    """The columns in groups that fit into `room` cells, the first column heading each."""
    if not columns:
        return [[]]
    first, *rest = columns
    found, used = [[first]], first.width + 1
    for column in rest:
        left = room - used - 1
        if column.width > LONG and LEAST <= left < column.width:
            column = replace(column, width=left)  # the line below has it in full
        if used + column.width + 1 > room and len(found[-1]) > 1:
            found.append([first])
            used = first.width + 1
        found[-1].append(column)
        used += column.width + 1
    return found


def paper_columns(table: Sequence[Sequence[str]], room: int) -> list[Column]:
    """Columns as wide as what they hold, as far as `room` allows beside the first; empty ones are left out of sight."""
    columns: list[Column] = []
    for at, head in enumerate(table[0]):
        cells = [row[at] for row in table[1:]]
        if cells and not any(cells) and at:
            continue
        width = min(max(len(text) for text in (head, *cells)), room - 2 - (columns[0].width if columns else 0))
        figures = at and _figures(cells)
        columns.append(Column(str(at), head, width, "right" if figures else "left"))
    return columns


def _figures(cells: Sequence[str]) -> bool:
    return any(cells) and all(
        not text or text.replace(".", "").replace(",", "").replace("-", "").isdigit() for text in cells
    )


def paper_rows(table: Sequence[Sequence[str]]) -> list[Row]:
    """A row for each line of the paper."""
    return [Row(str(number), {str(at): text for at, text in enumerate(row)}) for number, row in enumerate(table[1:])]


def as_read(table: Sequence[Sequence[str]]) -> list[list[str]]:
    """A paper with its lengths, temperatures and decimal signs as the person wishes: figures below their heads, with the unit
    that the head names or the cell behind them; measures in words. Labels and names stay as they are printed."""
    heads = list(table[0])
    figures = [_figures([row[at] for row in table[1:]]) for at in range(len(heads))]
    lengths = [at for at, head in enumerate(heads) if head.endswith("(m)") and figures[at]]
    unit = heads.index("Unit") if "Unit" in heads else None
    needed = heads.index("Needed") if "Needed" in heads else None
    for at in lengths:
        heads[at] = f"{heads[at].removesuffix('(m)')}({display.length_unit()})"
    rows = [heads]
    for row in table[1:]:
        cells = [
            display.local(text) if figures[at] or display.has_measure(text) else text for at, text in enumerate(row)
        ]
        for at in lengths:
            cells[at] = _length(row[at])
        if unit is not None and needed is not None and row[unit] == "m":
            cells[needed], cells[unit] = _length(row[needed]), display.length_unit()
        rows.append(cells)
    return rows


def _length(metres: str) -> str:
    """A figure in metres, with its decimals, in the unit of lengths."""
    if not metres:
        return ""
    digits = len(metres.partition(".")[2])
    return display.local(f"{display.in_length_unit(float(metres)):.{digits}f}")
