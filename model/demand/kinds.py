"""Kinds of day: which rows of the load table run on each, and what a week is made of.

The days of the week that no kind claims are a kind of their own, on which only the rows run that name no kind.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from model.design import Day, Load
from model.quantities import Refusal

WEEK_DAYS = 7.0
REST_NAME = "other days"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of day: its days in a week, which all kinds together make seven, and for each row whether it runs on it."""

    name: str
    days_per_week: float
    runs: tuple[bool, ...]

    @property
    def weight(self) -> float:
        """Its share of all days, 0 to 1."""
        return self.days_per_week / WEEK_DAYS

    @property
    def how_often(self) -> str:
        """ "4 days a week", "1 day a week"."""
        return f"{self.days_per_week:.3g} day{'' if self.days_per_week == 1 else 's'} a week"


def day_name(index: int, day: Day) -> str:
    """What a kind of day is called, with or without a name."""
    return day.name.strip() or f"kind {index + 1}"


def names_in(days: str) -> tuple[str, ...]:
    """The kinds of day that a row names: a list with commas, as typed but for spaces."""
    return tuple(name for part in days.split(",") if (name := " ".join(part.split())))


def unknown_names(load: Load, days: tuple[Day, ...]) -> tuple[str, ...]:
    """Names in a row that no kind of day has."""
    known = {_folded(day.name) for day in days}
    return tuple(name for name in names_in(load.days) if _folded(name) not in known)


def kinds_of(loads: tuple[Load, ...], days: tuple[Day, ...]) -> tuple[Kind, ...]:
    """The kinds of day of a week, as entered and then the rest; without any entered one kind, on which everything runs.

    More than seven days a week are shrunk to seven in proportion. A row all of whose names are unknown runs on every day: it is
    the cautious reading of a slip of the pen.
    """
    if not days:
        return (Kind("", WEEK_DAYS, (True,) * len(loads)),)
    known = {_folded(day.name) for day in days}
    named = [{_folded(name) for name in names_in(load.days)} & known for load in loads]
    claimed = sum(day.days_per_week for day in days)
    shrink = min(1.0, WEEK_DAYS / claimed) if claimed > 0 else 1.0
    kinds = [
        Kind(
            day_name(index, day),
            day.days_per_week * shrink,
            tuple(not names or _folded(day.name) in names for names in named),
        )
        for index, day in enumerate(days)
    ]
    if claimed < WEEK_DAYS:
        kinds.append(Kind(REST_NAME, WEEK_DAYS - claimed, tuple(not names for names in named)))
    return tuple(kinds)


def row_weights(kinds: tuple[Kind, ...]) -> tuple[float, ...]:
    """For each row of the load table the share of all days on which it runs, 0 to 1."""
    runs = zip(*(kind.runs for kind in kinds), strict=True)
    return tuple(sum(kind.weight for kind, on in zip(kinds, row, strict=True) if on) for row in runs)


def renamed(loads: Iterable[Load], old: str, new: str) -> tuple[Load, ...]:
    """The loads with another name for a kind of day, in the rows that name it."""
    return tuple(
        replace(load, days=", ".join(new if _folded(name) == _folded(old) else name for name in names_in(load.days)))
        if old.strip() and _folded(old) in map(_folded, names_in(load.days))
        else load
        for load in loads
    )


def days_with(load: Load, days: tuple[Day, ...], name: str, *, runs: bool) -> str:
    """What `load` is to name so that it runs, or does not, on the kind of day `name`; REST_NAME for the other days.

    Only a load that runs on every day runs on the other days, so it leaves them with the first kind that it leaves. Raises
    Refusal where nothing would be left.
    """
    every = [" ".join(day.name.split()) for day in days if day.name.strip()]
    known = {_folded(one) for one in every}
    there = {_folded(one) for one in names_in(load.days)} & known
    on = there or known
    if _folded(name) == REST_NAME:
        if runs:
            return ""
    elif runs:
        on = on | {_folded(name)}
    else:
        on = on - {_folded(name)}
    if not on:
        raise Refusal("it would run on no day at all: in the load table, x leaves it out")
    everywhere = on == known and not there and runs
    return "" if everywhere else ", ".join(one for one in every if _folded(one) in on)


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
