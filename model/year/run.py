"""The honest test of a plan: its battery hour by hour through many years.

Everything here comes from a `Plan`; nothing is asked of the design that the plan does not answer. numpy and the simulation are
imported on first use. Answers are remembered by what they depend on: the design, the years, the seed.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from typing import TYPE_CHECKING, TypeAlias

from model.plan import Plan
from model.storage.chemistry import chemistries
from model.working import Finding, Step, chain
from model.year.hours import bank_of, hours_of, option_of
from model.year.watching import watched
from model.year.working import findings, steps

if TYPE_CHECKING:
    from model.design import Design
    from model.storage.odds import MonthOdds, Odds
    from model.supply.weather_file import MeasuredDays

YEARS, SEED = 100, 1


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

    option = option_of(plan, chemistry)
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
