"""Sentences of the program with lengths, temperatures and decimal signs as a person wants them.

The model speaks metric and knows nothing of its reader. Its numbers stand in front of their unit, by one blank, so they are found
in its sentences and said anew. What else is made of digits stays as it is: clauses of standards, names that a person gave,
what a person typed (it stands between “ and ”) or is told to write, names of cables ("2.5 mm2, red, 105 °C").
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from model.quantities import METRIC, Preferences

_NUMBER = r"[0-9]+(?:[.,][0-9]+)?(?:e[-+]?[0-9]+)?"
_MEASURE = re.compile(
    rf"(?:(?P<first>(?<![\w.,])[-−]?{_NUMBER})(?P<joint> to | x |–))?"
    rf"(?P<number>(?<![\w.,])[-−]?{_NUMBER}) (?P<unit>m|cm|mm|°C)(?![\w/²³·])"
)  # a minus follows neither a letter nor a digit: "main-1", "3-4"
_POINT = re.compile(r"(?<=[0-9])\.(?=[0-9])")
_KEPT = (
    r"“[^”]*”",
    r"\bwrite .*",
    r"CFR [0-9]+\.[0-9]+",
    r"(?:IEC|IEEE|ISO|EN|ABYC|NFPA) (?:[A-Z]+[ -])?[0-9][-0-9]*(?::[0-9]{4})?(?:,? (?:clause |table )?[0-9]+(?:\.[0-9]+)+)?",
    r"(?:NEC|NFPA|AS/NZS) [0-9]+(?:\.[0-9]+)*",
    r"(?:mm2|AWG|SAE)(?:, [^,.;:()]+)?, [0-9]+ °C",
)
_CENTIMETRES, _FAR_M = 2, 100
"""Said with fewer decimals of a metre than _CENTIMETRES, a length below _FAR_M is meant exactly: "3 m" is 9.84 ft, not 10."""
_SCALE = {"m": 0, "cm": 2, "mm": 3}  # decimals of a metre
_METRES = {"ft": Decimal("0.3048"), "in": Decimal("0.0254")}  # international foot and inch of 1959, exact


def in_words_of(text: str, wish: Preferences, names: frozenset[str] = frozenset()) -> str:
    """`text` with its measures as wished for; `names` in it stay as they are. What was said anew already stays too."""
    if wish == METRIC or not text:
        return text
    parts = _apart(names).split(text)
    return "".join(part if at % 2 else _said(part, wish) for at, part in enumerate(parts))


@lru_cache(maxsize=8)
def _apart(names: frozenset[str]) -> re.Pattern[str]:
    """Finds what stays as it is; a name only as a whole, the longest first."""
    given = (rf"(?<!\w){re.escape(name)}(?!\w)" for name in sorted(names, key=len, reverse=True))
    return re.compile(f"({'|'.join((*_KEPT, *given))})")


def _said(text: str, wish: Preferences) -> str:
    def anew(match: re.Match[str]) -> str:
        return _measure(match, wish)

    text = _MEASURE.sub(anew, text)
    return _POINT.sub(",", text) if wish.comma else text


def _measure(match: re.Match[str], wish: Preferences) -> str:
    """One measure, or two that share their unit: "-20 to 50 °C", "1.05 x 0.54 m"."""
    unit, joint = match["unit"], match["joint"] or ""
    numbers = [one for one in (match["first"], match["number"]) if one is not None]
    if not (wish.fahrenheit if unit == "°C" else wish.feet):
        return match[0]
    said = [Decimal(one.replace(",", ".").replace("−", "-")) for one in numbers]
    if unit == "°C":
        name, found = "°F", [_fahrenheit(one) for one in said]
    else:
        lengths = [one.scaleb(-_SCALE[unit]) for one in said]
        name = _unit(lengths, unit)
        found = [_imperial(one, name) for one in lengths]
    minus = "−" if "−" in match[0] else "-"
    return joint.join(one.replace("-", minus) for one in found) + f" {name}"


def _unit(lengths: list[Decimal], unit: str) -> str:
    """Feet from one foot on; below, and for what was said in small units, inches. No length is 0 ft."""
    longest = max(abs(one) for one in lengths)
    return "ft" if longest == 0 or (unit == "m" and longest >= _METRES["ft"]) else "in"


def _imperial(metres: Decimal, name: str) -> str:
    """The shortest number of feet or inches that rounds back to the length that was said."""
    places = _places(metres)
    if places < _CENTIMETRES and abs(metres) < _FAR_M:
        places = _CENTIMETRES
    size = _METRES[name]
    return next(text for text in _rounded(metres / size) if _at(Decimal(text) * size, places) == _at(metres, places))


def _fahrenheit(celsius: Decimal) -> str:
    """The shortest number of degrees Fahrenheit that rounds back to the temperature that was said."""
    places, factor = _places(celsius), Decimal("1.8")
    texts = _rounded(celsius * factor + 32)
    return next(text for text in texts if _at((Decimal(text) - 32) / factor, places) == _at(celsius, places))


def _rounded(value: Decimal) -> Iterable[str]:
    """A number with more and more decimals; from some on it is as fine as any that was said."""
    for digits in range(28):
        text = f"{_at(value, digits):f}"
        yield "0" if Decimal(text) == 0 else text


def _places(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _at(value: Decimal, places: int) -> Decimal:
    return value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
