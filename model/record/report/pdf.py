"""The document on paper, through Typst: its compiler comes as one wheel, with fonts in it, and asks for no network.

The markup is made of function calls whose words are Typst strings, never Typst markup, so that nothing that a person typed
can become markup.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from model.record.report.document import (
    Block,
    Checklist,
    Document,
    Drawing,
    Listing,
    Paragraph,
    Section,
    Table,
    Text,
)

HERE = Path(__file__).parent
SHORT = 12  # letters
LAST_COVERED = 0x2BFF  # the fonts within the wheel know letters of Europe and signs up to here


def pdf(document: Document) -> bytes:
    """The pages, A4, numbered."""
    import typst

    markup = typst_markup(document)
    covered = all(ord(sign) <= LAST_COVERED for sign in markup)
    made = typst.compile(markup.encode(), ignore_system_fonts=covered)
    assert isinstance(made, bytes)
    return made


def typst_markup(document: Document) -> str:
    """The document in Typst's language."""
    lines = [(HERE / "report.typ").read_text(encoding="utf-8")]
    lines.append(f"#show: report.with({quoted(document.title)}, {quoted(document.subtitle)})")
    for section in document.sections:
        lines += _section(section, 1)
    return "\n".join(lines) + "\n"


def quoted(words: str) -> str:
    """A Typst string. Signs that control a terminal rather than show something are left out."""
    shown = "".join(sign if sign.isprintable() else " " for sign in words)
    return '"' + shown.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _section(section: Section, level: int) -> Iterator[str]:
    if section.fresh_page:
        yield "#pagebreak(weak: true)"
    yield f"#heading(level: {level}, {quoted(section.title)})"
    for block in section.blocks:
        yield _block(block)
    for one in section.sections:
        yield from _section(one, level + 1)


def _block(block: Block) -> str:
    match block:
        case Paragraph():
            return f"#{'aside' if block.aside else 'par'}({_text(block.text)})"
        case Listing():
            items = "".join(f"{_text(item)}, " for item in block.items)
            return f"#{'enum' if block.ordered else 'list'}({items})"
        case Checklist():
            return f"#boxes({''.join(f'{_text(item)}, ' for item in block.items)})"
        case Table():
            return _table(block)
        case Drawing():
            return f"#drawing({quoted(block.svg)}, {quoted(block.caption)}, {quoted(block.description)})"


def _table(table: Table) -> str:
    rows = ",\n".join(", ".join(_text(cell) for cell in row) for row in table.rows)
    options = {
        "columns": _list(_widths(table)),
        "aligned": _list("right" if column.number else "left" for column in table.columns),
        "heads": _list(quoted(column.head) for column in table.columns),
        "last": str(len(table.rows)) if table.total else "none",
        "size": "9.5pt" if table.large else "8pt",
        "fill": "true" if table.to_fill else "false",
    }
    named = ", ".join(f"{name}: {value}" for name, value in options.items())
    return f"#sheet({quoted(table.caption)}, {named},\n{rows})"


def _widths(table: Table) -> Iterable[str]:
    """Figures and short words get the room that their cells need, whatever their head; longer words share the rest."""
    for index, column in enumerate(table.columns):
        cells = [sum(len(one.text) for one in row[index]) for row in table.rows]
        longest = max(cells, default=0)
        if column.number or longest <= SHORT:
            letters = max(longest, *(len(word) for word in column.head.split()))
            yield f"{0.5 * letters + 1:.2f}em"
        else:
            yield f"{min(longest, 80) ** 0.7:.2f}fr"


def _list(values: Iterable[str]) -> str:
    return f"({''.join(f'{value}, ' for value in values)})"


def _text(spans: Text) -> str:
    if not spans:
        return '""'
    return " + ".join(f"strong({quoted(one.text)})" if one.strong else f"[#{quoted(one.text)}]" for one in spans)
