"""The working view: from what was typed to the figure, with formula, numbers and source."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Group, RenderableType
from rich.padding import Padding
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
        return [VerticalScroll(Static(self._lines(), id="working-text"), id="working-scroll")]

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    def _lines(self) -> Group:
        """The figure first, then what it was made of; lines that wrap stay under the label."""
        parts: list[RenderableType] = []
        for step in reversed(self._steps):
            below = Text(f"= {step.formula}\n")
            below.append(f"{step.source}\n", style="dim")
            parts += [Text(f"{step.label}  {value_text(step)}", "bold"), Padding(below, (0, 0, 0, 4))]
        return Group(*parts)


def value_text(step: Step) -> str:
    """The step's value with its unit and every digit that means something."""
    if isinstance(step.value, str):
        return step.value
    return f"{step.value:.6g} {step.unit}".rstrip()
