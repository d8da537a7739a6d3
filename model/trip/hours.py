"""A trip as the simulation needs it: the hours of its days at the battery's terminals, and its battery at each stop.

Weather: the numbers of the synthetic year, read from the trip's first day on and over the year's end, so that a dark spell
travels along from stop to stop; each day then gets the distribution of its own place and month. Where the place of a stop is
that of the plan's weather file, the days of measured years stand there as they were, from the same day on and over the year's
end into another drawn year; from such a stop to one with drawn days no dark spell travels along. A day belongs to the place
where its night is spent. Driving begins on the arrival day at the hour of the simulated year, shore power in the evening of
the stop's first nights. numpy and the simulation are imported on first use.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from model.calendar import read_month
from model.design import ALL_MONTHS, Design, Place, Stop
from model.plan import Plan, elsewhere
from model.storage.chemistry import chemistries
from model.storage.table import Option
from model.supply.climate import NoClimate
from model.trip.calendar import Calendar, Leg
from model.working import Finding
from model.year.hours import (
    DRIVES_AT_H,
    PLUGS_IN_AT_H,
    RUNS_AT_H,
    at_battery_c,
    bank_of,
    behind_controller_w_per_w,
    departures_of,
    offered_w,
    own_drain_w,
    spread,
    use_w,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from model.storage.simulation import Bank, Hours
    from model.supply.sun import Floats
    from model.supply.weather_file import MeasuredDays

EVERY_DAY = 7.0  # hours or nights a week with which a source is asked what it offers


@dataclass(frozen=True, slots=True)
class Course:
    """A trip laid out. `places`: the van at each leg of the calendar. `income_w`: what each source besides the sun offers, by its
    key, (days, 24). `leg_of_period`: which leg each period of `hours` belongs to; periods end with a stop and with a month."""

    calendar: Calendar
    places: tuple[Plan, ...]
    option: Option
    hours: Hours
    bank: Bank
    income_w: dict[str, Floats]
    leg_of_period: NDArray[np.int64]

    def days_of(self, position: int) -> slice:
        """The days of the leg at `position`."""
        leg = self.calendar.legs[position]
        return slice(leg.first, leg.first + leg.nights)

    def month_of(self, position: int) -> int:
        """Month, 1 to 12, in which the leg at `position` begins."""
        return read_month(self.calendar.date(self.calendar.legs[position].first).split()[1])

    def periods_of(self, position: int) -> NDArray[np.int64]:
        """The periods of the leg at `position`."""
        import numpy as np

        return np.flatnonzero(self.leg_of_period == position)


def places_of(plan: Plan, calendar: Calendar) -> tuple[tuple[Plan, ...], tuple[Finding, ...]]:
    """The van of `plan` at each leg, and what had to be put up with; none at all where neither a stop nor the plan has a climate.

    A stop without climate data gets the weather of the stop before, else of the next that has any, else of the plan's place.
    """
    known: list[Plan | None] = []
    for leg in calendar.legs:
        try:
            known.append(elsewhere(plan, _design_at(plan.design, leg.stop)))
        except NoClimate:
            known.append(None)
    found: list[Plan] = []
    said: list[Finding] = []
    for position, (leg, place) in enumerate(zip(calendar.legs, known, strict=True)):
        if place is not None:
            found.append(place)
            continue
        near = _nearest(known, position) or (plan if plan.climate is not None else None)
        if near is None:
            return (), ()
        there = replace(_design_at(plan.design, leg.stop), place=near.design.place, weather=near.design.weather)
        found.append(elsewhere(plan, there))
        said.append(_no_climate(leg, near.design.place.name))
    return tuple(found), tuple(said)


def days_at(plan: Plan, place: Plan, measured: MeasuredDays | None) -> MeasuredDays | None:
    """Those `measured` days where the weather of `place` is that of the plan, whose file they come from."""
    return measured if plan.design.weather is not None and place.design.weather == plan.design.weather else None


def _nearest(places: list[Plan | None], position: int) -> Plan | None:
    before, after = places[:position][::-1], places[position + 1 :]
    return next((place for place in (*before, *after) if place is not None), None)


def _no_climate(leg: Leg, taken: str) -> Finding:
    return Finding(
        "warning",
        f"stops/{leg.index}/latitude_deg",
        f"{leg.name} has no climate data (open sea, a small island or too near a pole): the weather of {taken} is taken.",
        "Give the coordinates of a place on the mainland nearby.",
    )


def _design_at(design: Design, stop: Stop) -> Design:
    """The design at a stop: in use in all months, in the shade of the stop, without the loads that it names.

    Driving and shore power stand there every day, so that the plan knows what their chargers offer.
    """
    same = (
        abs(stop.latitude_deg - design.place.latitude_deg) + abs(stop.longitude_deg - design.place.longitude_deg) < 1e-6
    )
    return without(
        replace(
            design,
            place=design.place if same else Place(stop.name, stop.latitude_deg, stop.longitude_deg, stop.elevation_m),
            weather=design.weather if same else None,
            months_of_use=ALL_MONTHS,
            array=design.array if stop.shading is None else replace(design.array, shading=stop.shading),
            alternator=replace(design.alternator, driving_hours_per_week=EVERY_DAY),
            shore=replace(design.shore, nights_per_week=EVERY_DAY),
        ),
        names_off(stop),
    )


def names_off(stop: Stop) -> tuple[str, ...]:
    """The names in the stop's "off", as typed."""
    return tuple(name.strip() for name in stop.off.split(",") if name.strip())


def without(design: Design, names: Iterable[str]) -> Design:
    """The design with the loads of these names switched off; capitals do not matter."""
    off = {name.casefold() for name in names}
    return replace(
        design, loads=tuple(replace(load, on=False) if load.name.casefold() in off else load for load in design.loads)
    )


def lay_out(
    calendar: Calendar,
    places: tuple[Plan, ...],
    option: Option,
    years: int,
    seed: int,
    measured: tuple[MeasuredDays | None, ...] = (),
) -> Course:
    """The hours of `years` trips, and the battery `option` in them. `measured`: for each place its days; () if all are drawn."""
    import numpy as np

    from model.storage.simulation import Hours
    from model.storage.weather import MONTH_OF_DAY
    from model.supply.module_yield import charging_v

    day_of_year = (calendar.start + np.arange(calendar.days)) % len(MONTH_OF_DAY)
    month_of_day = MONTH_OF_DAY[day_of_year]
    leg_of_day = np.repeat(np.arange(len(places)), [leg.nights for leg in calendar.legs])
    begins = (np.diff(leg_of_day, prepend=-1) != 0) | (np.diff(month_of_day, prepend=-1) != 0)
    banks = [bank_of(place, option) for place in places]
    pairs = tuple(zip(leg_of_day[begins].tolist(), month_of_day[begins].tolist(), strict=True))
    sun_w_per_w, battery_c = _weather(calendar, places, day_of_year, years, seed, measured or (None,) * len(places))
    legs = tuple(zip(calendar.legs, places, strict=True))
    load_w, waiting_w = np.concatenate([use_at(calendar, *one, option) for one in legs], axis=1)
    income_w = {
        "alternator": np.sum([driving_w(calendar, *one, 0, one[0].stop.driving_hours) for one in legs], axis=0),
        "shore": np.sum([shore_w(calendar, *one, round(one[0].stop.shore_nights)) for one in legs], axis=0),
        "generator": np.concatenate([_generator_w(*one) for one in legs]),
    }
    controller = places[0].design.controller
    hours = Hours(
        sun_w_per_w=sun_w_per_w,
        other_w=np.sum(list(income_w.values()), axis=0),
        load_w=load_w,
        waiting_w=waiting_w,
        battery_c=battery_c,
        controller_limit_w=controller.limit_a * charging_v(places[0].design.system.nominal_v),
        period_of_day=np.cumsum(begins) - 1,
    )
    bank = replace(banks[0], usable_share=tuple(banks[leg].usable_share[month] for leg, month in pairs))
    return Course(calendar, places, option, hours, bank, income_w, leg_of_day[begins])


def use_at(calendar: Calendar, leg: Leg, place: Plan, option: Option) -> Floats:
    """What must run, the battery's own drain included, and what can wait at one leg: (2, nights, 24)."""
    import numpy as np

    must_w, waiting_w = use_w(place)
    days = (calendar.start + leg.first + np.arange(leg.nights)) % len(must_w)
    drain_w = own_drain_w(chemistries()[option.chemistry], option.installed_wh)
    return np.stack([must_w[days] + drain_w, waiting_w[days]])


def driving_w(calendar: Calendar, leg: Leg, place: Plan, day: int, hours: float) -> Floats:
    """What the charger offers during a drive on a leg's day, from 0; (days, 24) of the whole trip. A long drive runs on into the
    next day."""
    return charger_w(place, "alternator") * _running(calendar, (leg.first + day) * 24 + DRIVES_AT_H, hours)


def shore_w(calendar: Calendar, leg: Leg, place: Plan, nights: int) -> Floats:
    """What the charger offers in a leg's first nights on shore power, as long each as the design says; (days, 24)."""
    first = leg.first * 24 + PLUGS_IN_AT_H
    night_h = place.design.shore.hours_per_night
    plugged = (_running(calendar, first + 24 * night, night_h) for night in range(min(nights, leg.nights)))
    return charger_w(place, "shore") * sum(plugged, start=_running(calendar, 0, 0.0))


def _generator_w(leg: Leg, place: Plan) -> Floats:
    """What the generator offers at a leg, as on every day of the year: (nights, 24)."""
    import numpy as np

    daily_w = charger_w(place, "generator") * spread(place.design.generator.hours_per_week / 7, RUNS_AT_H)
    return np.tile(daily_w, (leg.nights, 1))


def charger_w(place: Plan, key: str) -> float:
    """What a source's charger offers while it runs; 0 where the van has none."""
    return sum(offered_w(place, source) for source in place.income.sources if source.key == key)


def _running(calendar: Calendar, first_h: int, hours: float) -> Floats:
    """Share of each hour of the trip that lies within `hours` hours from its hour `first_h` on: (days, 24)."""
    import numpy as np

    after = np.arange(24 * calendar.days) - first_h
    return np.where(after >= 0, np.clip(hours - after, 0.0, 1.0), 0.0).reshape(-1, 24)


def _weather(
    calendar: Calendar,
    places: tuple[Plan, ...],
    day_of_year: NDArray[np.int64],
    years: int,
    seed: int,
    measured: tuple[MeasuredDays | None, ...],
) -> tuple[Floats, Floats]:
    """Power for each rated watt and temperature of the battery, (days, 24, years) each."""
    import numpy as np

    from model.storage.weather import (
        MONTH_OF_DAY,
        daily_irradiation,
        day_numbers,
        resampled_days,
        temperature_departures_k,
    )
    from model.supply.hourly_yield import day_shapes

    # A year more than trips: the last of them may run on into it.
    row = len(MONTH_OF_DAY) * np.arange(years)[:, None] + calendar.start + np.arange(calendar.days)
    numbers = day_numbers(years + 1, seed).ravel()[row]
    drawn_k = temperature_departures_k(years + 1, seed)
    sun_w_per_w, battery_c = np.empty((2, calendar.days, 24, years))
    for leg, place, known in zip(calendar.legs, places, measured, strict=True):
        days = slice(leg.first, leg.first + leg.nights)
        month, design, climate = MONTH_OF_DAY[day_of_year[days]], place.design, place.climate
        assert climate is not None  # by `places_of`
        if known is None:
            daily = daily_irradiation(numbers[:, days], climate.quantiles_kwh_per_m2_day, month_of_day=month)
        else:
            daily = resampled_days(known.daily_kwh_per_m2, years + 1, seed).ravel()[row[:, days]]
        shapes = day_shapes(climate, design.module, design.array, design.controller, design.system.nominal_v)
        sun_w_per_w[days] = behind_controller_w_per_w(daily, month, shapes, design.controller)
        departures_k = drawn_k if known is None else departures_of(place, known, years + 1, seed)
        battery_c[days] = at_battery_c(place, departures_k.ravel()[row[:, days]].T, day_of_year[days])
    return sun_w_per_w, battery_c
