"""The one pint registry, made on first use because importing pint takes a tenth of a second."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

# pint's own list has a thousand units and takes as long to build as pint to import; these are the ones that fields take.
# SI and its prefixes, kelvin and Celsius: SI Brochure, 9th edition. Foot, inch, pound, Fahrenheit: NIST SP 811, appendix B.
_DEFINITIONS = """
micro- = 1e-6 = µ-
milli- = 1e-3 = m-
centi- = 1e-2 = c-
kilo- = 1e3 = k-
mega- = 1e6 = M-
meter = [length] = m = metre
second = [time] = s
gram = [mass] = g
ampere = [current] = A
kelvin = [temperature]; offset: 0 = K
degree_Celsius = kelvin; offset: 273.15 = °C = celsius = degC
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = °F = fahrenheit = degF
radian = [] = rad
degree = 0.017453292519943295 * radian = deg
percent = 0.01 = %
minute = 60 * second = min
hour = 60 * minute = h
day = 24 * hour = d
hour_a_day = 7 * hour
inch = 0.0254 * meter = in
foot = 12 * inch = ft
pound = 0.45359237 * kilogram = lb
newton = kilogram * meter / second ** 2 = N
joule = newton * meter = J
watt = joule / second = W
volt = watt / ampere = V
ohm = volt / ampere = Ω
watt_hour = watt * hour = Wh
ampere_hour = ampere * hour = Ah
""".strip().splitlines()


@cache
def registry() -> Any:
    """The project's pint.UnitRegistry. Its factors are fractions, so a conversion adds no rounding of its own.

    For single numbers: a NumPy array times a fraction becomes an array of objects, so arrays stay plain floats.
    """
    import pint

    return pint.UnitRegistry(_DEFINITIONS, non_int_type=Fraction)


@cache
def conversion(unit: str, canonical: str) -> tuple[Fraction, Fraction]:
    """(slope, offset) from `unit` to `canonical`: canonical = slope x unit + offset, exactly.

    A unit that is the canonical one already needs no pint, which keeps it out of the start of the program.
    Raises pint.DimensionalityError where the dimensions differ.
    """
    if unit == canonical:
        return Fraction(1), Fraction(0)
    quantity = registry().Quantity
    at_zero, at_one = (Fraction(quantity(Fraction(point), unit).to(canonical).magnitude) for point in (0, 1))
    return at_one - at_zero, at_zero
