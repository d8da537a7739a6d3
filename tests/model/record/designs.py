"""Random designs for the record tests, made from the declarations of `model.design`: a new field joins by itself."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from model import entry
from model.design import Design, Entry
from model.quantities import Refusal
from model.record import schema

# A letter of each kind that troubles a TOML file: quotes, backslash, comment and table signs, accents, beyond 16 bits.
LETTERS = "abcXYZ 019\"'\\#[]={},.-_é²ß漢🚐"


def values(record: type, name: str) -> st.SearchStrategy[Any]:
    """Values of a field as they come through the door, None included where the field may stay empty."""
    declared = entry.entries(record)[name]
    made = _many(declared) if declared.many else _texts(declared).map(lambda text: _through(record, name, text))
    return st.none() | made if declared.optional else made


def records(record: type) -> st.SearchStrategy[Any]:
    """Whole records, with the records within them."""
    parts = {name: values(record, name) for name in entry.entries(record)}
    for name, inner in schema.nested(record).items():
        made = records(inner.record)
        if inner.shape == "list":
            made = st.lists(made, max_size=4).map(tuple)
        parts[name] = st.none() | made if inner.shape == "optional table" else made
    return st.builds(record, **parts)


def designs() -> st.SearchStrategy[Design]:
    return records(Design)


def _texts(declared: Entry) -> st.SearchStrategy[str]:
    match declared.kind:
        case "text":
            return st.text(LETTERS, max_size=12)
        case "yes/no":
            return st.sampled_from(["yes", "no"])
        case "months":
            some = st.lists(st.integers(1, 12).map(str), min_size=1, max_size=5).map(", ".join)
            return st.sampled_from(["all", "none", "Oct-Apr"]) | some
        case "month":
            return st.integers(1, 12).map(str)
        case "when":
            return st.sampled_from(["all day", "day", "evening", "night", "7-9, 18-23", "22-6"])
        case "date":
            return st.sampled_from(["2026-12-24", "24 Dec", "Feb 29", "2024-02-29"])
        case "conductor":
            return st.sampled_from(["2.5 mm2", "12 AWG", "SAE 12", "2/0 AWG", "70 mm2"])
        case "choice":
            return st.sampled_from(declared.choices)
    return st.sampled_from(declared.choices) if declared.choices else _numbers(declared)


def _numbers(declared: Entry) -> st.SearchStrategy[str]:
    low, high = _range(declared)
    if declared.kind == "count":
        return st.integers(int(low), int(high)).map(str)
    # Six decimals are more than anybody types.
    return st.floats(low, high).map(lambda value: entry.write_entry(declared, round(value, 6)))


def _range(declared: Entry) -> tuple[float, float]:
    low, high = {
        "percent": (0.0, 1.0),
        "efficiency": (0.5, 1.0),
        "hours_per_day": (0.0, 24.0),
        "hours_per_week": (0.0, 168.0),
    }.get(declared.kind, (0.0, 900.0))
    return low if declared.low is None else declared.low, high if declared.high is None else declared.high


def _many(declared: Entry) -> st.SearchStrategy[tuple[float, ...]]:
    low, high = {"temperature": (-40.0, 40.0), "irradiation": (0.0, 9.0)}.get(declared.kind, (0.0, 3.0))
    count = declared.many if declared.many > 0 else 36
    numbers = st.floats(low, high).map(lambda value: round(value, 3))
    return st.lists(numbers, min_size=count, max_size=count).map(tuple)


def _through(record: type, name: str, text: str) -> Any:
    try:
        return entry.read(record, name, text)
    except Refusal as refusal:
        raise AssertionError(f"{record.__name__}.{name} refuses {text!r}: {refusal}") from refusal
