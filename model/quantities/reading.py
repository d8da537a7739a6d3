"""Text -> number, in the canonical unit of a kind."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from math import inf, isfinite

from model.quantities.gauge import gauge_area_mm2, gauge_number
from model.quantities.kinds import KINDS, Kind
from model.quantities.refusal import Refusal, quoted
from model.quantities.registry import conversion
from model.quantities.writing import IN_THOUSANDS, write

LONGEST = 60
_DIGITS = r"(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
_ONE = re.compile(rf"([+-]?) ?({_DIGITS})(?:[eE]([+-]?[0-9]{{1,3}}))?(?![0-9.,]) ?(.*)")
_PART = re.compile(rf"({_DIGITS}) ?([^ 0-9.,+-]*) ?")
_CLOCK = re.compile(r"([0-9]{1,3}):([0-5][0-9])(?: ?h)?")
_GROUPED = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_POINTED = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")
_TIMES = re.compile(r"[x×*] ?[0-9.,]", re.IGNORECASE)
_SIGNS = dict.fromkeys(map(ord, "−–‐‑﹣－"), "-") | {ord("＋"): "+"}
_UNIT_SIGNS = str.maketrans({"²": "2", "μ": "µ", "\u2126": "Ω", "º": "°", "˚": "°", "℃": "°c", "℉": "°f", "^": ""})
_CURRENCY_SIGNS = "$€£¥"
_ANY_NUMBER = ("count", "money", "number", "efficiency")  # never what a text "is" when it stands in a wrong field


def read(text: str, kind: str, *, low: float | None = None, high: float | None = None) -> float:
    """The number that `text` says, in the canonical unit of `kind` (percentages as a fraction of one).

    low, high: bounds of the field, inside those of the kind. Raises Refusal, and nothing else, whatever the text.
    """
    what = KINDS[kind]
    value = _value(text, kind)
    bottom = what.low if low is None else max(low, what.low)
    top = what.high if high is None else min(high, what.high)
    if not bottom <= value <= top:
        raise Refusal(_out_of_bounds(text, what, value, bottom, top))
    return value


@lru_cache(maxsize=4096)
def _value(text: str, name: str) -> float:
    kind = KINDS[name]
    clean = " ".join(text.translate(_SIGNS).split())
    if not clean:
        raise Refusal(f"nothing is typed: write {kind.hint}")
    if len(clean) > LONGEST:
        raise Refusal(f"{quoted(text)} is too long for {kind.noun}: write {kind.hint}")
    if any(character.isdigit() and character not in "0123456789²" for character in clean):
        raise Refusal(f"{quoted(text)} has digits of another script: write {kind.hint}")
    exact = _special(clean, kind)
    if exact is None:
        exact = _plain(clean, kind)
    exact *= kind.scale
    try:
        value = float(exact)
    except OverflowError:
        value = inf
    if not isfinite(value):
        raise Refusal(f"{quoted(text)} is too large a number")
    if exact and not value:
        raise Refusal(f"{quoted(text)} is too small a number: write 0, or {kind.hint}")
    return value


def _special(clean: str, kind: Kind) -> Fraction | None:
    """Spellings of one kind alone: 1h30, 1:30, 5 ft 6 in, 12 AWG, $250. None where it is none of them."""
    match kind.name:
        case "duration" | "hours_per_day" | "hours_per_week":
            if clock := _CLOCK.fullmatch(clean):
                return Fraction(int(clock[1])) + Fraction(int(clock[2]), 60)
            return _compound(clean, kind)
        case "length":
            return _compound(clean, kind)
        case "section":
            gauge = gauge_number(clean)
            return None if gauge is None else Fraction(gauge_area_mm2(gauge))
        case "money" if clean[0] in _CURRENCY_SIGNS:
            rest = clean[1:].lstrip()
            if rest[:1].isascii() and rest[:1].isdigit():
                return _plain(rest, kind)
    return None


def _compound(clean: str, kind: Kind) -> Fraction | None:
    """A sum of parts whose units become smaller: 1 h 30 min, 3 m 20 cm. After hours the minutes may go without a unit: 1h30."""
    parts = _PART.findall(clean)
    if len(parts) < 2 or _PART.sub("", clean):
        return None
    total, before, unit_before = Fraction(0), Fraction(0), ""
    for position, (digits, spelled) in enumerate(parts):
        last = position == len(parts) - 1
        unit = kind.units.get(_unit_key(spelled).lower(), "")
        if unit_before == "hour" and (
            spelled in ("m", "M") or (last and not spelled and re.fullmatch("[0-5][0-9]", digits))
        ):
            unit = "minute"  # 1h5 stays refused: it could be 1h05 or 1.5 h
        if not unit or not (last or digits.isdigit()):
            return None
        size, _ = conversion(unit, kind.canonical)
        amount = _amount(digits, clean) * size
        if before and amount >= before:  # 1 h 90 min, 3 cm 2 m: a slip more likely than a sum
            return None
        total, before, unit_before = total + amount, size, unit
    return total


def _plain(clean: str, kind: Kind) -> Fraction:
    """One number with at most one unit, in the canonical unit of the kind."""
    match = _ONE.fullmatch(clean)
    if not match:
        raise Refusal(_no_number(clean, kind))
    sign, digits, exponent, spelled = match[1], match[2], match[3], match[4]
    unit = _unit(spelled, clean, kind)
    amount = _amount(digits, clean) * Fraction(10) ** int(exponent or 0)
    if not spelled and unit == "percent" and 0 < amount < 1:
        raise Refusal(f"{quoted(clean)}: is it {digits} % or {write(float(amount), 'percent')}? Write the % sign")
    if kind.name == "count" and amount.denominator != 1:
        raise Refusal(f"{quoted(clean)} is not a whole number: write {kind.hint}")
    slope, offset = conversion(unit, kind.canonical)
    return (-amount if sign == "-" else amount) * slope + offset


def _amount(digits: str, clean: str) -> Fraction:
    """Decimal comma or point; 1,500 is asked about, because half of the world means 1500 and the other half 1.5."""
    if _GROUPED.fullmatch(digits):
        raise Refusal(_thousands(clean, digits))
    return Fraction(digits.replace(",", ".").rstrip("."))


def _thousands(clean: str, digits: str) -> str:
    """The question about a number with one sign and three digits behind it, with the two spellings that are clear."""
    whole, sign, part = re.split(r"([.,])", digits)
    shorter = part.rstrip("0")
    decimal = f"{whole}{sign}{shorter}" if 0 < len(shorter) < 3 else f"{whole}{sign}{part}0" if shorter else whole
    return f"{quoted(clean)}: {whole}{part} or {decimal}? Write it like that"


def ask_thousands(text: str, kind: str) -> None:
    """Refuse a point before three digits in what a person typed, as the comma is refused: elsewhere 1.500 W are 1500 W.

    For kinds whose figures seldom have three decimals; files, which the program writes itself, are read without. Raises Refusal.
    """
    clean = " ".join(text.translate(_SIGNS).split())
    match = _ONE.fullmatch(clean)
    if kind in IN_THOUSANDS and match and not match[3] and _POINTED.fullmatch(match[2]):
        raise Refusal(_thousands(clean, match[2]))


def _unit(spelled: str, clean: str, kind: Kind) -> str:
    """The pint unit behind a spelling; Refusal where this kind does not take it."""
    if not spelled:
        if not kind.bare:
            raise Refusal(f"{quoted(clean)} has no unit: write {kind.hint}")
        return kind.bare
    unit = _meaning(spelled, kind)
    if unit is None:
        raise Refusal(_no_unit(spelled, clean, kind))
    return unit


def _unit_key(spelled: str) -> str:
    return spelled.translate(_UNIT_SIGNS)


def _meaning(spelled: str, kind: Kind) -> str | None:
    """The pint unit that a spelling stands for in this kind; None where it is unknown or its letter case leaves a doubt."""
    key = _unit_key(spelled)
    if key in kind.exact:
        return kind.exact[key]
    return None if _cased(key, kind) else kind.units.get(key.lower())


def _cased(key: str, kind: Kind) -> list[str]:
    """The spellings, one for each unit, that differ from `key` in letter case alone."""
    twins: dict[str, str] = {}
    for name, unit in kind.exact.items():
        if name.lower() == key.lower():
            twins.setdefault(unit, name)
    return list(twins.values())


def _no_number(clean: str, kind: Kind) -> str:
    if re.match(rf"[+-]? ?{_DIGITS}[.,]", clean):
        return f"{quoted(clean)}: write the number without separators between thousands, as in 1500 or 1.5"
    if clean[0] in _CURRENCY_SIGNS:
        return _wrong(clean, kind, KINDS["money"])
    return f"{quoted(clean)} is not {kind.noun}: write {kind.hint}"


def _no_unit(spelled: str, clean: str, kind: Kind) -> str:
    if _TIMES.match(spelled) or _TIMES.search(spelled, 1):
        return f"{quoted(clean)}: write the value of one here, and how many in the quantity column"
    if re.match(r"['’]?[0-9]{3}", spelled):
        return f"{quoted(clean)}: write the number without separators between thousands, as in 1500 or 1.5"
    if twins := _cased(_unit_key(spelled), kind):
        return f"{quoted(clean)}: is the unit {' or '.join(twins)}? Capital and small letters count here"
    for other in KINDS.values():
        if other.name not in _ANY_NUMBER and _meaning(spelled, other) is not None:
            return _wrong(clean, kind, other)
    if gauge_number(clean) is not None:
        return _wrong(clean, kind, KINDS["section"])
    if kind.name == "section" and "awg" in clean.lower():
        return f"{quoted(clean)} is not a gauge: they run from 4/0 AWG to 40 AWG"
    if any(character.isdigit() for character in spelled):
        return f"{quoted(clean)} cannot be read as {kind.noun}: write {kind.hint}"
    return f"{quoted(spelled)} is not a unit of {kind.noun}: write {kind.hint}"


def _wrong(clean: str, kind: Kind, other: Kind) -> str:
    return f"this field takes {kind.noun} ({kind.hint}); {quoted(clean)} is {other.noun}"


def _out_of_bounds(text: str, kind: Kind, value: float, low: float, high: float) -> str:
    if kind.name == "hours_per_day" and value > 24:
        return f"a day has 24 hours; {quoted(text)} does not fit"
    if kind.name == "hours_per_week":
        return f"a week has 168 hours; {quoted(text)} does not fit"
    if value < 0 <= low:
        return f"{quoted(text)}: {kind.noun} cannot be negative here"
    if value > high == kind.high and kind.name not in ("percent", "efficiency"):
        return f"{quoted(text)} is too large: the most that fits is {write(high, kind.name)}"
    return f"{quoted(text)} does not fit: between {write(low, kind.name)} and {write(high, kind.name)}"
