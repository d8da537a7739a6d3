"""From the bytes of a design file to a Design, or to a list of what is wrong with them, each with its line."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from functools import cached_property
from itertools import islice
from typing import Any

from model import entry
from model.design import Design, Entry
from model.edit import MOST_ROWS
from model.quantities import Refusal
from model.record import schema
from model.record.layout import Layout, lay_out
from model.record.schema import Path

MOST_PROBLEMS = 50
_MOST_BITS = 200
MARK = "\ufeff"  # some editors begin a file with this byte order mark

# The time and the memory that tomllib takes for a dotted key grow with the square of its parts: 100 000 end a machine.
_LONG_KEY = re.compile(r"""(?:(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){50}""")
_NOT_ENDED = "a text begun with a quotation mark, here or above, has none at its end"
_SYNTAX = {  # how tomllib begins its message -> what we say
    "Cannot overwrite a value": "this key stands here for the second time",
    "Cannot declare": "this table stands here for the second time",
    "Cannot mutate": "this table stands here for the second time",
    "Unclosed array": "a list begun with [, here or above, has no ] at its end",
    "Unterminated string": _NOT_ENDED,
    "Expected \"'": _NOT_ENDED,
    "Illegal character": "a text must end on the line on which it began, and may hold no control character",
    "Unescaped": "in a text between \" marks a backslash is written twice; or use ' marks",
    "Expected '=' after a key": "a line reads: key = value",
    "Expected ']": "a table begins with its name in brackets: [roof], or [[load]] for each load",
    "Invalid statement": "a line reads: key = value, or [table], or # comment",
    "Invalid value": "the value is neither a text in quotation marks, nor a number, nor true or false",
    "Expected newline": "there is something behind the value that does not belong there; put texts in quotation marks",
}


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a file. `field` is spoken ('load "Fridge", hours') and empty where no field is to blame."""

    line: int | None
    field: str
    message: str


class Wrong(Exception):
    """The file holds no design; `problems` has at least one."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__(problems[0].message)
        self.problems = problems


@dataclass(frozen=True, slots=True)
class Content:
    """A design as read, and what was found beside it."""

    design: Design
    unknown: tuple[Problem, ...]


def decode(content: bytes) -> str:
    """The text of a file, byte order mark included. Raises Wrong where it is not UTF-8 text."""
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise Wrong([Problem(line, "", "this is not text in UTF-8; save it as UTF-8 in a text editor")]) from error
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise Wrong([Problem(line, "", "this is not a text file: it holds a NUL character")])
    return text


def parse(text: str) -> dict[str, Any]:
    """The tables of a TOML text. Raises Wrong for everything else."""
    if long := _LONG_KEY.search(text):
        raise Wrong([Problem(text.count("\n", 0, long.start()) + 1, "", "a key of more than fifty parts")])
    try:
        return tomllib.loads(text.removeprefix(MARK))
    except RecursionError as error:
        raise Wrong([Problem(None, "", "lists or tables are nested too deeply for a design")]) from error
    except ValueError as error:  # TOMLDecodeError is one; so is a number of thousands of digits
        said = str(error)
        found = re.search(r" ?\(at line ([0-9]+), column [0-9]+\)", said)
        line = int(found[1]) if found else text.rstrip().count("\n") + 1 if "end of document" in said else None
        reason = next((ours for theirs, ours in _SYNTAX.items() if said.startswith(theirs)), None)
        cause = said.replace(found[0] if found else "(at end of document)", "").strip()
        shown = "".join(letter if letter.isprintable() else "?" for letter in cause)[:100]
        raise Wrong([Problem(line, "", reason or f"this is not TOML: {shown}")]) from error


def read(text: str) -> Content:
    """The design that a text describes. Raises Wrong with all that is wrong with it."""
    raw = parse(text)
    reader = _Reader(text, raw)
    reader.judge_format()
    reader.judge_shape()
    design = reader.record(Design, raw, ())
    if reader.problems:
        raise Wrong(sorted(reader.problems, key=lambda problem: problem.line or 0))
    return Content(design, tuple(reader.unknown_keys()))


def as_text(value: schema.Scalar) -> str:
    """A TOML value as a person would type it into a cell; a number without an exponent. Raises Refusal."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{Decimal(repr(value)):f}"
    if isinstance(value, int) and value.bit_length() > _MOST_BITS:
        raise Refusal("this number is too long")
    return str(value)


class _Reader:
    def __init__(self, text: str, raw: dict[str, Any]) -> None:
        self.text = text
        self.raw = raw
        self.problems: list[Problem] = []
        self.spoiled: set[Path] = set()  # blamed and taken out

    @cached_property
    def layout(self) -> Layout:
        return lay_out(self.text.removeprefix(MARK))

    def blame(self, path: Path, message: str) -> None:
        if len(self.problems) < MOST_PROBLEMS:
            self.problems.append(self.problem(path, message))

    def problem(self, path: Path, message: str) -> Problem:
        return Problem(self.layout.line(path), schema.spoken(path, self.raw), message)

    def judge_format(self) -> None:
        """Refuse at once what is no design file, or one of a later program: its values would be misread."""
        number = self.raw.get("format")
        if number is None:
            message = f'this is no design file: the line "format = {schema.FORMAT}" is missing; write it at the top if it is one'
            raise Wrong([Problem(1, "", message)])
        if type(number) is not int or number < 1:
            raise Wrong([self.problem(("format",), f"write format = {schema.FORMAT}")])
        if number > schema.FORMAT:
            message = (
                f"this file is of a later format; this program reads format {schema.FORMAT}: it needs a newer program"
            )
            raise Wrong([self.problem(("format",), message)])

    def judge_shape(self) -> None:
        """Take out and blame whatever is a table where a value belongs, and so on, until the rest has the right shape."""
        while (path := schema.misshapen(self.raw)) is not None:
            self.blame(path, self._expected(path))
            if len(self.problems) >= MOST_PROBLEMS or not path:
                raise Wrong(self.problems)
            is_row = isinstance(path[-1], int) and isinstance(schema.declared(path), schema.Nested)
            while not is_row and isinstance(path[-1], int):
                path = path[:-1]  # one bad value spoils its whole list
            holder: Any = self.raw
            for step in path[:-1]:
                holder = holder[step]
            if is_row:
                holder[path[-1]] = {}
            else:
                del holder[path[-1]]
                self.spoiled.add(path)

    @staticmethod
    def _expected(path: Path) -> str:
        declared = schema.declared(path)
        if isinstance(declared, schema.Nested):
            header = ".".join(step for step in path if isinstance(step, str))
            return f"a table belongs here, under the header {f'[[{header}]]' if declared.shape == 'list' else f'[{header}]'}"
        if declared is not None and declared.many and not isinstance(path[-1], int):
            return "a list of values belongs here, [1.2, 3.4, ...]"
        return 'one value belongs here, such as "45 W" or 3.5'

    def record(self, kind: type, raw: dict[str, Any], path: Path) -> Any:
        values: dict[str, Any] = {}
        for name, declared in entry.entries(kind).items():
            if declared.key in raw:
                try:
                    values[name] = self._value(kind, name, declared, raw[declared.key])
                except Refusal as refusal:
                    self.blame((*path, declared.key), str(refusal))
            elif declared.many > 0 and not declared.optional and (*path, declared.key) not in self.spoiled:
                self.blame(path, f"“{declared.key}” is missing: a list of {declared.many} values, one for each month")
        for name, inner in schema.nested(kind).items():
            if inner.key in raw:
                below = (*path, inner.key)
                content = raw[inner.key]
                if inner.shape == "list":
                    if len(content) > MOST_ROWS:
                        self.blame(
                            (*below, MOST_ROWS), f"there are {len(content)} of these; {MOST_ROWS} is the most that fits"
                        )
                    rows = [self.record(inner.record, row, (*below, at)) for at, row in enumerate(content[:MOST_ROWS])]
                    values[name] = tuple(rows)
                else:
                    values[name] = self.record(inner.record, content, below)
        return kind(**values)

    @staticmethod
    def _value(kind: type, name: str, declared: Entry, raw: Any) -> Any:
        if isinstance(raw, list):
            if declared.optional and not raw:
                return None
            return entry.read_many(declared, [as_text(item) for item in raw])
        if isinstance(raw, bool) and declared.kind != "yes/no":
            raise Refusal(f"{declared.label}: {str(raw).lower()} says nothing here; {entry.hint(kind, name)}")
        return entry.read(kind, name, as_text(raw))

    def unknown_keys(self) -> list[Problem]:
        found = []
        for path, record in islice(schema.unknown(self.raw), MOST_PROBLEMS):
            near = get_close_matches(str(path[-1]).lower(), list(schema.keys(record)), 1)
            hint = f"; is “{near[0]}” meant?" if near else ""
            found.append(self.problem(path, f"this key means nothing to Ampledger; it is kept{hint}"))
        return found
