"""The trip: stop after stop, and what would mend the worst of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import names
from model.quantities import percent
from model.record.report.document import (
    Block,
    Column,
    Drawing,
    Listing,
    Paragraph,
    Section,
    Table,
    counted,
    figure,
    share,
    text,
)
from model.record.report.plots import fan_plot
from model.record.trip_text import BEFORE_LIMITS

if TYPE_CHECKING:
    from model.trip import Trip

NUMBER = True
FAN_WORDS = ("the middle trip", "half of all trips", "9 of 10 trips")
LABELS = 14  # under the plot; more have no room


def journey(trip: Trip) -> Section:
    """Stops with their odds, the charge along the way, the cures."""
    worst = trip.worst_stop
    summary = text(
        f"{len(trip.dates)} days from {trip.dates[0]}, the battery {percent(trip.start_charge)} full on the first morning,"
        f" {trip.years} times in different weather. Chance of an empty day anywhere on the way: ",
        share("trip.chance_of_empty_day", trip.chance_of_empty_day, 1),
        " ± ",
        share("trip.chance_error", trip.chance_error, 1),
        ".",
        f" Worst stop: {worst.name}." if worst is not None else "",
    )
    blocks: list[Block] = [Paragraph(summary), _stops(trip), Paragraph(text(BEFORE_LIMITS), aside=True), _charge(trip)]
    if trip.cures:
        blocks.append(Paragraph(text(f"What would bring the worst stop to {percent(trip.target)} or less:")))
        blocks.append(Listing(tuple(text(cure.words) for cure in trip.cures)))
    return Section("The trip", "trip", tuple(blocks), fresh_page=True)


def _stops(trip: Trip) -> Table:
    columns = (
        Column("Stop"),
        Column("Days"),
        Column("Nights", NUMBER),
        Column(f"{names.HARVEST.full} (Wh a day)", NUMBER),
        Column("Driving (Wh a day)", NUMBER),
        Column("Shore and generator (Wh a day)", NUMBER),
        Column(f"{names.USE.full} (Wh a day)", NUMBER),
        Column(f"{names.STATE_OF_CHARGE.full} on arrival (%)", NUMBER),
        Column(f"{names.STATE_OF_CHARGE.full} on leaving (%)", NUMBER),
        Column(f"{names.CHANCE.full} (%)", NUMBER),
        Column(f"{names.CHANCE_ERROR.full} (1σ, %)", NUMBER),
    )
    rows = []
    for index, one in enumerate(trip.stops):
        at, middle = f"trip.stops.{index}", len(one.arrival) // 2
        rows.append(
            (
                text(one.name),
                text(f"{one.arrives} to {one.leaves}"),
                (counted(f"{at}.nights", float(one.nights)),),
                (figure(f"{at}.sun_wh_per_day", one.sun_wh_per_day, "energy", unit=False),),
                (figure(f"{at}.driving_wh_per_day", one.driving_wh_per_day, "energy", unit=False),),
                (figure("", one.shore_wh_per_day + one.generator_wh_per_day, "energy", unit=False),),
                (figure(f"{at}.use_wh_per_day", one.use_wh_per_day, "energy", unit=False),),
                (share(f"{at}.charge_on_arrival.{middle}", one.arrival[middle], unit=False),),
                (share(f"{at}.charge_on_leaving.{middle}", one.departure[middle], unit=False),),
                (share(f"{at}.chance_of_empty_day", one.chance_of_empty_day, 1, unit=False),),
                (share(f"{at}.chance_error", one.chance_error, 1, unit=False),),
            )
        )
    return Table("Stop after stop", columns, tuple(rows), "trip")


def _charge(trip: Trip) -> Drawing:
    hours = trip.charge_by_hour
    empty = trip.stops[0].reserve
    title = f"State of charge on the way, from {trip.dates[0]}"
    told = "; ".join(
        f"{one.name}: {percent(one.arrival[2])} on arrival, {percent(one.departure[2])} on leaving"
        for one in trip.stops
    )
    told = f"In the middle of all trips. {told}. Empty is {percent(empty)}."
    every = -(-len(trip.dates) // LABELS)
    parts = [date if index % every == 0 else "" for index, date in enumerate(trip.dates)]
    return Drawing(title, told, fan_plot(hours, empty, parts, FAN_WORDS, ("trip", title, told)))
