"""What the small plots share: a grid of characters, a scale with 1-2-5 steps, bars in eighths and lines in braille.

A plot is drawn by a plain function into a `Canvas`, in characters that tell the story alone; each character also has a role
("load", "axis", ...), from which the widget takes its colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip
from textual.widget import Widget

from tui.display import local

EIGHTHS = " ▁▂▃▄▅▆▇█"
ROLES = ("title", "axis", "label", "load", "outer", "on-band", "sun", "use", "over", "inside", "good", "bad", "chosen")
BRAILLE = 0x2800
BRAILLE_DOTS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
"""The bit of each dot by column and row, from the top left (Unicode 16.0, chapter 21, Braille Patterns)."""


class Canvas:
    """A grid of `width` x `height` characters; what is put outside of it is left out."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = max(0, width), max(0, height)
        self._characters = [[" "] * self.width for _ in range(self.height)]
        self._roles = [[""] * self.width for _ in range(self.height)]

    def put(self, x: int, y: int, text: str, role: str = "") -> None:
        """Put `text` with its first character at column `x` of row `y`."""
        for offset, character in enumerate(text):
            if 0 <= y < self.height and 0 <= x + offset < self.width:
                self._characters[y][x + offset] = character
                self._roles[y][x + offset] = role

    def at(self, x: int, y: int) -> tuple[str, str]:
        """Character and role at a place of the grid; blank outside of it."""
        if 0 <= y < self.height and 0 <= x < self.width:
            return self._characters[y][x], self._roles[y][x]
        return " ", ""

    def bar(self, x: int, width: int, base: int, eighths: int, role: str) -> None:
        """A bar standing on the lower edge of row `base`, `eighths` of a character high."""
        for step in range(math.ceil(eighths / 8)):
            self.put(x, base - step, EIGHTHS[min(8, eighths - 8 * step)] * width, role)

    def dot(self, x: int, y: int, role: str, over: str) -> None:
        """A braille dot at column `x` (two to a character) and row `y` (four to a character).

        On a block that fills at least half of the character it gets the role `over`, to be drawn with the block's colour
        behind it, since a character cannot be both and a hole in the bar would mislead more than its rounded edge.
        """
        column, row = x // 2, y // 4
        character, old_role = self.at(column, row)
        bits = ord(character) - BRAILLE if BRAILLE <= ord(character) <= BRAILLE + 0xFF else 0
        if not bits:
            old_role = over if character in EIGHTHS[4:] else role
        self.put(column, row, chr(BRAILLE + (bits | BRAILLE_DOTS[x % 2][y % 4])), old_role)

    def lines(self) -> list[str]:
        """The characters, row by row."""
        return ["".join(row) for row in self._characters]

    def runs(self, y: int) -> list[tuple[str, str]]:
        """Row `y` as stretches of text with one role."""
        stretches: list[tuple[str, str]] = []
        for character, role in zip(self._characters[y], self._roles[y], strict=True):
            if stretches and stretches[-1][1] == role:
                stretches[-1] = (stretches[-1][0] + character, role)
            else:
                stretches.append((character, role))
        return stretches


@dataclass(frozen=True, slots=True)
class Scale:
    """A vertical axis whose ticks fall exactly on row edges: `per_row` for each row, a tick every `rows_per_tick`."""

    per_row: float
    rows_per_tick: int

    @classmethod
    def fitting(cls, largest: float, rows: int) -> Scale:
        """The scale of `rows` rows that uses them best for values up to `largest`, its tick step 1, 2 or 5 times a
        power of ten. Of equally good ones the one with fewer ticks; a single tick only where it wins a sixth of height,
        or a third of a picture with height enough for two."""
        largest = largest if 1e-9 < largest < 1e15 else 1.0  # beyond that nothing a van has, only faults
        per_tick = range(1, max(1, rows) + 1)
        scales = [cls(_step_above(largest / max(1, rows) * count) / count, count) for count in per_tick]
        scales = [scale for scale in scales if rows // scale.rows_per_tick <= 6] or scales[-1:]

        alone = 1.5 if rows >= 8 else 1.2

        def waste(scale: Scale) -> tuple[float, int]:
            single = scale.rows_per_tick > rows // 2
            return round(scale.per_row * (alone if single else 1.0), 12), -scale.rows_per_tick

        return min(scales, key=waste)

    def eighths(self, value: float) -> int:
        """Height of `value` in eighths of a row, 0 for what is not a positive number."""
        return round(8 * value / self.per_row) if 0 < value < 1e15 else 0

    def dot(self, value: float) -> int:
        """The braille dot nearest to `value`, four to a row, counted from the base as 0: at most an eighth of a row off."""
        return max(0, math.ceil(4 * value / self.per_row - 1e-9) - 1)

    def ticks(self, rows: int) -> list[tuple[int, str]]:
        """Rows counted from the base (the tick is the row's upper edge) and the number that stands there."""
        step = self.per_row * self.rows_per_tick
        return [
            (index * self.rows_per_tick - 1, number(index * step)) for index in range(1, rows // self.rows_per_tick + 1)
        ]


def _step_above(value: float) -> float:
    """The least of 1, 2 and 5 times a power of ten that is not below `value`."""
    power = 10.0 ** math.floor(math.log10(value))
    return next(step * power for step in (1, 2, 5, 10) if step * power >= value * (1 - 1e-9))


def number(value: float) -> str:
    """A tick's number: no digits that say nothing, thousands as k from ten thousand up."""
    return local(f"{value / 1000:.6g}k" if abs(value) >= 10_000 else f"{value:.6g}")


def axis(canvas: Canvas, scale: Scale, top: int, rows: int, unit: str) -> int:
    """Draw the vertical axis into rows `top` to `top + rows - 1`; returns the columns it took.

    The stroke of a tick lies on its value, the upper edge of its row. The unit stands below, or if it is longer than the
    numbers, behind the uppermost one.
    """
    labels = scale.ticks(rows)
    width = max((cell_len(label) for _, label in labels), default=1)
    if cell_len(unit) <= width:
        canvas.put(0, top + rows, unit.rjust(width), "axis")
    elif labels:
        labels[-1] = (labels[-1][0], f"{labels[-1][1]} {unit}")
        width = max(cell_len(label) for _, label in labels)
    for above, label in labels:
        canvas.put(0, top + rows - 1 - above, label.rjust(width) + "▔", "axis")
    return width + 1


def heading(canvas: Canvas, title: str, legend: Sequence[tuple[str, str, str]], rows: int) -> int:
    """Draw the finding and the legend (sign, role, word) in at most `rows` rows at the top; returns the rows taken.

    Side by side where there is room, else one below the other. A title too long loses whole words.
    """
    marks = "  ".join(f"{sign} {word}" for sign, _, word in legend)
    if rows <= 0:
        return 0
    beside = not title or not marks or len(title) + 3 + len(marks) <= canvas.width
    if not beside and rows == 1:
        marks = ""
    if title:
        canvas.put(0, 0, words(title, canvas.width), "title")
    if not marks:
        return int(bool(title))
    x, y = (max(0, canvas.width - len(marks)), 0) if beside else (0, 1)
    gap = 2 if len(marks) <= canvas.width else 1  # closer together before one is left out
    for sign, role, word in legend:
        if x + len(sign) + 1 + len(word) > canvas.width:
            break
        canvas.put(x, y, sign, role)
        canvas.put(x + len(sign) + 1, y, word, "label")
        x += len(sign) + 1 + len(word) + gap
    return y + 1


def words(text: str, width: int) -> str:
    """As many whole words of `text` as fit into `width`, with an ellipsis where some are missing.

    What follows a semicolon is a thought of its own, and left out whole.
    """
    if len(text) <= width:
        return text
    first = text.partition(";")[0]
    if len(first) <= width:
        return first
    kept = text[: max(0, width - 1)]
    if text[len(kept)] != " ":
        kept = kept.rpartition(" ")[0]
    return f"{kept.rstrip()}…"[:width]


class Chart(Widget):
    """A plot as a widget. Subclasses say how it is drawn; `show` redraws."""

    DEFAULT_CSS = """
    Chart { height: 1fr; min-height: 4; padding: 0 1; background: $background; color: $foreground; }
    Chart > .chart--title { text-style: bold; }
    Chart > .chart--axis, Chart > .chart--label { color: $foreground; }
    Chart > .chart--load { color: $primary; }
    Chart > .chart--sun, Chart > .chart--use { color: $warning; }
    Chart > .chart--over { color: $warning; background: $primary; text-style: bold; }
    Chart > .chart--outer { color: $primary; }
    Chart > .chart--on-band { color: $warning; background: $primary-muted; text-style: bold; }
    Chart > .chart--inside { color: $background; background: $primary; }
    Chart > .chart--good { color: $success; }
    Chart > .chart--bad { color: $text-error; text-style: bold; }
    Chart > .chart--chosen { text-style: bold; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"chart--{role}" for role in ROLES}

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._canvas: Canvas | None = None

    def draw(self, width: int, height: int) -> Canvas:
        """The plot in at most `width` x `height` characters."""
        raise NotImplementedError

    def changed(self) -> None:
        """Draw again: what is shown has changed."""
        self._canvas = None
        self.refresh()

    def notify_style_update(self) -> None:
        self._canvas = None
        super().notify_style_update()

    def render_line(self, y: int) -> Strip:
        width, height = self.size
        canvas = self._canvas
        if canvas is None or (canvas.width, canvas.height) != (width, height):
            canvas = self._canvas = self.draw(width, height)
        base = self.rich_style
        if y >= canvas.height:
            return Strip.blank(width, base)
        return Strip([Segment(text, base + self._style(role)) for text, role in canvas.runs(y)], width)

    def _style(self, role: str) -> Style:
        return self.get_component_rich_style(f"chart--{role}", partial=True) if role else Style.null()
