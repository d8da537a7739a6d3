"""A document, whatever it will be printed on: sections of paragraphs, lists, tables and drawings."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from math import isfinite
from typing import ClassVar, TypeAlias
from unicodedata import category

from model.quantities import percent, show


@dataclass(frozen=True, slots=True)
class Span:
    """A piece of text. A figure has the path of its place in `plan --json` as `key` ("supply.months.11.harvest_wh_per_day"),
    and all its digits as `value`; infinities have no value, as there. percent: the value is a share and the text a percentage
    whose sign stands in the head of the column.
    """

    text: str
    key: str = ""
    value: float | str | None = None
    strong: bool = False
    percent: bool = False


BROAD = 11  # columns that a page bears upright

Text: TypeAlias = tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table. number: figures, to be set flush right. The unit is in the head."""

    head: str
    number: bool = False


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph; `aside` ones say where something comes from or how far it holds."""

    text: Text
    aside: bool = False
    kind: ClassVar[str] = "paragraph"


@dataclass(frozen=True, slots=True)
class Listing:
    """A list, numbered where the order matters."""

    items: tuple[Text, ...]
    ordered: bool = False
    kind: ClassVar[str] = "listing"


@dataclass(frozen=True, slots=True)
class Checklist:
    """Things to tick off by hand."""

    items: tuple[Text, ...]
    kind: ClassVar[str] = "checklist"


@dataclass(frozen=True, slots=True)
class Table:
    """A table whose first column names the rows. name: that of the CSV file, "" for none. total: the last row sums up.
    large: set in the size of the text. to_fill: has cells that somebody writes into by hand.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Text, ...], ...]
    name: str = ""
    total: bool = False
    large: bool = False
    to_fill: bool = False
    kind: ClassVar[str] = "table"

    def with_columns(self, kept: Sequence[int]) -> Table:
        """The table with these columns alone."""
        rows = tuple(tuple(row[index] for index in kept) for row in self.rows)
        return replace(self, columns=tuple(self.columns[index] for index in kept), rows=rows)

    @property
    def broad(self) -> bool:
        """Whether it wants a page on its side."""
        return len(self.columns) > BROAD


@dataclass(frozen=True, slots=True)
class Drawing:
    """A plot or a diagram. svg: one complete element with its own title and description, drawn in currentColor."""

    caption: str
    description: str
    svg: str
    kind: ClassVar[str] = "drawing"


Block: TypeAlias = Paragraph | Listing | Checklist | Table | Drawing


PAPERS = "papers"
"""Anchor of the section whose parts can be taken one by one."""


@dataclass(frozen=True, slots=True)
class Section:
    """anchor: unique in the document. fold: long, and read only by who asks. fresh_page: begins one on paper."""

    title: str
    anchor: str
    blocks: tuple[Block, ...] = ()
    sections: tuple[Section, ...] = ()
    fold: bool = False
    fresh_page: bool = False

    @property
    def short(self) -> str:
        """Its title as far as the colon: what it is called where one chooses among sections."""
        return self.title.partition(":")[0]


@dataclass(frozen=True, slots=True)
class Document:
    """title and subtitle head the first page; the first section is that page."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]

    def blocks(self) -> Iterator[Block]:
        """All blocks of all sections, in their order."""
        for section in self.sections:
            yield from _blocks(section)

    def without(self, left_out: Collection[str]) -> Document:
        """The document without the sections of these anchors; one that is left with nothing in it goes too."""
        return replace(self, sections=_kept(self.sections, left_out)) if left_out else self

    def all_but(self, names: Collection[str]) -> frozenset[str]:
        """Anchors to leave out so that only these sections stay, of the document or of the papers in it.

        A name is a title as far as its colon, or an anchor; capitals and spaces around do not matter. Raises ValueError, with
        the names there are, for one that is none of them.
        """
        outer = {one.anchor: one for one in self.sections}
        inner = {one.anchor: one for one in self.sections_of(PAPERS)}
        known = {**{one.short.casefold(): one.anchor for one in (*inner.values(), *outer.values())}}
        known |= {anchor: anchor for anchor in (*inner, *outer)}
        wanted = set()
        for name in names:
            anchor = known.get(name.strip().casefold())
            if anchor is None:
                there = ", ".join(one.short for one in (*outer.values(), *inner.values()))
                raise ValueError(f"no section of the report is called “{name.strip()}”; there are: {there}")
            wanted.add(anchor)
        papers = set(inner) if PAPERS in wanted else wanted & set(inner)
        return frozenset((set(outer) - wanted - ({PAPERS} if papers else set())) | (set(inner) - papers))

    def section(self, anchor: str) -> Section:
        """The section of this anchor, however deep. Raises KeyError."""
        waiting = list(self.sections)
        while waiting:
            one = waiting.pop()
            if one.anchor == anchor:
                return one
            waiting += one.sections
        raise KeyError(anchor)

    def sections_of(self, anchor: str) -> tuple[Section, ...]:
        """The sections within the one of this anchor; none where there is no such section."""
        return next((one.sections for one in self.sections if one.anchor == anchor), ())

    def tables(self) -> dict[str, Table]:
        """The tables that have a name, by their names."""
        return {block.name: block for block in self.blocks() if isinstance(block, Table) and block.name}


def _kept(sections: tuple[Section, ...], left_out: Collection[str]) -> tuple[Section, ...]:
    kept = []
    for one in sections:
        inner = _kept(one.sections, left_out)
        if one.anchor not in left_out and (inner or not one.sections):
            kept.append(replace(one, sections=inner))
    return tuple(kept)


def _blocks(section: Section) -> Iterator[Block]:
    yield from section.blocks
    for one in section.sections:
        yield from _blocks(one)


def text(*parts: Span | str) -> Text:
    """A text of words and figures."""
    return tuple(Span(part) if isinstance(part, str) else part for part in parts)


_SUSPICIOUS = re.compile(r"[^\n\x20-\x7e]")


def printable(words: str) -> str:
    """The words with a space for every sign that no paper and no page may hold: control, surrogate, unassigned, private."""
    return _SUSPICIOUS.sub(lambda found: " " if category(found[0]) in ("Cc", "Cs", "Cn", "Co") else found[0], words)


def plain(spans: Text) -> str:
    """The text alone."""
    return "".join(span.text for span in spans)


def figure(key: str, value: float | None, kind: str, *, figures: int = 3, unit: bool = True) -> Span:
    """A figure as `show` writes it: `kind` is one of `model.quantities`."""
    return Span(show(value, kind, figures=figures, unit=unit), key, _known(value))


def counted(key: str, value: float | None, unit: str = "", *, digits: int = 0) -> Span:
    """A figure in a unit that nobody types, with `digits` decimals."""
    known = _known(value)
    if known is None:
        return Span("-", key)
    rounded = round(known, digits) + 0.0  # never "-0"
    return Span(f"{rounded:.{digits}f} {unit}".rstrip(), key, known)


def share(key: str, value: float, digits: int = 0, *, unit: bool = True) -> Span:
    """A share, written as a percentage; the value stays a share."""
    written = percent(value, digits)
    return Span(written if unit else written.removesuffix(" %"), key, _known(value), percent=not unit)


def rating(key: str, value: float | None, unit: str = "") -> Span:
    """A rating as it is printed on the thing: "7.5", "40"."""
    return Span("-" if value is None else f"{value:g} {unit}".rstrip(), key, value)


def word(key: str, value: str) -> Span:
    """A word that the contract holds too."""
    return Span(value, key, value)


def _known(value: float | None) -> float | None:
    return value if value is not None and isfinite(value) else None
