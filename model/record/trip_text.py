"""The trip in words, for people without a screen."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING

from model import names
from model.quantities import percent, show
from model.record.as_text import finding_text
from model.trip.working import in_words, trips_in_words

if TYPE_CHECKING:
    from model.trip import StopOdds, Trip

BEFORE_LIMITS = "Income is what array and chargers offer, before what a full or a cold battery refuses."


def trip_text(trip: Trip, width: int = 100) -> str:
    """Each stop with its odds, the worst of them, and what would mend it."""
    days = len(trip.dates)
    lines = [
        f"TRIP of {days} day{'' if days == 1 else 's'} from {trip.dates[0]}, the battery {percent(trip.start_charge)} full on the"
        f" first morning; {trips_in_words(trip)}"
    ]
    lines += [line for stop in trip.stops for line in _stop(stop, trip.years, width)]
    lines += [BEFORE_LIMITS, *_worst(trip, width)]
    return "\n".join([*lines, *(finding_text(finding) for finding in trip.findings)])


def _stop(stop: StopOdds, years: int, width: int) -> tuple[str, str]:
    chance = f"{percent(stop.chance_of_empty_day)} ±{percent(stop.chance_error)}"
    days = f", on the average {stop.empty_days:.2g} of its days empty" if stop.bad_trips else ""
    sources = (
        ("sun", stop.sun_wh_per_day),
        ("driving", stop.driving_wh_per_day),
        ("shore power", stop.shore_wh_per_day),
        ("generator", stop.generator_wh_per_day),
    )
    income = ", ".join(f"{name} {show(wh, 'energy')}" for name, wh in sources if wh > 0) or "none"
    low, half, high = (percent(stop.departure[rank]) for rank in (0, 2, 4))
    first = f"  {stop.arrives}-{stop.leaves}, {stop.name}: {in_words(stop, years)} ({chance}){days}."
    more = (
        f"{names.INCOME.full} a day: {income}; {names.USE.small} {show(stop.use_wh_per_day, 'energy')}."
        f" {names.STATE_OF_CHARGE.full}: {percent(stop.arrival[2])} on arrival,"
        f" {half} on leaving (9 trips in 10 between {low} and {high})."
    )
    return fill(first, width, subsequent_indent="    "), fill(
        more, width, initial_indent="    ", subsequent_indent="    "
    )


def _worst(trip: Trip, width: int) -> list[str]:
    worst = trip.worst_stop
    if worst is None:
        return ["No stop has an empty day."]
    risk = "" if trip.first_day_at_risk is None else f"; the first day at risk is {trip.dates[trip.first_day_at_risk]}"
    lines = [f"Worst stop: {worst.name}{risk}."]
    if worst.chance_of_empty_day > trip.target and not trip.cures:
        lines.append("What would mend it: ampledger trip.")
    if trip.cures:
        lines.append(f"What would bring {worst.name} to {percent(trip.target)} or less:")
        lines += [fill(f"  - {cure.words}", width, subsequent_indent="    ") for cure in trip.cures]
    return lines
