"""State of charge through a week as a fan: how full the battery is in the middle, the middle half and eight of ten years."""

from __future__ import annotations

from collections.abc import Sequence

from tui.widgets.canvas import Canvas, Chart, Scale, axis, heading

WEEK_H = 168
LEGEND = (("⠒⠒", "sun", "middle"), ("▒", "load", "half of all years"), ("░", "label", "8 of 10"))


def draw_fan(percentiles: Sequence[Sequence[float]], empty: float, width: int, height: int, title: str = "") -> Canvas:
    """Draw five percentiles (10, 25, 50, 75, 90) of the state of charge, 0 to 1, over 168 hours into `width` x `height`.

    `empty`: the state of charge at which the battery counts as empty. An empty sequence draws the frame alone. ValueError
    for any other shape.
    """
    if len(percentiles) not in (0, 5) or any(len(row) != WEEK_H for row in percentiles):
        raise ValueError("a fan takes five percentiles of 168 hours")
    canvas = Canvas(width, height)
    top = heading(canvas, title, LEGEND if percentiles else (), height - 3)
    rows = height - top - 1
    if rows < 2:
        return canvas
    scale = Scale.fitting(100.0, rows)
    left = axis(canvas, scale, top, rows, "%")
    room, base = width - left, top + rows - 1
    if room < 14:
        return canvas
    floor = base - int(100 * empty / scale.per_row)
    for column in range(room):
        hour = min(WEEK_H - 1, column * WEEK_H // room)
        low, lower, _, upper, high = (100 * row[hour] for row in percentiles) if percentiles else (0.0,) * 5
        for step in range(rows if percentiles else 0):
            below, above = step * scale.per_row, (step + 1) * scale.per_row
            if lower < above and upper > below:
                canvas.put(left + column, base - step, "▒", "load")
            elif low < above and high > below:
                canvas.put(left + column, base - step, "░", "label")
    for column in range(left, width):
        if canvas.at(column, floor)[0] in " ░":
            canvas.put(column, floor, "┄", "bad")
    if percentiles:
        _middle(canvas, percentiles[2], scale, left, room, base)
    canvas.put(left, floor + (1 if floor < base else 0), "empty", "bad")
    for day in range(7):
        word = f"day {day + 1}" if room >= 49 else f"d{day + 1}"
        canvas.put(left + day * room // 7, height - 1, word, "axis")
    return canvas


def _middle(canvas: Canvas, values: Sequence[float], scale: Scale, left: int, room: int, base: int) -> None:
    """A braille line through the middle of the years, four dots to a row."""
    lowest, before = base * 4 + 3, -1
    for x in range(2 * room):
        here = scale.dot(100 * values[min(WEEK_H - 1, x * WEEK_H // (2 * room))])
        first, last = sorted((here, here if before < 0 else before))
        for step in range(first, last + 1):
            canvas.dot(2 * left + x, lowest - step, "sun", "over")
        before = here


class FanChart(Chart):
    """The fan of a week."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._percentiles: Sequence[Sequence[float]] = ()
        self._empty, self._title = 0.0, ""

    def show(self, percentiles: Sequence[Sequence[float]], empty: float, title: str = "") -> None:
        """Show the percentiles of a week; `title` says what is to be seen."""
        self._percentiles, self._empty, self._title = percentiles, empty, title
        self.changed()

    def draw(self, width: int, height: int) -> Canvas:
        return draw_fan(self._percentiles, self._empty, width, height, self._title)
