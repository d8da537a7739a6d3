"""The working of a simulated year, and what a careful friend would say of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import names
from model.calendar import month_name
from model.plan import Plan
from model.quantities import percent, show
from model.storage.chemistry import chemistries
from model.supply.other_income import full_charge_h
from model.supply.other_income_findings import DAY_H, HALF
from model.working import Finding, Step, by_severity
from model.year.hours import on_the_road

if TYPE_CHECKING:
    from model.storage.odds import MonthOdds, Odds
    from model.supply.weather_file import MeasuredDays

SOURCE = (
    "simulation, hour by hour, of {years} years of synthetic days (Gaussian copula, lag-1 1/3, 5 % common to a month; "
    "seed {seed})"
)

MEASURED = "simulation, hour by hour, of {years} years drawn whole from the {measured} of {file} (seed {seed})"
ONE_YEAR = "simulation, hour by hour, of the one year of {file}: what happened, no odds"
FEW_YEARS = 5  # measured years below which they say little of a bad one; common practice, no source

OFTEN = 0.05  # chance of an empty day from which on it is a warning; common practice, no source
WEEKLY = 7  # days in which a lead-acid battery wants to be full once; common practice, no source
SLOW_REFILL_DAYS = 14  # common practice, no source
MOSTLY = 0.5  # of what can wait, forgone


def in_words(month: MonthOdds, years: int) -> str:
    """How often, as people count: "16 empty days in 10 Decembers", "empty days in 3 of 100 Mays", "no empty day in 5 Mays"."""
    name = month_name(month.month)
    many = f"{name[:-1]}ies" if name.endswith("ary") else f"{name}es" if name.endswith("ch") else f"{name}s"
    in_ten = round(10 * month.empty_days)
    if years == 1 and month.bad_months:
        return f"{month.empty_days:.0f} empty day{'' if round(month.empty_days) == 1 else 's'} in 1 {name}"
    if month.bad_months == 0:
        return f"no empty day in {years} {name if years == 1 else many}"
    if in_ten < 1:
        return f"empty days in {month.bad_months} of {years} {name if years == 1 else many}"
    return f"{in_ten} empty day{'' if in_ten == 1 else 's'} in 10 {many}"


def steps(
    plan: Plan, found: Odds, seed: int, sunshine: float, measured: MeasuredDays | None = None
) -> tuple[Step, ...]:
    """The working of the odds: each figure, how it was counted, and what went in."""
    chosen, years = plan.storage.chosen.chemistry, found.years
    source = _source(years, seed, measured)
    if sunshine != 1.0:
        source += f", {sunshine:g} times the climate's sun"
    base = (f"storage.{chosen}.installed_wh", f"storage.{chosen}.depth_of_discharge", "supply.array_w")
    made: list[Step] = []
    for month in found.months:
        name, number = month_name(month.month), month.month
        key = f"storage.chance_of_empty_day.{number}"
        uses = (*base, f"supply.yield_wh_per_w_day.{number}", f"demand.energy_wh_per_day.{number}")
        counted = f"empty days / days of {years} times {name}; {month.bad_months} of {years} have one"
        error = f"{show(month.chance_error, 'percent', figures=2)} (1σ)"
        chance = 100 * month.chance_of_empty_day
        made += [
            Step(key, "storage", f"{names.CHANCE.full}, {name}", f"{counted}; ±{error}", chance, "%", source, uses),
            Step(
                f"storage.unmet_fraction.{number}",
                "storage",
                f"{names.UNMET.full}, {name}",
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
    made += [
        Step(
            "storage.empty_days",
            "storage",
            f"{names.EMPTY_DAYS.full} a year",
            spread,
            found.empty_days_per_year,
            "days",
            source,
            whole,
        ),
        *_refill(found, source, whole),
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
            f"{names.LIFE.full} at this use, simulated",
            wear,
            found.life_years,
            "years",
            source,
            base,
        ),
    ]
    return tuple(made)


def _refill(found: Odds, source: str, uses: tuple[str, ...]) -> tuple[Step, ...]:
    """From empty to full again; nothing where it never was empty."""
    if found.refill_days_mean is None:
        return ()
    counted = f"days from the last empty one to the next full one, mean; {found.refill_days_max} at most"
    label = "Full again after an empty day"
    return (Step("storage.refill_days", "storage", label, counted, found.refill_days_mean, "days", source, uses),)


def _source(years: int, seed: int, measured: MeasuredDays | None) -> str:
    if measured is None:
        return SOURCE.format(years=years, seed=seed)
    if measured.years == 1:
        return ONE_YEAR.format(file=measured.source)
    return MEASURED.format(years=years, measured=measured.years, file=measured.source, seed=seed)


def findings(plan: Plan, found: Odds, measured: MeasuredDays | None = None) -> tuple[Finding, ...]:
    """What the odds of the chosen battery call for, the months on the road alone."""
    months = [month for month in found.months if month.month in on_the_road(plan)]
    chemistry = plan.storage.chosen.chemistry
    said = [
        *_empty(months, found.years),
        *_locked(months, chemistry),
        *_put_off(months),
        *(_seldom_full(plan, months) if chemistries()[chemistry].lead else ()),
        *_slow_to_refill(found),
        *(few_years(measured) if measured is not None else ()),
    ]
    return by_severity(said)


def _empty(months: list[MonthOdds], years: int) -> tuple[Finding, ...]:
    worst = max(months, key=lambda month: month.chance_of_empty_day)
    if worst.chance_of_empty_day < OFTEN:
        return ()
    return (
        Finding(
            "warning",
            "battery/autonomy_days",
            f"The battery runs empty: {in_words(worst, years)} ({worst.bad_months} of {years} have one).",
            "More modules, more hours of driving or nights on shore, less use in that month; a larger battery helps only where"
            " the sun fills it.",
        ),
    )


def _locked(months: list[MonthOdds], chemistry: str) -> tuple[Finding, ...]:
    cold = [month for month in months if month.locked_days >= 1]
    if not cold:
        return ()
    worst = max(cold, key=lambda month: month.refused_wh_per_day)
    *rest, last = (f"{month.locked_days:.0f} of {month_name(month.month)}" for month in cold)
    days = f"{', '.join(rest)} and {last}" if rest else last
    return (
        Finding(
            "warning",
            "battery/place",
            f"On some days, {days}, the {chemistry} battery is too cold or hot, for hours or all day, to take charge while the"
            f" loads run on; in {month_name(worst.month)} that refuses {worst.refused_wh_per_day:.0f} Wh a day.",
            "Put it into the heated cabin, warm it, or take a chemistry that can be charged in the cold.",
        ),
    )


def _put_off(months: list[MonthOdds]) -> tuple[Finding, ...]:
    worst = max(months, key=lambda month: month.forgone_fraction)
    if worst.forgone_fraction < MOSTLY:
        return ()
    return (
        Finding(
            "note",
            "loads",
            f"Of what can wait {percent(worst.forgone_fraction)} never gets its turn in {month_name(worst.month)}: the battery"
            " seldom has enough to spare.",
            "Call essential what you could not do without, and look at the odds again.",
        ),
    )


def _seldom_full(plan: Plan, months: list[MonthOdds]) -> tuple[Finding, ...]:
    worst = max(months, key=lambda month: month.since_full_mean)
    if worst.since_full_mean <= WEEKLY:
        return ()
    chosen, design = plan.storage.chosen, plan.design
    charger_a = min(max(design.shore.charger_a, design.generator.charger_a), chosen.charge_limit_a)
    hours = full_charge_h(chosen.installed_ah, charger_a, HALF)
    takes = f", which takes {charger_a:g} A {hours:.0f} h from half full" if hours < DAY_H else ""
    return (
        Finding(
            "warning",
            "battery/chemistry",
            f"In {month_name(worst.month)} the {chosen.chemistry} battery was last full {worst.since_full_mean:.0f} days ago on"
            f" the average, {worst.since_full_max} at most: lead-acid that is seldom full loses capacity for good.",
            f"Charge it full once a week, from shore or a generator{takes}, or take a chemistry that does not mind.",
        ),
    )


def _slow_to_refill(found: Odds) -> tuple[Finding, ...]:
    if found.refill_days_mean is None or found.refill_days_mean < SLOW_REFILL_DAYS:
        return ()
    return (
        Finding(
            "note",
            "array/count",
            f"Once empty, the battery takes {found.refill_days_mean:.0f} days on the average until it is full again.",
            "More modules or other income; more battery would take longer still.",
        ),
    )


def few_years(measured: MeasuredDays) -> tuple[Finding, ...]:
    """That a weather file holds few years, where it does."""
    if measured.years >= FEW_YEARS:
        return ()
    known = (
        "1 year of measured weather: what happened in it, no odds"
        if measured.years == 1
        else (f"{measured.years} years of measured weather: a bad one may not be among them")
    )
    return (
        Finding(
            "note",
            "weather/file",
            f"{known} ({measured.source}).",
            "Read a file of more years; or leave the file's name empty, and years are drawn from its monthly values.",
        ),
    )
