"""Number -> text: exactly, for files and cells to be edited; rounded, for reading."""

from __future__ import annotations

from decimal import Decimal
from math import floor, isfinite, log10

from model.quantities.kinds import KINDS


def write(value: float, kind: str) -> str:
    """The shortest text that `read` turns back into the very same number: "45 W", "35 %", "-0.35 %/K"."""
    what = KINDS[kind]
    exact = Decimal(repr(float(value)))
    if what.unit.startswith("%"):
        exact = exact.scaleb(2)
    digits = f"{exact:f}"
    if "." in digits:
        digits = digits.rstrip("0").rstrip(".")
    return _with_unit(digits, what.unit)


def show(value: float | None, kind: str, *, figures: int = 3, unit: bool = True) -> str:
    """For the eye: `figures` significant figures, no exponent; None gives "-", no end gives "∞"."""
    what = KINDS[kind]
    if value is None:
        return "-"
    if not isfinite(value):
        return "∞" if value > 0 else "-"
    digits = rounded(value * 100 if what.unit.startswith("%") else value, figures)
    return _with_unit(digits, what.unit) if unit else digits


def rounded(value: float, figures: int = 3) -> str:
    """`value` with `figures` significant figures, as plain digits; never fewer than the whole ones."""
    if value == 0:
        return "0"
    places = figures - 1 - floor(log10(abs(value)))
    text = f"{round(value, places):.{max(0, places)}f}"
    # rounding may have added a digit in front: 9.996 -> 10.00, where 10.0 is meant
    if places > 0 and sum(character.isdigit() for character in text.lstrip("-0.")) > figures:
        text = text[:-1].rstrip(".")
    return text


def hint(kind: str) -> str:
    """What the field accepts, by example."""
    return KINDS[kind].hint


def _with_unit(digits: str, unit: str) -> str:
    return f"{digits}{unit}" if unit == "°" else f"{digits} {unit}".rstrip()
