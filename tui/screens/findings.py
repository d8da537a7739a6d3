"""The list of findings, dangers first; each leads to the field that causes it."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text
from textual import on
from textual.widget import Widget
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from model.working import Finding
from tui.screens.dialog import Dialog

SIGNS = {"danger": "!! DANGER ", "warning": "!  warning", "note": "·  note   "}


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
        return [OptionList(*[Option(_text(finding)) for finding in self._findings], id="findings-list")]

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    @on(OptionList.OptionSelected)
    def _go(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._findings[event.option_index].where)


def _text(finding: Finding) -> Text:
    text = Text()
    text.append(SIGNS[finding.severity], style="bold" if finding.severity != "note" else "")
    text.append(f" {finding.message}\n", style="bold" if finding.severity == "danger" else "")
    text.append(f"            {finding.advice}", style="dim")
    return text
