"""Months and hours of the day as people write them: "Oct-Apr", "dec", "evening", "7-9, 18-23"."""

from __future__ import annotations

import re
from collections.abc import Iterable

from model.quantities.refusal import Refusal, quoted

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
SHORT_MONTHS = tuple(name[:3] for name in MONTHS)
DAYS_IN_MONTH = (31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)

# Common practice, no source: what people mean by the words.
TIMES_OF_DAY: dict[str, tuple[tuple[int, int], ...]] = {
    "all day": ((0, 24),),
    "day": ((8, 18),),
    "evening": ((18, 23),),
    "night": ((22, 7),),
    "dark": ((18, 23),),  # where day and night are equal; with the month and the place: model.demand.dark
}


def month_name(month: int) -> str:
    """Full name of month 1 to 12."""
    return MONTHS[month - 1]


MONTHS_HINT = "all, Oct-Apr, or Jan, Mar, Jul"


def read_month(text: str) -> int:
    """A month from its number or (the beginning of) its name; Refusal otherwise."""
    word = text.strip().lower()
    if word.isascii() and word.isdigit() and len(word) <= 2 and 1 <= int(word) <= 12:
        return int(word)
    fits = [number for number, name in enumerate(MONTHS, 1) if len(word) >= 3 and name.lower().startswith(word)]
    if len(fits) == 1:
        return fits[0]
    raise Refusal(f"{quoted(text)} is not a month: write 12, Dec or December")


def read_months(text: str) -> tuple[int, ...]:
    """Months of use from "all", "none", "Oct-Apr", "Jan, Mar, 7-9"; a range may run over the year's end."""
    words = text.strip().lower()
    if words in ("all", "all year"):
        return tuple(range(1, 13))
    if words == "none":
        return ()
    chosen: set[int] = set()
    for part in re.split(r"[,;]", words):
        ends = re.split(r"\s*(?:-|–|\bto\b)\s*", part.strip())
        if not 1 <= len(ends) <= 2 or not ends[0]:
            raise Refusal(f"{quoted(text)} does not name months: write {MONTHS_HINT}")
        try:
            first, last = read_month(ends[0]), read_month(ends[-1])
        except Refusal:
            raise Refusal(f"{quoted(text)} does not name months: write {MONTHS_HINT}") from None
        chosen.update((first - 1 + step) % 12 + 1 for step in range((last - first) % 12 + 1))
    return tuple(sorted(chosen))


def write_months(months: Iterable[int]) -> str:
    """Shortest text that `read_months` reads back: "all", "Oct-Apr", "Jan, Mar, Jul-Sep"."""
    chosen = set(months)
    if len(chosen) == 12:
        return "all"
    if not chosen:
        return "none"
    starts = [month for month in sorted(chosen) if (month - 2) % 12 + 1 not in chosen]
    runs = []
    for start in starts:
        end = start
        while end % 12 + 1 in chosen:
            end = end % 12 + 1
        names = SHORT_MONTHS[start - 1], SHORT_MONTHS[end - 1]
        runs.append(names[0] if start == end else f"{names[0]}-{names[1]}")
    return ", ".join(runs)


def read_when(text: str) -> str:
    """Time of day, in its canonical spelling: a word of TIMES_OF_DAY, or clock hours "7-9, 18-23"."""
    words = " ".join(text.lower().split())
    if words in TIMES_OF_DAY:
        return words
    fits = [name for name in TIMES_OF_DAY if words and name.startswith(words)]
    if len(fits) == 1:
        return fits[0]
    return ", ".join(f"{start}-{end}" for start, end in _clock_windows(text))


def hours_of(when: str) -> tuple[float, ...]:
    """Share of a daily use that falls into each clock hour: 24 numbers that sum to 1."""
    windows = TIMES_OF_DAY.get(when) or _clock_windows(when)
    inside = [any(_covers(window, hour) for window in windows) for hour in range(24)]
    return tuple(flag / sum(inside) for flag in inside)


def _covers(window: tuple[int, int], hour: int) -> bool:
    start, end = window
    return start <= hour < end if start < end else hour >= start or hour < end


def _clock_windows(text: str) -> tuple[tuple[int, int], ...]:
    windows = []
    for part in re.split(r"[,;]", text):
        match = re.fullmatch(r"\s*([0-9]{1,2})\s*(?:h|:00)?\s*(?:-|–|to)\s*([0-9]{1,2})\s*(?:h|:00)?\s*", part)
        if not match or int(match[1]) > 23 or int(match[2]) > 24 or int(match[1]) == int(match[2]):
            raise Refusal(
                f"{quoted(text)} is not a time of day: write day, evening, night, dark, all day, or hours like 7-9, 18-23"
            )
        windows.append((int(match[1]), int(match[2])))
    return tuple(windows)


_ISO_DATE = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})", re.ASCII)
_DAY_FIRST = re.compile(r"([0-9]{1,2})\.? ([a-z]{3,9})\.?(?:,? ([0-9]{4}))?", re.ASCII)
_MONTH_FIRST = re.compile(r"([a-z]{3,9})\.? ([0-9]{1,2})(?:,? ([0-9]{4}))?", re.ASCII)


def read_date(text: str) -> str:
    """A date in its canonical spelling: "2026-12-24", or "24 Dec" where no year was given; Refusal otherwise."""
    words = " ".join(text.lower().split())
    if match := _ISO_DATE.fullmatch(words):
        year, month, day = match[1], int(match[2]), int(match[3])
    elif match := _DAY_FIRST.fullmatch(words):
        year, month, day = match[3], read_month(match[2]), int(match[1])
    elif match := _MONTH_FIRST.fullmatch(words):
        year, month, day = match[3], read_month(match[1]), int(match[2])
    else:
        raise Refusal(f"{quoted(text)} is not a date: write 2026-12-24 or 24 Dec")
    if not 1 <= month <= 12 or not 1 <= day <= _days(month, int(year) if year else None) or year == "0000":
        raise Refusal(f"{quoted(text)} is a day that no calendar has")
    return f"{year}-{month:02}-{day:02}" if year else f"{day} {SHORT_MONTHS[month - 1]}"


def day_of_year(date: str) -> int:
    """Number of a date's day, 1 to 365; the 29th of February counts as the 28th. Takes what `read_date` gives."""
    if match := _ISO_DATE.fullmatch(date):
        month, day = int(match[2]), int(match[3])
    else:
        number, name = date.split()
        month, day = read_month(name), int(number)
    return sum(_days(one, 2001) for one in range(1, month)) + min(day, _days(month, 2001))


def day_and_month(day: int) -> str:
    """Date of a day of the year, 1 to 365, as `read_date` writes one without a year: "24 Dec"."""
    month = 1
    while day > _days(month, 2001):
        day -= _days(month, 2001)
        month += 1
    return f"{day} {SHORT_MONTHS[month - 1]}"


def _days(month: int, year: int | None) -> int:
    """Days of a month; of any year where it is not known."""
    if month == 2:
        return 29 if year is None or (year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)) else 28
    return 30 if month in (4, 6, 9, 11) else 31
