"""A sheet of paper on which lines, signs and words are put at computed places; at the end it is one element of SVG.

Everything is drawn in `currentColor`, so that a page in the dark shows it too; nothing is told by a colour.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from html import escape

from model.record.diagram import lettering
from model.record.diagram.lettering import one_line, shortened
from model.record.diagram.symbols import Symbol

WIDTH = 780.0
SIZE, SMALL = 10.5, 9.5
THIN, BAR = 1.3, 5.0
MARGIN = 16.0


@dataclass
class Sheet:
    """`parts` grow in the order of drawing. used: the symbols on it, for the legend."""

    parts: list[str] = field(default_factory=list)
    used: dict[str, Symbol] = field(default_factory=dict)

    def words(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float = SIZE,
        bold: bool = False,
        anchor: str = "start",
        room: float = WIDTH,
    ) -> float:
        """One line of words on the baseline y, cut to `room`; what was cut is told to whoever points at it. Answers its width."""
        whole = one_line(words)
        shown = shortened(whole, room, size, bold)
        if not shown:
            return 0.0
        more = ' font-weight="bold"' if bold else ""
        more += f' text-anchor="{anchor}"' if anchor != "start" else ""
        made = f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}"{more}>{escape(shown)}</text>'
        self.parts.append(made if shown == whole else f"<g><title>{escape(whole)}</title>{made}</g>")
        return lettering.width(shown, size, bold)

    def line(self, *points: tuple[float, float], thick: float = THIN) -> None:
        """A line through the points, with square corners."""
        path = "L".join(f"{_n(x)} {_n(y)}" for x, y in points)
        self.parts.append(f'<path d="M{path}" fill="none" stroke="currentColor" stroke-width="{thick:g}"/>')

    def symbol(self, x: float, y: float, symbol: Symbol, *, upright: bool = False) -> None:
        """A symbol with its middle at (x, y); upright ones are turned by a right angle, for a line that leads down."""
        self.used.setdefault(symbol.name, symbol)
        turned = " rotate(90)" if upright else ""
        self.parts.append(
            f'<g transform="translate({_n(x)} {_n(y)}){turned}" fill="none" stroke="currentColor" stroke-width="{THIN:g}">'
            f"{symbol.drawn}</g>"
        )

    def wire(self, start: float, end: float, y: float, *devices: tuple[float, Symbol]) -> None:
        """A level wire that is broken by symbols at the given x."""
        at = start
        for x, symbol in sorted(devices, key=lambda pair: pair[0]):
            self.line((at, y), (x - symbol.half, y))
            self.symbol(x, y, symbol)
            at = x + symbol.half
        self.line((at, y), (end, y))

    def drop(self, x: float, start: float, end: float, *devices: tuple[float, Symbol]) -> None:
        """The same, leading down."""
        at = start
        for y, symbol in sorted(devices, key=lambda pair: pair[0]):
            self.line((x, at), (x, y - symbol.half))
            self.symbol(x, y, symbol, upright=True)
            at = y + symbol.half
        self.line((x, at), (x, end))

    def arrow(self, x: float, y: float) -> None:
        """The tip of an arrow that points right."""
        self.parts.append(f'<path d="M{_n(x)} {_n(y)}l-8 -3.5v7z"/>')

    def begin(self, title: str) -> None:
        """What follows until `end` belongs together and has a name."""
        self.parts.append(f"<g><title>{escape(one_line(title))}</title>")

    def end(self) -> None:
        self.parts.append("</g>")

    def svg(self, height: float, name: str, title: str, description: str) -> str:
        """The whole sheet. name: unique in the document that takes it in."""
        ids = f"diagram-{name}"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(WIDTH)} {_n(height)}" role="img" class="diagram" '
            f'aria-labelledby="{ids}-title {ids}-desc" font-family="{lettering.FAMILY}" color="black" fill="currentColor">'
            f'<title id="{ids}-title">{escape(one_line(title))}</title>'
            f'<desc id="{ids}-desc">{escape(one_line(description))}</desc>'
            f"{''.join(self.parts)}</svg>"
        )


def _n(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
