"""The head of a pasted table: which of its columns is which of ours, and in what unit its bare numbers are."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

WORDS = {
    "name": ("load", "name", "device", "appliance", "item", "what"),
    "quantity": ("quantity", "qty", "number", "pieces", "count", "how many"),
    "power": ("power", "watts", "watt", "w", "current", "amps", "amperes", "a"),
    "hours_per_day": ("hours", "hours a day", "hours per day", "duty hours", "h", "time on"),
    "duty": ("duty", "duty cycle", "duty %"),
    "when": ("when", "time of day", "at"),
    "months": ("months", "months of use", "season"),
}
"""What people write above a column of loads."""
_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
TELLING = {
    "power": re.compile(rf"{_NUMBER}\s*(?:[kKmM]?[wW]|[mM]?A)"),
    "hours_per_day": re.compile(rf"{_NUMBER}\s*(?:h|hours?|min|minutes?)|[0-9]+\s*h\s*[0-9]+|[0-9]+:[0-9]{{2}}"),
    "duty": re.compile(rf"{_NUMBER}\s*%"),
    "quantity": re.compile(r"[0-9]{1,3}\s*(?:x|×|pcs?)?"),
    "when": re.compile(r"all day|day|evening|night|dark|[0-9]{1,2}-[0-9]{1,2}(?:,.*)?"),
    "months": re.compile(r"all|[A-Z][a-z]{2,}(?:\s*[-,]\s*[A-Z][a-z]{2,})*"),
}
"""What a cell looks like that can belong to one column alone."""
AMPERES = ("current", "amps", "amperes", "a")
_UNIT = re.compile(r"[(\[]\s*(.+?)\s*[)\]]|(?<=\s)(W|kW|A|mA|h|min)$")
_BARE = re.compile(r"\s*[+-]?[0-9]+(?:[.,][0-9]+)?\s*")


@dataclass(frozen=True, slots=True)
class Head:
    """columns: for each column of the pasted table ours, None where it is not taken; units: of its bare numbers, "" where the
    head says none; left: the heads that are not taken."""

    columns: tuple[str | None, ...]
    units: tuple[str, ...]
    left: tuple[str, ...]

    def cells(self, row: Sequence[str]) -> dict[str, str]:
        """The texts of a row by our columns, bare numbers with the unit of their head."""
        found: dict[str, str] = {}
        for column, unit, text in zip(self.columns, self.units, row, strict=False):
            if column is not None:
                found[column] = f"{text.strip()} {unit}" if unit and _BARE.fullmatch(text) else text
        return found


def head_of(cells: Sequence[str]) -> Head | None:
    """The head, where a line is one: it names the load's name and one column more at least, each once."""
    columns, units, left = list[str | None](), list[str](), list[str]()
    for text in cells:
        column, unit = _column(text)
        if column is not None and column in columns:
            column = None
        columns.append(column)
        units.append(unit if column not in (None, "name", "when", "months") else "")
        if column is None and text.strip():
            left.append(text.strip())
    known = [column for column in columns if column is not None]
    return Head(tuple(columns), tuple(units), tuple(left)) if "name" in known and len(known) > 1 else None


def by_units(rows: Sequence[Sequence[str]]) -> Head | None:
    """The columns as their cells tell, where no head does: 40 W is a power, 6 h are hours, 35 % a duty, a bare 2 a quantity.

    The first one holds names. None where a cell of some column tells nothing, or two columns tell the same.
    """
    columns: list[str | None] = ["name"]
    for at in range(1, max(map(len, rows))):
        told = {_told(row[at].strip()) for row in rows if at < len(row) and row[at].strip()}
        if not told:
            columns.append(None)
            continue
        if len(told) > 1 or None in told or told <= set(columns):
            return None
        columns.append(told.pop())
    return Head(tuple(columns), ("",) * len(columns), ()) if len(columns) > 1 else None


def _told(cell: str) -> str | None:
    """Which of our columns the text of a cell belongs to by its unit or its words."""
    for column, pattern in TELLING.items():
        if pattern.fullmatch(cell):
            return column
    return None


def _column(text: str) -> tuple[str | None, str]:
    """Which of our columns a head means, and the unit that it names."""
    found = _UNIT.search(text)
    unit = (found.group(1) or found.group(2) or "") if found else ""
    words = " ".join(_UNIT.sub("", text).split()).casefold().rstrip(":.")
    for column, meant in WORDS.items():
        if words in meant:
            return column, unit or ("A" if words in AMPERES else "")
    return None, ""
