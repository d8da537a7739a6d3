"""The line that never leaves the screen: what the plan comes to, in a few figures with their words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, NamedTuple

from rich.cells import cell_len
from rich.text import Text
from textual.app import RenderResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

BETWEEN = " · "
MORE = "…"
OLD = "~"
OLD_WORDS = "recalculating"


class Figure(NamedTuple):
    """One figure: the key of its working, its text, and a shorter text for narrow terminals (empty: none)."""

    key: str
    text: str
    short: str = ""


def fitting(figures: Sequence[Figure], width: int) -> list[tuple[str, str]]:
    """Key and text of the figures that fit into `width` cells: short forms first, then whole figures go, from the right.

    Where figures were dropped the last entry is an ellipsis without a key; nothing is ever cut within a word.
    """
    shown = [(figure.key, figure.text) for figure in figures]
    for index in reversed(range(len(figures))):
        if _length(shown) <= width:
            return shown
        if figures[index].short:
            shown[index] = (figures[index].key, figures[index].short)
    if _length(shown) <= width:
        return shown
    while shown:
        shown.pop()
        if _length([*shown, ("", MORE)]) <= width:
            return [*shown, ("", MORE)]
    return []


def _length(shown: Sequence[tuple[str, str]]) -> int:
    return sum(cell_len(text) for _, text in shown) + len(BETWEEN) * max(0, len(shown) - 1)


class Verdict(Widget, can_focus=True):
    """The verdict line. With the focus on it, left and right choose a figure, whose key `chosen` gives."""

    DEFAULT_CSS = "Verdict { height: 1; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "choose(-1)", "figure before", show=False),
        Binding("right", "choose(1)", "next figure", show=False),
        Binding("enter", "ask", "working", show=False),
    ]

    class Asked(Message):
        """Enter was pressed on the figure with this key."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    stale: reactive[bool] = reactive(False)
    """Whether the figures are those of an earlier design, being worked out again."""
    figures: reactive[tuple[Figure, ...]] = reactive(())
    index: reactive[int] = reactive(0)

    def show(self, figures: Sequence[tuple[str, str, str]]) -> None:
        """Show new figures (key, text, short text); they are no longer old."""
        self.figures = tuple(Figure(*figure) for figure in figures)
        self.stale = False

    @property
    def chosen(self) -> str | None:
        """Key of the chosen figure; None where nothing is shown or the line has not the focus."""
        keys = [key for key, _ in self._shown() if key]
        return keys[min(self.index, len(keys) - 1)] if keys and self.has_focus else None

    def action_choose(self, step: int) -> None:
        """Choose the figure `step` places further, staying within those shown."""
        count = sum(bool(key) for key, _ in self._shown())
        self.index = max(0, min(self.index + step, count - 1))

    def action_ask(self) -> None:
        """Ask for the working of the chosen figure."""
        if self.chosen is not None:
            self.post_message(self.Asked(self.chosen))

    def _shown(self) -> list[tuple[str, str]]:
        return fitting(self.figures, self.size.width - len(OLD))

    def render(self) -> RenderResult:
        shown, chosen = self._shown(), self.chosen
        # One cell is kept for the sign, so that the figures do not jump when they are being worked out.
        line = Text(OLD if self.stale else " ", no_wrap=True, end="")
        for place, (key, text) in enumerate(shown):
            line.append(BETWEEN if place else "")
            line.append(text, style="reverse" if key and key == chosen else "")
        if self.stale:
            line.stylize("dim")
            if line.cell_len + len(BETWEEN) + len(OLD_WORDS) <= self.size.width:
                line.append(BETWEEN + OLD_WORDS, style="italic")
        return line
