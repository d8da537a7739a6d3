"""The shape of a design file, derived from the declarations in `model.design`.

A record becomes a table, a tuple of records an array of tables named in the singular, every other field one key. msgspec
checks that shape; what the values mean is judged by `model.entry`.
"""

from __future__ import annotations

import re
import types
from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cache
from typing import Any, Literal, get_args, get_origin, get_type_hints

import msgspec

from model import entry
from model.design import Design, Entry

FORMAT = 1

Key = str | int
Path = tuple[Key, ...]  # ("load", 3, "hours"): keys of tables and positions in arrays

Scalar = str | bool | int | float


@dataclass(frozen=True, slots=True)
class Nested:
    """A field of a record that holds further records."""

    key: str
    record: type
    shape: Literal["table", "optional table", "list"]


@cache
def nested(record: type) -> dict[str, Nested]:
    """Field name -> Nested for the fields of `record` that are records themselves, in the order of declaration."""
    hints = get_type_hints(record)
    found = {}
    for item in fields(record):
        if "entry" in item.metadata:
            continue
        hint = hints[item.name]
        arguments = [argument for argument in get_args(hint) if argument not in (type(None), Ellipsis)]
        if get_origin(hint) is tuple:
            found[item.name] = Nested(item.name.removesuffix("s"), arguments[0], "list")
        elif isinstance(hint, types.UnionType):
            found[item.name] = Nested(item.name, arguments[0], "optional table")
        else:
            found[item.name] = Nested(item.name, hint, "table")
    return found


@cache
def keys(record: type) -> dict[str, str]:
    """Key in the file -> field name, of every field of `record`; the Design has "format" besides."""
    values = {one.key: name for name, one in entry.entries(record).items()}
    return values | {one.key: name for name, one in nested(record).items()}


@cache
def _shape(record: type) -> Any:
    """A msgspec struct with every key optional: it judges what is a value, a list or a table, and nothing else."""
    members: list[tuple[str, Any, Any]] = []
    for one in entry.entries(record).values():
        values = list[str | int | float] | str if one.many else Scalar
        members.append((one.key, values, msgspec.UNSET))
    for inner in nested(record).values():
        shape: Any = _shape(inner.record)
        members.append(
            (inner.key, types.GenericAlias(list, (shape,)) if inner.shape == "list" else shape, msgspec.UNSET)
        )
    if record is Design:
        members.append(("format", int, msgspec.UNSET))
    return msgspec.defstruct(record.__name__, members)


def misshapen(raw: dict[str, Any]) -> Path | None:
    """Path of the first thing in a parsed file that is a table, a list or a date where a value belongs, or the reverse."""
    try:
        msgspec.convert(raw, _shape(Design))
    except msgspec.ValidationError as error:
        where = str(error).rpartition(" - at `$")[2]
        steps = re.findall(r"\.(\w+)|\[(\d+)\]", where.rstrip("`"))
        return tuple(name or int(position) for name, position in steps)
    return None


def declared(path: Path) -> Entry | Nested | None:
    """What `model.design` says of the thing at `path`; None for a key it does not know."""
    record: type = Design
    found: Entry | Nested | None = None
    for key in (step for step in path if isinstance(step, str)):
        if isinstance(found, Nested):
            record = found.record
        name = keys(record).get(key, "")
        found = nested(record).get(name) or entry.entries(record).get(name)
    return found


def unknown(raw: dict[str, Any], record: type = Design, path: Path = ()) -> Iterator[tuple[Path, type]]:
    """Paths of the keys that mean nothing here, each with the record it stands in; `raw` has the right shape."""
    for key, value in raw.items():
        name = keys(record).get(key)
        inner = nested(record).get(name) if name else None
        if name is None:
            if (record, key) != (Design, "format"):
                yield (*path, key), record
        elif inner and inner.shape == "list":
            for position, item in enumerate(value):
                yield from unknown(item, inner.record, (*path, key, position))
        elif inner:
            yield from unknown(value, inner.record, (*path, key))


def spoken(path: Path, raw: Any = None) -> str:
    """A path as a person says it: 'load "Fridge", hours', 'load 3, hours', 'place, latitude'."""
    words: list[str] = []
    for step in path:
        inside = isinstance(raw, dict | list) and (isinstance(raw, dict) or isinstance(step, int))
        try:
            raw = raw[step] if inside else None
        except (KeyError, IndexError):
            raw = None
        if isinstance(step, int):
            name = raw.get("name") if isinstance(raw, dict) else None
            named = isinstance(name, str) and name.isprintable() and name.strip()
            words[-1:] = [f"{words[-1]} “{str(name)[:40]}”" if named else f"{words[-1]} {step + 1}"]
        else:
            words.append(step if step.isprintable() else repr(step))
    return ", ".join(words)
