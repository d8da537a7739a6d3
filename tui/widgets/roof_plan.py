"""The roof from above, to scale: its outline, what is in the way, and the modules, each with its label inside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tui import display
from tui.widgets.canvas import Canvas, Chart, words

CELL_SHAPE = 2.0
"""Height of a terminal's character in its widths; about two in common fonts."""


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle on the roof: x from the front, y from the left edge, in metres; `length_m` runs along the van."""

    x_m: float
    y_m: float
    length_m: float
    width_m: float
    label: str = ""


def draw_roof(
    length_m: float,
    width_m: float,
    modules: Sequence[Area],
    obstacles: Sequence[Area],
    width: int,
    height: int,
    title: str = "",
) -> Canvas:
    """Draw the roof into `width` x `height` characters, its front at the left, so that its left edge is at the bottom.

    Modules have a frame, obstacles are filled; labels that do not fit inside are explained beside the roof, by their
    first letter. ValueError for a roof without length or width.
    """
    if not (length_m > 0 and width_m > 0):
        raise ValueError("a roof has a length and a width above zero")
    canvas = Canvas(width, height)
    top = 1 if title and height > 4 else 0
    if top:
        canvas.put(0, 0, words(title, width), "title")
    across = f" {display.length(width_m)}"
    room_x, room_y = width - 8 - len(across), height - top - 2  # the frame, the word at the front, the width
    if room_x < 4 or room_y < 1:
        return canvas
    per_m = min(room_x / length_m, CELL_SHAPE * room_y / width_m)
    columns, rows = max(2, round(length_m * per_m)), min(room_y, max(1, round(width_m * per_m / CELL_SHAPE)))
    left = 7
    _frame(canvas, left - 1, top, columns + 2, rows + 2, "┏━┓┃┗┛", "axis")
    canvas.put(0, top + (rows + 1) // 2, "front", "label")
    scale_x, scale_y = columns / length_m, rows / width_m

    def box(area: Area) -> tuple[int, int, int, int]:
        x0, x1 = _span(area.x_m, area.length_m, scale_x, columns)
        y0, y1 = _span(width_m - area.y_m - area.width_m, area.width_m, scale_y, rows)
        return left + x0, top + 1 + y0, x1 - x0, y1 - y0

    for area in modules:
        _module(canvas, *box(area), area.label)
    unlabelled = [area.label for area in obstacles if area.label and not _obstacle(canvas, *box(area), area.label)]
    beside = left + columns + 1
    canvas.put(beside, top + (rows + 1) // 2, across, "label")
    keys = [f" {label[0]} {label}" for label in unlabelled]
    free = [row for row in range(top + 1, top + rows + 1) if row != top + (rows + 1) // 2]
    for row, key in zip(free, keys, strict=False):
        if beside + len(key) <= width:
            canvas.put(beside, row, key, "label")
    side = f" left side, {display.length(length_m)} "
    if columns >= len(side) + 2:
        canvas.put(left + (columns - len(side)) // 2, top + rows + 1, side, "label")
    return canvas


def _span(start_m: float, length_m: float, scale: float, cells: int) -> tuple[int, int]:
    """First cell and the one after the last of a stretch: at least one cell, within the roof."""
    first = min(max(round(start_m * scale), 0), cells - 1)
    last = min(max(round((start_m + length_m) * scale), first + 1), cells)
    return first, last


def _frame(canvas: Canvas, x: int, y: int, width: int, height: int, signs: str, role: str) -> None:
    """A frame of six signs: upper left, across, upper right, upright, lower left, lower right."""
    upper_left, across, upper_right, upright, lower_left, lower_right = tuple(signs)
    canvas.put(x, y, upper_left + across * (width - 2) + upper_right, role)
    for row in range(y + 1, y + height - 1):
        canvas.put(x, row, upright, role)
        canvas.put(x + width - 1, row, upright, role)
    canvas.put(x, y + height - 1, lower_left + across * (width - 2) + lower_right, role)


def _module(canvas: Canvas, x: int, y: int, width: int, height: int, label: str) -> None:
    """A module: a frame with its label; without room for a frame a bracketed stretch."""
    if width >= 2 and height >= 2:
        _frame(canvas, x, y, width, height, "┌─┐│└┘", "load")
        if height > 2:
            _label(canvas, x + 1, y + height // 2, width - 2, label, "label")
    else:
        for row in range(y, y + height):
            canvas.put(x, row, ("[" + "=" * max(0, width - 2) + "]")[:width], "load")


def _obstacle(canvas: Canvas, x: int, y: int, width: int, height: int, label: str) -> bool:
    """A filled rectangle; returns whether its label found room."""
    for row in range(y, y + height):
        canvas.put(x, row, "░" * width, "label")
    return _label(canvas, x, y + height // 2, width, label, "label")


def _label(canvas: Canvas, x: int, y: int, width: int, label: str, role: str) -> bool:
    """The label in the middle of a stretch, or its first letter where there is no room; returns whether it is whole."""
    text = label if len(label) <= width else label[:1]
    canvas.put(x + (width - len(text)) // 2, y, text, role)
    return text == label


class RoofPlan(Chart):
    """The roof and what lies on it."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._roof: tuple[float, float, tuple[Area, ...], tuple[Area, ...], str] | None = None

    def show(
        self, length_m: float, width_m: float, modules: Sequence[Area], obstacles: Sequence[Area], title: str = ""
    ) -> None:
        """Show a roof of this length and width; `title` says how much fits."""
        self._roof = (length_m, width_m, tuple(modules), tuple(obstacles), title)
        self.changed()

    def draw(self, width: int, height: int) -> Canvas:
        if self._roof is None:
            return Canvas(width, height)
        length_m, width_m, modules, obstacles, title = self._roof
        return draw_roof(length_m, width_m, modules, obstacles, width, height, title)
