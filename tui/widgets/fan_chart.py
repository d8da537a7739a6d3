"""State of charge hour by hour as a fan: how full the battery is in the middle, and within which bounds it mostly stays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tui.widgets.canvas import Canvas, Chart, Scale, axis, heading
from tui.widgets.table_rows import fit

DAY_H = 24
WEEK_H = 7 * DAY_H
LEAST = 0.3
"""Share of a character that a band must reach into from above or below: with less, few rows would make it far too wide."""


@dataclass(frozen=True, slots=True)
class Fan:
    """What is shown: five rising percentiles of the state of charge, 0 to 1, hour by hour; none draws the frame alone.

    `empty`: the state of charge at which the battery counts as empty, one for each hour or one for all. `marks`: the hour at
    which something begins, its name, and a shorter one; without them the days are numbered. `inner` and `outer` say what the
    bands hold.
    """

    percentiles: Sequence[Sequence[float]] = ()
    empty: Sequence[float] | float = 0.0
    title: str = ""
    marks: Sequence[tuple[int, str, str]] = ()
    inner: str = "half of all years"
    outer: str = "8 of 10"

    @property
    def hours(self) -> int:
        """Hours from the first to the last; a week where nothing is shown."""
        return len(self.percentiles[0]) if self.percentiles else WEEK_H

    def empty_at(self, hour: int) -> float:
        """The state of charge that counts as empty in that hour."""
        return self.empty if isinstance(self.empty, float | int) else self.empty[hour]


def draw_fan(fan: Fan, width: int, height: int) -> Canvas:
    """Draw the fan into `width` x `height` characters. ValueError where it is not five rows of equally many hours."""
    if len(fan.percentiles) not in (0, 5) or any(len(row) != fan.hours for row in fan.percentiles) or not fan.hours:
        raise ValueError("a fan takes five percentiles of equally many hours")
    if not isinstance(fan.empty, float | int) and len(fan.empty) != fan.hours:
        raise ValueError("a fan takes one level of an empty battery for each hour, or one for all")
    canvas = Canvas(width, height)
    legend = (("⠒⠒", "sun", "middle"), ("▒", "load", fan.inner), ("░", "outer", fan.outer))
    top = heading(canvas, fan.title, legend if fan.percentiles else (), height - 3)
    rows = height - top - 1
    if rows < 2:
        return canvas
    scale = Scale.fitting(100.0, rows)
    left = axis(canvas, scale, top, rows, "%")
    room, base = width - left, top + rows - 1
    if room < 14:
        return canvas
    floors = [
        base - min(rows - 1, int(100 * fan.empty_at(column * fan.hours // room) / scale.per_row))
        for column in range(room)
    ]
    for column in range(room if fan.percentiles else 0):
        low, lower, upper, high = _bounds(fan, column, room)
        for step in range(rows):
            below, above = (step + LEAST) * scale.per_row, (step + 1 - LEAST) * scale.per_row
            if lower < above and upper > below:
                canvas.put(left + column, base - step, "▒", "load")
            elif low < above and high > below:
                canvas.put(left + column, base - step, "░", "outer")
    for column, floor in enumerate(floors):
        if canvas.at(left + column, floor)[0] in " ░":
            canvas.put(left + column, floor, "┄", "bad")
    if fan.percentiles:
        _middle(canvas, fan.percentiles[2], scale, left, room, base)
    canvas.put(left, floors[0] + (1 if floors[0] < base else 0), "empty", "bad")
    _marks(canvas, fan, left, room, top, height - 1)
    return canvas


def _bounds(fan: Fan, column: int, room: int) -> tuple[float, float, float, float]:
    """The outer and the inner bounds in the hours of a column, in percent, from the lowest."""
    first = min(fan.hours - 1, column * fan.hours // room)
    hours = slice(first, max(first + 1, (column + 1) * fan.hours // room))
    low, lower, _, upper, high = fan.percentiles
    return 100 * min(low[hours]), 100 * min(lower[hours]), 100 * max(upper[hours]), 100 * max(high[hours])


def _middle(canvas: Canvas, values: Sequence[float], scale: Scale, left: int, room: int, base: int) -> None:
    """A braille line through the middle, four dots to a row; the band that it crosses shows behind it."""
    lowest, before = base * 4 + 3, -1
    for x in range(2 * room):
        here = scale.dot(100 * values[min(len(values) - 1, x * len(values) // (2 * room))])
        first, last = sorted((here, here if before < 0 else before))
        for step in range(first, last + 1):
            on_band = canvas.at(left + x // 2, (lowest - step) // 4)[1] in ("load", "outer", "on-band")
            canvas.dot(2 * left + x, lowest - step, "on-band" if on_band else "sun", "over")
        before = here


def _marks(canvas: Canvas, fan: Fan, left: int, room: int, top: int, y: int) -> None:
    """The days below the plot, or the names of what begins, each with a stroke where there is nothing else."""
    if not fan.marks:
        for day in range(fan.hours // DAY_H):
            word = f"day {day + 1}" if room >= 49 else f"d{day + 1}"
            canvas.put(left + day * DAY_H * room // fan.hours, y, word, "axis")
        return
    at = [left + hour * room // fan.hours for hour, *_ in fan.marks] + [left + room]
    for (_, name, short), here, following in zip(fan.marks, at, at[1:], strict=False):
        wide = following - here - 1
        canvas.put(here, y, fit(name if len(name) <= wide else short, max(1, wide)).rstrip(), "axis")
        for row in range(top, y):
            if here > left and canvas.at(here, row)[0] == " ":
                canvas.put(here, row, "╎", "label")


class FanChart(Chart):
    """The fan of a week, or of a journey."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._fan = Fan()

    def show(self, fan: Fan) -> None:
        """Show `fan`."""
        self._fan = fan
        self.changed()

    def draw(self, width: int, height: int) -> Canvas:
        return draw_fan(self._fan, width, height)
