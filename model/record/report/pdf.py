"""The document on paper, through Typst: its compiler comes as one wheel, with fonts in it, and asks for no network.

The markup is made of function calls whose words are Typst strings, never Typst markup, so that nothing that a person typed
can become markup.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
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
    plain,
    printable,
)

HERE = Path(__file__).parent
SHORT = 12  # letters
LETTER_EM, GAP_EM = 0.5, 1.0
LARGE_PT, SMALL_PT, LEAST_PT = 9.5, 8.0, 6.5


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper: what Typst calls it, what its margins leave upright and on its side, the tallest drawing."""

    typst: str
    portrait_pt: float
    landscape_pt: float
    tallest_mm: float


PAPERS = {"A4": Paper("a4", 504.0, 751.0, 238.0), "Letter": Paper("us-letter", 521.0, 701.0, 220.0)}
"""210 x 297 mm (ISO 216) and 8.5 x 11 in (ANSI/ASME Y14.1 A), each less margins of 16 mm at its sides."""

SETTING = """
import sys, typst
sys.stdout.buffer.write(typst.compile(sys.stdin.buffer.read(), ignore_system_fonts="covered" in sys.argv))
"""
LAST_COVERED = 0x2BFF  # the fonts within the wheel know letters of Europe and signs up to here


class NotSet(Exception):
    """Why there are no pages: one line for a person."""


def pdf(document: Document, paper: str = "A4") -> bytes:
    """The numbered pages on one of PAPERS.

    They are set in a process of its own: the compiler keeps what it has set (100 MB for 60 pages) as long as its process lives.
    Raises NotSet where that process fails: too little memory, a compiler that is gone.
    """
    markup = typst_markup(document, paper)
    covered = all(ord(sign) <= LAST_COVERED for sign in markup)
    command = [sys.executable, "-P", "-c", SETTING, *(["covered"] if covered else [])]
    done = subprocess.run(command, input=markup.encode(), capture_output=True, check=False)
    if done.returncode != 0:
        said = " ".join(done.stderr.decode(errors="replace").split())
        raise NotSet(f"the pages could not be set: {said[-200:] or f'their process ended with {done.returncode}'}")
    return done.stdout


def typst_markup(document: Document, paper: str = "A4") -> str:
    """The document in Typst's language."""
    size = PAPERS[paper]
    lines = [f'#let (paper, tallest) = ("{size.typst}", {size.tallest_mm:g}mm)']
    lines.append((HERE / "report.typ").read_text(encoding="utf-8"))
    lines.append(f"#show: report.with({quoted(document.title)}, {quoted(document.subtitle)})")
    for section in document.sections:
        lines += _section(section, 1, size)
    return "\n".join(lines) + "\n"


def quoted(words: str) -> str:
    """A Typst string, on one line."""
    shown = printable(words).replace("\n", " ")
    return '"' + shown.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _section(section: Section, level: int, size: Paper) -> Iterator[str]:
    """A section with a table that is too wide for the page lies on its side."""
    sideways = any(
        isinstance(block, Table) and _size_pt(block, size.portrait_pt) < LEAST_PT for block in section.blocks
    )
    if sideways:
        yield "#page(flipped: true)["
    elif section.fresh_page:
        yield "#pagebreak(weak: true)"
    yield f"#heading(level: {level}, {quoted(section.title)})"
    width_pt = size.landscape_pt if sideways else size.portrait_pt
    for block in section.blocks:
        yield _block(block, width_pt)
    if sideways:
        yield "]"
    for one in section.sections:
        yield from _section(one, level + 1, size)


def _block(block: Block, width_pt: float) -> str:
    match block:
        case Paragraph():
            return f"#{'aside' if block.aside else 'said'}({_text(block.text)})"
        case Listing():
            items = "".join(f"{_text(item)}, " for item in block.items)
            return f"#{'enum' if block.ordered else 'list'}({items})"
        case Checklist():
            return f"#boxes({''.join(f'{_text(item)}, ' for item in block.items)})"
        case Table():
            return _table(block, width_pt)
        case Drawing():
            return f"#drawing({quoted(block.svg)}, {quoted(block.caption)}, {quoted(block.description)})"


def _size_pt(table: Table, width_pt: float) -> float:
    """Size of its letters, smaller than usual where its columns would have no room."""
    needed_em = sum(_Width.of(table, index).least_em for index in range(len(table.columns)))
    return min(LARGE_PT if table.large else SMALL_PT, width_pt / needed_em)


def _table(table: Table, width_pt: float) -> str:
    rows = ",\n".join(", ".join(_text(cell) for cell in row) for row in table.rows)
    options = {
        "columns": _list(_Width.of(table, index).typst for index in range(len(table.columns))),
        "aligned": _list("right" if column.number else "left" for column in table.columns),
        "heads": _list(quoted(column.head) for column in table.columns),
        "last": str(len(table.rows)) if table.total else "none",
        "size": f"{_size_pt(table, width_pt):.2f}pt",
        "fill": "true" if table.to_fill else "false",
    }
    named = ", ".join(f"{name}: {value}" for name, value in options.items())
    return f"#sheet({quoted(table.caption)}, {named},\n{rows})"


@dataclass(frozen=True, slots=True)
class _Width:
    """A column's width for Typst, and the least that it needs."""

    typst: str
    least_em: float

    @classmethod
    def of(cls, table: Table, index: int) -> _Width:
        """Figures and short words get what their cells need; longer words, and what a hand will write, share the rest."""
        column = table.columns[index]
        cells = ["".join(one.text for one in row[index]) for row in table.rows]
        longest = max((len(cell) for cell in cells), default=0)
        word = max((len(word) for words in (*cells, column.head) for word in words.split()), default=1)
        letters = max(longest, *(len(part) for part in column.head.split()), (len(column.head) + 1) // 2)
        if table.to_fill and not longest:
            return cls("8fr", LETTER_EM * word + GAP_EM)
        if column.number or longest <= SHORT:
            width = LETTER_EM * letters + GAP_EM
            return cls(f"{width:.2f}em", width)
        mean = sum(len(cell) for cell in cells) / len(cells)
        return cls(
            f"{(min(longest, 80) * min(mean, 80)) ** 0.35:.2f}fr",
            LETTER_EM * max(min(word, 30), min(longest, 20)) + GAP_EM,
        )


def _list(values: Iterable[str]) -> str:
    return f"({''.join(f'{value}, ' for value in values)})"


def _text(spans: Text) -> str:
    if not any(one.strong for one in spans):
        return quoted(plain(spans))
    return " + ".join(f"strong({quoted(one.text)})" if one.strong else f"[#{quoted(one.text)}]" for one in spans)
