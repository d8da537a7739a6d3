"""Numbers as the person at this screen wants them: one preference for the whole program, set when settings are taken.

Cells, forms, verdict and sentences go through here; the formulas of the working with their decimal sign alone, since their units
are part of them. Files, JSON, and the report as it is written never pass this way.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from model import edit, entry, quantities
from model.quantities import METRIC, Preferences
from tui.sentences import in_words_of

_IMPERIAL = Preferences(feet=True, fahrenheit=True)
_wish = METRIC
_names: frozenset[str] = frozenset()  # given by the person, and looking like something to be said anew
READABLE = 10  # characters of a length that one can still read in a cell
FOOT_M = 0.3048  # the international foot of 1959, exact
_POINT = re.compile(r"(?<=[0-9])\.(?=[0-9])")
_BARE = re.compile(r"[-+−]? ?[0-9]+(?:[.,][0-9]*)?")


def use(wish: Preferences) -> None:
    """Show numbers like this from now on."""
    global _wish
    _wish = wish


def wish() -> Preferences:
    """How numbers are shown now."""
    return _wish


def keep(design: Any) -> None:
    """From now on the names that a person gave in `design` stay as they are in every sentence."""
    global _names
    if _wish == METRIC:
        return
    _names = frozenset(text for text in _texts(design) if in_words_of(text, _wish) != text)


def _texts(record: Any) -> Iterator[str]:
    """What was typed into the fields for free text of a design, and of all records in it."""
    kind: type = type(record)
    declared = entry.entries(kind)
    for field in fields(record):
        value = getattr(record, field.name)
        if field.name in declared:
            if isinstance(value, str) and declared[field.name].kind == "text":
                yield value
        else:
            for one in value if isinstance(value, tuple) else (value,):
                if is_dataclass(one):
                    yield from _texts(one)


def local(text: str) -> str:
    """A text of the program's own with its lengths, temperatures and decimal signs as wished for.

    It is read, not typed, so three digits behind a comma get no nought to keep them from being taken for thousands.
    """
    return in_words_of(text, _wish, _names)


def has_measure(text: str) -> bool:
    """Whether a text has a length or a temperature in it."""
    return in_words_of(text, _IMPERIAL, _names) != text


def formula(text: str) -> str:
    """A formula with its numbers: the decimal sign alone is as wished for, its units belong together."""
    return _POINT.sub(",", text) if _wish.comma else text


def figure(text: str) -> str:
    """A figure with its unit as the formulas have it, and as wished for behind it: "36 °C (96.8 °F)"."""
    plain, wished = formula(text), local(text)
    return plain if wished == plain else f"{plain} ({wished})"


def show(value: float | None, kind: str, *, figures: int = 3, unit: bool = True) -> str:
    """As `quantities.show`; degrees and metres as wished for."""
    if value is not None and kind == "temperature" and _wish.fahrenheit:
        rounded = quantities.show(value * 1.8 + 32, "number", figures=figures)
        return local(f"{rounded} °F" if unit else rounded)
    if value is not None and kind == "length" and _wish.feet:
        rounded = quantities.show(value / FOOT_M, "number", figures=figures)
        return local(f"{rounded} ft" if unit else rounded)
    return local(quantities.show(value, kind, figures=figures, unit=unit))


def percent(share: float, digits: int = 0) -> str:
    """As `quantities.percent`."""
    return local(quantities.percent(share, digits))


def progress(share: float, cells: int = 10) -> str:
    """How far something is, as a bar and in per cent: "███░░░░░░░ 30 %"."""
    full = round(cells * min(1.0, max(0.0, share)))
    return f"{'█' * full}{'░' * (cells - full)} {percent(share)}"


def degrees(value_c: float, digits: int = 1, *, unit: bool = True) -> str:
    """A temperature rounded to `digits` decimals: "13.6 °C"."""
    value, name = (value_c * 1.8 + 32, "°F") if _wish.fahrenheit else (value_c, "°C")
    return local(f"{value:.{digits}f} {name}" if unit else f"{value:.{digits}f}")


def degree_sign() -> str:
    """The unit of temperatures, for the head of a column."""
    return "°F" if _wish.fahrenheit else "°C"


def length(value_m: float) -> str:
    """A length as it stands in a cell."""
    return quantities.glance(value_m, "length", _wish)


def write(record: type, name: str, value: Any) -> str:
    """As `entry.write`: the exact text of a field, which reads back unchanged when it is typed."""
    return quantities.clear(entry.write(record, name, value, _wish), entry.entries(record)[name].kind)


def cell(root: Any, path: str) -> tuple[str, str]:
    """Text of the field at `path` as shown and as edited. Feet are rounded where the exact ones are too long for a cell: left as
    they are, they change nothing."""
    record, name = edit.record_at(root, path)
    exact = quantities.clear(edit.text_at(root, path, _wish), entry.entries(record)[name].kind)
    value = edit.get(root, path)
    if _wish.feet and value is not None and entry.entries(record)[name].kind == "length":
        return length(value), exact if len(exact) <= READABLE else length(value)
    return exact, exact


def typed_length(text: str) -> str:
    """What was typed in a column that names its unit of length in its head: a bare number is in that unit."""
    return f"{text.strip()} {length_unit()}" if _BARE.fullmatch(text.strip()) else text


def length_unit() -> str:
    """The unit of lengths, for the head of a column."""
    return "ft" if _wish.feet else "m"


def in_length_unit(value_m: float) -> float:
    """A length in that unit."""
    return value_m / FOOT_M if _wish.feet else value_m


def typed(text: str, kind: str) -> str:
    """What was typed, with its unit where it was left out: a bare temperature is in the degrees on the screen.

    Refusal of a number that may be meant in thousands.
    """
    quantities.ask_thousands(text, kind)
    if kind == "temperature" and _wish.fahrenheit and _BARE.fullmatch(text.strip()):
        return f"{text.strip()} °F"
    return text
