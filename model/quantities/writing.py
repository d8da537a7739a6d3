"""Number -> text: exactly, for files and cells to be edited; rounded, for reading."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from math import isfinite

from model.quantities.kinds import KINDS, Kind

_LONGEST_PLAIN = 20  # beyond that many digits nobody counts the zeros, and 1e30 is said instead


def write(value: float, kind: str) -> str:
    """The shortest text that `read` turns back into the very same number: "45 W", "35 %", "-0.35 %/K".

    Raises ValueError on infinity and not-a-number, which no text stands for.
    """
    if not isfinite(value):
        raise ValueError(f"{value} has no text")
    what = KINDS[kind]
    exact = _spoken(value, what).normalize()
    digits = f"{exact:f}" if exact else "0"
    if len(digits) > _LONGEST_PLAIN:
        digits = f"{exact:e}".replace("e+", "e")
    return _with_unit(digits, what.unit)


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
