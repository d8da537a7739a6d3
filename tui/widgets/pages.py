"""Lines to read, as many as there are: only those in sight are drawn, and the first ones stand before the last are laid out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

Line = tuple[str, str]  # words, style as rich names it
AT_ONCE = 120  # lines that are laid out before the program hears of keys again


class Pages(ScrollView, can_focus=True):
    """Scrolls by the arrows, page keys, home and end."""

    DEFAULT_CSS = """
    Pages {
        width: 1fr; height: 1fr; padding: 0 1; background: $background; overflow-x: hidden; scrollbar-size-vertical: 1;
        scrollbar-gutter: stable;
    }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.lines: list[Line] = []
        self._coming: Iterator[Line] = iter(())

    def show(self, lines: Iterable[Line]) -> None:
        """Begin anew with other lines."""
        self.lines, self._coming = [], iter(lines)
        self.scroll_home(animate=False)
        self._take(self._coming)

    def _take(self, coming: Iterator[Line]) -> None:
        if coming is not self._coming:
            return  # other lines are wanted by now
        more = list(islice(coming, AT_ONCE))
        self.lines += more
        self.virtual_size = Size(self.scrollable_content_region.width, len(self.lines))
        self.refresh()
        if len(more) == AT_ONCE:
            self.call_later(self._take, coming)

    def render_line(self, y: int) -> Strip:
        """One line of what is in sight."""
        width, at = self.scrollable_content_region.width, y + int(self.scroll_y)
        words, style = self.lines[at] if at < len(self.lines) else ("", "")
        drawn = self.rich_style + Style.parse(style) if style else self.rich_style
        return Strip([Segment(words, drawn)]).adjust_cell_length(width, self.rich_style)
