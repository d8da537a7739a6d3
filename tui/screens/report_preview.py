"""A section of the report as a person reads it before it is written: its words in lines of `width`, its tables in columns."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from rich.cells import cell_len, set_cell_size
from rich.text import Text

from model.record.report.document import Block, Checklist, Drawing, Listing, Paragraph, Section, Table, plain

LEAST_WIDEST = 34  # letters of a cell where there is little room; the file has them all
GAP = "  "


def preview(section: Section, width: int) -> Text:
    """The section with all below it. Tables may be broader than `width`: they are looked at by moving to the right."""
    text = Text(no_wrap=True)
    for line, style in _section(section, max(width, 20)):
        text.append(line, style)
        text.append("\n")
    return text


def _section(section: Section, width: int) -> Iterator[tuple[str, str]]:
    yield section.title, "bold reverse"
    yield "", ""
    for block in section.blocks:
        yield from _block(block, width)
        yield "", ""
    for one in section.sections:
        yield from _section(one, width)


def _block(block: Block, width: int) -> Iterator[tuple[str, str]]:
    match block:
        case Paragraph():
            yield from ((line, "dim" if block.aside else "") for line in wrap(plain(block.text), width))
        case Listing():
            for number, item in enumerate(block.items, 1):
                yield from _item(f"{number}. " if block.ordered else "– ", plain(item), width)
        case Checklist():
            for item in block.items:
                yield from _item("☐ ", plain(item), width)
        case Table():
            yield from _table(block, width)
        case Drawing():
            yield from ((line, "dim italic") for line in wrap(f"[drawing] {block.caption}. {block.description}", width))


def _item(sign: str, words: str, width: int) -> Iterator[tuple[str, str]]:
    for line in wrap(words, width, initial_indent=sign, subsequent_indent=" " * len(sign)):
        yield line, ""


def _table(table: Table, width: int) -> Iterator[tuple[str, str]]:
    yield from ((line, "bold") for line in wrap(table.caption, width))
    rows = [[plain(cell) for cell in row] for row in table.rows]
    heads = [column.head for column in table.columns]
    widest = max(LEAST_WIDEST, width // 2)
    widths = [min(widest, max(cell_len(row[at]) for row in (heads, *rows))) for at in range(len(heads))]
    yield _line(table, heads, widths), "underline"
    for index, row in enumerate(rows, 1):
        yield _line(table, row, widths), "bold" if table.total and index == len(rows) else ""


def _line(table: Table, cells: list[str], widths: list[int]) -> str:
    padded = []
    for column, cell, width in zip(table.columns, cells, widths, strict=True):
        fitted = cell if cell_len(cell) <= width else set_cell_size(cell, width - 1) + "…"
        blank = " " * (width - cell_len(fitted))
        padded.append(blank + fitted if column.number else fitted + blank)
    return GAP.join(padded).rstrip()
