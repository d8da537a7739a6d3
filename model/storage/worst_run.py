"""The worst run of days: what is used without sun when a week has heavy and light days.

The heaviest kind of day comes first, for as many days as a week has of it, then the next heaviest; after seven days the week
begins again. No run of so many days can use more, however a week is arranged: whole weeks are always alike, and what is over
cannot be heavier than the heaviest days of one.
"""

from __future__ import annotations

from math import inf
from typing import NamedTuple

WEEK_DAYS = 7.0


class DaysAlike(NamedTuple):
    """Days of one kind in a week, and what each uses at the battery's terminals."""

    name: str
    days: float
    wh_per_day: float


def worst_run(week: tuple[DaysAlike, ...], days: float) -> tuple[DaysAlike, ...]:
    """The kinds of day in the worst run of `days`, with how many of each; `week` makes seven days."""
    weeks, rest = divmod(days, WEEK_DAYS)
    found = []
    for kind in sorted(week, key=lambda one: -one.wh_per_day):
        part = min(rest, kind.days)
        rest -= part
        if weeks * kind.days + part > 0:
            found.append(kind._replace(days=weeks * kind.days + part))
    return tuple(found)


def used_wh(run: tuple[DaysAlike, ...]) -> float:
    """What a run of days uses, Wh."""
    return sum(kind.days * kind.wh_per_day for kind in run)


def lasts_days(week: tuple[DaysAlike, ...], mean_wh_per_day: float, energy_wh: float) -> float:
    """How many days of the worst run `energy_wh` lasts, or of equal days without a `week`; infinite where nothing is used."""
    if not week:
        return energy_wh / mean_wh_per_day if mean_wh_per_day > 0 else inf
    week_wh = used_wh(week)
    if week_wh <= 0:
        return inf
    weeks, rest_wh = divmod(energy_wh, week_wh)
    days = WEEK_DAYS * weeks
    for kind in sorted(week, key=lambda one: -one.wh_per_day):
        if rest_wh < kind.days * kind.wh_per_day:
            return days + rest_wh / kind.wh_per_day
        rest_wh -= kind.days * kind.wh_per_day
        days += kind.days
    return days
