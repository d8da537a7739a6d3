"""Carry the edits of a design over into the text it was read from, touching nothing else.

Single values are replaced where they stand, new keys join their table, rows (loads, obstacles, prices) move as whole pieces
of text together with the comment directly above them. A style-keeping TOML library was tried for this and left the comment of
a removed row behind while it took away that of the next one; hence this page on plain spans.
"""

from __future__ import annotations

import re
from collections import defaultdict, deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from typing import Any

from model import entry
from model.design import Design
from model.record import schema
from model.record.fresh import table_text, value_text
from model.record.layout import Layout, Span, lay_out
from model.record.schema import Path

_BLANK_LINES = re.compile(r"(?:[ \t]*\r?\n)*")


class Unpatchable(Exception):
    """The text is written in a way that this module cannot edit; it must be written anew."""


@dataclass(frozen=True, slots=True)
class _Edit:
    start: int
    end: int
    text: str
    rank: int = 0  # of several edits at one place, which comes first


def patch(text: str, old: Design, new: Design) -> str:
    """`text`, from which `old` was read, made to describe `new`.

    Raises Unpatchable. The result is to be read again and compared with `new` all the same.
    """
    layout = lay_out(text)
    patched = _apply(text, Span(0, len(text)), list(_record_edits(layout, old, new, ())))
    return patched.rstrip("\r\n") + text[len(text.rstrip("\r\n")) :]  # the file ends as it ended


def pairs(old: Sequence[Any], new: Sequence[Any]) -> list[int | None]:
    """For each new row the index of the old row it came from, None for an added one.

    Equal rows belong together first, then rows of the same name, or the same place where rows have no name, and last those
    that agree in half of what was entered: a load that was only renamed.
    """
    origin: list[int | None] = [None] * len(new)
    left: dict[int, Any] = dict(enumerate(old))

    def match(key: Any) -> None:
        waiting: dict[Any, deque[int]] = defaultdict(deque)
        for index, row in left.items():
            waiting[key(index, row)].append(index)
        for index, row in enumerate(new):
            if origin[index] is None and (found := waiting.get(key(index, row))):
                origin[index] = taken = found.popleft()
                del left[taken]

    match(lambda _, row: row)
    match(lambda index, row: getattr(row, "name", index) or object())
    for index, row in enumerate(new):
        if origin[index] is None:
            alike = next((at for at, other in left.items() if _alike(other, row)), None)
            if alike is not None:
                origin[index] = alike
                del left[alike]
    return origin


def _alike(old: Any, new: Any) -> bool:
    entered = [item.name for item in fields(old) if getattr(old, item.name) != item.default]
    agreeing = [name for name in entered if getattr(old, name) == getattr(new, name)]
    return 2 * len(agreeing) >= len(entered) > 0


def _record_edits(layout: Layout, old: Any, new: Any, path: Path) -> Iterator[_Edit]:
    kind: type = type(new)
    added = []
    for name, declared in entry.entries(kind).items():
        value = getattr(new, name)
        if getattr(old, name) == value:
            continue
        written = value_text(declared, value)
        span = layout.values.get((*path, declared.key))
        if span:
            yield _Edit(span.start, span.end, written.replace("\n", _line_end(layout.text)))
        else:
            added.append(f"{declared.key} = {written}")
    if added:
        yield _added_keys(layout, path, added)
    for name, inner in schema.nested(kind).items():
        before, after = getattr(old, name), getattr(new, name)
        if before == after:
            continue
        below = (*path, inner.key)
        if inner.shape == "list":
            yield from _list_edits(layout, before, after, below)
        elif after is None:
            yield from _removed_table(layout, below)
        elif before is not None and _written(layout, below):
            yield from _record_edits(layout, before, after, below)
        else:
            yield _at_end(layout, table_text(after, _header(below)), path)


def _list_edits(layout: Layout, old: Sequence[Any], new: Sequence[Any], path: Path) -> Iterator[_Edit]:
    """Rows keep their places in the text as far as they can: a removed one leaves, an added one follows the row before it."""
    origin = pairs(old, new)
    edits = {
        index: list(_record_edits(layout, old[index], row, (*path, index)))
        for index, row in zip(origin, new, strict=True)
        if index is not None
    }
    if origin == list(range(len(old))):  # the same rows in the same order
        for some in edits.values():
            yield from some
        return
    if path in layout.values:
        raise Unpatchable("rows written as a list of inline tables")
    pieces = [_piece(layout, (*path, index)) for index in range(len(old))]
    end = _line_end(layout.text)
    gap = layout.text[pieces[0].end : pieces[1].start] if len(pieces) > 1 else end
    gap = end if gap.strip() else gap
    places = iter(sorted(edits))
    head, follow = "", ""
    place: int | None = None
    for index, row in zip(origin, new, strict=True):
        if index is None:
            text = table_text(row, _header(path), row=True).replace("\n", end)
            head, follow = (head + text + gap, "") if place is None else (head, follow + gap + text)
            continue
        if place is not None:
            yield _Edit(pieces[place].start, pieces[place].end, follow)
        place = next(places)
        follow = _ended(_apply(layout.text, pieces[index], edits[index]), end)
    if place is not None:
        yield _Edit(pieces[place].start, pieces[place].end, follow)
    if head and pieces:
        yield _Edit(pieces[0].start, pieces[0].start, head)
    elif head:
        yield _at_end(layout, head.removesuffix(gap).replace("\r\n", "\n"), path)
    for index, piece in enumerate(pieces):
        if index not in edits:
            yield _Edit(piece.start, _end_with_blank_lines(layout, path, piece), "")


def _end_with_blank_lines(layout: Layout, path: Path, span: Span) -> int:
    """End of the blank lines below `span`, which belongs to the table at `path`; those below a row are not its own."""
    end = _BLANK_LINES.match(layout.text, span.end).end()  # type: ignore[union-attr]  # it matches nothing at the least
    return min(end, _room(layout, path).end)


def _room(layout: Layout, path: Path) -> Span:
    """Where tables within `path` may stand: in the innermost row that it lies in, or anywhere."""
    rows = [depth for depth, step in enumerate(path, 1) if isinstance(step, int)]
    return _piece(layout, path[: rows[-1]]) if rows else Span(0, len(layout.text))


def _ended(text: str, end: str) -> str:
    return text if text.endswith("\n") else text + end


def _piece(layout: Layout, path: Path) -> Span:
    spans = layout.blocks.get(path, [])
    if len(spans) != 1:
        raise Unpatchable("a row in several pieces")
    return spans[0]


def _removed_table(layout: Layout, path: Path) -> Iterator[_Edit]:
    if path in layout.values or path not in layout.blocks:
        raise Unpatchable("a table that is written inside another")
    for span in layout.blocks[path]:
        yield _Edit(span.start, _end_with_blank_lines(layout, path, span), "")


def _written(layout: Layout, path: Path) -> bool:
    return path in layout.starts or path in layout.blocks


def _added_keys(layout: Layout, path: Path, lines: Sequence[str]) -> _Edit:
    """New keys after the last one of their table, indented like it."""
    if span := layout.values.get(path):  # { an inline table }
        inside = layout.text[span.start + 1 : span.end - 1].strip()
        written = ", ".join(lines)
        return _Edit(span.end - 1, span.end - 1, f", {written} " if inside else f" {written} ")
    home = layout.homes.get(path)
    if home is None and path in layout.starts:
        raise Unpatchable("a table spread over dotted keys")
    if home is None:  # only tables within it are written down
        return _at_end(layout, f"[{_header(path)}]\n" + "".join(line + "\n" for line in lines), path)
    end = _line_end(layout.text)
    before = layout.text[: home.offset]
    body = end.join(home.lead + line.replace("\n", end) for line in lines)
    whole_line = not before or before.endswith("\n")
    return _Edit(home.offset, home.offset, body + end if whole_line else end + body)


def _at_end(layout: Layout, block: str, path: Path) -> _Edit:
    """A new table within `path` at the end: of the row that it belongs to, since a header means the row above it, or of all."""
    at, end = _room(layout, path).end, _line_end(layout.text)
    text = layout.text[:at]
    gap = "" if not text or text.endswith("\n\n") else end if text.endswith("\n") else end + end
    return _Edit(at, at, gap + block.replace("\n", end), rank=1)


def _header(path: Path) -> str:
    return ".".join(step for step in path if isinstance(step, str))


def _line_end(text: str) -> str:
    first = text.find("\n")
    return "\r\n" if first > 0 and text[first - 1] == "\r" else "\n"


def _apply(text: str, span: Span, edits: Sequence[_Edit]) -> str:
    """The part of `text` within `span` with the edits made; edits at one place keep their order."""
    parts, at = [], span.start
    for edit in sorted(edits, key=lambda edit: (edit.start, edit.end, edit.rank)):
        if edit.start < at or edit.end > span.end:
            raise Unpatchable("edits that overlap")
        parts += [text[at : edit.start], edit.text]
        at = edit.end
    return "".join([*parts, text[at : span.end]])
