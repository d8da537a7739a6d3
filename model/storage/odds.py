"""What a simulation says to a person: how often the battery is empty, month by month, and how well that is known.

Empty means: on that day something that cannot wait went without. Days of one month hang together, years hardly do; so each
chance carries the error of a mean over years, not that of so many independent days.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from model.storage.chemistry import Chemistry
from model.storage.life import cycles_at_depth, life_years
from model.storage.simulation import FIRST_DAY
from model.storage.simulation_table import Flags, Run
from model.storage.weather import DAYS_OF_MONTH, DAYS_PER_YEAR
from model.supply.sun import Floats

PERCENTILES = (10, 25, 50, 75, 90)
WEEK_H = 168


@dataclass(frozen=True, slots=True)
class MonthOdds:
    """One month, over all years. Errors are one standard deviation.

    `bad_months`: of the years, in how many this month had an empty day. `unmet_fraction`: of all use but what was forgone;
    `forgone_fraction`: of what could wait. `locked_days`: a month, on which cold or heat refused charge;
    `refused_wh_per_day`: what the battery had room for and did not take for it. `since_full_*`: days.
    `typical_week` and `darkest_week`: state of charge (0 to 1) by hour at PERCENTILES, 5 x 168: the days 11 to 17 of the month,
    and the seven days in a row with the least income of each year's month.
    """

    month: int
    chance_of_empty_day: float
    chance_error: float
    bad_months: int
    empty_days: float
    unmet_fraction: float
    forgone_fraction: float
    locked_days: float
    refused_wh_per_day: float
    since_full_mean: float
    since_full_max: int
    longest_spell_survived: int  # that ended in this month
    sun_wh_per_day: float
    other_wh_per_day: float
    curtailed_wh_per_day: float
    used_wh_per_day: float
    typical_week: tuple[tuple[float, ...], ...]
    darkest_week: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Odds:
    """One system over `years` years.

    A dark spell is a run of days that each bring less than they use; survived: none of them was empty. `refill_days_*`: from
    the last empty day to the next day on which the battery was full, None where it never was empty or never full again.
    `wear_per_year`: share of the cycle life.
    """

    years: int
    months: tuple[MonthOdds, ...]
    empty_days_per_year: float
    empty_days_error: float
    unmet_fraction: float
    longest_spell_survived: int
    since_full_mean: float
    since_full_max: int
    refill_days_mean: float | None
    refill_days_max: int | None
    full_cycles_per_year: float
    wear_per_year: float
    life_years: float
    locked_days_per_year: float


def odds(run: Run, chemistry: Chemistry, *, system: int = 0, heat_ageing: float = 1.0) -> Odds:
    """The odds of one system of a run that was simulated with its trace.

    Raises ValueError without a trace.
    """
    if run.trace is None:
        raise ValueError("the odds take a run with its trace")
    empty, full = run.empty[:, system], run.full[:, system]
    dark = run.trace.income_wh[:, system] < run.trace.wanted_wh[:, system]
    spells = dark_spells(in_order(dark), in_order(empty))
    since_full = by_year(days_in_a_row(~in_order(full)), run.years)
    refill = days_to_refill(in_order(empty), in_order(full))
    wear = wear_per_year(daily_depth(run, system), chemistry)
    book, years = run.ledger, run.years
    whole, whole_error = empty_days(empty)
    return Odds(
        years=years,
        months=tuple(_month(run, system, month, since_full, spells) for month in range(12)),
        empty_days_per_year=whole,
        empty_days_error=whole_error,
        unmet_fraction=_share(book.unmet[:, system].sum(), (book.unmet + book.used)[:, system].sum()),
        longest_spell_survived=max((length for _, length, survived in spells if survived), default=0),
        since_full_mean=float(since_full.mean()),
        since_full_max=int(since_full.max()),
        refill_days_mean=float(refill.mean()) if len(refill) else None,
        refill_days_max=int(refill.max()) if len(refill) else None,
        full_cycles_per_year=float(book.drawn[:, system].sum() / run.full_wh[system] / years),
        wear_per_year=wear,
        life_years=life_years(chemistry.calendar_life_years, 1.0, wear, heat_ageing),
        locked_days_per_year=float(run.locked[:, system].sum() / years),
    )


def of_few_years(found: Odds, measured_years: int) -> Odds:
    """The odds of years drawn from `measured_years`: their errors are those of so few, however often they were drawn."""
    wider = sqrt(max(1.0, found.years / measured_years))
    months = tuple(replace(month, chance_error=wider * month.chance_error) for month in found.months)
    return replace(found, months=months, empty_days_error=wider * found.empty_days_error)


def chance_of_empty_day(run: Run, months: Iterable[int]) -> tuple[Floats, Floats]:
    """Share of the days of `months` (1 to 12) that are empty, and its error, for each system."""
    days = np.concatenate([np.arange(FIRST_DAY[month - 1], FIRST_DAY[month]) for month in sorted(set(months))])
    found = [_chance(run.empty[days, system]) for system in range(run.empty.shape[1])]
    chance, error = np.array(found).T
    return chance, error


def empty_days(empty: Flags) -> tuple[float, float]:
    """Mean number of empty days among (days, years), and its error."""
    count, error = mean_and_error(empty.sum(axis=0))
    return count, max(error, _least_error(empty))


def share_of_years(bad: int, years: int) -> tuple[float, float]:
    """Share of years that are bad, and its binomial error, with half a bad and half a good year added, so that it is never 0."""
    likely = (bad + 0.5) / (years + 1)
    return bad / years, sqrt(likely * (1 - likely) / years)


def mean_and_error(by_years: Floats | Flags) -> tuple[float, float]:
    """Mean over years and its standard error; the error is 0 for a single year, which says nothing about others."""
    values = np.asarray(by_years, dtype=float)
    spread = float(values.std(ddof=1)) if len(values) > 1 else 0.0
    return float(values.mean()), spread / sqrt(len(values))


def in_order(days: Flags) -> Flags:
    """(365, years) -> the days of all years in a row."""
    return days.T.ravel()


def by_year(days: Floats, years: int) -> Floats:
    """The days of all years in a row -> (365, years)."""
    return days.reshape(years, DAYS_PER_YEAR).T


def days_in_a_row(flags: Flags) -> Floats:
    """For each day how many days up to it, itself included, have the flag without a gap."""
    number = np.arange(1, len(flags) + 1)
    return np.asarray(number - np.maximum.accumulate(np.where(flags, 0, number)), dtype=float)


def dark_spells(dark: Flags, empty: Flags) -> list[tuple[int, int, bool]]:
    """Each run of dark days: the day of the year on which it ended (from 0), its length, whether none of it was empty."""
    edges = np.diff(np.concatenate([[False], dark, [False]]).astype(int))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    upto = np.concatenate([[0], np.cumsum(empty)])
    empties = upto[ends] - upto[starts]
    last_day = ((ends - 1) % DAYS_PER_YEAR).tolist()
    return list(zip(last_day, (ends - starts).tolist(), (empties == 0).tolist(), strict=True))


def days_to_refill(empty: Flags, full: Flags) -> Floats:
    """Days from the last empty day before each full day to that day; without those that never got full again."""
    day = np.arange(len(empty))
    never = len(empty)
    next_full = np.minimum.accumulate(np.where(full & ~empty, day, never)[::-1])[::-1]
    last_empty = {}
    for index in np.flatnonzero(empty).tolist():
        last_empty[int(next_full[index])] = index
    return np.array([full_on - index for full_on, index in last_empty.items() if full_on < never], dtype=float)


def daily_depth(run: Run, system: int = 0) -> Floats:
    """Between a day's highest and lowest charge, over the capacity: (365, years)."""
    assert run.trace is not None  # by the caller
    stored = run.trace.stored_wh[:, :, system]
    return np.asarray((stored.max(axis=1) - stored.min(axis=1)) / run.full_wh[system])


def wear_per_year(depths: Floats, chemistry: Chemistry) -> float:
    """Share of the cycle life that a year takes: each day wears 1 / (cycles at its depth) (Palmgren and Miner's rule).

    A day counts as one cycle between its highest and its lowest charge.
    """
    grid = np.linspace(0.0, 1.0, 401)
    wear = np.array([1 / cycles_at_depth(chemistry.cycle_life, float(depth)) for depth in grid])
    return float(np.interp(depths, grid, wear).sum(axis=0).mean())


def _month(run: Run, system: int, month: int, since_full: Floats, spells: list[tuple[int, int, bool]]) -> MonthOdds:
    assert run.trace is not None  # by the caller
    first, last = FIRST_DAY[month], FIRST_DAY[month + 1]
    empty = run.empty[first:last, system]
    chance, error = _chance(empty)
    book = {name: float(account[month, system].sum()) for name, account in run.ledger._asdict().items()}
    days = DAYS_OF_MONTH[month] * run.years
    charge = run.trace.stored_wh[first:last, :, system] / run.full_wh[system]
    survived = (length for end, length, whole in spells if whole and first <= end < last)
    return MonthOdds(
        month=month + 1,
        chance_of_empty_day=chance,
        chance_error=error,
        bad_months=int(empty.any(axis=0).sum()),
        empty_days=chance * DAYS_OF_MONTH[month],
        unmet_fraction=_share(book["unmet"], book["unmet"] + book["used"]),
        forgone_fraction=_share(book["forgone"], book["due"]),
        locked_days=float(run.locked[first:last, system].sum() / run.years),
        refused_wh_per_day=book["refused"] / days,
        since_full_mean=float(since_full[first:last].mean()),
        since_full_max=int(since_full[first:last].max()),
        longest_spell_survived=max(survived, default=0),
        sun_wh_per_day=book["sun"] / days,
        other_wh_per_day=book["other"] / days,
        curtailed_wh_per_day=book["curtailed"] / days,
        used_wh_per_day=book["used"] / days,
        typical_week=_fan(charge[10:17]),
        darkest_week=_fan(darkest_week(charge, run.trace.income_wh[first:last, system])),
    )


def darkest_week(charge: Floats, income_wh: Floats) -> Floats:
    """Of each year's month the seven days in a row with the least income: (days, 24, years) -> (7, 24, years)."""
    sums = np.lib.stride_tricks.sliding_window_view(income_wh, 7, axis=0).sum(axis=-1)
    return np.stack([charge[start : start + 7, :, year] for year, start in enumerate(sums.argmin(axis=0))], axis=-1)


def _fan(week: Floats) -> tuple[tuple[float, ...], ...]:
    rows = np.percentile(week.reshape(WEEK_H, -1), PERCENTILES, axis=1)
    return tuple(tuple(row) for row in rows.tolist())


def _chance(empty: Flags) -> tuple[float, float]:
    """Share of (days, years) that is empty, with its error."""
    chance, error = mean_and_error(empty.mean(axis=0))
    return chance, max(error, _least_error(empty) / len(empty))


def _least_error(empty: Flags) -> float:
    """Error of the number of empty days a year that is left where all years look alike, above all where none was empty.

    Binomial over years (one is bad or not), with half a bad year and half a good one added, times the days of a bad year.
    """
    years = empty.shape[1]
    bad = int(empty.any(axis=0).sum())
    days_if_bad = empty.sum() / bad if bad else 1.0
    return float(days_if_bad * share_of_years(bad, years)[1])


def _share(part: float, whole: float) -> float:
    return float(part / whole) if whole > 0 else 0.0
