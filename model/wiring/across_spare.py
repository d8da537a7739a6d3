"""What is left for more: on the main feed, on the fuse panel, on the trunks that feed several loads."""

from __future__ import annotations

from math import floor

from model.quantities import percent
from model.wiring.across_panel import SPARE_SHARE, listed
from model.wiring.automatic import MADE_FROM
from model.wiring.entered import panel_point
from model.wiring.findings_contacts import HOLDER_SHARE
from model.wiring.spare import Spare
from model.wiring.table import CircuitPlan, WiringInput
from model.working import Finding, Step

ADVICE = (
    "Something is always added later: a larger fuse on a thicker cable, while it can still be pulled; and a draw-wire left in"
    " every conduit, so that a further cable can follow."
)


def panel_spare(inputs: WiringInput, circuits: tuple[CircuitPlan, ...], panel_a: float) -> Spare | None:
    """What the fuse panel may still feed: as its rating or the main feed in front of it leaves, whichever is less.

    None where neither is known. A panel is warm for ever above 0.8 of its rating, as its makers say.
    """
    main = next((one for one in circuits if one.entered.kind == "main"), None)
    found = _at_panel(main) if main is not None else None
    rating_a = inputs.settings.panel_a
    if rating_a is None:
        return found
    own = Spare(HOLDER_SHARE * rating_a, max(panel_a, _into_panel_a(main) if main is not None else 0.0))
    return own if found is None or own.free_a < found.free_a else found


def spare_findings(inputs: WiringInput, circuits: tuple[CircuitPlan, ...], left: Spare | None) -> tuple[Finding, ...]:
    """Less than a fifth left, at the panel and at the bus bars of the main feed; and on trunks, all of them in one note."""
    found: list[Finding] = []
    if left is not None and left.share < SPARE_SHARE and left.used_a > 0:
        message = f"At the fuse panel {_of(left)} are left for more."
        found.append(Finding("note", "wiring/panel_ways", message, ADVICE))
    for main in (one for one in circuits if one.entered.kind == "main"):
        for point, bar in _bus_bars(main):
            if bar.share < SPARE_SHARE:
                where = f"{main.path}/runs" if main.path is not None else MADE_FROM["main"]
                found.append(Finding("note", where, f"At {point} of {main.name} {_of(bar)} are left for more.", ADVICE))
    full = [
        (one, start)
        for one in circuits
        if one.entered.kind == "loads"
        and len(one.feeds) > 1
        and (start := one.spare_at_start) is not None
        and start.share < SPARE_SHARE
    ]
    if full:
        names = listed([f"{one.name} ({spare_a(start.free_a)} of {spare_a(start.bears_a)})" for one, start in full])
        message = f"Less than {percent(SPARE_SHARE)} of what fuse and cable bear is left for more on {names}."
        found.append(Finding("note", f"{full[0][0].path}/runs", message, ADVICE))
    return tuple(found)


def spare_steps(circuits: tuple[CircuitPlan, ...], left: Spare | None) -> tuple[Step, ...]:
    """The working of what is left at the start of each circuit, and at the panel."""
    known = [(one.key, one.name, one.spare_at_start) for one in circuits]
    known.append(("panel", "Fuse panel", left))
    return tuple(
        Step(
            f"wiring.{key}.free_a",
            "wiring",
            f"{name}: what may be added for long",
            f"{here.bears_a:.4g} A borne - {here.used_a:.4g} A used, not below 0",
            here.free_a,
            "A",
            "fuse and conductor over 1.25, a panel 0.8 of its rating; the drop is not looked at",
        )
        for key, name, here in known
        if here is not None
    )


def spare_a(current_a: float) -> str:
    """ "6.6 A", "32 A", rounded down: what is left is never more than it is."""
    step = 1 if current_a >= 10 else 0.1
    return f"{floor(current_a / step + 1e-9) * step:.{0 if step == 1 else 1}f} A"


def _at_panel(main: CircuitPlan) -> Spare | None:
    runs = main.wired.circuit.runs
    place = main.wired.shape.place.get(panel_point(tuple((run.start, run.end) for run in runs)), 0) if runs else 0
    return main.spare[place]


def _into_panel_a(main: CircuitPlan) -> float:
    """What flows into the panel for long, with what hangs on no circuit and what is always on; 0 where nobody can say."""
    runs, shape = main.wired.circuit.runs, main.wired.shape
    place = shape.place.get(panel_point(tuple((run.start, run.end) for run in runs)), 0) if runs else 0
    return (main.wired.lasting_a(shape.order[place - 1]) or 0.0) if place else 0.0


def _bus_bars(main: CircuitPlan) -> list[tuple[str, Spare]]:
    """The points of the main feed before and beside the panel, with what is left there."""
    shape = main.wired.shape
    panel = _at_panel(main)
    return [
        (shape.points[place], here)
        for place in range(1, len(shape.points))
        if (here := main.spare[place]) is not None and here is not panel
    ]


def _of(left: Spare) -> str:
    return f"{spare_a(left.free_a)} of {spare_a(left.bears_a)} ({percent(left.share)})"
