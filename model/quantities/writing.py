"""Number -> text: exactly, for files and cells to be edited; rounded, for reading."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import isfinite

from model.quantities.kinds import KINDS, Kind
from model.quantities.preferences import METRIC, Preferences

_LONGEST_PLAIN = 20  # beyond that many digits nobody counts the zeros, and 1e30 is said instead
_MOST_DECIMALS_OF_HOURS = 2  # beyond them minutes say it better, where they are whole
_GROUPED = re.compile(r"(?<![0-9])([1-9][0-9]{0,2},[0-9]{3})(?![0-9])")
_POINTED = re.compile(r"(?<![0-9])([1-9][0-9]{0,2}\.[0-9]{3})(?![0-9])")
IN_THOUSANDS = ("power", "energy", "charge", "count", "money")
"""Kinds whose figures seldom have three decimals, so that 1.500 may be meant as 1500; not current: meters show three of it."""
_METRES = {"ft": Fraction(3048, 10000), "in": Fraction(254, 10000)}  # international foot and inch of 1959, exact
_MANY = 10**_LONGEST_PLAIN
_DECIMALS = {"ft": 2, "in": 2}  # 3 mm: nobody routes a cable to less


def write(value: float, kind: str, wish: Preferences = METRIC) -> str:
    """The shortest text that `read` turns back into the very same number: "45 W", "35 %", "-0.35 %/K", "12 min".

    With a `wish` for feet, Fahrenheit or the comma it is still the same number that is read back. Raises ValueError on
    infinity and not-a-number, which no text stands for.
    """
    if not isfinite(value):
        raise ValueError(f"{value} has no text")
    if kind in ("duration", "hours_per_day", "hours_per_week") and (minutes := _minutes(value)):
        return minutes
    if kind == "length" and wish.feet:
        return with_sign(_imperial(value, exactly=True), wish)
    exact, unit = _spoken(value, KINDS[kind]), KINDS[kind].unit
    if kind == "temperature" and wish.fahrenheit:
        exact, unit = _shortest(exact * Decimal("1.8") + 32, value, lambda said: (said - 32) * Fraction(5, 9)), "°F"
    return with_sign(_with_unit(_plain(exact), unit), wish)


def glance(value: float, kind: str, wish: Preferences = METRIC) -> str:
    """As `write`, but feet are rounded to 3 mm, inches to a quarter of one, to fit into a cell."""
    if kind == "length" and wish.feet and isfinite(value):
        return with_sign(_imperial(value, exactly=False), wish)
    return write(value, kind, wish)


def with_sign(text: str, wish: Preferences) -> str:
    """A text with numbers, its decimal points replaced by commas where that is wished for.

    Three digits behind a comma get a nought, since 1,234 could be twelve hundred as well and would be refused when typed.
    """
    if not wish.comma:
        return text
    return _GROUPED.sub(r"\g<1>0", re.sub(r"(?<=[0-9])\.(?=[0-9])", ",", text))


def clear(text: str, kind: str) -> str:
    """A text of `write` that a person may type again: three digits behind a point get a nought where they are asked about."""
    return _POINTED.sub(r"\g<1>0", text) if kind in IN_THOUSANDS else text


def _minutes(value: float) -> str:
    """Less than an hour, or an odd part of one, in whole minutes; "" where hours say it as well."""
    count = round(value * 60)
    if count <= 0 or float(Fraction(count, 60)) != value:
        return ""
    decimals = -int(Decimal(repr(float(value))).as_tuple().exponent)
    return f"{count} min" if count < 60 or decimals > _MOST_DECIMALS_OF_HOURS else ""


def _imperial(value: float, *, exactly: bool) -> str:
    """A length in feet, or in inches below a foot: the shortest decimal that gives the same float, or a rounded one."""
    unit = "in" if 0 < abs(value) < _METRES["ft"] else "ft"
    size = Fraction(Decimal(repr(float(value)))) / _METRES[unit]
    rounded = Decimal(size.numerator) / Decimal(size.denominator)
    if not exactly:
        return _with_unit(_plain(rounded.quantize(Decimal(1).scaleb(-_DECIMALS[unit]), ROUND_HALF_UP)), unit)
    found = _shortest(rounded, value, lambda said: said * _METRES[unit])
    if float(Fraction(found) * _METRES[unit]) == value:
        return _with_unit(_plain(found), unit)
    return _with_unit(_plain(Decimal(repr(float(value)))), "m")


def _shortest(near: Decimal, value: float, back: Callable[[Fraction], Fraction]) -> Decimal:
    """The shortest decimal near a number in another unit that is read `back` as the same float; itself where there is none."""
    whole = near.quantize(Decimal(1)) if abs(near) < _MANY else near  # a nought has no first digit to round to
    for text in (whole, *(Decimal(f"{near:.{digits - 1}e}") for digits in range(1, 19))):
        if float(back(Fraction(text))) == value:
            return text
    return near


def _plain(exact: Decimal) -> str:
    """Digits without an exponent, unless there would be too many of them."""
    exact = exact.normalize()
    digits = f"{exact:f}" if exact else "0"
    return digits if len(digits) <= _LONGEST_PLAIN else f"{exact:e}".replace("e+", "e")


def show(value: float | None, kind: str, *, figures: int = 3, unit: bool = True) -> str:
    """For the eye: `figures` significant figures, no exponent; None and not-a-number give "-", no end gives "∞"."""
    what = KINDS[kind]
    if value is None or value != value:
        return "-"
    if not isfinite(value):
        return "∞" if value > 0 else "-∞"
    exact = _spoken(value, what)
    digits = f"{exact:.0f}" if kind == "count" and exact == exact.to_integral_value() else _rounded(exact, figures)
    return _with_unit(digits, what.unit) if unit else digits


def whole_figures(value: float, most: int = 3) -> int:
    """How many significant figures, up to `most`, show a value without a fraction: a simulated mean is not known better."""
    return min(most, len(str(abs(round(value)))))


def percent(share: float, digits: int = 0) -> str:
    """A share for the eye, rounded half up to `digits` decimals: "17 %", "1.3 %"; else as `show`.

    The space before the sign: SI Brochure, 9th edition, 5.4.7.
    """
    if not isfinite(share):
        return show(share, "percent")
    exact = Decimal(repr(float(share))).scaleb(2)
    return _with_unit(f"{exact.quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP):f}", "%")


def hint(kind: str) -> str:
    """What the field accepts, by example: "3.5 h, 3h30, 210 min"."""
    return KINDS[kind].hint


def _spoken(value: float, kind: Kind) -> Decimal:
    """The number that is said: the shortest decimal of the float, in the unit shown."""
    exact = Decimal(repr(float(value)))
    return exact if kind.scale == 1 else exact.scaleb(2)


def _rounded(exact: Decimal, figures: int) -> str:
    """Rounded half up, as people do, with `figures` significant figures; the whole digits are never fewer."""
    if not exact:
        return "0"
    rounded = exact
    for _ in range(2):  # 9.996 becomes 10.00 on the first round and 10.0 on the second
        step = Decimal(1).scaleb(rounded.adjusted() - figures + 1)
        rounded = exact.quantize(step, ROUND_HALF_UP)
    return f"{rounded:f}"


def _with_unit(digits: str, unit: str) -> str:
    return f"{digits}{unit}" if unit == "°" else f"{digits} {unit}".rstrip()
