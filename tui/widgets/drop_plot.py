"""The voltage along a cable: metres to the right, volts upwards, a mark and a name at every point, the limit as a line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from tui.display import in_length_unit, length_unit, local
from tui.widgets.canvas import Canvas, Chart, heading

FAR_LIMIT = 4.0
"""A limit so many times lower than the largest drop would flatten the line: it is named and not drawn."""


@dataclass(frozen=True, slots=True)
class Stop:
    """A point on the way: its name, metres from the source, volts there."""

    name: str
    at_m: float
    volts: float


@dataclass(frozen=True, slots=True)
class Way:
    """What is shown: the points in their order. full_v: what the drop is counted from; limit_v and limit: where it must not
    come to, and its name."""

    stops: Sequence[Stop] = ()
    full_v: float = 0.0
    limit_v: float | None = None
    limit: str = ""
    title: str = ""


def draw_way(way: Way, width: int, height: int) -> Canvas:
    """Draw the way into `width` x `height` characters."""
    canvas = Canvas(width, height)
    top = heading(canvas, way.title, (), height)
    rows, base = height - top - 1, height - 2
    if rows < 3 or width < 24 or not way.stops:
        return canvas
    lowest = min(stop.volts for stop in way.stops)
    highest = max([way.full_v, *(stop.volts for stop in way.stops)])
    limit_v = way.limit_v
    near = limit_v is not None and highest - limit_v <= FAR_LIMIT * max(highest - lowest, 1e-9)
    if limit_v is not None and near:
        lowest = min(lowest, limit_v)
    span = max(highest - lowest, 0.02)
    low_v, high_v = lowest - 0.04 * span, highest + 0.04 * span
    left = _axis(canvas, low_v, high_v, top, rows)
    room = width - left - 1
    length_m = max(way.stops[-1].at_m, 1e-9)

    def column(metres: float) -> int:
        return left + round(metres / length_m * (room - 1))

    def row(volts: float) -> int:
        return base - min(rows - 1, max(0, int((volts - low_v) / (high_v - low_v) * rows)))

    if limit_v is not None and near:
        canvas.put(left, row(limit_v), "┄" * room, "bad")
    _line(canvas, way.stops, low_v, high_v, left, room, base, rows)
    _names(
        canvas, way.stops, [column(stop.at_m) for stop in way.stops], [row(stop.volts) for stop in way.stops], top, base
    )
    if limit_v is not None:
        text = f" {way.limit}: {local(f'{limit_v:.2f}')} V " + ("" if near else "lies below ↓ ")
        _limit(canvas, text, row(limit_v) if near else base, left, room)
    _metres(canvas, length_m, left, room, base + 1)
    return canvas


def _axis(canvas: Canvas, low_v: float, high_v: float, top: int, rows: int) -> int:
    """Volts at even steps, each beside the row in which it lies; answers the columns taken."""
    wanted = max(2, rows // 2)
    step = _step((high_v - low_v) / wanted)
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    first = math.ceil(low_v / step - 1e-9)
    ticks = [index * step for index in range(first, math.floor(high_v / step + 1e-9) + 1)]
    texts = [local(f"{tick:.{digits}f}") for tick in ticks]
    width = max((len(text) for text in texts), default=2)
    for y in range(top, top + rows):
        canvas.put(width, y, "│", "axis")
    for tick, text in zip(ticks, texts, strict=True):
        y = top + rows - 1 - min(rows - 1, max(0, int((tick - low_v) / (high_v - low_v) * rows)))
        canvas.put(0, y, text.rjust(width) + "┤", "axis")
    canvas.put(0, top + rows, "V".rjust(width), "axis")
    return width + 1


def _step(least: float) -> float:
    """The smallest of 1, 2 and 5 times a power of ten that is not below `least`."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in (1, 2, 5, 10) if step * power >= least * (1 - 1e-9))


def _line(
    canvas: Canvas, stops: Sequence[Stop], low_v: float, high_v: float, left: int, room: int, base: int, rows: int
) -> None:
    """Straight from point to point, since the current is the same all along a run."""
    length_m = max(stops[-1].at_m, 1e-9)
    dots = 4 * rows
    for before, after in pairwise(stops):
        first, last = (round(stop.at_m / length_m * 2 * (room - 1)) for stop in (before, after))
        previous = -1
        for x in range(first, last + 1):
            share = (x - first) / max(1, last - first)
            volts = before.volts + (after.volts - before.volts) * share
            here = min(dots - 1, max(0, int((volts - low_v) / (high_v - low_v) * dots)))
            lower, upper = sorted((here, here if previous < 0 else previous))
            for step in range(lower, upper + 1):
                canvas.dot(2 * left + x, 4 * base + 3 - step, "load", "load")
            previous = here


def _names(
    canvas: Canvas, stops: Sequence[Stop], columns: Sequence[int], rows: Sequence[int], top: int, base: int
) -> None:
    """The points as marks. A name stands to the right above its mark, or to the left below it, since the line falls to the
    right; where neither is free it is left out: the table has it. The last point bears its volts too."""
    for x, y in zip(columns, rows, strict=True):
        canvas.put(x, y, "●", "chosen")
    last = len(stops) - 1
    for index in dict.fromkeys((last, 0, *range(1, last))):
        stop, x, y = stops[index], columns[index], rows[index]
        text = f"{stop.name} {local(f'{stop.volts:.2f}')} V" if index == last else stop.name
        above = min(x + 1, canvas.width - len(text))
        places = [(above, y - 1), (x - len(text) - 1, y + 1), (above, y - 2), (x - len(text) - 1, y + 2)]
        if index == last:
            places.append((above, y - 3))
        if index == 0:
            places = [(x + 2, y), *((x + 1, y + step) for step in (1, 2, 3, 4))]
        for at, line in places:
            if columns[0] <= at and top <= line <= base and _free(canvas, at, line, text):
                canvas.put(at, line, text, "chosen" if index == last else "label")
                break


def _free(canvas: Canvas, x: int, y: int, text: str) -> bool:
    """Whether a text has room there, a blank at either side."""
    return all(
        canvas.at(at, y)[0] in " │┤" if at == x - 1 else canvas.at(at, y)[0] == " "
        for at in range(x - 1, x + len(text) + 1)
    )


def _limit(canvas: Canvas, text: str, y: int, left: int, room: int) -> None:
    """The name of the limit, on its line: where it covers nothing else, from the left."""
    for x in range(left + 1, left + room - len(text) + 1):
        if all(canvas.at(at, y)[0] in " ┄" for at in range(x, x + len(text))):
            canvas.put(x, y, text, "bad")
            return


def _metres(canvas: Canvas, length_m: float, left: int, room: int, y: int) -> None:
    """Metres or feet from the source below the plot."""
    length = in_length_unit(length_m)
    step = _step(length / max(2, room // 10))
    last = math.floor(length / step + 1e-9)
    for index in range(last + 1):
        text = local(f"{index * step:.6g}") + (f" {length_unit()}" if index == last else "")
        x = left + round(index * step / length * (room - 1))
        canvas.put(min(x, left + room - len(text) + 1), y, text, "axis")


class DropPlot(Chart):
    """The voltage along one way of a circuit."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._way = Way()

    def show(self, way: Way) -> None:
        """Show `way`."""
        if way != self._way:
            self._way = way
            self.changed()

    def draw(self, width: int, height: int) -> Canvas:
        return draw_way(self._way, width, height)
