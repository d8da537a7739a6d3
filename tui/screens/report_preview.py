"""A section of the report as a person reads it before it is written: in lines of `width`, with every word of its tables.

A table whose columns have room stands in columns, its longer words wrapped; else each of its rows is told as a few lines.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from rich.cells import cell_len, chop_cells

from model.record.report.document import (
    Block,
    Checklist,
    Drawing,
    Listing,
    Paragraph,
    Section,
    Table,
    Text,
    plain,
    printable,
)
from tui.widgets.pages import Line

GAP = "  "
LEAST_WIDTH = 20  # of the page
LEAST_WORDS, LONG_WORD = 10, 14  # widths of a column of words: any; one where a word of that length is kept whole
HALF = 2  # a column of words shorter than width / HALF is not wrapped without need


def preview(section: Section, width: int) -> Iterator[Line]:
    """The section with all below it."""
    return _section(section, max(width, LEAST_WIDTH))


def wrapped(words: str, width: int) -> list[str]:
    """Lines of at most `width` cells, broken between words where there is a space; wide letters count twice."""
    lines, line, used = [], "", 0
    for word in words.split():
        room = cell_len(word)
        if line and used + 1 + room <= width:
            line, used = f"{line} {word}", used + 1 + room
            continue
        if line:
            lines.append(line)
        *full, line = chop_cells(word, width) if room > width else [word]
        lines += full
        used = cell_len(line)
    return [*lines, line] if line or not lines else lines


def _section(section: Section, width: int) -> Iterator[Line]:
    for line in wrapped(printable(section.title), width):
        yield line, "bold reverse"
    yield "", ""
    for block in section.blocks:
        yield from _block(block, width)
        yield "", ""
    for one in section.sections:
        yield from _section(one, width)


def _block(block: Block, width: int) -> Iterator[Line]:
    match block:
        case Paragraph():
            yield from _styled(_words(block.text), width, "dim" if block.aside else "")
        case Listing():
            for number, item in enumerate(block.items, 1):
                yield from _hanging(f"{number}. " if block.ordered else "– ", _words(item), width)
        case Checklist():
            for item in block.items:
                yield from _hanging("☐ ", _words(item), width)
        case Table():
            yield from _styled(printable(block.caption), width, "bold")
            yield from _table(block, width)
        case Drawing():
            yield from _styled(printable(f"[drawing] {block.caption}. {block.description}"), width, "dim italic")


def _words(text: Text) -> str:
    return printable(plain(text))


def _styled(words: str, width: int, style: str) -> Iterator[Line]:
    return ((line, style) for line in wrapped(words, width))


def _hanging(sign: str, words: str, width: int) -> Iterator[Line]:
    for number, line in enumerate(wrapped(words, width - len(sign))):
        yield (" " * len(sign) if number else sign) + line, ""


def _table(table: Table, width: int) -> Iterator[Line]:
    heads = [printable(column.head) for column in table.columns]
    rows = [[_words(cell) for cell in row] for row in table.rows]
    numbers = [column.number for column in table.columns]
    widths = _widths(heads, rows, numbers, width)
    if widths is None:
        yield from _told(heads, rows, width)
        return
    for line in _row(heads, widths, numbers):
        yield line.ljust(min(width, sum(widths) + len(GAP) * (len(widths) - 1))), "underline"
    for index, row in enumerate(rows, 1):
        style = "bold" if table.total and index == len(rows) else ""
        yield from ((line, style) for line in _row(row, widths, numbers))


def _widths(
    heads: Sequence[str], rows: Sequence[Sequence[str]], numbers: Sequence[bool], width: int
) -> list[int] | None:
    """The columns' widths: figures in full, words with what is left; None where that is too little."""
    wanted, least = [], []
    for at, (head, number) in enumerate(zip(heads, numbers, strict=True)):
        longest_word = max((cell_len(word) for word in head.split()), default=1)
        longest = max((cell_len(row[at]) for row in rows), default=0)
        if number and longest <= width // HALF:
            wanted.append(max(longest, longest_word))
            least.append(wanted[-1])
        else:
            wanted.append(max(longest, cell_len(head), 1))
            whole = max((cell_len(word) for row in rows for word in row[at].split()), default=0)
            least.append(min(wanted[-1], max(LEAST_WORDS, longest_word, min(whole, LONG_WORD))))
    spare = width - sum(least) - len(GAP) * (len(heads) - 1)
    if spare < 0:
        return None
    widths = least
    while spare and (narrow := [at for at, one in enumerate(widths) if one < wanted[at]]):
        for at in narrow[:spare]:
            widths[at] += 1
        spare -= len(narrow[:spare])
    return widths


def _row(cells: Sequence[str], widths: Sequence[int], numbers: Sequence[bool]) -> Iterator[str]:
    """The lines of one row; figures to the right."""
    columns = (wrapped(cell, width) for cell, width in zip(cells, widths, strict=True))
    for line in zip_longest(*columns, fillvalue=""):
        padded = []
        for part, width, number in zip(line, widths, numbers, strict=True):
            blank = " " * (width - cell_len(part))
            padded.append(blank + part if number else part + blank)
        yield GAP.join(padded).rstrip()


def _told(heads: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> Iterator[Line]:
    """The heads, then row by row: what names it, and all else that it says, each with the head of its column."""
    yield from _styled(" · ".join(heads), width, "dim")
    for row in rows:
        yield from _styled(row[0], width, "underline")
        said = [f"{head}: {cell}" for head, cell in zip(heads[1:], row[1:], strict=True) if cell.strip()]
        yield from ((GAP + line, "") for line in wrapped(" · ".join(said), width - len(GAP)))
