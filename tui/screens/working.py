"""The working view: from what was typed to the figure, with formula, numbers and source."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from model.working import Step
from tui.screens.dialog import Dialog


class Working(Dialog[None]):
    """The chain of steps that leads to one figure; the figure itself stands in the title."""

    keys_text = "up, down scroll · Esc back"

    def __init__(self, steps: Sequence[Step]) -> None:
        super().__init__()
        self._steps = tuple(steps)
        last = self._steps[-1]
        self.title_text = f"{last.label}: {value_text(last)}"

    def body(self) -> list[Widget]:
        return [VerticalScroll(Static(self._text(), id="working-text"), id="working-scroll")]

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    def _text(self) -> Text:
        text = Text()
        for step in reversed(self._steps):
            text.append(step.label, style="bold")
            text.append(f"  {value_text(step)}\n", style="bold")
            text.append(f"    = {step.formula}\n")
            text.append(f"    {step.source}\n\n", style="dim")
        return text


def value_text(step: Step) -> str:
    """The step's value with its unit and every digit that means something."""
    if isinstance(step.value, str):
        return step.value
    return f"{step.value:.6g} {step.unit}".rstrip()
