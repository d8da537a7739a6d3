"""The circuits: what hangs on each, its tree of points, what was measured."""

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
    Span,
    Table,
    Text,
    counted,
    figure,
    rating,
    text,
)
from model.record.report.drawings import circuit_drawing
from model.record.report.plots import trunk_plot
from model.wiring.wired import feed_current_a, first_fuse

if TYPE_CHECKING:
    from model.design import Reading
    from model.wiring.table import CircuitPlan, WiringPlan
    from model.wiring.wired import Wired

NUMBER = True


def circuits(wiring: WiringPlan, diagrams: tuple[Drawing, ...] = ()) -> Section:
    """The system's diagrams, all circuits in one table, the one with the largest drop as a plot, and each with its tree."""
    if not wiring.circuits:
        return Section("Circuits", "circuits")
    blocks: list[Block] = [*diagrams, _overview(wiring)]
    if wiring.unplaced:
        blocks.append(Paragraph(text(f"On no circuit yet: {', '.join(wiring.unplaced)}.")))
    trunk = _worst_trunk(wiring)
    if trunk is not None:
        blocks.append(trunk)
    sections = tuple(_circuit(number, one) for number, one in enumerate(wiring.circuits, 1))
    return Section("Circuits", "circuits", tuple(blocks), sections, fresh_page=True)


def _overview(wiring: WiringPlan) -> Table:
    columns = (
        Column("Key"),
        Column("Circuit"),
        Column("Feeds"),
        Column(f"{names.CURRENT.full} (A)", NUMBER),
        Column(f"{names.FUSE.full} (A)", NUMBER),
        Column("Spare (A)", NUMBER),
        Column(f"{names.LARGEST_DROP.full} (V)", NUMBER),
        Column(f"{names.LARGEST_DROP.full} (%)", NUMBER),
    )
    rows = []
    for index, one in enumerate(wiring.circuits):
        at = f"wiring.circuits.{index}"
        wired, drop = one.wired, largest_drop(one)
        fuse = first_fuse(wired)
        rows.append(
            (
                text(one.key),
                text(one.name + (", made from the design" if one.automatic else "")),
                text(", ".join(one.feeds) or "-"),
                (figure(f"{at}.current_a", feed_current_a(wired, wired.running), "current", unit=False),),
                (rating(f"{at}.fuse_a", fuse.rating_a if fuse is not None else None),),
                (figure(f"{at}.free_a", one.free_a, "current", unit=False),),
                (counted("", drop[1] if drop is not None else None, digits=2),),
                (drop_span(f"{at}.points.{drop[0]}", drop[0], wired) if drop is not None else Span("-"),),
            )
        )
    return Table("Circuits with all their loads on", columns, tuple(rows), "circuits")


def drop_span(at: str, place: int, wired: Wired, unit: str = "") -> Span:
    """The drop from the battery as a percentage of the nominal voltage, which the contract has as a percentage too."""
    key = f"{at}.drop_percent"
    share = wired.drop_share(place)
    return counted(key, None if share is None else share * 100, unit, digits=1)


def largest_drop(circuit: CircuitPlan) -> tuple[int, float] | None:
    """Place with the largest drop from the battery, and that drop in volts; None where no voltage carries the loads."""
    drops = [(place, circuit.wired.drop_v(place)) for place in range(len(circuit.wired.shape.points))]
    known = [(place, drop) for place, drop in drops if drop is not None]
    return max(known, key=lambda pair: pair[1], default=None)


def worst_circuit(wiring: WiringPlan) -> tuple[int, int, float] | None:
    """Of the circuits with loads the one that loses most of its voltage: its number, the place where, the drop in volts."""
    found = [
        (index, *drop)
        for index, one in enumerate(wiring.circuits)
        if one.entered.kind == "loads" and (drop := largest_drop(one)) is not None and drop[0] > 0
    ]
    return max(found, key=lambda one: wiring.circuits[one[0]].wired.drop_share(one[1]) or 0.0, default=None)


def _worst_trunk(wiring: WiringPlan) -> Drawing | None:
    """The way to the point that loses most, from the source of its circuit."""
    worst = worst_circuit(wiring)
    if worst is None:
        return None
    number, far, drop_v = worst
    circuit = wiring.circuits[number]
    wired = circuit.wired
    assert wired.running is not None
    metres, points = 0.0, [(wired.shape.points[0], 0.0, wired.running.volts[0])]
    for run in wired.shape.path(far):
        one = wired.circuit.runs[run]
        metres += one.length_m
        points.append((one.end, metres, wired.running.volts[wired.shape.place[one.end]]))
    source = wired.circuit.source
    beyond = [load.drop_limit for load in wired.circuit.loads]
    limit = min(beyond)
    least_v = source.running_v + source.upstream_drop_v - limit * source.nominal_v
    title = f"Voltage along {circuit.key}, {circuit.name}: {drop_v:.2f} V lost at {points[-1][0]}"
    told = "; ".join(f"{point}: {volts:.2f} V after {at:.1f} m" for point, at, volts in points)
    told = f"{told}. A drop of {percent(limit)} allows {least_v:.2f} V."
    return Drawing(title, told, trunk_plot(points, least_v, "trunk", title, told))


def _circuit(number: int, circuit: CircuitPlan) -> Section:
    source = circuit.wired.circuit.source
    fed = f"Fed from {source.point}" + (
        f" at {source.running_v:.2f} V while running." if circuit.wired.running else "."
    )
    blocks: list[Block] = [Paragraph(text(fed, *((f" {circuit.entered.note}",) if circuit.entered.note else ())))]
    blocks.append(circuit_drawing(circuit, number))
    blocks.append(_tree(number - 1, circuit))
    if circuit.findings:
        blocks.append(Listing(tuple(text(f"{one.severity}: {one.message} {one.advice}") for one in circuit.findings)))
    if circuit.entered.readings:
        blocks.append(_readings(circuit.key, circuit.entered.readings))
    return Section(f"{circuit.key} · {circuit.name}", f"circuit-{number}", tuple(blocks))


def _tree(number: int, circuit: CircuitPlan) -> Table:
    """Every run under the point where it begins; dots say how deep in the tree it ends."""
    wired = circuit.wired
    columns = (
        Column("To"),
        Column("From"),
        Column("What is there"),
        Column("Conductor"),
        Column("Length (m)", NUMBER),
        Column("Fuse"),
        Column(f"{names.CURRENT.full} (A)", NUMBER),
        Column(f"{names.AMPACITY.full} (A)", NUMBER),
        Column(names.VOLTS.full, NUMBER),
        Column(f"{names.DROP.full} (%)", NUMBER),
    )
    at, depth = f"wiring.circuits.{number}", [0]
    for parent in wired.shape.parent[1:]:
        depth.append(depth[parent] + 1)
    rows: list[tuple[Text, ...]] = []
    for place in _depth_first(wired.shape.parent):
        if place == 0:
            continue
        index = wired.shape.order[place - 1]
        run, sized = wired.circuit.runs[index], wired.runs[index]
        flow = wired.running
        loads = ", ".join(load.name for load in wired.circuit.loads if load.point == run.end)
        fuses = [one for one in (run.protection, run.end_protection) if one is not None and one.rating_a is not None]
        rows.append(
            (
                text("· " * (depth[place] - 1) + run.end),
                text(run.start),
                text(loads or "-"),
                text(f"{sized.conductor.name}" + (f", {circuit.jackets[index]}" if circuit.jackets[index] else "")),
                (counted(f"{at}.runs.{index}.length_m", run.length_m, digits=2),),
                text(", ".join(f"{one.rating_a:g} A {one.family or ''}".strip() for one in fuses) or "-"),
                (
                    figure(
                        f"{at}.runs.{index}.current_a", flow.current_a[index] if flow else None, "current", unit=False
                    ),
                ),
                (figure("", sized.allowed_a, "current", unit=False),),
                (counted(f"{at}.points.{place}.voltage_v", flow.volts[place] if flow else None, digits=2),),
                (drop_span(f"{at}.points.{place}", place, wired),),
            )
        )
    return Table(f"Runs and points of {circuit.key}", columns, tuple(rows))


def _depth_first(parent: tuple[int, ...]) -> list[int]:
    """The places in the order in which somebody walks along the cables."""
    order, waiting = [], [0]
    while waiting:
        place = waiting.pop()
        order.append(place)
        waiting += [child for child in range(len(parent) - 1, 0, -1) if parent[child] == place]
    return order


def _readings(key: str, readings: tuple[Reading, ...]) -> Table:
    columns = (
        Column("Date"),
        Column("Volts at the supply", NUMBER),
        Column("Current (A)", NUMBER),
        Column("Measured at"),
        Column("Volts there", NUMBER),
        Column("Note"),
    )
    rows = tuple(
        (
            text(one.date or "-"),
            (counted("", one.supply_v, digits=2),),
            (figure("", one.current_a, "current", unit=False),),
            text(one.point or "-"),
            (Span("-") if one.far_v is None else counted("", one.far_v, digits=2),),
            text(one.note),
        )
        for one in readings
    )
    return Table(f"Bench records of {key}", columns, rows)
