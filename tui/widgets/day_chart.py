"""The load by hour as blocks, and the sun by hour as a dotted line over them, on one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tui.widgets.canvas import Canvas, Chart, Scale, axis, heading

LEGEND = (("██", "load", "load"), ("⠤⠒", "sun", "sun"))
HOUR_MARKS = (0, 6, 12, 18, 24)


def draw_day(load_w: Sequence[float], sun_w: Sequence[float], width: int, height: int, title: str = "") -> Canvas:
    """Draw 24 hourly means of load and of sun, both in W, into `width` x `height` characters.

    Empty sequences draw nothing of that kind. ValueError for any other count than 24.
    """
    for values in (load_w, sun_w):
        if len(values) not in (0, 24):
            raise ValueError(f"a day has 24 hours, not {len(values)}")
    canvas = Canvas(width, height)
    top = heading(canvas, title, LEGEND, height - 3)
    rows = height - top - 1
    if rows < 1:
        return canvas
    largest = max((value for value in (*load_w, *sun_w) if math.isfinite(value)), default=0.0)
    scale = Scale.fitting(largest, rows)
    left = axis(canvas, scale, top, rows, "W")
    room = width - left
    if room < 24:
        return canvas
    base = top + rows - 1
    for hour, value in enumerate(load_w):
        begin, end = hour * room // 24, (hour + 1) * room // 24
        canvas.bar(left + begin, end - begin, base, scale.eighths(value), "load")
    _line(canvas, sun_w, scale, left, room, base)
    _hours(canvas, left, room, height - 1)
    return canvas


def _line(canvas: Canvas, values: Sequence[float], scale: Scale, left: int, room: int, base: int) -> None:
    """A braille line through the middle of each hour, where there is anything; four dots to a row."""
    lowest = base * 4 + 3  # the lowest row of dots in the plot
    before: int | None = None
    for x in range(2 * room if values else 0):
        value = _between(values, (x + 0.5) / (2 * room) * 24 - 0.5)
        here = scale.dot(value) if 0 < value < math.inf else None
        if here is not None:
            low, high = sorted((here, here if before is None else before))
            for step in range(low, high + 1):
                canvas.dot(2 * left + x, lowest - step, "sun", "over")
        before = here


def _between(values: Sequence[float], hour: float) -> float:
    """The value at `hour`, straight between the middles of the hours, level before the first and after the last."""
    hour = min(max(hour, 0.0), len(values) - 1.0)
    index = min(int(hour), len(values) - 2)
    share = hour - index
    return values[index] * (1 - share) + values[index + 1] * share


def _hours(canvas: Canvas, left: int, room: int, y: int) -> None:
    for hour in HOUR_MARKS:
        label = str(hour) if hour < 24 else "24 h"
        x = left + hour * room // 24
        canvas.put(min(x, canvas.width - len(label)), y, label, "axis")


class DayChart(Chart):
    """The day's load against the sun."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._load_w: tuple[float, ...] = ()
        self._sun_w: tuple[float, ...] = ()
        self._title = ""

    def show(self, load_w: Sequence[float], sun_w: Sequence[float], title: str = "") -> None:
        """Show 24 hourly means of each, in W; `title` says what is to be seen."""
        self._load_w, self._sun_w, self._title = tuple(load_w), tuple(sun_w), title
        self.changed()

    def draw(self, width: int, height: int) -> Canvas:
        return draw_day(self._load_w, self._sun_w, width, height, self._title)
