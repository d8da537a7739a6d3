"""Plots as SVG, drawn in `currentColor` and told apart by shape and shade, so that they read in the dark and in grey.

The legend stands above the plot, never in it. Each function takes plain figures and a name that is unique in the document.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import floor, isfinite, log10
from xml.sax.saxutils import escape

from model import names
from model.calendar import SHORT_MONTHS

WIDTH, HEIGHT = 680.0, 270.0
LEFT, RIGHT, TOP, BOTTOM = 52.0, 8.0, 40.0, 26.0
HATCH = "M0 6L6 0"  # one stroke of a hatching in a tile of 6 x 6


@dataclass
class Plot:
    """A frame with a y-axis from 0 (or `lowest`) to at least `largest`; x runs from 0 to 1 within it."""

    name: str
    title: str
    description: str
    largest: float
    unit: str
    lowest: float = 0.0
    parts: list[str] = field(default_factory=list)
    legends: list[tuple[str, str]] = field(default_factory=list)

    @property
    def step(self) -> float:
        return nice_step((self.largest - self.lowest) / 5)

    @property
    def bottom(self) -> float:
        return floor(self.lowest / self.step + 1e-9) * self.step

    @property
    def top(self) -> float:
        count = 1
        while self.bottom + count * self.step < self.largest * (1 - 1e-9):
            count += 1
        return self.bottom + count * self.step

    def x(self, share: float) -> float:
        return LEFT + share * (WIDTH - LEFT - RIGHT)

    def y(self, value: float) -> float:
        share = (value - self.bottom) / (self.top - self.bottom)
        return HEIGHT - BOTTOM - min(max(share, 0.0), 1.0) * (HEIGHT - TOP - BOTTOM)

    def add(self, part: str) -> None:
        self.parts.append(part)

    def words(self, x: float, y: float, words: str, anchor: str = "middle", more: str = "") -> None:
        self.add(f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}"{more}>{escape(words)}</text>')

    def bar(self, left: float, right: float, low: float, high: float, look: str) -> None:
        """A box between two shares of the width and two values."""
        top, base = self.y(high), self.y(low)
        self.add(
            f'<rect x="{self.x(left):.1f}" y="{top:.1f}" width="{self.x(right) - self.x(left):.1f}" '
            f'height="{base - top:.1f}" {look}/>'
        )

    def line(self, points: Iterable[tuple[float, float]], look: str) -> None:
        """A line through (share of the width, value)."""
        path = " ".join(f"{self.x(x):.1f},{self.y(y):.1f}" for x, y in points)
        self.add(f'<polyline points="{path}" fill="none" stroke="currentColor" {look}/>')

    def area(self, upper: Sequence[tuple[float, float]], lower: Sequence[tuple[float, float]], look: str) -> None:
        path = " ".join(f"{self.x(x):.1f},{self.y(y):.1f}" for x, y in (*upper, *reversed(lower)))
        self.add(f'<polygon points="{path}" {look}/>')

    def svg(self) -> str:
        """The whole plot as one element."""
        ids = f"plot-{self.name}"
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img" class="plot" '
            f'aria-labelledby="{ids}-title {ids}-desc" font-family="sans-serif" font-size="11" color="black" '
            f'fill="currentColor">'
            f'<title id="{ids}-title">{escape(self.title)}</title><desc id="{ids}-desc">{escape(self.description)}</desc>'
            f'<defs><pattern id="{ids}-hatch" width="6" height="6" patternUnits="userSpaceOnUse">'
            f'<path d="{HATCH}" stroke="currentColor" stroke-width="1"/></pattern></defs>'
        )
        return "".join((head, *self._axis(), *self.parts, *self._legend(), "</svg>"))

    def hatched(self) -> str:
        return f'fill="url(#plot-{self.name}-hatch)" stroke="currentColor" stroke-width="0.7"'

    def _axis(self) -> Iterable[str]:
        yield f'<text x="{LEFT:g}" y="{TOP - 12:g}" text-anchor="end">{escape(self.unit)}</text>'
        decimals = max(0, -floor(log10(self.step) + 1e-9))
        count = round((self.top - self.bottom) / self.step)
        for index in range(count + 1):
            value = self.bottom + index * self.step
            y = self.y(value)
            yield (
                f'<line x1="{LEFT:g}" y1="{y:.1f}" x2="{WIDTH - RIGHT:g}" y2="{y:.1f}" stroke="currentColor" '
                f'stroke-opacity="{0.7 if index == 0 else 0.15}" stroke-width="1"/>'
                f'<text x="{LEFT - 6:g}" y="{y + 4:.1f}" text-anchor="end">{value:.{decimals}f}</text>'
            )

    def _legend(self) -> Iterable[str]:
        x = LEFT
        for mark, words in self.legends:
            yield f'<g transform="translate({x:.1f} 6)">{mark}</g>'
            yield f'<text x="{x + 24:.1f}" y="16">{escape(words)}</text>'
            x += 24 + 6.2 * len(words) + 20


def nice_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10, 20, ... that is not below `least`."""
    if not (isfinite(least) and least > 0):
        return 1.0
    power = 10.0 ** floor(log10(least))
    return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= least * (1 - 1e-9))


FULL = 'fill="currentColor" fill-opacity="0.35"'
FAINT = 'fill="currentColor" fill-opacity="0.13"'
MIDDLE = 'fill="currentColor" fill-opacity="0.30"'


def _box(look: str) -> str:
    return f'<rect width="18" height="11" {look}/>'


def _stroke(look: str) -> str:
    return f'<line x1="0" y1="6" x2="18" y2="6" stroke="currentColor" {look}/>'


@dataclass(frozen=True, slots=True)
class Months:
    """Twelve values of each, Wh a day: sun and other income, their sum in a cautious and a bright year, and the use."""

    sun: Sequence[float]
    other: Sequence[float]
    cautious: Sequence[float]
    bright: Sequence[float]
    use: Sequence[float]


def months_plot(values: Months, name: str, title: str, description: str) -> str:
    """Income against use, month by month, with the band from a cautious to a bright year."""
    income = [sun + other for sun, other in zip(values.sun, values.other, strict=True)]
    plot = Plot(name, title, description, _largest(income, values.bright, values.use), "Wh a day")
    plot.legends.append((_box(FULL), names.HARVEST.small))
    if any(values.other):
        plot.legends.append((_box(plot.hatched()), "other income"))
    plot.legends.append(
        ('<path d="M9 0V11M5 0H13M5 11H13" stroke="currentColor" fill="none"/>', "cautious to bright year")
    )
    plot.legends.append((_stroke('stroke-width="3"'), "use"))
    for index in range(12):
        left, right = (index + 0.14) / 12, (index + 0.86) / 12
        sun, all_of_it = values.sun[index], income[index]
        plot.bar(left, right, 0, sun, FULL)
        if values.other[index] > 0:
            plot.bar(left, right, sun, all_of_it, plot.hatched())
        x, low, high = plot.x((index + 0.5) / 12), plot.y(values.cautious[index]), plot.y(values.bright[index])
        plot.add(
            f'<path d="M{x:.1f} {low:.1f}V{high:.1f}M{x - 4:.1f} {low:.1f}H{x + 4:.1f}M{x - 4:.1f} {high:.1f}H{x + 4:.1f}" '
            'stroke="currentColor" fill="none"/>'
        )
        use = values.use[index]
        plot.line([((index + 0.04) / 12, use), ((index + 0.96) / 12, use)], 'stroke-width="3"')
        short = all_of_it < use
        more = ' font-weight="bold"' if short else ""
        plot.words(x, HEIGHT - 9, SHORT_MONTHS[index] + ("!" if short else ""), more=more)
    return plot.svg()


def day_plot(load_w: Sequence[float], sun_w: Sequence[float], name: str, title: str, description: str) -> str:
    """24 hourly means of load and, where there is any, sun; W."""
    plot = Plot(name, title, description, _largest(load_w, sun_w), "W")
    plot.legends.append((_box(FULL), "load (clock time)"))
    steps = [(edge / 24, value) for hour, value in enumerate(load_w) for edge in (hour, hour + 1)]
    plot.area(steps, [(0, 0), (1, 0)], FULL)
    if sun_w:
        plot.legends.append((_stroke('stroke-width="2"'), "sun on an average day (solar time)"))
        plot.line([((hour + 0.5) / 24, value) for hour, value in enumerate(sun_w)], 'stroke-width="2"')
    for hour in range(0, 25, 3):
        anchor = "end" if hour == 24 else "middle"
        plot.words(plot.x(hour / 24), HEIGHT - 9, f"{hour} h" if hour in (0, 24) else str(hour), anchor)
    return plot.svg()


def fan_plot(
    fan: Sequence[Sequence[float]],
    empty: float,
    parts: Sequence[str],
    words: tuple[str, str, str],
    frame: tuple[str, str, str],
) -> str:
    """State of charge (0 to 1) hour by hour: the middle, and two percentiles on either side of it, lowest first.

    `empty`: where it counts as empty. `parts`: what stands under as many equal parts of the time. `words`: what the middle, the
    inner and the outer band are called. `frame`: name, title and description of the plot.
    """
    plot = Plot(*frame, 100.0, "%")
    hours = len(fan[0])
    low, lower, middle, upper, high = (
        [(hour / (hours - 1), 100 * value) for hour, value in enumerate(row)] for row in fan
    )
    plot.legends += [
        (_stroke('stroke-width="2"'), words[0]),
        (_box(MIDDLE), words[1]),
        (_box(FAINT), words[2]),
        (_stroke('stroke-width="1.5" stroke-dasharray="5 3"'), "empty"),
    ]
    plot.area(high, upper, FAINT)
    plot.area(upper, lower, MIDDLE)
    plot.area(lower, low, FAINT)
    plot.line(middle, 'stroke-width="2"')
    plot.line([(0, 100 * empty), (1, 100 * empty)], 'stroke-width="1.5" stroke-dasharray="5 3"')
    for index, part in enumerate(parts):
        plot.words(plot.x((index + 0.5) / len(parts)), HEIGHT - 9, part)
        if index:
            x = plot.x(index / len(parts))
            plot.add(
                f'<line x1="{x:.1f}" y1="{TOP:g}" x2="{x:.1f}" y2="{HEIGHT - BOTTOM:g}" stroke="currentColor" '
                'stroke-opacity="0.15"/>'
            )
    return plot.svg()


def trunk_plot(
    points: Sequence[tuple[str, float, float]], least_v: float, name: str, title: str, description: str
) -> str:
    """Voltage along a trunk: (point, metres from the source, volts) in their order, and the least that is allowed."""
    values = [volts for _, _, volts in points]
    largest, lowest = max(*values, least_v), min(*values, least_v)
    plot = Plot(name, title, description, largest, "V", lowest - 0.1 * max(largest - lowest, 1e-3))
    plot.legends += [
        (_stroke('stroke-width="2"'), "volts while running"),
        (_stroke('stroke-width="1.5" stroke-dasharray="5 3"'), "least that the limit allows"),
    ]
    far = max(metres for _, metres, _ in points) or 1.0
    plot.line([(metres / far, volts) for _, metres, volts in points], 'stroke-width="2"')
    plot.line([(0, least_v), (1, least_v)], 'stroke-width="1.5" stroke-dasharray="5 3"')
    last = -1e9
    for index, (point, metres, volts) in enumerate(points):
        x = plot.x(metres / far)
        plot.add(f'<circle cx="{x:.1f}" cy="{plot.y(volts):.1f}" r="3"/>')
        words = f"{point}, {metres:.1f} m"
        anchor = "start" if index == 0 else "end" if index == len(points) - 1 else "middle"
        half = 6.2 * len(words) / 2
        middle = x + {"start": half, "middle": 0, "end": -half}[anchor]
        if middle - half > last:  # a name that has no room stands in the table
            plot.words(x, HEIGHT - 9, words, anchor)
            last = middle + half + 8
    return plot.svg()


def _largest(*rows: Sequence[float]) -> float:
    return max((value for row in rows for value in row if isfinite(value)), default=0.0) or 1.0
