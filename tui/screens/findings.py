"""The list of findings, dangers first; each leads to the field that causes it."""

from __future__ import annotations

from collections.abc import Sequence

from rich.table import Table
from rich.text import Text
from textual import on
from textual.widget import Widget
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from model.working import Finding
from tui import display
from tui.screens.dialog import Dialog
from tui.widgets.options import Options

SIGNS = {"danger": "!! DANGER", "warning": "!  warning", "note": "·  note"}


class Findings(Dialog[str]):
    """Answers the path of the field whose finding was chosen."""

    keys_text = "up, down choose · Enter goes to the cause · Esc back"

    def __init__(self, findings: Sequence[Finding]) -> None:
        super().__init__()
        self._findings = tuple(findings)
        count = len(self._findings)
        self.title_text = (
            f"{count} finding{'' if count == 1 else 's'}" if count else "No findings: the checks listed are met"
        )

    def body(self) -> list[Widget]:
        return [Options(*[Option(_lines(finding)) for finding in self._findings], id="findings-list")]

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    @on(OptionList.OptionSelected)
    def _go(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._findings[event.option_index].where)


def _lines(finding: Finding) -> Table:
    """The sign in a column of its own, so that lines which wrap stay behind it; the advice below the message."""
    grid = Table.grid(padding=(0, 2, 0, 0), expand=True)
    grid.add_column(no_wrap=True, min_width=max(map(len, SIGNS.values())))
    grid.add_column(ratio=1)
    bold = "" if finding.severity == "note" else "bold"
    grid.add_row(Text(SIGNS[finding.severity], bold), Text(display.local(finding.message), bold))
    grid.add_row("", Text(display.local(finding.advice), "dim"))
    return grid
