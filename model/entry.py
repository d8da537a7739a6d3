"""The door: text for one field of the design -> checked value, and back.

Works from the declarations in `model.design`; the file reader, the table cells and the forms all come through here, so a
text is accepted or refused in the same words everywhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from functools import cache
from typing import Any

from model import calendar, quantities
from model.design import Entry
from model.quantities.conductor_size import read_conductor
from model.quantities.preferences import METRIC, Preferences
from model.quantities.refusal import Refusal, quoted

LONGEST_TEXT = 200
THOUSANDS_A = 100_000.0  # fields of current that go so far are asked for in thousands
SMALLEST, LARGEST = 1e-12, 1e12  # beyond these, in the unit of any field, a number can only be a slip
_YES, _NO = ("yes", "y", "true", "on", "x"), ("no", "n", "false", "off", "")


@cache
def entries(record: type) -> dict[str, Entry]:
    """Field name -> Entry of a design dataclass, in the order of declaration; nested records are left out."""
    return {item.name: item.metadata["entry"] for item in fields(record) if "entry" in item.metadata}


def read(record: type, name: str, text: str) -> Any:
    """The value of field `name` of `record` from what a person typed.

    Raises Refusal, whose text is a sentence for that person.
    """
    entry = entries(record)[name]
    text = text.strip()
    if entry.optional and text in ("", "-", "–"):
        return None
    return read_entry(entry, text)


def read_entry(entry: Entry, text: str) -> Any:
    """As `read`, for an Entry at hand; an empty text is refused by every kind but text and yes/no."""
    if entry.many:
        return read_many(entry, [part for part in text.replace(";", " ").split() if part])
    match entry.kind:
        case "text":
            return _read_text(text)
        case "yes/no":
            return _read_yes_no(text)
        case "choice":
            return _read_choice(entry, text)
        case "months":
            return calendar.read_months(text)
        case "month":
            return calendar.read_month(text)
        case "when":
            return calendar.read_when(text)
        case "date":
            return calendar.read_date(text)
        case "conductor":
            return read_conductor(text)
    value = _read_number(entry, text)
    if entry.choices and write_entry(entry, value) not in entry.choices:
        raise Refusal(f"{entry.label}: write {_listed(entry.choices)}")
    return value


def read_many(entry: Entry, texts: Sequence[str]) -> tuple[float, ...]:
    """Several values of one kind, such as one for each month."""
    if entry.many > 0 and len(texts) != entry.many:
        raise Refusal(f"{entry.label} takes {entry.many} values, one for each month; there are {len(texts)}")
    return tuple(_read_number(entry, text) for text in texts)


def write(record: type, name: str, value: Any, wish: Preferences = METRIC) -> str:
    """Text of a value that `read` reads back unchanged; None gives the empty text."""
    return "" if value is None else write_entry(entries(record)[name], value, wish)


def write_entry(entry: Entry, value: Any, wish: Preferences = METRIC) -> str:
    """As `write`, for an Entry at hand."""
    if entry.many:
        return " ".join(quantities.write(item, entry.kind).replace(" ", "") for item in value)
    match entry.kind:
        case "text" | "choice" | "when" | "date" | "conductor":
            return str(value)
        case "yes/no":
            return "yes" if value else "no"
        case "months":
            return calendar.write_months(value)
        case "month":
            return calendar.month_name(value)
    # A choice of numbers ("12 V") is compared by its text, so it stays as declared.
    return quantities.write(value, entry.kind, METRIC if entry.choices else wish)


def hint(record: type, name: str) -> str:
    """What the field accepts, for the line under the table."""
    entry = entries(record)[name]
    match entry.kind:
        case "text":
            accepted = "any text"
        case "yes/no":
            accepted = "yes or no"
        case "choice":
            accepted = _listed(entry.choices)
        case "months":
            accepted = calendar.MONTHS_HINT
        case "month":
            accepted = "such as 12, Dec or December"
        case "when":
            accepted = "all day, day, evening, night, dark, or hours like 7-9, 18-23"
        case "date":
            accepted = "such as 2026-12-24 or 24 Dec"
        case "conductor":
            accepted = "such as 2.5 mm2, 12 AWG or SAE 12"
        case "current" if (entry.high or 0.0) >= THOUSANDS_A:
            accepted = "such as 2500 A, 2.5 kA"
        case kind:
            accepted = _listed(entry.choices) if entry.choices else f"such as {quantities.hint(kind)}"
    return f"{entry.label}: {accepted}" + (" (may stay empty)" if entry.optional else "")


def _read_number(entry: Entry, text: str) -> float:
    """A number inside the field's bounds whose text in plain digits is short enough to be read again."""
    value = quantities.read(text, entry.kind, low=entry.low, high=entry.high)
    if value and not SMALLEST <= abs(value) <= LARGEST:
        raise Refusal(f"{quoted(text)} is no size that a van knows: write {quantities.hint(entry.kind)}")
    return value


def _read_text(text: str) -> str:
    """Free text on one line, without control characters, which would break a terminal or a file."""
    clean = "".join(" " if character.isspace() else character for character in text)
    if any(not character.isprintable() for character in clean):
        raise Refusal("this text holds a character that cannot be shown: type it again without it")
    if len(clean) > LONGEST_TEXT:
        raise Refusal(f"this text is {len(clean)} characters long: {LONGEST_TEXT} is the most that fits")
    return clean


def _read_yes_no(text: str) -> bool:
    word = text.lower()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise Refusal(f"{quoted(text)} is neither yes nor no")


def _read_choice(entry: Entry, text: str) -> str:
    word = " ".join(text.lower().split())
    exact = [choice for choice in entry.choices if choice.lower() == word]
    fits = exact or [choice for choice in entry.choices if word and choice.lower().startswith(word)]
    if len(fits) == 1:
        return fits[0]
    raise Refusal(f"{quoted(text)} is not one of these: write {_listed(entry.choices)}")


def _listed(choices: Sequence[str]) -> str:
    return choices[0] if len(choices) == 1 else f"{', '.join(choices[:-1])} or {choices[-1]}"
