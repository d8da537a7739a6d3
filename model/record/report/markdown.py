"""The document as Markdown (CommonMark with the tables of GitHub Flavored Markdown), without its drawings."""

from __future__ import annotations

import re
from collections.abc import Iterator

from model.record.report.document import (
    Block,
    Checklist,
    Document,
    Drawing,
    Listing,
    Paragraph,
    Section,
    Span,
    Table,
    Text,
    printable,
)

_SIGNS = re.compile(r"([\\`*_{}\[\]<>#|~&!$])")
_AT_START = re.compile(r"^(\d+(?=[.)](?:\s|$))|(?=[-+](?:[\s-]|$)))")  # what would begin a list or a rule


def markdown(document: Document) -> str:
    """The whole text. What a person typed cannot become markup: its signs are escaped, its line ends are spaces."""
    lines = [f"# {escaped(document.title)}", "", escaped(document.subtitle), ""]
    for section in document.sections:
        lines += _section(section, 2)
    return "\n".join(lines).rstrip() + "\n"


def escaped(words: str) -> str:
    """Words that a reader of Markdown shows as they are."""
    signs = _SIGNS.sub(r"\\\1", " ".join(printable(words).split()))
    return _AT_START.sub(r"\1\\", signs)


def _section(section: Section, level: int) -> Iterator[str]:
    yield f"{'#' * min(level, 6)} {escaped(section.title)}"
    yield ""
    for block in section.blocks:
        yield from _block(block)
        yield ""
    for one in section.sections:
        yield from _section(one, level + 1)


def _block(block: Block) -> Iterator[str]:
    match block:
        case Paragraph():
            yield _text(block.text)
        case Listing():
            for number, item in enumerate(block.items, 1):
                yield f"{f'{number}.' if block.ordered else '-'} {_text(item)}"
        case Checklist():
            for item in block.items:
                yield f"- [ ] {_text(item)}"
        case Table():
            yield f"**{escaped(block.caption)}**"
            yield ""
            yield from _table(block)
        case Drawing():
            yield f"*{escaped(block.caption)}.* {escaped(block.description)}"


def _table(table: Table) -> Iterator[str]:
    heads = [escaped(column.head) for column in table.columns]
    rows = [[_text(cell) for cell in row] for row in table.rows]
    widths = [max(3, *(len(row[index]) for row in (heads, *rows))) for index in range(len(heads))]
    widths = [min(width, 40) for width in widths]

    def line(cells: list[str]) -> str:
        padded = (
            cell.rjust(width) if column.number else cell.ljust(width)
            for cell, width, column in zip(cells, widths, table.columns, strict=True)
        )
        return f"| {' | '.join(padded)} |"

    yield line(heads)
    rules = (
        f"{'-' * (width - 1)}{':' if column.number else '-'}"
        for width, column in zip(widths, table.columns, strict=True)
    )
    yield f"| {' | '.join(rules)} |"
    for row in rows:
        yield line(row)


def _text(spans: Text) -> str:
    return " ".join("".join(_span(one) for one in spans).split())


def _span(one: Span) -> str:
    return f"**{escaped(one.text)}**" if one.strong and one.text.strip() else _kept(one.text)


def _kept(words: str) -> str:
    """Escaped, with a space at either end kept, since the pieces of a text are joined as they are."""
    if not words.strip():
        return words
    return f"{' ' * words[0].isspace()}{escaped(words)}{' ' * words[-1].isspace()}"
