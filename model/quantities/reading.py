"""Text -> number, in the canonical unit of a kind."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from math import inf, isfinite, pi

from model.quantities.kinds import KINDS, Kind
from model.quantities.refusal import Refusal, quoted
from model.quantities.registry import conversion

LONGEST = 60
_NUMBER = r"[0-9]+(?:[.,][0-9]*)?(?:[eE][+-]?[0-9]{1,2})?|[.,][0-9]+(?:[eE][+-]?[0-9]{1,2})?"
_ONE = re.compile(rf"([+-]?)\s*({_NUMBER})\s*(.*)", re.DOTALL)
_PART = re.compile(r"\s*([0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)\s*([^\s0-9.,+-]*)")
_GAUGE = re.compile(
    r"(?:awg\s*#?\s*([0-9]{1,2}|[1-4]/0|0{1,4})|#?([0-9]{1,2}|[1-4]/0|0{1,4})\s*(?:awg|ga|gauge))", re.IGNORECASE
)
_SPACES = dict.fromkeys(map(ord, "\u00a0\u2007\u2009\u202f\t"), " ")
_SIGNS = {ord("−"): "-", ord("–"): "-", ord("＋"): "+"}


def read(text: str, kind: str, *, low: float | None = None, high: float | None = None) -> float:
    """The number that `text` says, in the canonical unit of `kind` (percentages as a fraction of one).

    low, high: bounds of the field, inside those of the kind. Raises Refusal.
    """
    what = KINDS[kind]
    value = _value(text, kind)
    bottom = what.low if low is None else max(low, what.low)
    top = what.high if high is None else min(high, what.high)
    if not bottom <= value <= top:
        raise Refusal(_out_of_bounds(text, what, value, bottom, top))
    return value + 0.0  # no negative zero


@lru_cache(maxsize=4096)
def _value(text: str, name: str) -> float:
    kind = KINDS[name]
    clean = text.translate(_SPACES).translate(_SIGNS).strip()
    if not clean:
        raise Refusal(f"nothing is typed: write {kind.hint}")
    if len(clean) > LONGEST:
        raise Refusal(f"{quoted(text)} is too long for {kind.noun}: write {kind.hint}")
    if any(character.isdigit() and character not in "0123456789²" for character in clean):
        raise Refusal(f"{quoted(text)} has digits of another script: write {kind.hint}")
    exact = _special(clean, kind)
    if exact is None:
        exact = _plain(clean, text, kind)
    try:
        value = float(exact)
    except OverflowError:
        value = inf
    if not isfinite(value):
        raise Refusal(f"{quoted(text)} is too large a number")
    return value


def _special(clean: str, kind: Kind) -> Fraction | None:
    """Spellings of one kind alone: 1h30, 1:30, 5 ft 6 in, 12 AWG, $250. None where it is none of them."""
    if kind.name in ("duration", "hours_per_day"):
        if clock := re.fullmatch(r"([0-9]{1,3}):([0-5][0-9])", clean):
            return Fraction(int(clock[1])) + Fraction(int(clock[2]), 60)
        return _compound(clean, kind, "min")
    if kind.name == "length":
        return _compound(clean, kind, "")
    if kind.name == "section" and (gauge := _GAUGE.fullmatch(clean)):
        return Fraction(gauge_area_mm2(_gauge_number(gauge[1] or gauge[2])))
    if kind.name == "money" and (sign := re.fullmatch(r"([$€£¥])\s*([0-9].*)", clean)):
        return _plain(sign[2], clean, kind)
    return None


def _compound(clean: str, kind: Kind, last_unit: str) -> Fraction | None:
    """A sum of parts with units that become smaller: 1 h 30 min, 3 m 20 cm; `last_unit` may be left out ("1h30")."""
    parts = _PART.findall(clean)
    if len(parts) < 2 or _PART.sub("", clean).strip():
        return None
    total, before = Fraction(0), Fraction(10**9)
    for position, (number, spelled) in enumerate(parts):
        unit = spelled or (last_unit if position == len(parts) - 1 else "")
        if unit.lower() not in kind.units:
            return None
        size, _ = conversion(kind.units[unit.lower()], kind.canonical)
        amount = _fraction(number, clean)
        if size >= before or (position and amount * size >= before):
            return None
        total, before = total + amount * size, size
    return total


def _plain(clean: str, text: str, kind: Kind) -> Fraction:
    """One number with at most one unit."""
    if re.match(r"[0-9]+\s*[x×*]\s*[0-9.,]", clean, re.IGNORECASE):
        raise Refusal(f"{quoted(text)}: write the value of one here, and how many in the quantity column")
    match = _ONE.fullmatch(clean)
    if not match:
        raise Refusal(f"{quoted(text)} is not {kind.noun}: write {kind.hint}")
    sign, number, rest = match[1], match[2], match[3].strip()
    if re.match(r"[.,]?[0-9]", rest) or rest[:1] in (".", ","):
        raise Refusal(f"{quoted(text)}: write the number without separators between thousands, as in 1500 or 1.5")
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", number):
        whole, part = number.split(",")
        raise Refusal(
            f"{quoted(text)}: {whole}{part} or {f'{whole}.{part}'.rstrip('0').rstrip('.')}? Write it without the comma"
        )
    amount = _fraction(number, text)
    unit = _unit(rest, text, kind)
    if not rest and unit == "percent_of_one" and 0 < amount < 1:
        raise Refusal(f"{quoted(text)}: is it {float(amount):g} % or {float(amount * 100):g} %? Write the % sign")
    if kind.name == "count" and amount.denominator != 1:
        raise Refusal(f"{quoted(text)} is not a whole number: write {kind.hint}")
    slope, offset = conversion(unit, kind.canonical)
    return (-amount if sign == "-" else amount) * slope + offset


def _fraction(number: str, text: str) -> Fraction:
    try:
        return Fraction(number.replace(",", ".").rstrip(".") if "e" not in number.lower() else number.replace(",", "."))
    except ValueError:  # "1.e5" and the like
        raise Refusal(f"{quoted(text)} is not a number that can be read for sure: write it with digits only") from None


def _unit(spelled: str, text: str, kind: Kind) -> str:
    """The pint unit behind a spelling; Refusal where this kind does not take it."""
    if not spelled:
        if not kind.bare:
            raise Refusal(f"{quoted(text)} has no unit: write {kind.hint}")
        return kind.bare
    found = _spelling(spelled, kind)
    if found is not None:
        return found
    twins = [name for name in kind.exact if name.lower() == spelled.lower()]
    if twins:
        raise Refusal(f"{quoted(text)}: is the unit {' or '.join(twins)}? Capital and small letters count here")
    for other in KINDS.values():
        if _spelling(spelled, other) is not None and other.name not in ("money", "count", "number"):
            raise Refusal(f"this field takes {kind.noun} ({kind.hint}); {quoted(text)} is {other.noun}")
    raise Refusal(f"{quoted(spelled)} is not a unit of {kind.noun}: write {kind.hint}")


def _spelling(spelled: str, kind: Kind) -> str | None:
    if spelled in kind.exact:
        return kind.exact[spelled]
    word = " ".join(spelled.lower().split())
    if any(name.lower() == word for name in kind.exact):
        return None
    return kind.units.get(word)


def _gauge_number(spelled: str) -> int:
    """AWG number: "12" -> 12, "0" or "1/0" -> 0, "00" or "2/0" -> -1, "4/0" -> -3."""
    if "/" in spelled:
        return 1 - int(spelled[0])
    return 1 - len(spelled) if set(spelled) == {"0"} else int(spelled)


def gauge_area_mm2(gauge: int) -> float:
    """Area of a solid round conductor of AWG number `gauge` (4/0 is -3), mm2.

    d = 0.127 mm x 92^((36 - n) / 39), ASTM B258.
    """
    diameter_mm = 0.127 * 92 ** ((36 - gauge) / 39)
    return float(pi / 4 * diameter_mm**2)


def _out_of_bounds(text: str, kind: Kind, value: float, low: float, high: float) -> str:
    from model.quantities.writing import write

    if kind.name == "hours_per_day" and value > 24:
        return f"a day has 24 hours; {quoted(text)} does not fit"
    if value < 0 and low == 0:
        return f"{quoted(text)}: {kind.noun} cannot be negative here"
    if high == inf:
        return f"{quoted(text)} is too small: the least that fits is {write(low, kind.name)}"
    if low == -inf:
        return f"{quoted(text)} is too large: the most that fits is {write(high, kind.name)}"
    return f"{quoted(text)} does not fit: between {write(low, kind.name)} and {write(high, kind.name)}"
