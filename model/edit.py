"""Edits of a design, each giving a new one: a field by its path, rows of a list by their index.

A path names a field as findings do: "battery/autonomy_days", "loads/3/hours_per_day", "roof/obstacles/0/x_m". Only the
records on the way to the field are made anew, so what did not change stays the same object and is not computed again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from model import entry
from model.design import (
    Circuit,
    Connector,
    Day,
    Design,
    Jacket,
    Load,
    Obstacle,
    Price,
    Reading,
    Run,
    Stop,
    Tap,
    Weather,
)
from model.quantities import METRIC, Preferences

ROWS: dict[str, type] = {
    "loads": Load,
    "roof/obstacles": Obstacle,
    "battery/prices": Price,
    "days": Day,
    "stops": Stop,
    "circuits": Circuit,
    "wiring/jackets": Jacket,
}
CIRCUIT_ROWS: dict[str, type] = {"runs": Run, "taps": Tap, "readings": Reading, "connectors": Connector}
"""Lists within a circuit, by the last part of their path."""
MOST_ROWS = 1000
Root = TypeVar("Root")
"""A Design, or another record whose fields are declared in the same way."""


def get(design: Any, path: str) -> Any:
    """The value at `path`; KeyError where there is none."""
    value: Any = design
    for part in path.split("/"):
        value = _step(value, part, path)
    return value


def put(design: Root, path: str, value: Any) -> Root:
    """The design, or other record, with `value` at `path`; KeyError where the path leads nowhere."""
    made = _put(design, path.split("/"), value, path)
    assert isinstance(made, type(design))
    return made


def record_at(design: Any, path: str) -> tuple[type, str]:
    """The dataclass and the field name at the end of `path`, for `model.entry`."""
    parent, _, name = path.rpartition("/")
    record = get(design, parent) if parent else design
    if record is None and parent == "weather":
        return Weather, name
    if not is_dataclass(record) or name not in {item.name for item in fields(record)}:
        raise KeyError(path)
    return type(record), name


def put_text(design: Root, path: str, text: str) -> Root:
    """The design with the field at `path` read from what a person typed; Refusal where it does not fit."""
    record, name = record_at(design, path)
    return put(design, path, entry.read(record, name, text))


def text_at(design: Any, path: str, wish: Preferences = METRIC) -> str:
    """The field at `path` as a text that `put_text` reads back."""
    record, name = record_at(design, path)
    return entry.write(record, name, get(design, path), wish)


def hint_at(design: Any, path: str) -> str:
    """What the field at `path` accepts."""
    return entry.hint(*record_at(design, path))


def insert(design: Design, path: str, index: int, rows: Sequence[Any]) -> Design:
    """The design with `rows` put before row `index` of the list at `path`."""
    there = get(design, path)
    return put(design, path, (*there[:index], *rows, *there[index:]))


def remove(design: Design, path: str, indices: Sequence[int]) -> Design:
    """The design without the rows at `indices` of the list at `path`."""
    gone = set(indices)
    return put(design, path, tuple(row for index, row in enumerate(get(design, path)) if index not in gone))


def move(design: Design, path: str, index: int, by: int) -> Design:
    """The design with row `index` moved by `by` places; the ends of the list stop it."""
    rows = list(get(design, path))
    target = min(len(rows) - 1, max(0, index + by))
    rows.insert(target, rows.pop(index))
    return put(design, path, tuple(rows))


def duplicate(design: Design, path: str, index: int) -> Design:
    """The design with a copy of row `index` below it; a named row gets "copy" behind its name."""
    return duplicate_rows(design, path, [index])


def _copied(row: Any) -> Any:
    name = getattr(row, "name", None)
    return replace(row, name=f"{name} copy"[: entry.LONGEST_TEXT]) if name else row


def move_rows(design: Design, path: str, indices: Sequence[int], by: int) -> tuple[Design, tuple[int, ...]]:
    """The design with several rows moved by `by` places in their order, and where they are then; the ends stop them."""
    order = list(range(len(get(design, path))))
    moved = set(indices)
    for _ in range(abs(by)):
        order = _one_up(order, moved) if by < 0 else _one_up(order[::-1], moved)[::-1]
    rows = get(design, path)
    there = tuple(place for place, index in enumerate(order) if index in moved)
    return put(design, path, tuple(rows[index] for index in order)), there


def _one_up(order: list[int], moved: set[int]) -> list[int]:
    """The order in which each of `moved` has passed the one before it, unless that is one of them too."""
    for place in range(1, len(order)):
        if order[place] in moved and order[place - 1] not in moved:
            order[place - 1], order[place] = order[place], order[place - 1]
    return order


def duplicate_rows(design: Design, path: str, indices: Sequence[int]) -> Design:
    """The design with copies of several rows, in their order, below the last of them."""
    rows = get(design, path)
    copies = [_copied(rows[index]) for index in sorted(indices)]
    return insert(design, path, max(indices) + 1, copies) if copies else design


def _step(value: Any, part: str, path: str) -> Any:
    if isinstance(value, tuple):
        if part.isascii() and part.isdigit() and len(part) <= 4 and int(part) < len(value):
            return value[int(part)]
    elif is_dataclass(value) and part in {item.name for item in fields(value)}:
        return getattr(value, part)
    raise KeyError(path)


def _put(record: Any, parts: Sequence[str], value: Any, path: str) -> Any:
    head, *rest = parts
    new = _put(_step(record, head, path), rest, value, path) if rest else value
    if not rest:
        _step(record, head, path)  # a path that leads nowhere must not make a new field
    if isinstance(record, tuple):
        index = int(head)
        return (*record[:index], new, *record[index + 1 :])
    return replace(record, **{head: new})
