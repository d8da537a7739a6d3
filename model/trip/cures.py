"""What would mend the worst stop of a trip: the least of each kind of help, tried in the same weather as without it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from model.plan import elsewhere
from model.quantities import percent, show
from model.storage.chemistry import chemistries
from model.trip.hours import Course, charger_w, driving_w, shore_w, use_at, without
from model.trip.table import Cure
from model.year.hours import own_drain_w

if TYPE_CHECKING:
    from model.storage.simulation import Hours

MOST_MODULES, MOST_UNITS = 12, 12  # more than a roof or a locker has room for; common practice, no source
DRIVING_H = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0)
EVERY_DAYS = 3  # so often one drives to mend a stop, from the day after the arrival on


@dataclass(frozen=True, slots=True)
class Worst:
    """The stop to be mended, `position` in the course, and the system that it is tried with."""

    course: Course
    position: int
    array_w: float
    start_charge: float
    target: float
    tell: Callable[[float], None]

    def chance(self, hours: Hours | None = None, *, more_w: float = 0.0, more_wh: float = 0.0) -> float:
        """Share of the trips with an empty day at the stop; later stops are not simulated."""
        from model.storage.simulation import simulate_once

        course = self.course
        run = simulate_once(
            hours or course.hours,
            course.bank,
            self.array_w + more_w,
            course.option.installed_wh + more_wh,
            start_share=self.start_charge,
            periods=int(course.periods_of(self.position)[-1]) + 1,
        )
        return float(run.empty[course.days_of(self.position), 0].any(axis=0).mean())


def cures(worst: Worst) -> tuple[Cure, ...]:
    """Each kind of help in turn; `worst.tell` hears the share done."""
    kinds = (_array, _battery, _driving, _shore, _off)
    found = []
    for number, kind in enumerate(kinds, 1):
        found.append(kind(worst))
        worst.tell(number / len(kinds))
    return tuple(found)


def least(amounts: Sequence[float], chance_with: Callable[[float], float], target: float) -> tuple[float | None, float]:
    """The first of rising `amounts` that keeps the target, and its chance; None and the last one's chance where none does.

    By bisection: more is taken never to be worse.
    """
    low, high = 0, len(amounts) - 1
    chance = chance_with(amounts[high])
    if chance > target:
        return None, chance
    while low < high:
        middle = (low + high) // 2
        tried = chance_with(amounts[middle])
        if tried <= target:
            high, chance = middle, tried
        else:
            low = middle + 1
    return amounts[high], chance


def _array(worst: Worst) -> Cure:
    """Whole strings of the design's module, behind the controller as it is."""
    design = worst.course.places[0].design
    string_w = max(round(design.array.in_series), 1) * design.module.rated_w
    amounts = [string_w * count for count in range(1, MOST_MODULES // max(round(design.array.in_series), 1) + 1)] or [
        string_w
    ]
    amount, chance = least(amounts, lambda more_w: worst.chance(more_w=more_w), worst.target)
    most = amounts[-1]
    count = round((most if amount is None else amount) / design.module.rated_w)
    many = f"{count} more module{'' if count == 1 else 's'} ({show(most if amount is None else amount, 'power')})"
    return Cure("array", amount, most, "W", chance, _said(many, amount, chance, worst.target), many)


def _battery(worst: Worst) -> Cure:
    """Whole units of the chosen battery, strings of them where it takes several in series."""
    option = worst.course.option
    kind = chemistries()[option.chemistry]
    drain_w = own_drain_w(kind, option.installed_wh)

    def chance_with(more_ah: float) -> float:
        more_wh = more_ah * option.bank_v
        hours = worst.course.hours
        drains_w = own_drain_w(kind, option.installed_wh + more_wh) - drain_w
        return worst.chance(replace(hours, load_w=hours.load_w + drains_w), more_wh=more_wh)

    amounts = [option.unit_ah * count for count in range(1, MOST_UNITS + 1)]
    amount, chance = least(amounts, chance_with, worst.target)
    many = f"{show(amounts[-1] if amount is None else amount, 'charge')} more battery"
    return Cure("battery", amount, amounts[-1], "Ah", chance, _said(many, amount, chance, worst.target), many)


def _driving(worst: Worst) -> Cure:
    """A drive on the day after the arrival and every third day from then on; at a stop of one night a longer way there."""
    import numpy as np

    course = worst.course
    leg, place = course.calendar.legs[worst.position], course.places[worst.position]
    offered_w = charger_w(place, "alternator")
    if offered_w <= 0:
        return Cure("driving", None, 0.0, "h", worst.chance(), "Driving brings nothing: no charger is fitted for it.")
    days = range(1, leg.nights, EVERY_DAYS) or (0,)

    def chance_with(hours: float) -> float:
        before_h = leg.stop.driving_hours if 0 in days else 0.0
        driven = course.income_w["alternator"] + sum(
            driving_w(course.calendar, leg, place, day, before_h + hours) for day in days
        )
        rest = course.hours.other_w - course.income_w["alternator"]
        return worst.chance(replace(course.hours, other_w=rest + np.minimum(driven, offered_w)))

    amount, chance = least(DRIVING_H, chance_with, worst.target)
    driven_h = DRIVING_H[-1] if amount is None else amount
    many = (
        f"{driven_h:g} h of driving every third day" if leg.nights > 1 else f"{driven_h:g} h more of driving on the way"
    )
    return Cure("driving", amount, DRIVING_H[-1], "h", chance, _said(many, amount, chance, worst.target), many)


def _shore(worst: Worst) -> Cure:
    """Nights on shore power besides those planned, all from the stop's beginning."""
    course = worst.course
    leg, place = course.calendar.legs[worst.position], course.places[worst.position]
    planned = min(round(leg.stop.shore_nights), leg.nights)
    amounts = [float(night) for night in range(1, leg.nights - planned + 1)]
    if not amounts or charger_w(place, "shore") <= 0:
        lacking = "every night is on shore power already" if not amounts else "no charger is fitted for it"
        return Cure("shore", None, 0.0, "nights", worst.chance(), f"Shore power brings no more: {lacking}.")
    rest = course.hours.other_w - shore_w(course.calendar, leg, place, planned)

    def chance_with(nights: float) -> float:
        plugged = shore_w(course.calendar, leg, place, planned + round(nights))
        return worst.chance(replace(course.hours, other_w=rest + plugged))

    amount, chance = least(amounts, chance_with, worst.target)
    nights = amounts[-1] if amount is None else amount
    many = f"{nights:g} {'more ' if planned else ''}night{'' if nights == 1 else 's'} on shore power"
    return Cure("shore", amount, amounts[-1], "nights", chance, _said(many, amount, chance, worst.target), many)


def _off(worst: Worst) -> Cure:
    """Loads that can wait, left off during the stop: one if one is enough, else as many as it takes, the largest first."""
    course = worst.course
    leg, place = course.calendar.legs[worst.position], course.places[worst.position]
    month = course.month_of(worst.position)
    parts = zip(place.design.loads, place.demand.parts, strict=True)
    waiting = {load.name: part.energy_wh_per_day[month - 1] for load, part in parts if load.need == "can wait"}
    names = sorted((name for name, energy_wh in waiting.items() if energy_wh > 0), key=lambda name: waiting[name])
    if not names:
        return Cure("off", None, 0.0, "loads", worst.chance(), "There is no load left that can wait.")

    def chance_without(left_off: Sequence[str]) -> float:
        bare = elsewhere(place, without(place.design, left_off))
        load_w, waiting_w = course.hours.load_w.copy(), course.hours.waiting_w.copy()
        days = course.days_of(worst.position)
        load_w[days], waiting_w[days] = use_at(course.calendar, leg, bare, course.option)
        return worst.chance(replace(course.hours, load_w=load_w, waiting_w=waiting_w))

    chance = chance_without(names)
    if chance > worst.target:
        words = f"Leaving off all that can wait is not enough: {_risk(chance, worst.target)}."
        return Cure("off", None, float(len(names)), "loads", chance, words, loads=tuple(names))
    for name in names:
        alone = chance_without([name])
        if alone <= worst.target:
            what = f"Leaving off {name}"
            return Cure("off", 1.0, float(len(names)), "loads", alone, f"{what}: {_risk(alone)}.", what, (name,))
    largest = names[::-1]
    amount, chance = least(
        range(2, len(names) + 1), lambda count: chance_without(largest[: round(count)]), worst.target
    )
    left_off = tuple(largest[: round(amount or len(names))])
    what = f"Leaving off {', '.join(left_off)}"
    return Cure(
        "off", float(len(left_off)), float(len(names)), "loads", chance, f"{what}: {_risk(chance)}.", what, left_off
    )


def _said(many: str, amount: float | None, chance: float, target: float) -> str:
    if amount is not None:
        return f"{many}: {_risk(chance)}."
    return f"Not even {many} would be enough: {_risk(chance, target)}."


def _risk(chance: float, above: float | None = None) -> str:
    """The chance in words; with a decimal where without it one `above` a target would read like the target."""
    if chance == 0:
        return "no empty day on any trip"
    digits = 1 if above is not None and percent(chance) == percent(above) else 0
    return f"an empty day on {'fewer than 1 %' if chance < 0.01 else percent(chance, digits)} of the trips"
