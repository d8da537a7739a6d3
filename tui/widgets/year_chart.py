"""The twelve months: a bar for the typical day, beside it a line from the bad day to the good day, over it the use."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tui.display import local
from tui.widgets.canvas import BRAILLE, BRAILLE_DOTS, EIGHTHS, Canvas, Chart, Scale, axis, heading, number

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
FOOT = "▒"
TICKS = "⣀⠤⠒⠉"
"""A horizontal stroke at four heights of a row, from the bottom: each is at most an eighth from what it stands for."""


@dataclass(frozen=True, slots=True)
class Year:
    """What is shown: twelve values of each in `unit`, January first; `low` and `high` are one day in ten from either end.

    `use`, where given, is what the month needs, in the same unit. `besides` names what else `typical` consists of, each with
    its twelve values; together they are the foot of the bars. `chosen` is a month, 1 to 12. `title` states the finding.
    """

    typical: Sequence[float]
    low: Sequence[float] = ()
    high: Sequence[float] = ()
    use: Sequence[float] = ()
    besides: Sequence[tuple[str, Sequence[float]]] = ()
    unit: str = ""
    chosen: int | None = None
    title: str = ""
    typical_word: str = "typical"
    band_word: str = "bad to good day"
    use_word: str = "use"


def draw_year(year: Year, width: int, height: int) -> Canvas:
    """Draw the year into `width` x `height` characters. ValueError where a row has neither twelve values nor none."""
    rows_of_values = (year.typical, year.low, year.high, year.use, *(values for _, values in year.besides))
    for values in rows_of_values:
        if len(values) not in (0, 12):
            raise ValueError(f"a year has 12 months, not {len(values)}")
    canvas = Canvas(width, height)
    chosen = year.chosen is not None and height >= 7
    below = 1 + chosen
    legend = _legend(year, with_unit=True)
    in_legend = chosen or sum(len(sign) + len(word) + 3 for sign, _, word in legend) - 2 <= width
    top = heading(canvas, year.title, legend if in_legend else _legend(year, with_unit=False), height - below - 2)
    rows = height - top - below
    if rows < 1:
        return canvas
    scale = Scale.fitting(_largest(rows_of_values, rows), rows)
    left = axis(canvas, scale, top, rows, "" if in_legend else year.unit)
    month = (width - left) // 12
    if month < 2:
        return canvas
    for index in range(12):
        _month(canvas, year, index, scale, left + index * month, month, top + rows - 1, top)
    if chosen:
        _mark(canvas, year, left, month, height - 1)
    return canvas


def _largest(rows_of_values: Sequence[Sequence[float]], rows: int) -> float:
    """The largest value, with a row left above the bars for their numbers."""
    bars = max((value for value in rows_of_values[0] if math.isfinite(value)), default=0.0)
    others = max((value for values in rows_of_values[1:] for value in values if math.isfinite(value)), default=0.0)
    return max(others, bars * rows / (rows - 1) if rows > 1 else bars)


def _legend(year: Year, *, with_unit: bool) -> list[tuple[str, str, str]]:
    legend = [("█", "load", f"{year.typical_word}, {year.unit}" if with_unit and year.unit else year.typical_word)]
    if year.besides:
        legend.append((FOOT, "load", year.besides[0][0] if len(year.besides) == 1 else "other"))
    if year.low and year.high:
        legend.append(("⡇", "label", year.band_word))
    if year.use:
        legend.append(("⠒⠒", "use", year.use_word))
    return legend


def _month(canvas: Canvas, year: Year, index: int, scale: Scale, left: int, width: int, base: int, top: int) -> None:
    """One month: bar, band, use and name, in `width` columns, the last of them a gap where there is room for one."""
    bar = max(1, width - 2)
    height = scale.eighths(year.typical[index]) if year.typical else 0
    canvas.bar(left, bar, base, height, "load")
    foot = sum(values[index] for _, values in year.besides)
    for row in range(min(height // 8, round(scale.eighths(foot) / 8))):
        canvas.put(left, base - row, FOOT * bar, "load")
    if year.low and year.high:
        _band(canvas, left + bar, base, scale, year.low[index], year.high[index])
    short = bool(year.use and year.typical) and year.typical[index] < year.use[index]
    stroke = _stroke(canvas, left, bar, base, scale, year.use[index], short) if year.use else base + 1
    text = figure(year.typical[index]) if year.typical else ""
    above = max(top, base - math.ceil(height / 8))
    if 0 < len(text) <= bar and stroke != above:
        canvas.put(left, above, text.center(bar), "label")
    elif 0 < len(text) <= bar and stroke != base and height >= 8:
        canvas.put(left, base, text.center(bar), "inside")
    name = MONTHS[index] if width >= 4 else MONTHS[index][0]
    role = "bad" if short else "chosen" if year.chosen == index + 1 else "axis"
    canvas.put(left, base + 1, name, role)
    if short:
        _fall_short(canvas, left, bar, width, base, len(name), stroke - 1, top)


def _fall_short(canvas: Canvas, left: int, bar: int, width: int, base: int, name: int, above: int, top: int) -> None:
    """The sign behind the month's name; where it would touch the next name, above the stroke that is not reached."""
    if name + 1 >= width and above >= top and canvas.at(left + bar // 2, above)[0] == " ":
        canvas.put(left + bar // 2, above, "!", "bad")
    else:
        canvas.put(left + name, base + 1, "!", "bad")


def _band(canvas: Canvas, x: int, base: int, scale: Scale, low: float, high: float) -> None:
    """An upright dotted line from `low` to `high`, four dots to a row."""
    if not (math.isfinite(low) and math.isfinite(high)):
        return
    first, last = (round(4 * max(0.0, value) / scale.per_row) for value in (low, high))
    for level in range(first, max(last, first + 1)):
        character, _ = canvas.at(x, base - level // 4)
        bits = ord(character) - BRAILLE if ord(character) > BRAILLE else 0
        canvas.put(x, base - level // 4, chr(BRAILLE + (bits | BRAILLE_DOTS[0][3 - level % 4])), "label")


def _stroke(canvas: Canvas, x: int, width: int, base: int, scale: Scale, value: float, above: bool) -> int:
    """A stroke across the bar at `value`, and the row it is in; a block that fills half of the character keeps its colour
    behind it. A stroke `above` a bar that is no higher than its row leaves half of the bar to be seen."""
    if not (value > 0 and math.isfinite(value)):
        return base + 1
    level = scale.dot(value)
    row = base - level // 4
    only_here = above and row == base and canvas.at(x, row)[0] in EIGHTHS[1:]
    for column in range(x + (width // 2 if only_here else 0), x + width):
        character, _ = canvas.at(column, row)
        canvas.put(column, row, TICKS[level % 4], "over" if character in EIGHTHS[4:] and not above else "use")
    return row


def _mark(canvas: Canvas, year: Year, left: int, month: int, y: int) -> None:
    """An arrow under the chosen month and its numbers in words, on whichever side there is room."""
    assert year.chosen is not None
    index = year.chosen - 1
    shares = [(word, values[index]) for word, values in year.besides]
    if year.typical:
        shares = [(year.typical_word, year.typical[index] - sum(value for _, value in shares)), *shares]
    parts = [", ".join(f"{word} {figure(value)}" for word, value in shares)] if shares else []
    if year.low and year.high:
        parts.append(f"{figure(year.low[index])} to {figure(year.high[index])}")
    if year.use:
        parts.append(f"{year.use_word} {figure(year.use[index])}")
    x = left + index * month
    canvas.put(x, y, "▲", "chosen")
    texts = [f"{MONTHS[index]}: {', '.join(parts[:count])} {year.unit}".rstrip() for count in range(len(parts), 0, -1)]
    texts += [f"{MONTHS[index]}: {figure(year.typical[index])} {year.unit}".rstrip()] if year.typical else []
    for text in (*texts, MONTHS[index]):
        if x + 2 + len(text) <= canvas.width:
            canvas.put(x + 2, y, text, "chosen")
            return
        if len(text) + 1 <= x:
            canvas.put(x - 1 - len(text), y, text, "chosen")
            return


def figure(value: float) -> str:
    """A month's value in as many digits as a person wants: one decimal below ten, none above; "?" for no number."""
    if not math.isfinite(value):
        return "?"
    return local(f"{value:.1f}") if abs(value) < 9.95 else number(round(value))


class YearChart(Chart):
    """The year's income, with its bad and good days, against the use."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._year = Year(())

    def show(self, year: Year) -> None:
        """Show `year`."""
        self._year = year
        self.changed()

    def draw(self, width: int, height: int) -> Canvas:
        return draw_year(self._year, width, height)
