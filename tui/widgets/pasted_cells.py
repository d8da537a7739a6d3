"""Text from the clipboard as rows of cells, whatever stands between them."""

from __future__ import annotations

import csv
import re

_DECIMAL_OR_PROSE = re.compile(r"(?<=[0-9]),(?=[0-9])|,(?=\s)")


def pasted_cells(text: str) -> list[list[str]]:
    """The rows of a pasted text, blank ones at its end left out.

    Tabs part cells, as spreadsheets give them. Without a tab, semicolons or else commas do, if every line has the same number
    of them, one at least, outside of quotes. Commas part nothing on a single line ("1,5 h", "Oct, Nov"), nor where all of them
    are decimal commas or stand before a space.
    """
    lines = text.splitlines()
    while lines and not lines[-1].strip():
        lines.pop()
    if not any("\t" in line for line in lines):
        for sign in ";,":
            rows = _split(lines, sign)
            if rows is not None:
                return rows
    return [line.split("\t") for line in lines]


def _split(lines: list[str], sign: str) -> list[list[str]] | None:
    """The cells between `sign`; None where that is no separator here."""
    if not lines or (sign == "," and (len(lines) == 1 or "," not in _DECIMAL_OR_PROSE.sub("", "\n".join(lines)))):
        return None
    try:
        rows = list(csv.reader(lines, delimiter=sign, skipinitialspace=True, strict=True))
    except csv.Error:
        return None
    counts = {len(row) for row in rows}
    return rows if len(rows) == len(lines) and len(counts) == 1 and counts.pop() > 1 else None
