"""The working view: from what was typed to the figure, with formula, numbers and source, and which inputs matter most."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text
from textual import work
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static
from textual.worker import get_current_worker

from model.working import Step
from tui.display import figure, formula, local, percent
from tui.screens.dialog import Dialog

if TYPE_CHECKING:
    from model.plan import Plan
    from model.sensitivity import Influence

MATTERS = "What matters most: a tenth more of each (of pieces one) changes it by"
FEW, MANY, TALL = 5, 8, 32  # lines shown on a low screen and on one of TALL lines or more


class Working(Dialog[None]):
    """The chain of steps that leads to one figure, which stands in the title. With the plan that made it, a thread tries
    which inputs it hangs on most; the chain is shown at once."""

    keys_text = "up, down scroll · Esc back"

    def __init__(self, steps: Sequence[Step], made: Plan | None = None) -> None:
        super().__init__()
        self._steps = tuple(steps)
        self._made = made if made is not None and self._steps[-1].key in made.working else None
        last = self._steps[-1]
        self.title_text = f"{last.label}: {value_text(last)}"

    def body(self) -> list[Widget]:
        chain = VerticalScroll(Static(self._lines(), id="working-text"), id="working-scroll")
        if self._made is None:
            return [chain]
        return [chain, Static(f"{MATTERS} …", id="working-matters", markup=False)]

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()
        if self._made is not None:
            self._try_inputs(self._made, self._steps[-1].key)

    @work(thread=True, group="sensitivity")
    def _try_inputs(self, made: Plan, key: str) -> None:
        from model.sensitivity import Cancelled, sensitivity

        worker = get_current_worker()
        try:
            found = sensitivity(made, key, MANY, lambda: worker.is_cancelled)
        except Cancelled:
            return
        if not worker.is_cancelled:
            self.app.call_from_thread(self._show_influences, found)

    def _show_influences(self, found: Sequence[Influence]) -> None:
        if self.is_mounted:
            room = MANY if self.app.size.height >= TALL else FEW
            self.query_one("#working-matters", Static).update(influence_lines(found[:room]))

    def _lines(self) -> Group:
        """The figure first, then what it was made of; lines that wrap stay under the label."""
        parts: list[RenderableType] = []
        for step in reversed(self._steps):
            below = Text(f"= {formula(step.formula)}\n")
            below.append(f"{step.source}\n", style="dim")
            parts += [Text(f"{step.label}  {value_text(step)}", "bold"), Padding(below, (0, 0, 0, 4))]
        return Group(*parts)


def influence_lines(found: Sequence[Influence]) -> RenderableType:
    """The inputs in order of what they do, one a line: change of the figure, from what to what, input."""
    if not found:
        return Text("What matters most: no number that was entered changes this figure.")
    changes = [("+" if one.change > 0 else "-") + percent(abs(one.change), 1) for one in found]
    steps = [local(f"{one.before} → {one.after}") for one in found]
    lines: list[RenderableType] = [Text(MATTERS)]
    for one, change, step in zip(found, changes, steps, strict=True):
        line = Text(no_wrap=True, overflow="ellipsis")  # the label stands last: it is what may be cut
        line.append(change.rjust(max(map(len, changes))), "bold")
        lines.append(line.append(f"  {step.ljust(max(map(len, steps)))}  {one.label}"))
    return Group(*lines)


def value_text(step: Step) -> str:
    """The step's value with its unit and every digit that means something; in the unit wished for behind it."""
    if isinstance(step.value, str):
        return local(step.value)
    return figure(f"{step.value:.6g} {step.unit}".rstrip())
