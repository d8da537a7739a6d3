"""The honest test of a plan: its battery hour by hour through many synthetic years, and the way back from a chance to a size.

Everything here comes from a `Plan`; nothing is asked of the design that the plan does not answer. numpy, scipy and the
simulation are imported on first use. Answers are remembered by what they depend on: the design, the years, the seed.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import inf
from threading import Lock
from typing import TYPE_CHECKING

from model.calendar import month_name
from model.plan import Plan
from model.storage.chemistry import chemistries
from model.storage.table import Option
from model.working import Step, chain
from model.year_hours import NoYear, bank_of, hours_of

if TYPE_CHECKING:
    from model.design import Design
    from model.storage.odds import MonthOdds, Odds
    from model.storage.systems import ChanceMap, Fit

__all__ = ["Cancelled", "NoYear", "Year", "battery_map", "chances", "lightest_system", "year"]

YEARS, SEED = 100, 1
MAP_YEARS = 20
KG_PER_W = 0.055  # framed modules of 100 to 200 W, where none is typed; common practice, no source

SOURCE = (
    "simulation, hour by hour, of {years} years of synthetic days (Gaussian copula, lag-1 1/3, 5 % common to a month; "
    "seed {seed})"
)


class Cancelled(Exception):
    """The simulation was told to stop."""


@dataclass(frozen=True)
class Year:
    """A plan's chosen battery through `years` years. `odds.months` has the twelve months, January first."""

    plan: Plan
    years: int
    seed: int
    odds: Odds
    steps: tuple[Step, ...]

    @property
    def month(self) -> MonthOdds:
        """The month looked at."""
        return self.odds.months[self.plan.design.month - 1]

    def chain(self, key: str) -> tuple[Step, ...]:
        """The steps that lead to the figure `key`, the plan's among them."""
        return chain({**self.plan.working, **{step.key: step for step in self.steps}}, key)


def year(
    plan: Plan,
    *,
    years: int = YEARS,
    seed: int = SEED,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Year:
    """The chosen chemistry of `plan` through `years` years.

    `progress` hears the share done, `cancelled` is asked on the way. Raises NoYear where the place has no climate, Cancelled
    where `cancelled` says so.
    """
    found = chances(plan, plan.storage.chosen.chemistry, years=years, seed=seed, progress=progress, cancelled=cancelled)
    return Year(plan, years, seed, found, _steps(plan, found, seed))


def chances(
    plan: Plan,
    chemistry: str,
    *,
    years: int = YEARS,
    seed: int = SEED,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Odds:
    """The odds of one chemistry, as sized in `plan`, in the same weather as all others. Raises as `year`; KeyError if unknown."""
    known = _answers.get((plan.design, chemistry, years, seed))
    if known is not None:
        return known
    from model.storage.odds import odds
    from model.storage.simulation import simulate

    option = _option(plan, chemistry)
    run = simulate(
        hours_of(plan, option, years, seed),
        bank_of(plan, option),
        plan.supply.array_w if plan.supply is not None else 0.0,
        option.installed_wh,
        trace=True,
        on_month=_watched(progress, cancelled),
    )
    found = odds(run, chemistries()[chemistry], heat_ageing=option.heat_ageing)
    _answers.put((plan.design, chemistry, years, seed), found)
    return found


def battery_map(
    plan: Plan,
    array_w: Sequence[float],
    full_wh: Sequence[float],
    *,
    chemistry: str | None = None,
    months: Sequence[int] | None = None,
    years: int = MAP_YEARS,
    seed: int = SEED,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> ChanceMap:
    """Chance of an empty day by battery (Wh rated) and array, in `months` or the month looked at.

    The controller is taken to grow with the array; everything else stays as planned.
    """
    from model.storage.systems import chance_map

    option = _option(plan, chemistry)
    hours = replace(hours_of(plan, option, years, seed), controller_limit_w=inf)
    chosen = months or (plan.design.month,)
    return chance_map(hours, bank_of(plan, option), array_w, full_wh, chosen, _watched(progress, cancelled))


def lightest_system(
    plan: Plan,
    array_w: Sequence[float],
    target: float,
    *,
    chemistry: str | None = None,
    months: Sequence[int] | None = None,
    years: int = MAP_YEARS,
    seed: int = SEED,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Fit | None:
    """Of the arrays the one that is lightest with its smallest battery for `target`; one array alone: its smallest battery.

    Batteries from a tenth of a day's use to sixty days of it are tried. None where none keeps the target.
    """
    from model.storage.systems import lightest

    option = _option(plan, chemistry)
    module, use = plan.design.module, max(month.energy_wh_per_day for month in plan.demand.months)
    return lightest(
        replace(hours_of(plan, option, years, seed), controller_limit_w=inf),
        bank_of(plan, option),
        array_w,
        target,
        months or (plan.design.month,),
        between_wh=(max(use, 1.0) / 10, 60 * max(use, 1.0)),
        kg_per_w=KG_PER_W if module.mass_kg is None else module.mass_kg / module.rated_w,
        kg_per_wh=option.mass_kg / option.installed_wh,
        on_month=_watched(progress, cancelled),
    )


class _Answers:
    """The last odds by what they depend on; a worker thread may ask while another does."""

    def __init__(self, most: int) -> None:
        self._most, self._lock = most, Lock()
        self._found: OrderedDict[tuple[Design, str, int, int], Odds] = OrderedDict()

    def get(self, key: tuple[Design, str, int, int]) -> Odds | None:
        with self._lock:
            if key in self._found:
                self._found.move_to_end(key)
            return self._found.get(key)

    def put(self, key: tuple[Design, str, int, int], odds: Odds) -> None:
        with self._lock:
            self._found[key] = odds
            while len(self._found) > self._most:
                self._found.popitem(last=False)


_answers = _Answers(32)


def _option(plan: Plan, chemistry: str | None) -> Option:
    wanted = chemistry or plan.storage.chosen.chemistry
    found = next((each for each in plan.storage.options if each.chemistry == wanted), None)
    if found is None:
        raise KeyError(wanted)
    return found


def _watched(progress: Callable[[float], None] | None, cancelled: Callable[[], bool] | None) -> Callable[[float], None]:
    """Asks and tells, in that order, whenever a part is done."""

    def watch(share: float) -> None:
        if cancelled is not None and cancelled():
            raise Cancelled
        if progress is not None:
            progress(share)

    return watch


def _steps(plan: Plan, found: Odds, seed: int) -> tuple[Step, ...]:
    """The working of the odds: each figure, how it was counted, and what went in."""
    chosen, years = plan.storage.chosen.chemistry, found.years
    source = SOURCE.format(years=years, seed=seed)
    base = (f"storage.{chosen}.installed_wh", f"storage.{chosen}.depth_of_discharge", "supply.array_w")
    steps = []
    for month in found.months:
        name, number = month_name(month.month), month.month
        key = f"storage.chance_of_empty_day.{number}"
        uses = (*base, f"supply.yield_wh_per_w_day.{number}", f"demand.energy_wh_per_day.{number}")
        counted = f"empty days / days of {years} times {name}; {month.bad_months} of {years} have one"
        error = f"{100 * month.chance_error:.2g} % (1σ)"
        chance = 100 * month.chance_of_empty_day
        steps += [
            Step(key, "storage", f"Chance of an empty day, {name}", f"{counted}; ±{error}", chance, "%", source, uses),
            Step(
                f"storage.unmet_fraction.{number}",
                "storage",
                f"Use that goes unmet, {name}",
                "unmet energy / all use but what was put off for good",
                100 * month.unmet_fraction,
                "%",
                source,
                uses,
            ),
        ]
    whole = tuple(f"storage.chance_of_empty_day.{month.month}" for month in found.months)
    spread = f"mean of {years} years, ±{found.empty_days_error:.2g} (1σ)"
    wear = (
        f"1 / {found.wear_per_year:.3g} a year, each day one cycle of its depth (Palmgren and Miner), or the calendar's"
    )
    steps += [
        Step(
            "storage.empty_days",
            "storage",
            "Empty days a year",
            spread,
            found.empty_days_per_year,
            "days",
            source,
            whole,
        ),
        Step(
            "storage.full_cycles",
            "storage",
            "Full cycles a year",
            "energy drawn / rated energy",
            found.full_cycles_per_year,
            "",
            source,
            base,
        ),
        Step(
            "storage.simulated_life",
            "storage",
            "Life at this use, simulated",
            wear,
            found.life_years,
            "years",
            source,
            base,
        ),
    ]
    return tuple(steps)
