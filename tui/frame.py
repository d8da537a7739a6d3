"""What stands around every place: heading, verdict and keys, each as one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.text import Text

from tui import display
from tui.commands import footer, key_text
from tui.widgets.table_rows import fit

if TYPE_CHECKING:
    from textual.geometry import Size

    from model.plan import Plan
    from tui.document import Document

LEAST = (60, 20)
"""Columns and rows that every place is made for; of less the heading says so."""


def heading(size: Size, title: str, document: Document | None) -> str:
    """The file and whether it is saved on the left, place and month on the right; fewer cells than a line of `size` has."""
    room = max(10, size.width - 2)
    if size.width < LEAST[0] or size.height < LEAST[1]:
        return fit(f"Too small: {size.width} x {size.height}, made for {LEAST[0]} x {LEAST[1]} and more", room)
    left = title + (" * unsaved, shift+S saves" if document is not None and document.dirty else "")
    right = "" if document is None else _where_and_when(document, max(room // 2, room - cell_len(left) - 1))
    return fit(left, room - cell_len(right) - 1) + " " + right


def _where_and_when(document: Document, room: int) -> str:
    """Place and month in at most `room` cells; the name of the place gives way, the month stays whole."""
    from model.calendar import month_name

    design = document.design
    place, month = f"{key_text('place')} {design.place.name}", f" · {key_text('month')} {month_name(design.month)}"
    return fit(place, min(cell_len(place), room - cell_len(month))) + month


def figures(plan: Plan, more: int) -> list[tuple[str, str, str]]:
    """The plan in a few figures for the verdict: key, text, short text. `more` findings are known beside the plan's."""
    from model.record.words import verdict

    said = [(one.key, display.local(one.text), display.local(one.short)) for one in verdict(plan)]
    if not more:
        return said
    count = len(plan.findings) + more
    return [
        (key, counted(text, count, more), counted(short, count)) if key == "findings" else (key, text, short)
        for key, text, short in said
    ]


def counted(words: str, count: int, of_places: int = 0) -> str:
    """The verdict's words on findings with `count` in place of the number, and how many come from the odds."""
    _, comma, rest = words.partition(", ")
    odds = f" ({of_places} from the odds)" if of_places else ""
    return f"{count} finding{'' if count == 1 else 's'}{odds}{comma}{rest}"


def keys(place: str, width: int) -> Text:
    """The commands that the footer of `place` has room for, the place itself in reverse."""
    text = Text()
    for command in footer(place, width):
        here = command.arguments == (place,)
        text.append(f"{command.key_text}", style="bold reverse" if here else "bold")
        text.append(f" {command.title}", style="reverse" if here else "")
        text.append("  ")
    return text
