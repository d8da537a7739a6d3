"""Reads a log of real days from CSV: day, Wh in, Wh out, lowest charge, as meters and people write them.

The first row that is not empty names the columns. Commas, semicolons or tabs part them; numbers may have a decimal comma, then
the columns are parted by something else or the number is quoted. A row that cannot be read is refused with its line: a log that
is half understood would mend a plan wrongly.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path

from model.calendar import read_date
from model.logged import LogDay
from model.quantities import Refusal
from model.quantities import read as read_quantity
from model.record import disk

TOLD = 3  # broken rows that are told one by one
COLUMNS = "day, in, out, min"
_PLAIN_DATE = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?:[T ].*)?", re.ASCII)
_DAY_FIRST = re.compile(r"([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4})(?:[T ].*)?", re.ASCII)
_WORDS = {
    "day": {"day", "date"},
    "income": {"in", "income", "charged", "harvest", "input"},
    "used": {"out", "used", "use", "drawn", "consumption", "output"},
    "lowest": {"min", "minimum", "lowest"},
}


class LogRefused(ValueError):
    """Why a log is not taken: one line for a person, with the lines of the file where it hurts."""


def read_log(path: Path) -> tuple[LogDay, ...]:
    """The days of the log at `path`, in the order of the file.

    Raises LogRefused for a file that is no such log or has rows that cannot be read, DiskTrouble where it cannot be read at all.
    """
    content, _ = disk.read(path)
    text = content.decode("utf-8-sig", errors="replace")
    lines = text.splitlines()
    head = next((number for number, line in enumerate(lines) if line.strip()), None)
    if head is None:
        raise LogRefused(f"{path.name} is empty: its first row names the columns ({COLUMNS})")
    delimiter, columns = _columns(path, lines[head])
    days: list[LogDay] = []
    broken: list[str] = []
    seen: dict[tuple[int, int, int], int] = {}
    for line, cells in _rows(text, delimiter):
        if line <= head + 1:
            continue
        try:
            day = _day(cells, columns)
            when = (day.year, day.month, day.day)
            if when in seen:
                raise Refusal(f"the day of line {seen[when]} once more")
            seen[when] = line
            days.append(day)
        except Refusal as refusal:
            broken.append(f"line {line}: {refusal}")
    if broken:
        more = f"; and {len(broken) - TOLD} rows more" if len(broken) > TOLD else ""
        raise LogRefused(f"{path.name} has rows that cannot be read: {'; '.join(broken[:TOLD])}{more}")
    if not days:
        raise LogRefused(f"{path.name} names its columns but holds no day")
    return tuple(days)


def _rows(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(text.splitlines(), delimiter=delimiter)
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise LogRefused(f"line {reader.line_num}: {error}") from error
        if any(cell.strip() for cell in cells):
            yield reader.line_num, cells


def _columns(path: Path, head: str) -> tuple[str, dict[str, tuple[int, str]]]:
    """What parts the columns, and for each that is known its place and its unit ("" where the head names none)."""
    found = {delimiter: _named(next(csv.reader([head], delimiter=delimiter))) for delimiter in ";\t,"}
    delimiter = max(found, key=lambda each: len(found[each]))
    columns = found[delimiter]
    if "day" not in columns or not {"income", "used"} & columns.keys():
        raise LogRefused(
            f"{path.name}: its first row names no day and no energy; it takes columns {COLUMNS}, such as"
            " “day, Wh in, Wh out, min %”"
        )
    return delimiter, columns


def _named(cells: list[str]) -> dict[str, tuple[int, str]]:
    columns: dict[str, tuple[int, str]] = {}
    for place, cell in enumerate(cells):
        words = set(re.findall(r"[a-z]+", cell.lower()))
        for name, spellings in _WORDS.items():
            if words & spellings and name not in columns:
                columns[name] = (place, "kWh" if "kwh" in words else "")
                break
    return columns


def _day(cells: list[str], columns: dict[str, tuple[int, str]]) -> LogDay:
    """One row. Raises Refusal."""
    texts = {name: cells[place].strip() if place < len(cells) else "" for name, (place, _) in columns.items()}
    year, month, day = _date(texts["day"])
    values = {name: _energy_wh(texts[name], columns[name][1] or "Wh") for name in ("income", "used") if texts.get(name)}
    lowest = _share(texts["lowest"]) if texts.get("lowest") else None
    if not values:
        raise Refusal("neither in nor out")
    return LogDay(year, month, day, values.get("income"), values.get("used"), lowest)


def _energy_wh(text: str, unit: str) -> float:
    bare = not re.search(r"[a-zA-Z]", text)
    return read_quantity(f"{text} {unit}" if bare else text, "energy")


def _share(text: str) -> float:
    return read_quantity(text if "%" in text else f"{text} %", "percent")


def _date(text: str) -> tuple[int, int, int]:
    if match := _DAY_FIRST.fullmatch(text):
        text = f"{match[3]}-{match[2]}-{match[1]}"
    elif match := _PLAIN_DATE.fullmatch(text):
        text = f"{match[1]}-{match[2]}-{match[3]}"
    written = read_date(text)
    parts = written.split("-")
    if len(parts) != 3:
        raise Refusal(f"“{written}” has no year: write 2026-12-24")
    return int(parts[0]), int(parts[1]), int(parts[2])
