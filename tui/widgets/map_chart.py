"""Battery against array: lines along which an empty day is equally likely, this design among them, and what leads out of it.

Each line carries its chance in words on itself; the one aimed at is drawn through, the others are broken, so that the map
reads the same in grey.
"""

from __future__ import annotations

import math
import textwrap
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tui.widgets.canvas import BRAILLE, Canvas, Chart, Scale, axis, heading, number

FULL, DASHED, DOTTED = "full", "dashed", "dotted"
GAP = 1  # blank columns kept around the words on a line


@dataclass(frozen=True, slots=True)
class Line:
    """A line of equal chance: its level, the words on it, and how it is drawn ("full", "dashed", "dotted")."""

    level: float
    words: str
    stroke: str = FULL


@dataclass(frozen=True, slots=True)
class Mark:
    """A point with its sign and its word."""

    x: float
    y: float
    sign: str
    word: str


@dataclass(frozen=True, slots=True)
class Way:
    """A way out of a point, along an axis: from (x, y) to (to_x, to_y), with its words at the far end."""

    x: float
    y: float
    to_x: float
    to_y: float
    words: str


@dataclass(frozen=True, slots=True)
class Field:
    """What is shown: `values[row][column]`, 0 to 1, over rising `x` and `y`; straight between the points, level beyond them."""

    x: Sequence[float]
    y: Sequence[float]
    values: Sequence[Sequence[float]]
    lines: Sequence[Line] = ()
    marks: Sequence[Mark] = ()
    ways: Sequence[Way] = ()
    x_unit: str = "W"
    y_unit: str = "Ah"
    title: str = ""


def draw_map(field: Field, width: int, height: int) -> Canvas:
    """Draw the field into `width` x `height` characters; x from 0 to its last value, y from 0 up.

    ValueError where the values are not as many as x and y say.
    """
    if len(field.values) != len(field.y) or any(len(row) != len(field.x) for row in field.values):
        raise ValueError("a map takes one row of values for each y, and in it one value for each x")
    canvas = Canvas(width, height)
    legend = [(mark.sign, "chosen", mark.word) for mark in field.marks]
    first, *more = _title(field.title, max(1, width))
    if more and height >= 12:  # a title that would lose words takes a line of its own for each half
        top = heading(canvas, first, (), 1)
        top += _below(canvas, top, " ".join(more), legend)
    else:
        top = heading(canvas, field.title, legend, height - 4)
    rows = height - top - 1
    if rows < 3 or not field.values:
        return canvas
    scale = Scale.fitting(field.y[-1], rows)
    left = axis(canvas, scale, top, rows, field.y_unit)
    if width - left < 16:
        return canvas
    frame = _Frame(left, top, width - left, rows, field.x[-1], scale.per_row)
    values = frame.values(field)
    dots = [boundary(values, line.level) for line in field.lines]
    for line, its in zip(field.lines, dots, strict=True):
        for x, y in its:
            if _inked(x + y, line.stroke):
                canvas.dot(2 * left + x, 4 * top + y, "good" if line.stroke == FULL else "load", "over")
    _ways(canvas, frame, field.ways)
    for mark in field.marks:
        x, y = frame.cell(mark.x, mark.y)
        if frame.holds(x, y):
            canvas.put(x, y, mark.sign, "chosen")
    for line, its in zip(field.lines, dots, strict=True):
        _name(canvas, frame, line, its)
    _watts(canvas, frame, field.x_unit, height - 1)
    return canvas


def _title(title: str, width: int) -> list[str]:
    """A title in lines: what follows its semicolon is a thought of its own and keeps together; else between words."""
    thought, _, other = title.partition("; ")
    if len(title) > width and other and max(len(thought) + 1, len(other)) <= width:
        return [f"{thought};", other]
    return textwrap.wrap(title, width) or [""]


def _below(canvas: Canvas, y: int, title: str, legend: Sequence[tuple[str, str, str]]) -> int:
    """The rest of a title and the legend, from row `y` on; returns the rows taken."""
    part = Canvas(canvas.width, 2)
    taken = heading(part, title, legend, 2)
    for row in range(taken):
        x = 0
        for text, role in part.runs(row):
            canvas.put(x, y + row, text, role)
            x += len(text)
    return taken


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the plot lies: its characters, and what they stand for."""

    left: int
    top: int
    width: int
    rows: int
    x_max: float
    per_row: float

    def cell(self, x: float, y: float) -> tuple[int, int]:
        """The character at (x, y)."""
        column = int(x / self.x_max * self.width - 1e-9)
        return self.left + column, self.top + self.rows - 1 - int(y / self.per_row - 1e-9)

    def holds(self, x: int, y: int) -> bool:
        """Whether a character lies in the plot."""
        return self.left <= x < self.left + self.width and self.top <= y < self.top + self.rows

    def values(self, field: Field) -> list[list[float | None]]:
        """The field at every dot, from the upper left, two dots to a character across and four down; None above the map."""
        across, down = 2 * self.width, 4 * self.rows
        x_at = [_place(field.x, (i + 0.5) / across * self.x_max) for i in range(across)]
        y_at = [(down - j - 0.5) / 4 * self.per_row for j in range(down)]
        return [
            [_between(field.values, _place(field.y, y), x) for x in x_at] if y <= field.y[-1] else [None] * across
            for y in y_at
        ]


def boundary(values: Sequence[Sequence[float | None]], level: float) -> list[tuple[int, int]]:
    """Column and row of the values that lie within the level and have a neighbour beyond it: the line of the level."""
    within = [[value is not None and value <= level for value in row] for row in values]
    beyond = [[value is not None and value > level for value in row] for row in values]
    return [
        (i, j)
        for j, row in enumerate(within)
        for i, inside in enumerate(row)
        if inside and any(beyond[b][a] for a, b in _beside(i, j) if 0 <= b < len(values) and 0 <= a < len(row))
    ]


def _beside(i: int, j: int) -> Iterator[tuple[int, int]]:
    yield from ((i - 1, j), (i + 1, j), (i, j - 1), (i, j + 1))


def _place(points: Sequence[float], value: float) -> tuple[int, int, float]:
    """The points on either side of `value`, and how far it is on the way from the one to the other."""
    after = bisect_right(points, value)
    if after == 0:
        return 0, 0, 0.0
    if after == len(points):
        return after - 1, after - 1, 0.0
    return after - 1, after, (value - points[after - 1]) / (points[after] - points[after - 1])


def _between(values: Sequence[Sequence[float]], row: tuple[int, int, float], column: tuple[int, int, float]) -> float:
    (low, high, up), (first, last, along) = row, column
    below = values[low][first] * (1 - along) + values[low][last] * along
    above = values[high][first] * (1 - along) + values[high][last] * along
    return below * (1 - up) + above * up


def _inked(step: int, stroke: str) -> bool:
    """Whether the dot at `step` along a line is drawn. Lines of equal chance fall to the right, so x + y goes along them."""
    return {FULL: True, DASHED: step % 8 < 5, DOTTED: step % 4 == 0}[stroke]


def _ways(canvas: Canvas, frame: _Frame, ways: Sequence[Way]) -> None:
    """Upright or level strokes to where a line is met, with words at the end."""
    for way in ways:
        (x, y), (to_x, to_y) = frame.cell(way.x, way.y), frame.cell(way.to_x, way.to_y)
        upright = x == to_x
        length = y - to_y if upright else to_x - x
        for step in range(1, max(0, length) + 1):
            at = (x, y - step) if upright else (x + step, y)
            if frame.holds(*at):
                sign = ("▲" if upright else "▶") if step == length else ("┊" if upright else "┄")
                canvas.put(*at, sign, "use")
        if frame.holds(to_x, to_y) and length > 0:
            words = f" {way.words}" if to_x + 2 + len(way.words) <= frame.left + frame.width else f"{way.words} "
            canvas.put(to_x + 1 if words[0] == " " else to_x - len(words), to_y, words, "use")


def _name(canvas: Canvas, frame: _Frame, line: Line, dots: Sequence[tuple[int, int]]) -> None:
    """Put the words of a line where they hide least: on the line itself, clear of other words and marks."""
    if not line.words:
        return
    best: tuple[int, int, int] | None = None
    cells = sorted({(frame.left + x // 2, frame.top + y // 4) for x, y in dots})
    size = len(line.words)
    own = set(cells)
    for x, y in cells:
        for start in (x - size // 2, x + 1, x - size):
            if not (frame.holds(start, y) and frame.holds(start + size - 1, y)):
                continue
            cost = 0
            for column in range(start - GAP, start + size + GAP):
                character, _ = canvas.at(column, y)
                if character != " ":
                    cost += (1 if (column, y) in own else 6) if _is_dots(character) else 1000
            # In the middle of the height, where the lines lie far apart, rather than at an end.
            cost = 4 * cost + abs(y - frame.top - frame.rows // 2) + (0 if start < x else 2)
            if best is None or cost < best[0]:
                best = (cost, start, y)
    if best is not None and best[0] < 4000:
        _, start, y = best
        canvas.put(start - GAP, y, " " * (size + 2 * GAP), "")
        canvas.put(start, y, line.words, "good" if line.stroke == FULL else "label")


def _is_dots(character: str) -> bool:
    return BRAILLE <= ord(character) <= BRAILLE + 0xFF


def _watts(canvas: Canvas, frame: _Frame, unit: str, y: int) -> None:
    """The lower axis: 1-2-5 steps with room for their numbers."""
    least = 9 * frame.x_max / frame.width
    power = 10.0 ** math.floor(math.log10(least))
    step = next(each * power for each in (1, 2, 5, 10) if each * power >= least * (1 - 1e-9))
    count = int(frame.x_max / step + 1e-9)
    for index in range(count + 1):
        label = number(index * step) + (f" {unit}" if index == count else "")
        x = frame.left + int(index * step / frame.x_max * frame.width - 1e-9)
        canvas.put(max(frame.left, min(x - len(label) // 2, canvas.width - len(label))), y, label, "axis")


class MapChart(Chart):
    """The map of battery against array."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._field = Field((), (), ())

    def show(self, field: Field) -> None:
        """Show `field`."""
        self._field = field
        self.changed()

    def draw(self, width: int, height: int) -> Canvas:
        return draw_map(self._field, width, height)
