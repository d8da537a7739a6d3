"""The way from the source to a point of a circuit, as the plot of its voltage shows it."""

from __future__ import annotations

from model.wiring.table import CircuitPlan
from tui import display
from tui.screens.circuit_words import drop_share, limit_at
from tui.widgets.drop_plot import Stop, Way


def way_to(made: CircuitPlan, place: int) -> Way:
    """The voltage from the source to a place, with the limit that holds there."""
    one, source = made.wired, made.wired.circuit.source
    share, limit = drop_share(made, place), limit_at(made, place)
    if one.running is None or share is None:
        return Way(title="No voltage carries these loads")
    if not place:
        return Way(title="No run yet: n lays the first one" if not one.shape.order else "")
    stops, metres = [Stop(source.point, 0.0, one.running.volts[0])], 0.0
    for run in one.shape.path(place):
        metres += one.circuit.runs[run].length_m
        end = one.circuit.runs[run].end
        stops.append(Stop(end, metres, one.running.volts[one.shape.place[end]]))
    title = f"{one.shape.points[place]} loses {display.percent(share, 1)}"
    if limit is None:
        return Way(stops, source.running_v, title=f"{title} on the way from the battery")
    limit_v = source.running_v + source.upstream_drop_v - limit * source.nominal_v
    allowed = display.percent(limit)
    over = share > limit + 1e-6
    title += f": more than the {allowed} allowed" if over else f" of the {allowed} allowed"
    return Way(stops, source.running_v, limit_v, f"limit {allowed}", title)
