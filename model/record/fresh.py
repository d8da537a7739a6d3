"""A design as the text of a new design file, laid out for a person to read and to edit."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import fields
from functools import lru_cache
from typing import Any

from model import entry, quantities
from model.design import Design, Entry, Load
from model.record import schema

_TITLE = """\
# A design for Ampledger. Every value may be changed here; comments like this one are kept.
"""

_COMMENTS = {
    "system": "The wiring as a whole.",
    "place": "Where it stands. North and east count as positive.",
    "weather": "Monthly weather, January first, in place of the built-in climate.",
    "inverter": "The inverter for the AC loads.",
    "roof": "The flat part of the roof.",
    "roof.obstacle": "What no module may cover: x from the front, y from the left edge.",
    "module": "One solar module, from its data sheet.",
    "array": "The modules together, their mounting and what is lost on the way.",
    "controller": "The solar charge controller.",
    "alternator": "Charging while driving.",
    "shore": "Nights on shore power.",
    "generator": "A generator that runs a charger.",
    "battery": "What is asked of the battery.",
    "battery.price": "What a kilowatt-hour costs.",
    "load": "What draws power, one table for each load. What is left out has its usual value: counted all year, all day, DC.",
}

# A load has many fields and most rest at their default: only these are always written.
_ALWAYS = {"name", "quantity", "hours_per_day"}
_BARE_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?")


def new_text(design: Design) -> str:
    """The whole text of a new file; reading it gives the design back."""
    parts = [_TITLE, f"format = {schema.FORMAT}\n", _lines(design)]
    parts += _tables(design, "")
    return "".join(parts)


def table_text(record: Any, key: str, *, row: bool = False) -> str:
    """One table with its header and the tables within it, without a comment; `key` is dotted where it is nested."""
    header = f"[[{key}]]\n" if row else f"[{key}]\n"
    return header + _lines(record) + "".join(_tables(record, f"{key}."))


def value_text(declared: Entry, value: Any) -> str:
    """A value as TOML: numbers without unit and yes/no bare, all else a text with its unit; None as an empty one."""
    if declared.many:
        return _list_text(declared, value or ())
    if declared.kind == "yes/no":
        return "true" if value else "false"
    return _scalar_text("" if value is None else entry.write_entry(declared, value), declared.kind)


@lru_cache(maxsize=4096)  # a journal writes the whole design after an edit that changed one record
def _lines(record: Any) -> str:
    kind: type = type(record)
    defaults = {item.name: item.default for item in fields(kind)}
    kept = []
    for name, declared in entry.entries(kind).items():
        value = getattr(record, name)
        default = defaults[name]
        if value is None or (isinstance(record, Load) and value == default and name not in _ALWAYS):
            continue
        kept.append(f"{declared.key} = {value_text(declared, value)}\n")
    return "".join(kept)


def _tables(record: Any, prefix: str) -> Iterable[str]:
    kind: type = type(record)
    inner = schema.nested(kind).items()
    for name, one in sorted(inner, key=lambda item: item[1].shape == "list"):  # long lists last
        key, value = prefix + one.key, getattr(record, name)
        comment = f"\n# {_COMMENTS[key]}\n" if key in _COMMENTS else "\n"
        if one.shape != "list":
            if value is not None:
                yield comment + table_text(value, key)
        elif value:
            yield comment
            for item in value:
                yield "\n" + table_text(item, key, row=True)


def _list_text(declared: Entry, values: tuple[float, ...]) -> str:
    items = [_scalar_text(quantities.write(value, declared.kind), declared.kind) for value in values]
    if len(items) < 12:
        return f"[{', '.join(items)}]"
    across = len(items) // 12 if len(items) > 12 else 3  # a month or a season on each line
    lines = [", ".join(items[at : at + across]) for at in range(0, len(items), across)]
    return "[\n  " + ",\n  ".join(lines) + ",\n]"


def _scalar_text(text: str, kind: str) -> str:
    if kind in ("number", "count", "money") and _BARE_NUMBER.fullmatch(text):
        return text
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
