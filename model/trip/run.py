"""The trip of a plan: one stop after another, hour by hour, in many seasons, drawn from climates or from measured years.

Everything comes from a `Plan`; numpy, scipy and the simulation are imported on first use.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, sqrt
from typing import TYPE_CHECKING

from model.plan import Plan
from model.plan import plan as plan_of
from model.trip.calendar import Leg, calendar_of
from model.trip.cures import Worst
from model.trip.cures import cures as mend
from model.trip.hours import Course, days_at, lay_out, places_of
from model.trip.table import PERCENTILES, Cure, StopOdds, Trip
from model.trip.working import entered, measured_findings, odds_findings, often, steps
from model.working import by_severity
from model.year.hours import DRIVES_AT_H
from model.year.watching import watched

if TYPE_CHECKING:
    from model.storage.simulation import Run
    from model.supply.sun import Floats
    from model.supply.weather_file import MeasuredDays

YEARS, SEED, TARGET = 400, 1, 0.1
SHARE_OF_RUN = 0.4  # of the work, where cures are looked for as well


class NoTrip(ValueError):
    """A plan without a trip that can be simulated; the text is a sentence for the person who asked."""


def trip(
    plan: Plan,
    *,
    years: int = YEARS,
    seed: int = SEED,
    start_charge: float = 1.0,
    target: float = TARGET,
    cures: bool = True,
    measured: MeasuredDays | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Trip:
    """The stops of `plan.design` with the odds of an empty day at each, and what would mend the worst of them.

    `start_charge`: share of the rated capacity on the first morning. `cures` False: without the search for what would mend it.
    `measured`: days of the design's weather file; they stand at the stops whose place is that of the design.
    `progress` hears the share done, `cancelled` is asked on the way. Raises NoTrip without stops and where no stop has a
    climate, `model.year.Cancelled` where `cancelled` says so.
    """
    calendar = calendar_of(plan.design)
    if not calendar.legs:
        raise NoTrip("The design has no stops, so that there is no trip to look at.")
    places, lost = places_of(plan, calendar)
    if not places:
        raise NoTrip("No stop has climate data, nor has the place of the plan, so that no weather can be drawn.")
    tell = watched(progress, cancelled)
    array_w = _array_w(plan, places[0])
    days = tuple(days_at(plan, place, measured) for place in places)
    known = min(_known_years(one, years) for one in days)
    course = lay_out(calendar, places, plan.storage.chosen, years, seed, days)
    run = _run(course, array_w, start_charge, tell)
    stops = tuple(_stop(course, run, position, start_charge, days[position]) for position in range(len(places)))
    worst = _worst(stops)
    at_risk = often(tuple(chance for stop in stops for chance in stop.chance_by_day))
    found: tuple[Cure, ...] = ()
    if cures and worst is not None and stops[worst].chance_of_empty_day > target:
        rest = 1 - SHARE_OF_RUN
        found = mend(
            Worst(course, worst, array_w, start_charge, target, lambda share: tell(SHARE_OF_RUN + rest * share))
        )
    tell(1.0)
    chance, error = _chance(run, slice(None), known)
    risk_date = None if at_risk is None else calendar.date(at_risk)
    said = odds_findings(stops, worst, risk_date, found, years, target, plan.storage.chosen.chemistry)
    return Trip(
        plan=plan,
        years=years,
        seed=seed,
        start_charge=start_charge,
        target=target,
        stops=stops,
        dates=tuple(calendar.date(day) for day in range(calendar.days)),
        charge_by_hour=tuple(zip(*_fan(_charge(run, slice(None)).reshape(24 * calendar.days, -1)), strict=True)),
        chance_of_empty_day=chance,
        chance_error=error,
        worst=worst,
        first_day_at_risk=at_risk,
        cures=found,
        steps=steps(plan, stops, years, seed, start_charge, array_w, days),
        findings=by_severity(
            (*calendar.findings, *lost, *entered(calendar, places), *said, *measured_findings(days, measured))
        ),
    )


def _array_w(plan: Plan, place: Plan) -> float:
    """The array's rated power, which a plan knows where its place has a climate; else as planned at the first stop."""
    supply = plan.supply or plan_of(place.design).supply
    return supply.array_w if supply is not None else 0.0


def _run(course: Course, array_w: float, start_charge: float, tell: Callable[[float], None]) -> Run:
    from model.storage.simulation import simulate_once

    return simulate_once(
        course.hours,
        course.bank,
        array_w,
        course.option.installed_wh,
        start_share=start_charge,
        trace=True,
        on_period=lambda share: tell(SHARE_OF_RUN * share),
    )


def _known_years(measured: MeasuredDays | None, years: int) -> int:
    """How many different years `years` trips have seen where they were drawn from those measured."""
    return years if measured is None else min(years, measured.years)


def _stop(course: Course, run: Run, position: int, start_charge: float, measured: MeasuredDays | None) -> StopOdds:
    """What the run says of the leg at `position`, whose days are `measured` or drawn."""
    from model.storage.odds import empty_days

    known_years = _known_years(measured, run.years)
    leg, place, days = course.calendar.legs[position], course.places[position], course.days_of(position)
    empty, hours = run.empty[days, 0], course.hours
    charge = _charge(run, days)
    chance, error = _chance(run, days, known_years)
    empties, empties_error = empty_days(empty)
    periods = course.periods_of(position)
    by_source = {key: float(watts[days].sum()) / leg.nights for key, watts in course.income_w.items()}
    assert place.climate is not None  # by `places_of`
    return StopOdds(
        index=leg.index,
        name=leg.name,
        first=leg.first,
        arrives=course.calendar.date(leg.first),
        leaves=course.calendar.date(leg.first + leg.nights),
        nights=leg.nights,
        climate=place.climate.label,
        measured_years=measured.years if measured is not None else 0,
        sun_wh_per_day=float(run.ledger.sun[periods, 0].sum()) / run.years / leg.nights,
        driving_wh_per_day=by_source["alternator"],
        shore_wh_per_day=by_source["shore"],
        generator_wh_per_day=by_source["generator"],
        use_wh_per_day=float((hours.load_w + hours.waiting_w)[days].sum()) / leg.nights,
        chance_of_empty_day=chance,
        chance_error=error,
        bad_trips=int(empty.any(axis=0).sum()),
        empty_days=empties,
        empty_days_error=sqrt(run.years / known_years) * empties_error,
        unmet_wh=float(run.ledger.unmet[periods, 0].sum()) / run.years,
        locked_days=float(run.locked[days, 0].sum()) / run.years,
        reserve=1 - min(course.bank.usable_share[period] for period in periods),
        arrival=_fan(_at(run, leg.first * 24 + _drive_ends_h(leg), start_charge))[0],
        departure=_fan(charge[-1, -1:])[0],
        chance_by_day=tuple(empty.mean(axis=1).tolist()),
        charge_by_day=_fan(charge[:, -1]),
    )


def _drive_ends_h(leg: Leg) -> int:
    """Hours from the first day's midnight to the end of the drive, but within the stay; 0 without a drive."""
    return min(DRIVES_AT_H + ceil(leg.stop.driving_hours), 24 * leg.nights) if leg.stop.driving_hours > 0 else 0


def _at(run: Run, hour: int, start_charge: float) -> Floats:
    """State of charge as hour `hour` of the trip begins: (1, years)."""
    import numpy as np

    if hour == 0:
        return np.full((1, run.years), start_charge)
    day, last = divmod(hour - 1, 24)
    return _charge(run, slice(day, day + 1))[0, last : last + 1]


def _charge(run: Run, days: slice) -> Floats:
    """State of charge after each hour of some days: (days, 24, years)."""
    import numpy as np

    assert run.trace is not None  # by `_run`
    return np.asarray(run.trace.stored_wh[days, :, 0] / run.full_wh[0])


def _chance(run: Run, days: slice, known_years: int) -> tuple[float, float]:
    """Share of the trips with an empty day; its error is that of so few years as are known, however often they were drawn."""
    from model.storage.odds import share_of_years

    chance, error = share_of_years(int(run.empty[days, 0].any(axis=0).sum()), run.years)
    return chance, error if known_years >= run.years else share_of_years(round(chance * known_years), known_years)[1]


def _fan(charge: Floats) -> tuple[tuple[float, ...], ...]:
    """Rows of (n, years) at PERCENTILES: n x 5."""
    import numpy as np

    return tuple(tuple(row) for row in np.percentile(charge, PERCENTILES, axis=1).T.tolist())


def _worst(stops: tuple[StopOdds, ...]) -> int | None:
    """Position of the stop with the highest chance of an empty day, of several the one with the most; None without any."""
    worst = max(
        range(len(stops)), key=lambda position: (stops[position].chance_of_empty_day, stops[position].empty_days)
    )
    return worst if stops[worst].bad_trips else None
