"""Where every table and value of a TOML text stands: line numbers for messages, spans for patching.

The text must already have been accepted by tomllib. Offsets count characters of the text as it is, line endings included.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field

from model.record.schema import Path

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*+")
_STRING = r'''"""(?:[^"\\]+|\\.|"(?!""))*+"{3,5}|\'\'\'(?:[^']+|'(?!''))*+'{3,5}|"(?:[^"\\\n]+|\\.)*+"|'[^'\n]*\''''
_KEY_PART = re.compile(rf"[ \t]*(?:({_STRING})|([A-Za-z0-9_-]+))[ \t]*", re.DOTALL)
_PLAIN = re.compile(rf"{_STRING}|[^\s=,\[\]{{}}#\"']+(?: [0-9][0-9]:[^\s,\[\]{{}}#]+)?", re.DOTALL)
_COMMENTS_BELOW = re.compile(r"(?:[ \t]*#[^\n]*(?:\n|\Z))*")
_REST_OF_LINE = re.compile(r"[^\n]*\n?")


@dataclass(frozen=True, slots=True)
class Span:
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Home:
    """Where a further key of a table goes: `lead` + key = value, inserted at `offset`."""

    offset: int
    lead: str


@dataclass(slots=True)
class Layout:
    """values: path -> span of the value.
    blocks: path of a headed table -> its lines, one span for each stretch of text: from the comment directly above the header
    to the last line, tables within it included, a comment directly below it too; blank lines around it are not.
    homes: path -> Home.
    starts: path -> where the header or the key stands.
    """

    text: str
    values: dict[Path, Span] = field(default_factory=dict)
    blocks: dict[Path, list[Span]] = field(default_factory=dict)
    homes: dict[Path, Home] = field(default_factory=dict)
    starts: dict[Path, int] = field(default_factory=dict)
    _lines: list[int] = field(default_factory=list)

    def line(self, path: Path) -> int:
        """Line, counted from 1, of the value or table at `path`, or of the nearest thing around it that is written down."""
        if not self._lines:
            self._lines = [0, *(match.end() for match in re.finditer("\n", self.text))]
        while path and path not in self.starts:
            path = path[:-1]
        return bisect_right(self._lines, self.starts.get(path, 0))


def lay_out(text: str) -> Layout:
    """The layout of a valid TOML text."""
    return _Scanner(text).scan()


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.layout = Layout(text)
        self.counts: dict[Path, int] = {}  # array of tables -> how many headers so far
        self.headers: list[tuple[Path, int]] = []  # path and start of block, in the order of the text
        self.ends: list[int] = []  # of the lines of headers and statements

    def scan(self) -> Layout:
        here: Path = ()
        self.layout.homes[()] = Home(0, "")
        self._skip()
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                here = self._header()
            else:
                self._statement(here)
            self._skip()
        self._close_blocks()
        return self.layout

    def _skip(self) -> None:
        self.at = _BLANK.match(self.text, self.at).end()  # type: ignore[union-attr]  # it matches nothing at the least

    def _line_start(self, offset: int) -> int:
        return self.text.rfind("\n", 0, offset) + 1

    def _header(self) -> Path:
        start = self.at
        array = self.text.startswith("[[", start)
        self.at += 1 + array
        names = self._key()
        path: Path = ()
        for name in names[:-1]:
            path = self._last((*path, name))
        path = (*path, names[-1])
        if array:
            self.counts[path] = self.counts.get(path, 0) + 1
            path = self._last(path)
        self.at += 1 + array
        self.at = _REST_OF_LINE.match(self.text, self.at).end()  # type: ignore[union-attr]
        self.ends.append(self.at)
        self.headers.append((path, self._with_comment_above(self._line_start(start))))
        for depth in range(1, len(path) + 1):
            self.layout.starts.setdefault(path[:depth], start)
        self.layout.homes[path] = Home(self.at, self.text[self._line_start(start) : start])
        return path

    def _last(self, path: Path) -> Path:
        return (*path, self.counts[path] - 1) if path in self.counts else path

    def _with_comment_above(self, start: int) -> int:
        while start and self.text[self._line_start(start - 1) : start].lstrip(" \t").startswith("#"):
            start = self._line_start(start - 1)
        return start

    def _statement(self, here: Path) -> None:
        start = self.at
        names = self._key()
        self.at += 1
        self._skip_spaces()
        path = (*here, *names)
        for depth in range(len(here) + 1, len(path) + 1):
            self.layout.starts.setdefault(path[:depth], start)
        self._value(path)
        self.at = _REST_OF_LINE.match(self.text, self.at).end()  # type: ignore[union-attr]
        self.ends.append(self.at)
        indent = self.text[self._line_start(start) : start]
        self.layout.homes[here] = Home(self.at, indent)
        if len(names) > 1:
            written = self.text[start : self.text.index("=", start)].rstrip()
            if written == ".".join(names):
                self.layout.homes[path[:-1]] = Home(self.at, f"{indent}{'.'.join(names[:-1])}.")

    def _key(self) -> tuple[str, ...]:
        names = []
        while True:
            match = _KEY_PART.match(self.text, self.at)
            assert match is not None, "lay_out takes valid TOML only"
            self.at = match.end()
            names.append(tomllib.loads(f"k = {match[1]}")["k"] if match[1] else match[2])
            if not self.text.startswith(".", self.at):
                return tuple(names)
            self.at += 1

    def _skip_spaces(self) -> None:
        while self.text.startswith((" ", "\t"), self.at):
            self.at += 1

    def _value(self, path: Path) -> None:
        """Note the span of the value that begins here, and of every value within it."""
        start = self.at
        opening = self.text[start]
        if opening in "[{":
            self.at += 1
            self._skip()
            position = 0
            while self.text[self.at] not in "]}":
                inner_start = self.at
                names: Path = (position,) if opening == "[" else self._key()
                if opening == "{":
                    self.at += 1
                    self._skip_spaces()
                self.layout.starts.setdefault((*path, *names), inner_start)
                self._value((*path, *names))
                position += 1
                self._skip()
                if self.text[self.at] == ",":
                    self.at += 1
                    self._skip()
            self.at += 1
        else:
            match = _PLAIN.match(self.text, self.at)
            assert match is not None, "lay_out takes valid TOML only"
            self.at = match.end()
        self.layout.values[path] = Span(start, self.at)

    def _close_blocks(self) -> None:
        """A block ends with the last line before the next header that does not lie within it."""
        limits = [*(start for _, start in self.headers), len(self.text)][1:]
        for (path, start), limit in zip(self.headers, limits, strict=True):
            last = self.ends[bisect_right(self.ends, limit) - 1]
            end = min(_COMMENTS_BELOW.match(self.text, last).end(), limit)  # type: ignore[union-attr]
            for depth in range(1, len(path) + 1):
                spans = self.layout.blocks.setdefault(path[:depth], [])
                if spans and not self.text[spans[-1].end : start].strip():
                    spans[-1] = Span(spans[-1].start, end)
                else:
                    spans.append(Span(start, end))
