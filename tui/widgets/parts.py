"""Lines of figures or keys with dots between them, which break at the dots: no figure parts from its name or its unit."""

from __future__ import annotations

import textwrap

from rich.cells import cell_len
from rich.text import Text
from textual.geometry import Size
from textual.widgets import Static

BETWEEN = " · "


def broken(text: str, width: int) -> list[str]:
    """`text` in lines of at most `width` cells: broken between the parts, within one only where it is longer than a line."""
    lines: list[str] = []
    for whole in text.split("\n"):
        line = ""
        for part in whole.split(BETWEEN):
            longer = f"{line}{BETWEEN}{part}" if line else part
            if cell_len(longer) <= width:
                line = longer
                continue
            lines += [line] if line else []
            *full, line = textwrap.wrap(part, max(1, width)) or [""]
            lines += full
        lines.append(line)
    return lines


class Parts(Static):
    """Such a line as a widget, as high as it needs to be."""

    def __init__(self, text: str = "", *, id: str | None = None) -> None:
        super().__init__(text, id=id, markup=False)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(broken(str(self.content), width))

    def render(self) -> Text:
        return Text("\n".join(broken(str(self.content), self.size.width)), no_wrap=True)
