"""The working of a trip, and what a careful friend would say of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import names
from model.plan import Plan
from model.quantities import percent, show
from model.trip.calendar import Calendar, Leg
from model.trip.hours import charger_w, names_off
from model.trip.table import Cure, StopOdds
from model.working import Finding, Step
from model.year.working import OFTEN, few_years

if TYPE_CHECKING:
    from model.supply.weather_file import MeasuredDays
    from model.trip.table import Trip

SOURCE = (
    "simulation, hour by hour, of {years} trips in synthetic weather (Gaussian copula, lag-1 1/3, 5 % common to a month; "
    "seed {seed}), the battery {charge} full on the first morning"
)
MEASURED = (
    "simulation, hour by hour, of {years} trips in years drawn whole from the {measured} of {file} (seed {seed}), the battery"
    " {charge} full on the first morning"
)

SELDOM = 0.095  # of the trips; below it they are counted one by one


def trips_in_words(trip: Trip) -> str:
    """How many trips, and where their weather comes from: "400 trips in synthetic weather"."""
    from_file = [stop.measured_years for stop in trip.stops if stop.measured_years]
    if not from_file:
        return f"{trip.years} trips in synthetic weather"
    years = f"{from_file[0]} measured year{'' if from_file[0] == 1 else 's'}"
    if len(from_file) == len(trip.stops):
        return f"{trip.years} trips in the weather of {years}"
    return f"{trip.years} trips, {len(from_file)} of {len(trip.stops)} stops in the weather of {years}"


def in_words(stop: StopOdds, years: int) -> str:
    """How often, as people count: "an empty day on 3 trips in 10", "on 1 trip in 8", "on 7 trips of 400", "no empty day"."""
    if stop.bad_trips == 0:
        return f"no empty day on any of {years} trips"
    if stop.bad_trips == years:
        return "an empty day on every trip"
    if stop.bad_trips < SELDOM * years:
        return f"an empty day on {stop.bad_trips} of {years} trips"
    share = stop.bad_trips / years
    in_ten, one_in = round(10 * share), round(1 / share)
    if in_ten == 10:
        return "an empty day on nearly every trip"
    if abs(in_ten / 10 - share) <= abs(1 / one_in - share):
        return f"an empty day on {in_ten} trip{'' if in_ten == 1 else 's'} in 10"
    return f"an empty day on 1 trip in {one_in}"


def steps(
    plan: Plan,
    stops: tuple[StopOdds, ...],
    years: int,
    seed: int,
    start_charge: float,
    array_w: float,
    measured: tuple[MeasuredDays | None, ...],
) -> tuple[Step, ...]:
    """The working of each stop: what comes in, what is used, how often it does not suffice."""
    battery = f"storage.{plan.storage.chosen.chemistry}"
    base = (f"{battery}.installed_wh", f"{battery}.depth_of_discharge", *(("supply.array_w",) if plan.supply else ()))
    made: list[Step] = []
    for stop, days in zip(stops, measured, strict=True):
        source = _source(years, seed, start_charge, days)
        key, where = f"trip.{stop.index}", f"{stop.name}, {stop.arrives} to {stop.leaves}"
        income = {
            "sun": stop.sun_wh_per_day,
            "driving": stop.driving_wh_per_day,
            "shore power": stop.shore_wh_per_day,
            "generator": stop.generator_wh_per_day,
        }
        told = " + ".join(f"{name} {wh:.4g} Wh" for name, wh in income.items() if wh > 0) or "nothing comes in"
        offered = (
            f"mean of {years} trips, array of {show(array_w, 'power')}; before what a full or a cold battery refuses"
        )
        made += [
            Step(
                f"{key}.income_wh_per_day",
                "trip",
                f"{names.INCOME.full} a day, {where}",
                told,
                sum(income.values()),
                "Wh",
                offered,
                base,
            ),
            Step(
                f"{key}.use_wh_per_day",
                "trip",
                f"{names.USE.full} a day, {where}",
                f"loads of the month at {stop.climate}'s temperature, without those switched off, and the battery's own drain",
                stop.use_wh_per_day,
                "Wh",
                "sum of the load table",
            ),
            Step(
                f"{key}.chance_of_empty_day",
                "trip",
                f"{names.CHANCE.full}, {where}",
                f"{stop.bad_trips} of {years} trips have one here; ±{show(stop.chance_error, 'percent', figures=2)} (1σ)",
                100 * stop.chance_of_empty_day,
                "%",
                source,
                (f"{key}.income_wh_per_day", f"{key}.use_wh_per_day", *base),
            ),
            Step(
                f"{key}.empty_days",
                "trip",
                f"{names.EMPTY_DAYS.full}, {where}",
                f"mean of {years} trips, ±{stop.empty_days_error:.2g} (1σ)",
                stop.empty_days,
                "days",
                source,
                (f"{key}.chance_of_empty_day",),
            ),
        ]
    return tuple(made)


def _source(years: int, seed: int, start_charge: float, days: MeasuredDays | None) -> str:
    charge = percent(start_charge)
    if days is None:
        return SOURCE.format(years=years, seed=seed, charge=charge)
    return MEASURED.format(years=years, seed=seed, charge=charge, measured=days.years, file=days.source)


def measured_findings(days: tuple[MeasuredDays | None, ...], measured: MeasuredDays | None) -> tuple[Finding, ...]:
    """What the weather file means for the trip: few years of it, or none of it where no stop is at its place."""
    if measured is None:
        return ()
    if any(one is not None for one in days):
        return few_years(measured)
    message = f"No stop is at the place of the weather file ({measured.source}): the days of all stops are drawn."
    advice = "A stop at the coordinates of the design's place has the days of its file."
    return (Finding("note", "stops/0/latitude_deg", message, advice),)


def entered(calendar: Calendar, places: tuple[Plan, ...]) -> tuple[Finding, ...]:
    """What is odd about the stops as entered, their dates apart."""
    said: list[Finding] = []
    for leg, place in zip(calendar.legs, places, strict=True):
        said += [*_unknown(leg, place), *_driving(leg, place), *_shore(leg, place)]
    return tuple(said)


def _unknown(leg: Leg, place: Plan) -> tuple[Finding, ...]:
    known = {load.name.casefold() for load in place.design.loads}
    unknown = [f"“{name}”" for name in names_off(leg.stop) if name.casefold() not in known]
    if not unknown:
        return ()
    return (
        Finding(
            "warning",
            f"stops/{leg.index}/off",
            f"{leg.name}: no load is called {' or '.join(unknown)}, so that nothing is switched off for it.",
            "Write the names as in the load table, with commas between them.",
        ),
    )


def _driving(leg: Leg, place: Plan) -> tuple[Finding, ...]:
    if leg.stop.driving_hours <= 0 or charger_w(place, "alternator") > 0:
        return ()
    return (
        Finding(
            "note",
            f"stops/{leg.index}/driving_hours",
            f"{leg.stop.driving_hours:g} h of driving to {leg.name} bring nothing: no charging while driving.",
            "Say so under the alternator if a charger links it to this battery.",
        ),
    )


def _shore(leg: Leg, place: Plan) -> tuple[Finding, ...]:
    nights, where = round(leg.stop.shore_nights), f"stops/{leg.index}/shore_nights"
    if nights > leg.nights:
        message = f"{leg.name}: {nights} nights on shore power, but only {leg.nights} are stayed."
        return (Finding("note", where, message, "All of them are taken to be on shore power."),)
    if nights > 0 and charger_w(place, "shore") <= 0:
        message = f"Nights on shore power at {leg.name} bring nothing: there is no charger for it, or no hours a night."
        return (Finding("note", where, message, "Give the charger's current and the hours a night under shore power."),)
    return ()


def odds_findings(
    stops: tuple[StopOdds, ...],
    worst: int | None,
    at_risk: str | None,
    cures: tuple[Cure, ...],
    years: int,
    target: float,
    chemistry: str,
) -> tuple[Finding, ...]:
    """What the odds call for: the worst stop, the first day at risk, and frost."""
    said: list[Finding] = []
    if worst is not None and stops[worst].chance_of_empty_day > target:
        stop = stops[worst]
        first = f" The first day at risk is {at_risk}." if at_risk is not None else ""
        helps = [cure.what for cure in cures if cure.amount is not None]
        said.append(
            Finding(
                "warning",
                f"stops/{stop.index}/nights",
                f"{stop.name} is the worst stop: {in_words(stop, years)} ({percent(stop.chance_of_empty_day, 1)}).{first}",
                f"Any one of these brings it to {percent(target)} or less: {'; '.join(helps)}."
                if helps
                else "More modules or battery, driving, nights on shore power, or fewer nights there.",
            )
        )
    said += [_locked(stop, chemistry) for stop in stops if stop.locked_days >= 1]
    return tuple(said)


def _locked(stop: StopOdds, chemistry: str) -> Finding:
    return Finding(
        "warning",
        "battery/place",
        f"On {stop.locked_days:.0f} of {stop.nights} days at {stop.name} the {chemistry} battery is too cold or hot to take"
        " charge while the loads run on.",
        "Put it into the heated cabin, warm it, or take a chemistry that can be charged in the cold.",
    )


def often(chance_by_day: tuple[float, ...]) -> int | None:
    """The first of these days that is empty too often, None where none is."""
    return next((day for day, chance in enumerate(chance_by_day) if chance > OFTEN), None)
