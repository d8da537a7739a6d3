"""The circuits as plain text: one line for each, then its points."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import names
from model.quantities import percent, show
from model.wiring.across_spare import spare_a
from model.wiring.conductors import Conductor, no_thinner
from model.wiring.starting import start_volts
from model.wiring.wired import feed_current_a, first_fuse
from model.wiring.wording import amps

if TYPE_CHECKING:
    from model.wiring.table import CircuitPlan, WiringPlan

HEADS = (
    "Key",
    "circuit",
    f"{names.CURRENT.small} A",
    f"{names.FUSE.small} A",
    "thinnest conductor",
    f"{names.LARGEST_DROP.small} %",
    "findings",
)


def circuit_rows(plan: WiringPlan) -> list[tuple[str, ...]]:
    """A row for each circuit: key, name, current, fuse, thinnest conductor in both systems of sizes, largest drop, findings."""
    return [_row(one) for one in plan.circuits]


def point_lines(plan: WiringPlan) -> list[str]:
    """For each circuit the voltage at every point beyond its source."""
    return [line for one in plan.circuits if (line := _points(one))]


def start_lines(plan: WiringPlan) -> list[str]:
    """For each device that starts hard or has a cut-out of its own, what it sees at the start on a low battery."""
    return [f"{one.key}, {there.load}: {there.words}" for one in plan.circuits for there in start_volts(one)]


def wiring_lines(plan: WiringPlan) -> list[str]:
    """What belongs to all circuits together."""
    lost = f"Lost in the cables from the battery to the loads: {show(plan.loss_wh_per_day, 'energy')} a day."
    on_panel = sum(1 for one in plan.circuits if one.takes_a_way)
    ways = f"Fuse panel: {on_panel} of {plan.settings.panel_ways:g} ways in use, {amps(plan.panel_a)} together."
    if plan.panel_spare is not None and on_panel <= plan.settings.panel_ways:
        ways += f" {spare_a(plan.panel_spare.free_a)} may be added for long."
    return [ways, lost] if on_panel else [lost]


def both_sizes(conductor: Conductor) -> str:
    """A conductor with the one of the other system that has as much copper: "2.5 mm2 [14 AWG]"."""
    other = no_thinner(conductor, "AWG" if conductor.family == "mm2" else "mm2")
    return f"{conductor.name} [{other.name}]" if other is not None else conductor.name


def _row(plan: CircuitPlan) -> tuple[str, ...]:
    one, fuse = plan.wired, first_fuse(plan.wired)
    thinnest = min((run.conductor for run in one.runs), key=lambda each: each.conducting_area_mm2, default=None)
    drops = [one.drop_share(place) for place in range(len(one.shape.points))]
    worst = max((drop for drop in drops if drop is not None), default=None)
    return (
        plan.key,
        plan.name,
        show(feed_current_a(one, one.running), "current", unit=False),
        f"{fuse.rating_a:g}" if fuse is not None and fuse.rating_a is not None else "none",
        both_sizes(thinnest) if thinnest is not None else "none",
        percent(worst, 1).removesuffix(" %") if worst is not None else "no voltage",
        str(len(plan.findings)),
    )


def _points(plan: CircuitPlan) -> str:
    one = plan.wired
    if one.running is None or len(one.shape.points) < 2:
        return ""
    told = ", ".join(f"{name} {one.running.volts[place]:.2f} V" for place, name in enumerate(one.shape.points) if place)
    return f"{plan.key}: {told}"
