"""A plan as the simulation needs it: its year hour by hour at the battery's terminals, and its battery.

numpy and the simulation are imported on first use.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp
from typing import TYPE_CHECKING

from model.demand.week import days_of_week
from model.plan import NIGHT_COLD_K, UNKNOWN_C, Plan, battery_temperature_c
from model.storage.chemistry import Chemistry, chemistries
from model.storage.rate import share_at_rates
from model.storage.standby import DAYS_PER_MONTH
from model.storage.table import Option
from model.storage.temperature import temperature_factor

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from model.design import Array, Controller, Module
    from model.storage.simulation import Bank, Hours
    from model.supply.climate import Climate
    from model.supply.hourly_yield import DayShapes
    from model.supply.other_income_table import Source
    from model.supply.sun import Floats
    from model.supply.weather_file import MeasuredDays

DRIVES_AT_H, PLUGS_IN_AT_H, RUNS_AT_H = 10, 20, 18
"""The hour at which driving, a night on shore and the generator begin. Common practice, no source."""

LEAD_ACCEPTANCE_PER_H = 1 - exp(-0.2 / 0.15)
"""Share of what is missing that an hour of charging fills in a lead-acid battery near full: current C/5 to 85 % of charge, then
falling with what is missing, as in `model.supply.other_income`. Common practice, no source."""


class NoYear(ValueError):
    """A plan that cannot be simulated; the text is a sentence for the person who asked."""


def option_of(plan: Plan, chemistry: str | None) -> Option:
    """The battery of that chemistry as the plan sized it; None: of the chosen one. KeyError if unknown."""
    wanted = chemistry or plan.storage.chosen.chemistry
    found = next((each for each in plan.storage.options if each.chemistry == wanted), None)
    if found is None:
        raise KeyError(wanted)
    return found


def bank_of(plan: Plan, option: Option) -> Bank:
    """What the simulation knows of a new battery of that chemistry.

    The usable share is the depth of discharge over the month's temperature factor, as in the sizing, times what Peukert's law
    leaves at the currents of the month's mean day. Rated energy is what comes out, so that all losses are counted while charging.
    """
    from model.storage.simulation import Bank

    kind = chemistries()[option.chemistry]
    cold_c = battery_temperature_c(plan.design.battery, plan.design.system, outside_c(plan))
    factors = (temperature_factor(kind.temperature_table, celsius) for celsius in cold_c)
    return Bank(
        usable_share=tuple(
            min(1.0, option.depth_of_discharge / factor * rate)
            for factor, rate in zip(factors, _rate_shares(plan, option, kind), strict=True)
        ),
        charge_efficiency=kind.round_trip_efficiency,
        charge_w_per_wh=kind.charge_a_per_ah,
        charge_min_c=kind.charge_temperature_min_c,
        charge_max_c=kind.charge_temperature_max_c,
        acceptance_per_h=LEAD_ACCEPTANCE_PER_H if kind.lead else 1.0,
        wait_below=plan.design.battery.wait_below,
    )


def _rate_shares(plan: Plan, option: Option, kind: Chemistry) -> tuple[float, ...]:
    """For each month the share of the capacity that is left at the month's hourly currents, all of them out of the battery."""
    return tuple(
        share_at_rates(
            option.installed_ah,
            kind.rated_h,
            [watts / option.bank_v for watts in month.profile_w],
            kind.peukert_exponent,
        )
        for month in plan.demand.months
    )


def own_drain_w(kind: Chemistry, installed_wh: float) -> float:
    """What the battery takes itself: its electronics, and self-discharge at the rate of a full one."""
    return kind.own_drain_wh_per_day / 24 + installed_wh * kind.self_discharge_per_month / DAYS_PER_MONTH / 24


def hours_of(
    plan: Plan,
    option: Option,
    years: int,
    seed: int,
    sunshine: float = 1.0,
    measured: MeasuredDays | None = None,
) -> Hours:
    """The plan's year at the battery's terminals, hour by hour; every day brings `sunshine` times what the climate says.

    Years of `measured` days, drawn whole, take the place of synthetic ones; sun and temperature of a day stay together.
    """
    from model.storage.simulation import Hours
    from model.supply.module_yield import charging_v

    if plan.climate is None or plan.supply is None:
        raise NoYear("The place has no climate data, so that its weather cannot be drawn.")
    load_w, waiting_w = use_w(plan)
    drain_w = own_drain_w(chemistries()[option.chemistry], option.installed_wh)
    controller = plan.design.controller
    return Hours(
        sun_w_per_w=_sun_w_per_w(
            plan.climate,
            plan.design.module,
            plan.design.array,
            controller,
            plan.design.system.nominal_v,
            years,
            seed,
            sunshine,
            measured,
        ),
        other_w=_other_w(plan),
        load_w=load_w + drain_w,
        waiting_w=waiting_w,
        battery_c=at_battery_c(plan, _departures_k(plan, years, seed, measured).T),
        controller_limit_w=controller.limit_a * charging_v(plan.design.system.nominal_v),
    )


def on_the_road(plan: Plan) -> set[int]:
    """Months of use, and the month looked at, which is asked about in any case."""
    return {*plan.design.months_of_use, plan.design.month}


def use_w(plan: Plan) -> tuple[Floats, Floats]:
    """What must run and what can wait in each hour of the year, (365, 24) each. A van that is not used draws what always runs.

    Kinds of day follow one another as `model.demand.week` lays them over seven days, the year beginning with the first.
    """
    import numpy as np

    from model.storage.weather import MONTH_OF_DAY

    used = plan.demand
    whole, later = np.zeros((2, 12, 7, 24))
    for month in used.months:
        if month.month not in on_the_road(plan):
            whole[month.month - 1] = used.standing_wh_per_day / 24
            continue
        week = days_of_week(used.kinds, month.month) if used.kinds else (((1.0, month),),) * 7
        for day, parts in enumerate(week):
            for share, one in parts:
                whole[month.month - 1, day] += share * np.array(one.profile_w)
                later[month.month - 1, day] += share * np.array(one.deferrable_w)
    must = np.maximum(whole - later, 0.0)
    weekday = np.arange(len(MONTH_OF_DAY)) % 7
    return must[MONTH_OF_DAY, weekday], later[MONTH_OF_DAY, weekday]


def _other_w(plan: Plan) -> Floats:
    """What the chargers offer in each hour of the year, (365, 24): driving and generator an equal part every day, shore power
    in as many nights a week as typed, spread over the week. The battery's limits are the simulation's business."""
    import numpy as np

    from model.storage.weather import MONTH_OF_DAY

    days = np.arange(len(MONTH_OF_DAY))
    used = np.isin(MONTH_OF_DAY + 1, sorted(on_the_road(plan)))
    offered = np.zeros((len(days), 24))
    for source in plan.income.sources:
        watts = offered_w(plan, source)
        if source.key == "shore":
            nights = plan.design.shore.nights_per_week
            plugged = np.floor((days + 1) * nights / 7) > np.floor(days * nights / 7)
            offered += watts * plugged[:, None] * spread(source.hours_per_week / nights, PLUGS_IN_AT_H)
        else:
            offered += watts * spread(
                source.hours_per_week / 7, DRIVES_AT_H if source.key == "alternator" else RUNS_AT_H
            )
    return np.asarray(offered * used[:, None])


def offered_w(plan: Plan, source: Source) -> float:
    """What a source's charger offers while it runs, at the battery's terminals; what is taken of it the simulation finds."""
    from model.supply.module_yield import charging_v
    from model.supply.other_income import LEAD_ACCEPTANCE

    lead = chemistries()[plan.storage.chosen.chemistry].lead
    accepted = source.share / (LEAD_ACCEPTANCE if lead else 1.0)
    return source.charger_a * charging_v(plan.design.system.nominal_v) * accepted


@lru_cache(maxsize=3)
def _sun_w_per_w(
    climate: Climate,
    module: Module,
    array: Array,
    controller: Controller,
    system_v: float,
    years: int,
    seed: int,
    sunshine: float,
    measured: MeasuredDays | None,
) -> Floats:
    """Power behind the controller for each rated watt, (365, 24, years): one weather for all sizes and chemistries."""

    from model.storage.weather import MONTH_OF_DAY, resampled_days, synthetic_days
    from model.supply.hourly_yield import day_shapes

    shapes = day_shapes(climate, module, array, controller, system_v)
    if measured is None:
        days = synthetic_days(climate.quantiles_kwh_per_m2_day, years, seed)
    else:
        days = resampled_days(measured.daily_kwh_per_m2, years, seed)
    found = behind_controller_w_per_w(sunshine * days, MONTH_OF_DAY, shapes, controller)
    found.setflags(write=False)
    return found


def behind_controller_w_per_w(
    daily_kwh_per_m2: Floats, month_of_day: NDArray[np.int64], shapes: DayShapes, controller: Controller
) -> Floats:
    """Days of irradiation, (years, days), as power for each rated watt behind the controller, (days, 24, years)."""
    import numpy as np

    from model.supply.hourly_yield import hourly_yield_w_per_w

    hourly = hourly_yield_w_per_w(daily_kwh_per_m2, month_of_day, shapes) * controller.efficiency
    return np.ascontiguousarray(hourly.transpose(1, 2, 0))


def spread(hours: float, start_h: int) -> Floats:
    """Share of each clock hour that lies within `hours` hours from `start_h` on, over midnight where need be."""
    import numpy as np

    after = (np.arange(24) - start_h) % 24
    return np.asarray(np.clip(hours - after, 0.0, 1.0))


def at_battery_c(plan: Plan, departures_k: Floats, day_of_year: NDArray[np.int64] | None = None) -> Floats:
    """At the battery in each hour, (days, 24, years): days are warmer and colder than their month, by `departures_k`, (days,
    years). `day_of_year`: 0 to 364 for each of them; left out, the days of a year.

    Outside it swings with the air; a locker's walls and the battery's mass smooth the day; a heated cabin is no colder than it
    is heated to. By the places of `model.plan.battery_temperature_c`.
    """
    import numpy as np

    from model.storage.weather import hourly_temperature_c

    battery, heated_to_c = plan.design.battery, plan.design.system.cabin_heated_to_c
    swing_k = NIGHT_COLD_K if battery.place == "outside" else 0.0
    expected_c = hourly_temperature_c(outside_c(plan), swing_k)
    if day_of_year is not None:
        expected_c = expected_c[day_of_year]
    hourly_c = expected_c[:, :, None] + departures_k[:, None, :]
    if battery.place == "heated cabin" and heated_to_c is not None:
        hourly_c = np.maximum(hourly_c, heated_to_c)
    return hourly_c


def _departures_k(plan: Plan, years: int, seed: int, measured: MeasuredDays | None) -> Floats:
    """By how much each day is warmer or colder than its month, (years, 365), of the same years as the sun."""
    from model.storage.weather import temperature_departures_k

    return temperature_departures_k(years, seed) if measured is None else departures_of(plan, measured, years, seed)


def departures_of(plan: Plan, measured: MeasuredDays, years: int, seed: int) -> Floats:
    """By how much each measured day is warmer or colder than its month in the plan's climate, (years, 365)."""
    import numpy as np

    from model.storage.weather import MONTH_OF_DAY, resampled_days

    return resampled_days(measured.temperature_c - np.array(outside_c(plan))[MONTH_OF_DAY], years, seed)


def outside_c(plan: Plan) -> tuple[float, ...]:
    return plan.climate.temperature_c if plan.climate is not None else UNKNOWN_C
