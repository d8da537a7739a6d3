"""The one pint registry, made on first use because importing pint takes a tenth of a second."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any


@cache
def registry() -> Any:
    """The project's pint.UnitRegistry, with the one unit that it needs beside pint's own."""
    import pint

    made: Any = pint.UnitRegistry()
    made.define("percent_of_one = 0.01")
    return made


@cache
def conversion(unit: str, canonical: str) -> tuple[Fraction, Fraction]:
    """(slope, offset) from `unit` to `canonical`, as exact fractions: canonical = slope x unit + offset.

    pint works in floating point; its factors are definitions with few digits (0.3048, 1/60, 5/9), so the nearest simple
    fraction is the definition itself. Raises pint.DimensionalityError where the dimensions differ.
    """
    if unit == canonical:
        return Fraction(1), Fraction(0)
    units = registry()
    zero = units.Quantity(0.0, unit).to(canonical).magnitude
    slope = units.Quantity(1.0, unit).to(canonical).magnitude - zero
    # the slope between degrees suffers from the offset's cancellation, so it is taken from the differences
    if zero:
        slope = units.Quantity(1.0, f"delta_{unit}" if unit.startswith("deg") else unit).to("delta_degC").magnitude
    return _simple(slope), _simple(zero)


def _simple(number: float) -> Fraction:
    return Fraction(number).limit_denominator(10**9)
