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


def _column(text: str) -> tuple[str | None, str]:
    """Which of our columns a head means, and the unit that it names."""
    found = _UNIT.search(text)
    unit = (found.group(1) or found.group(2) or "") if found else ""
    words = " ".join(_UNIT.sub("", text).split()).casefold().rstrip(":.")
    for column, meant in WORDS.items():
        if words in meant:
            return column, unit or ("A" if words in AMPERES else "")
    return None, ""
