"""The honest test of a plan: its battery hour by hour through many years, and the way back from a chance to a size.

Everything here comes from a `Plan`; nothing is asked of the design that the plan does not answer. numpy, scipy and the
simulation are imported on first use. Answers are remembered by what they depend on: the design, the years, the seed.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import inf
from threading import Lock
from typing import TYPE_CHECKING, TypeAlias

from model.plan import Plan
from model.storage.chemistry import chemistries
from model.storage.table import Option
from model.working import Finding, Step, chain
from model.year_hours import NoYear, bank_of, hours_of
from model.year_working import findings, steps

if TYPE_CHECKING:
    from model.design import Design
    from model.storage.odds import MonthOdds, Odds
    from model.storage.systems import ChanceMap, Fit
    from model.supply.weather_file import MeasuredDays

__all__ = ["Cancelled", "NoYear", "Year", "battery_map", "chances", "lightest_system", "year"]

YEARS, SEED = 100, 1
MAP_YEARS = 20
KG_PER_W = 0.055  # framed modules of 100 to 200 W, where none is typed; common practice, no source


class Cancelled(Exception):
    """The simulation was told to stop."""


@dataclass(frozen=True)
class Year:
    """A plan's chosen battery through `years` years, one where one was measured. `odds.months`: twelve, January first."""

    plan: Plan
    years: int
    seed: int
    sunshine: float
    measured_years: int  # from which the years were drawn; 0 where they are synthetic
    odds: Odds
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]

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
    sunshine: float = 1.0,
    measured: MeasuredDays | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Year:
    """The chosen chemistry of `plan` through `years` years.

    `sunshine` scales the climate's irradiation, to see what hangs on it: 0.9 for a place a tenth duller than its climate says.
    `measured` days take the place of synthetic ones: several years are drawn whole, a single one is used as it is.
    `progress` hears the share done, `cancelled` is asked on the way. Raises NoYear where the place has no climate, Cancelled
    where `cancelled` says so.
    """
    found = chances(
        plan,
        plan.storage.chosen.chemistry,
        years=years,
        seed=seed,
        sunshine=sunshine,
        measured=measured,
        progress=progress,
        cancelled=cancelled,
    )
    return Year(
        plan,
        found.years,
        seed,
        sunshine,
        measured.years if measured is not None else 0,
        found,
        steps(plan, found, seed, sunshine, measured),
        findings(plan, found, measured),
    )


def chances(
    plan: Plan,
    chemistry: str,
    *,
    years: int = YEARS,
    seed: int = SEED,
    sunshine: float = 1.0,
    measured: MeasuredDays | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Odds:
    """The odds of one chemistry, as sized in `plan`, in the same weather as all others. Raises as `year`; KeyError if unknown."""
    key = (plan.design, chemistry, years, seed, sunshine, measured)
    known = _answers.get(key)
    if known is not None:
        return known
    from model.storage.odds import odds, of_few_years
    from model.storage.simulation import last_year, simulate

    option = _option(plan, chemistry)
    single = measured is not None and measured.years == 1
    run = simulate(
        hours_of(plan, option, 2 if single else years, seed, sunshine, measured),
        bank_of(plan, option),
        plan.supply.array_w if plan.supply is not None else 0.0,
        option.installed_wh,
        trace=True,
        on_month=watched(progress, cancelled),
    )
    if single:  # the first of two alike only says with what charge such a year begins
        run = last_year(run)
    found = odds(run, chemistries()[chemistry], heat_ageing=option.heat_ageing)
    if measured is not None:
        found = of_few_years(found, measured.years)
    _answers.put(key, found)
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
    sunshine: float = 1.0,
    measured: MeasuredDays | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> ChanceMap:
    """Chance of an empty day by battery (Wh rated) and array, in `months` or the month looked at.

    The controller is taken to grow with the array; everything else stays as planned.
    """
    from model.storage.systems import chance_map

    option = _option(plan, chemistry)
    hours = replace(hours_of(plan, option, years, seed, sunshine, measured), controller_limit_w=inf)
    chosen = months or (plan.design.month,)
    return chance_map(hours, bank_of(plan, option), array_w, full_wh, chosen, watched(progress, cancelled))


def lightest_system(
    plan: Plan,
    array_w: Sequence[float],
    target: float,
    *,
    chemistry: str | None = None,
    months: Sequence[int] | None = None,
    years: int = MAP_YEARS,
    seed: int = SEED,
    sunshine: float = 1.0,
    measured: MeasuredDays | None = None,
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
        replace(hours_of(plan, option, years, seed, sunshine, measured), controller_limit_w=inf),
        bank_of(plan, option),
        array_w,
        target,
        months or (plan.design.month,),
        between_wh=(max(use, 1.0) / 10, 60 * max(use, 1.0)),
        kg_per_w=KG_PER_W if module.mass_kg is None else module.mass_kg / module.rated_w,
        kg_per_wh=option.mass_kg / option.installed_wh,
        on_month=watched(progress, cancelled),
    )


Key: TypeAlias = "tuple[Design, str, int, int, float, MeasuredDays | None]"


class _Answers:
    """The last odds by what they depend on; a worker thread may ask while another does."""

    def __init__(self, most: int) -> None:
        self._most, self._lock = most, Lock()
        self._found: OrderedDict[Key, Odds] = OrderedDict()

    def get(self, key: Key) -> Odds | None:
        with self._lock:
            if key in self._found:
                self._found.move_to_end(key)
            return self._found.get(key)

    def put(self, key: Key, odds: Odds) -> None:
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


def watched(progress: Callable[[float], None] | None, cancelled: Callable[[], bool] | None) -> Callable[[float], None]:
    """Asks and tells, in that order, whenever a part is done."""

    def watch(share: float) -> None:
        if cancelled is not None and cancelled():
            raise Cancelled
        if progress is not None:
            progress(share)

    return watch
