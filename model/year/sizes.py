"""The way back, from a chance of an empty day to the sizes of battery and array. Each raises as `model.year.year`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING

from model.plan import Plan
from model.year.hours import bank_of, hours_of, option_of
from model.year.watching import watched

if TYPE_CHECKING:
    from model.storage.systems import ChanceMap, Fit
    from model.supply.weather_file import MeasuredDays

MAP_YEARS, SEED = 20, 1
KG_PER_W = 0.055  # framed modules of 100 to 200 W, where none is typed; common practice, no source


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

    option = option_of(plan, chemistry)
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

    option = option_of(plan, chemistry)
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
